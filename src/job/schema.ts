/**
 * The job file: one description from which come the check at loading, the types, and the JSON Schema for editors.
 * Lengths are read as written (a number in the job's unit, or a text with its own) and are mm from here on.
 */
import { z } from 'zod'
import type { Unit } from '../units/length.ts'
import { artworkSchema } from './artworkSchema.ts'
import { captureSchema } from './captureSchema.ts'
import { checkSchema } from './checkSchema.ts'
import { decalSchema } from './decalSchema.ts'
import { lengths } from './lengthField.ts'
import { lineSchemas } from './lineSchema.ts'
import { id, spotOf, text, which } from './names.ts'
import { outlineSchemas } from './outlineSchema.ts'
import { paintSchema } from './paintSchema.ts'
import { clearSchema, day, paintedSchema, paintworkSchema } from './paintworkSchema.ts'
import { proofSchema } from './proofSchema.ts'
import { readingSchema } from './readingSchema.ts'
import { seamSchema } from './seamSchema.ts'

export const FORMAT = 1

/** The lines of a job card, in the order of the work. */
export const CARD_LINES = ['panel', 'measure', 'shape', 'scheme', 'decals', 'sides', 'sheets', 'tape', 'paint'] as const

export function jobSchema(unit: Unit) {
	const { notNegative, positive } = lengths(unit)
	const panel = panelSchema(unit)

	return z.strictObject({
		$schema: z.string().optional(),
		format: z.literal(FORMAT).describe('Version of this file format.'),
		title: text.min(1),
		notes: text.optional(),
		unit: z.enum(['mm', 'in']).describe('The unit of plain numbers in this file.'),
		limits: z
			.strictObject({
				shape: positive('Largest error of shape that a piece may have.').default(0.3),
				gap: notNegative('Smallest gap between neighbouring stripes.').default(0.5),
				mark: positive('How far a line may pass from a mark, where the mark does not say.').optional(),
			})
			.prefault({}),
		paints: z.array(paintSchema()),
		artwork: z.array(artworkSchema(unit)).max(100).optional().describe('What is on the decals: badges, marks, lettering.'),
		paintwork: paintworkSchema(unit).optional().describe('In which order it is painted, and what was done.'),
		panels: z.array(panel).min(1),
		signed: z
			.array(
				z.strictObject({
					line: z.enum(CARD_LINES).describe('A line of the job card.'),
					panel: id.optional().describe('Of this panel; of the whole vehicle, where not said.'),
					on: day('The day.'),
					by: text.optional(),
					note: text.optional(),
				}),
			)
			.optional()
			.describe('What was signed off on the job card, and when.'),
	})
}

function panelSchema(unit: Unit) {
	const { any, positive } = lengths(unit)
	const spot = spotOf(unit)
	const capture = captureSchema(unit)
	const { edge, stripe, field } = lineSchemas(unit)
	const readings = readingSchema(unit)

	const datum = z.strictObject({
		id,
		what: text.optional().describe('What it is on the vehicle: a bolt hole, a flange, a seam. Never a paint edge.'),
		...spot,
		panel: which.optional(),
	})
	const { outline, hole, patch } = outlineSchemas(unit)

	return z.strictObject({
		id,
		title: text.optional(),
		hand: z
			.enum(['centre', 'pair', 'left', 'right'])
			.describe('On the centreline of the vehicle; a pair, left and right, with one scheme; or on one side only.'),
		found: capture.describe('Its shape before stripping.'),
		prepared: z
			.strictObject({
				shape: capture.optional().describe('Captured afresh; as found where only lengths were taken again.'),
				datums: z
					.array(z.strictObject({ id, ...spot }))
					.default([])
					.describe('The datums, measured again.'),
				readings: z
					.array(readings)
					.default([])
					.describe('A few lengths taken again, from datum to datum: where the datums lie now follows from them.'),
				carry: z
					.enum(['shift', 'stations', 'proportion'])
					.optional()
					.describe(
						'How the scheme goes over by the datums: all of it moved alike; stations in proportion between them and girths as they were; or both in proportion, which takes a datum off the baseline. Left out, as much of that as the datums tell.',
					),
				note: text.optional(),
			})
			.optional()
			.describe('What was measured again after filler and primer. Templates are made for the panel as it is then.'),
		datums: z.array(datum).default([]),
		baseline: z
			.strictObject({
				from: id.optional(),
				to: id.optional(),
				interruptions: z
					.array(
						z.strictObject({
							from: any('Station where it starts.'),
							to: any('Station where it ends.'),
							what: text,
							width: positive('How wide it is, across the baseline.').optional(),
						}),
					)
					.default([])
					.describe('Where the tape could not lie: a filler, a badge.'),
			})
			.prefault({}),
		outline: outline.optional(),
		holes: z.array(hole).default([]),
		patches: z
			.array(patch)
			.optional()
			.describe('Where paper does not lie: pockets, knee recesses, fillers. Templates go round them.'),
		readings: z.array(readings).default([]),
		edges: z.array(edge).default([]),
		stripes: z.array(stripe).default([]),
		fields: z.array(field).default([]),
		decals: z.array(decalSchema(unit)).optional().describe('Decals, lettering and painted emblems, and where they go.'),
		proof: z
			.array(proofSchema(unit))
			.optional()
			.describe('Proof on the old paint: what the ticks of its strips missed the original lines by.'),
		checks: z.array(checkSchema(unit)).optional().describe('Edges as taped, measured before anything is sprayed.'),
		painted: z
			.array(paintedSchema(unit))
			.optional()
			.describe('Edges as they came out of the paint, measured again: later masks follow them.'),
		clear: clearSchema().optional().describe('How it is cleared, and whether decals go under or over the clear.'),
		seams: z.array(seamSchema(unit)).optional().describe('Where it meets other panels.'),
		strips: z
			.strictObject({ stations: z.array(any('station')).optional(), every: positive('Distance between strips.').optional() })
			.optional()
			.describe('Where girth strips are wanted; else near the marks, so that guides meet them.'),
		notes: text.optional(),
	})
}

export type Job = z.output<ReturnType<typeof jobSchema>>
export type JobInput = z.input<ReturnType<typeof jobSchema>>
export type ReadingInput = NonNullable<JobInput['panels'][number]['readings']>[number]
export type ProofTickInput = NonNullable<JobInput['panels'][number]['proof']>[number]
export type CheckInput = NonNullable<JobInput['panels'][number]['checks']>[number]
export type Panel = Job['panels'][number]
export type Capture = Panel['found']
export type ProfileShape = Extract<Capture, { kind: 'revolved' }>['profile']
export type Reading = Panel['readings'][number]
export type Edge = Panel['edges'][number]
export type Stripe = Panel['stripes'][number]
export type StripeEnd = NonNullable<Stripe['front']>
export type TemplateWay = NonNullable<Stripe['templates']>
export type PatchOutline = NonNullable<Panel['patches']>[number]
export type Seam = NonNullable<Panel['seams']>[number]
export type Field = Panel['fields'][number]
export type Decal = NonNullable<Panel['decals']>[number]
export type ProofTick = NonNullable<Panel['proof']>[number]
export type Check = NonNullable<Panel['checks']>[number]
export type Hand = NonNullable<Edge['hand']>
export type Paint = Job['paints'][number]
export type Paintwork = NonNullable<Job['paintwork']>
export type Clear = NonNullable<Panel['clear']>
export type Painted = NonNullable<Panel['painted']>[number]
