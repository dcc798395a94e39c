/** The form of result.json: the schema that reads it back, and the type of what is written. */
import { z } from 'zod'
import { decalSchema, decalSidesSchema } from './decalSchema.ts'
import { paintworkSchema } from './paintworkSchema.ts'
import { RESULT_FORMAT } from './resultFormat.ts'
import { seamResult } from './seamData.ts'
import { box, paperLine, sheet, sheetMap } from './sheetSchema.ts'
import { sidesSchema, tapedSchema } from './sidesSchema.ts'

const chartPoint = z.tuple([z.number(), z.number()]).describe('[station, girth], mm')
const chartLine = z.array(chartPoint)
const chartLoops = z
	.array(chartLine)
	.describe('Closed, first point not repeated; outer loops anticlockwise in (s, g), holes clockwise.')
const side = z.enum(['left', 'right', 'both'])
const sd = z.strictObject({ s: z.number(), g: z.number() })

const mark = z.strictObject({
	key: z.string(),
	id: z.string(),
	side: z.enum(['left', 'right']).optional(),
	datum: z.boolean(),
	at: chartPoint.describe('On the panel as found.'),
	now: chartPoint.describe('On the panel as it is now: the same place where it was not measured again.'),
	sd: sd.describe('One standard deviation of station and girth.'),
	correlation: z.number().describe('Of station with girth, -1 to 1; the covariance is this times both standard deviations.'),
	ellipse: z
		.strictObject({
			majorMm: z.number().describe('Half its length.'),
			minorMm: z.number().describe('Half its width.'),
			angleDeg: z
				.number()
				.describe('Of its length, from the direction of growing station towards that of growing girth, -90 to 90.'),
		})
		.optional()
		.describe('Within which the mark lies 95 times in 100, measured on the panel as found; none of a datum.'),
	readings: z.array(z.number()).describe("Places in the panel's list of readings, from 0."),
})

const reading = z.strictObject({
	index: z.number(),
	path: z.string().describe('JSON pointer into the job file.'),
	kind: z.string(),
	what: z.enum(['station', 'girth', 'length', 'distance', 'width']),
	marks: z.array(z.string()),
	value: z.number(),
	fitted: z.number(),
	residual: z.number().describe('fitted - value'),
	sd: z.number(),
	checked: z.number().describe('0 to 1: how much of an error in this reading would show. 0: nothing checks it.'),
	residualInSd: z.number().optional(),
	seenMm: z
		.number()
		.optional()
		.describe('The smallest slip in it that would be seen four times in five; left out where nothing checks it.'),
	likely: z.number().optional().describe('Where it does not fit: what the others say it should be.'),
	slip: z
		.strictObject({
			kind: z.enum(['side', 'figures', 'unit', 'start', 'count', 'rows', 'from', 'pull', 'hook']),
			value: z.number().describe('What the reading should then have been.'),
			say: z.string(),
		})
		.optional()
		.describe('What may have happened, where one of the usual slips explains it.'),
	setAside: z.literal(true).optional().describe('It cannot be right beside the others: the places do without it.'),
})

const foldedMark = z.strictObject({
	id: z.string(),
	from: z.enum(['both', 'left', 'right', 'one']),
	at: chartPoint,
	sd,
	difference: z
		.strictObject({ s: z.number(), g: z.number(), sd, ratio: z.number() })
		.optional()
		.describe('Left less right, where both were measured; the ratio is the larger of the two in standard deviations.'),
})

const edge = z.strictObject({
	id: z.string(),
	hand: z.string(),
	sdMm: z.number().describe('How well the line is known across it, one standard deviation.'),
	maxErrorMm: z.number(),
	passes: z
		.array(z.strictObject({ mark: z.string(), offMm: z.number().nullable(), toleranceMm: z.number() }))
		.describe('How far the line passes from each of its marks, positive to its plus side (left of its direction in (s, g)).'),
	known: z
		.array(z.strictObject({ at: chartPoint, sdMm: z.number() }))
		.describe('How well the line is known across itself at places along it, one standard deviation.'),
	sides: z.array(z.strictObject({ side, closed: z.boolean(), lengthMm: z.number(), points: chartLine })),
})

