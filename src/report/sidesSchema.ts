/** Of result.json: left against right, and edges as taped. */
import { z } from 'zod'

const chartPoint = z.tuple([z.number(), z.number()])
const deviation = z.strictObject({
	mm: z.number(),
	sdMm: z.number().describe('One standard deviation of it by the readings.'),
	inSd: z.number(),
	proven: z.boolean().describe('More than the readings leave by chance, 999 times in 1000.'),
})
const move = z.strictObject({ station: z.number(), mm: z.number().describe('Positive to the right.'), sdMm: z.number() })

export const sidesSchema = z
	.strictObject({
		kind: z.enum(['centreline', 'twins']),
		words: z.array(z.string()),
		pairs: z.array(
			z.strictObject({
				id: z.string(),
				lines: z.array(z.string()),
				left: chartPoint,
				right: chartPoint,
				across: deviation.describe(
					'Right less left of the girths: positive where the right lies farther out (of a pair: higher).',
				),
				along: deviation.optional().describe('Positive where the right lies farther rearward.'),
				setAside: z.boolean().describe('It does not fit the others: what is common to them was found without it.'),
			}),
		),
		alone: z.array(z.string()).describe('Marks of mirrored lines that were measured on one side only.'),
		centreline: z
			.strictObject({
				station: z.number(),
				shiftMm: z.number().describe('How far right of the tape the middle of both sides lies at that station.'),
				shiftSdMm: z.number(),
				angleDeg: z.number().describe('How the middle turns there against the tape, to the right going rearward.'),
				angleSdDeg: z.number(),
				front: move.describe('How far the tape has to move at the front end of the baseline.'),
				rear: move,
				proven: z.boolean(),
				line: z.array(chartPoint).describe('The middle, from front to rear.'),
			})
			.optional(),
		frame: z
			.strictObject({
				datums: z.array(z.string()),
				station: z.number(),
				alongMm: z.number(),
				acrossMm: z.number(),
				turnDeg: z.number(),
				missMm: z.number(),
			})
			.optional()
			.describe('Of a pair: how the datums of the right one lie to those of the left one; taken out of the deviations.'),
		open: z
			.strictObject({
				kind: z.enum(['no-pairs', 'no-sd', 'one-pair', 'one-station']),
				station: z.number().optional(),
				shiftMm: z.number().optional(),
				shiftSdMm: z.number().optional(),
			})
			.optional()
			.describe('Why the middle of both sides is not known, and where it passes if one place of it is.'),
		settled: z.boolean().describe('False where the pairs do not fit one middle and it is not known which of them is wrong.'),
		lines: z
			.array(z.strictObject({ edge: z.string(), pairs: z.number(), across: deviation }))
			.describe('All pairs of a line together.'),
		swapped: z.array(z.strictObject({ kind: z.enum(['sides', 'names', 'girths']), marks: z.array(z.string()) })),
		choices: z
			.array(z.strictObject({ edge: z.string(), sides: z.enum(['mean', 'left', 'right', 'each']) }))
			.describe('Which side each mirrored line follows.'),
		exaggeration: z.number().describe('So many times larger than they are, the deviations can be seen on a page.'),
	})
	.describe('Left against right, on a panel that has both.')

const side = z.enum(['left', 'right', 'both'])
const verdict = z.enum(['go', 'look', 're-lay']).describe('look: beyond what is let pass, by less than the readings can tell.')
const chartLine = z.array(chartPoint)

export const tapedSchema = z
	.strictObject({
		verdict,
		words: z.array(z.string()),
		lines: z.array(
			z.strictObject({
				line: z.string(),
				name: z.string(),
				side,
				verdict,
				worstMm: z.number(),
				places: z.array(
					z.strictObject({
						check: z.number().describe("Place in the panel's list of checks, from 0."),
						station: z.number(),
						girth: z.number(),
						plannedMm: z.number().describe('The girth that the plan has there.'),
						acrossMm: z.number().describe('Square off the planned edge: positive outboard, on a panel of one side up.'),
						sdMm: z.number(),
						verdict,
					}),
				),
				runs: z
					.strictObject({ mm: z.number(), sdMm: z.number(), verdict })
					.optional()
					.describe('How far it runs outboard (up) of the plan from its first place to its last.'),
				kinks: z.array(
					z.strictObject({
						station: z.number(),
						kind: z.enum(['kink', 'flat']),
						turnDeg: z.number(),
						sdDeg: z.number(),
						proven: z.boolean(),
					}),
				),
				plan: chartLine,
				taped: chartLine.describe('As taped, with deviations drawn `exaggeration` times as large.'),
			}),
		),
		sides: z.array(
			z.strictObject({
				line: z.string(),
				name: z.string(),
				station: z.number(),
				differMm: z.number().describe('Right less left of what each is off by.'),
				sdMm: z.number(),
				seen: z.boolean().describe('Both can be seen at once, so that less is let pass.'),
				limitMm: z.number(),
				verdict,
			}),
		),
		widths: z.array(
			z.strictObject({
				lines: z.tuple([z.string(), z.string()]),
				side,
				station: z.number(),
				plannedMm: z.number(),
				tapedMm: z.number(),
				sdMm: z.number(),
				limitMm: z.number(),
				verdict,
			}),
		),
		exaggeration: z.number(),
	})
	.describe('Edges as taped against the plan, before anything is sprayed.')