const bandWidth = z.union([z.number(), z.array(z.strictObject({ along: z.number(), width: z.number() }))])
const band = z.strictObject({
	id: z.string(),
	stripe: z.string(),
	side,
	paint: z.string(),
	width: bandWidth.describe('As the job gives it, mm.'),
	ends: z.strictObject({ front: z.string(), rear: z.string() }),
	lengthMm: z.number(),
	areaMm2: z.number(),
	maxErrorMm: z.number(),
	near: z.array(chartLine),
	far: z.array(chartLine),
	caps: z.array(chartLine),
	region: chartLoops,
})

const field = z.strictObject({
	id: z.string(),
	field: z.string(),
	side,
	paint: z.string(),
	areaMm2: z.number(),
	openAreaMm2: z.number().describe('What the stripes over it leave open.'),
	region: chartLoops,
})

const piece = z.strictObject({
	id: z.string(),
	number: z.number(),
	kind: z.enum(['strip', 'guide', 'crown', 'stripe', 'area', 'mask', 'frame', 'decal']),
	side: z.enum(['LEFT', 'RIGHT', 'BOTH']),
	title: z.string(),
	errorMm: z.number().describe('Largest error of shape.'),
	lineSdMm: z.number().optional(),
	stretch: z
		.number()
		.optional()
		.describe('Of a field laid flat: the most that any small part of its paper stretches or shrinks, as a share of its length.'),
	bounds: box,
	knife: z.array(paperLine).describe('Closed, first point not repeated.'),
	working: z.array(paperLine),
	notes: z.array(z.string()),
})

const count = z.number().int()
const scan = z
	.strictObject({
		file: z.string(),
		unit: z.enum(['mm', 'cm', 'm', 'in']),
		unitFrom: z.enum(['given', 'datums', 'size']).describe('By the job, by the datums, or guessed from the size of a panel.'),
		sizeMm: z.number().describe('From corner to corner.'),
		triangles: count.describe('Of the scan as mended.'),
		mended: z
			.strictObject({
				flat: count.describe('Triangles without area, left out.'),
				repeated: count.describe('Triangles given twice.'),
				turned: count.describe('Triangles that ran the wrong way round.'),
				fins: count.describe('Triangles too many at edges where three or more meet.'),
				twisted: count.describe('Pieces with one side only, as a twisted ribbon.'),
				pieces: count.describe('Pieces that it fell into; the largest is kept.'),
				leftOut: count.describe('Triangles of the others.'),
				leftOutShare: z.number().describe('Of the whole area.'),
				weldedWithinMm: z.number().describe('Corners nearer than this were made one; 0 where only the same ones were.'),
			})
			.describe('What was wrong with it, and mended.'),
		holesMm: z.array(z.number()).describe('Round each hole beside its own outline, the longest first.'),
		datums: z.array(z.strictObject({ id: z.string(), missMm: z.number() })).describe('From where the vehicle has them.'),
		noiseMm: z.number().describe('One standard deviation of a single point.'),
		noiseFrom: z.enum(['given', 'estimated']),
		symmetry: z
			.strictObject({
				asideMm: z.number().describe('To the right of the middle that its datums give.'),
				turnedDeg: z.number(),
				unlikeMm: z.number().describe('Half of the places lie within this of the mirror image of the other side.'),
				share: z.number().describe('Of the places tried, the part that has a counterpart on the other side.'),
			})
			.optional()
			.describe('Its own plane of symmetry, where it was looked for.'),
		sections: count.describe('How many it was cut into.'),
	})
	.describe('What was found out about a scan, and mended in it.')

const gaugeFit = z
	.strictObject({
		rmsMm: z.number().describe('What the shape leaves the readings by.'),
		worst: z.strictObject({ section: z.number(), reading: z.number(), mm: z.number() }).describe('Both counted from 0.'),
		missedWithoutMm: z
			.array(z.number().nullable())
			.describe('How far the shape through the others misses each section; null for the first and the last.'),
		oneMore: z
			.strictObject({ along: z.number(), mm: z.number() })
			.describe('Where one more section would tell most, and by how much the shape may be out there.'),
		everyOther: z
			.strictObject({ rmsMm: z.number(), worstMm: z.number() })
			.optional()
			.describe('What taking every other section alone would cost.'),
	})
	.describe('How well gauge sections determine the shape.')

const trust = z.strictObject({
	key: z.string(),
	knownMm: z.number().describe('Half-width within which it lies 95 times in 100, in its worst direction.'),
	unseenMm: z
		.number()
		.optional()
		.describe('How far a slip that nothing shows could move it; left out where a slip of any size could.'),
})
const ready = z
	.strictObject({
		marks: z.array(z.strictObject({ ...trust.shape, shownBy: z.enum(['readings', 'other-side', 'line', 'nothing']) })),
		lines: z.array(
			z.strictObject({
				id: z.string(),
				least: z
					.strictObject({ at: chartPoint, knownMm: z.number() })
					.optional()
					.describe('Where it is known least well, and the half-width within which it lies there 95 times in 100.'),
				missing: z.array(z.string()).describe('Marks that have no place yet.'),
				unchecked: z.array(z.string()).describe('Marks that nothing checks.'),
			}),
		),
		next: z
			.array(
				z.strictObject({
					kind: z.enum(['tape', 'square']),
					marks: z.array(z.string()),
					lengthMm: z.number().optional(),
					before: trust,
					after: trust,
					gainMm: z.number(),
				}),
			)
			.describe('The readings that would help most, best first: each counts on the ones before it.'),
	})
	.describe('What the numbers are good for before the panel is stripped.')

const panel = z.strictObject({
	id: z.string(),
	title: z.string(),
	hand: z.enum(['centre', 'pair', 'left', 'right']),
	shape: z
		.strictObject({
			stations: z.tuple([z.number(), z.number()]),
			liesFlat: z.boolean().describe('Bent one way at most: any piece of it lies flat without stretch.'),
			errorMm: z.number(),
			gauge: gaugeFit.optional(),
			scan: scan.optional(),
		})
		.optional(),
	marks: z.array(mark).optional(),
	readings: z.array(reading).optional(),
	closure: z
		.strictObject({
			more: z.number().describe('Readings more than needed.'),
			sumSquares: z.number().describe('Of residuals, each in its own standard deviation.'),
			factor: z
				.number()
				.optional()
				.describe('How much worse the readings are than was said of their instruments: 1 where they are as good.'),
			expected: z
				.strictObject({ from: z.number(), to: z.number() })
				.optional()
				.describe('What the sum of squares stays between by chance, 999 times in 1000.'),
			verdict: z.enum(['unchecked', 'as-said', 'worse', 'better']),
		})
		.optional(),
	bothSides: z.array(foldedMark).optional().describe('Marks of mirrored lines, both sides laid together.'),
	sides: sidesSchema.optional(),
	ready: ready.optional(),
	sincePrepared: z
		.strictObject({
			carriedBy: z.enum(['nothing', 'shift', 'stations', 'both']),
			chosen: z.boolean().describe('The job says so; else as much as its datums tell.'),
			datums: z.array(
				z.strictObject({
					id: z.string(),
					found: chartPoint,
					now: chartPoint,
					movedMm: z.number(),
					sdMm: z.number(),
					proven: z.boolean().describe('More than the readings leave by chance (95 %).'),
				}),
			),
			lines: z
				.array(z.strictObject({ id: z.string(), offMm: z.number(), holds: z.boolean() }))
				.describe('How far templates of the panel as found would lay each line wrong.'),
			limitMm: z.number(),
		})
		.optional()
		.describe('What measuring again after preparation changed.'),
	outline: z.strictObject({ from: z.enum(['outline', 'capture', 'marks']), region: chartLoops }).optional(),
	patches: z
		.array(
			z.strictObject({
				id: z.string(),
				what: z.string(),
				painted: z.boolean().describe('Paint runs on over it.'),
				hand: z.enum(['mirrored', 'left', 'right', 'across']),
				region: chartLoops.describe('As far as the rim; of a mirrored patch across a centreline both sides.'),
			}),
		)
		.optional()
		.describe('Where paper does not lie: pockets, knee recesses, fillers.'),
	edges: z.array(edge).optional(),
	bands: z.array(band).optional(),
	fields: z.array(field).optional(),
	choices: z
		.array(z.strictObject({ of: z.string(), what: z.string(), way: z.enum(['guides', 'piece', 'over-crown']), why: z.string() }))
		.optional()
		.describe('How the templates of each stripe and field are made, and why.'),
	decals: z.array(decalSchema).optional(),
	decalSides: z.array(decalSidesSchema).optional(),
	proof: z
		.array(
			z.strictObject({
				line: z.string(),
				name: z.string(),
				side,
				verdict: z.enum(['safe', 'more', 'mark', 'shifted', 'line']),
				worstMm: z.number(),
				misses: z.array(z.strictObject({ station: z.number(), acrossMm: z.number() })),
				mark: z.strictObject({ key: z.string(), offMm: z.number() }).optional(),
				shiftMm: z.number().optional(),
			}),
		)
		.optional()
		.describe('Strips held against the old paint: misses square off the line, positive where the paint lies outboard.'),
	taped: tapedSchema.optional(),
	stripStations: z.array(z.number()).optional(),
	pieces: z.array(piece).optional(),
})

export const problemSchema = z.strictObject({
	code: z.string(),
	severity: z.enum(['error', 'warning', 'note']),
	path: z.string(),
	file: z.string().optional(),
	line: z.number().optional(),
	column: z.number().optional(),
	place: z
		.strictObject({
			panel: z.string(),
			side: z.string().optional(),
			line: z.enum(['above', 'below']).optional().describe('On which side of the baseline, on a panel of one side.'),
			s: z.number().optional(),
			g: z.number().optional(),
		})
		.optional(),
	found: z.string(),
	expected: z.string(),
	fix: z.string(),
})

export const resultSchema = z.strictObject({
	formatVersion: z.literal(RESULT_FORMAT),
	madeBy: z.string().describe('The program and its version.'),
	title: z.string(),
	revision: z.string().describe('Short code of the job, as on every sheet.'),
	units: z.strictObject({
		lengths: z.literal('mm'),
		areas: z.literal('mm2'),
		angles: z.literal('degrees'),
		job: z.enum(['mm', 'in']),
	}),
	files: z.array(z.string()).describe('Everything this run wrote into its folder, this file included.'),
	panels: z.array(panel),
	seams: z.array(seamResult).optional().describe('Where panels meet, if the job says so.'),
	paintwork: paintworkSchema.optional(),
	sheets: z.array(sheet).optional(),
	maps: z.array(sheetMap).optional(),
	problems: z.array(problemSchema),
})

export type ResultData = z.infer<typeof resultSchema>
export type PanelData = ResultData['panels'][number]
export type SheetData = NonNullable<ResultData['sheets']>[number]

/** The schema as JSON Schema, the text of its file in docs/. */
export function resultSchemaFile(): { readonly path: string; readonly text: string } {
	const json = z.toJSONSchema(resultSchema, { target: 'draft-2020-12' })
	return { path: 'docs/result.schema.json', text: `${JSON.stringify({ ...json, title: 'Stripewright result' }, null, '\t')}\n` }
}
