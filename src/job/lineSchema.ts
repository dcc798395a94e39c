/** Lines through marks, the stripes laid off them, and the colour fields between them. */
import { z } from 'zod'
import type { Unit } from '../units/length.ts'
import { lengths } from './lengthField.ts'
import { id, markRef, spotOf, text } from './names.ts'

export function lineSchemas(unit: Unit) {
	const { any, notNegative, positive } = lengths(unit)
	const spot = spotOf(unit)

	const hand = z
		.enum(['mirrored', 'left', 'right', 'across'])
		.describe('On both sides alike, on one side only, or across the centreline.')
	const evidence = z.enum(['original', 'earlier-repaint', 'another-vehicle', 'assumed']).describe('What this is known from.')
	const through = z.union([
		markRef,
		z.strictObject({
			mark: markRef,
			by: z
				.enum(['smooth', 'pulled'])
				.default('smooth')
				.describe('How the line comes here from the mark before: smoothly, or as a taut tape lies.'),
			corner: z.boolean().default(false).describe('The line turns sharply here.'),
			tolerance: positive('How far the line may pass from this mark.').optional(),
		}),
	])
	const end = z.enum(['at-mark', 'runs-off'])
	const edge = z.strictObject({
		id,
		what: text.optional(),
		through: z.array(through).min(2).describe('The marks in order, front to rear (left to right if across the centreline).'),
		hand: hand.optional(),
		sides: z
			.enum(['mean', 'left', 'right', 'each'])
			.optional()
			.describe(
				'Of a line on both sides that was measured on both: their mean (where not said), the left or the right one mirrored, or each side as it was.',
			),
		closed: z.boolean().default(false).describe('The line comes back to its first mark.'),
		front: end.default('at-mark').describe('Where the line starts: at its first mark, or it runs off the panel.'),
		rear: end.default('at-mark'),
		evidence: evidence.optional(),
		note: text.optional(),
	})
	const width = z.union([
		positive('Width, square off the line.'),
		z
			.array(
				z.strictObject({ along: notNegative('Length along the line from its front end.'), width: notNegative('Width there.') }),
			)
			.min(2)
			.describe('A taper: widths at lengths along the line.'),
	])
	const templates = z
		.enum(['guides', 'piece', 'over-crown'])
		.describe(
			'How its templates are made: an edge guide for each edge, one piece for the whole of it, or pieces across the crown that carry both sides. Left out, the tool chooses and says why.',
		)
	const stripeEnd = z.discriminatedUnion('shape', [
		z.strictObject({ shape: z.literal('square') }),
		z.strictObject({
			shape: z.literal('raked'),
			angleDeg: z
				.number()
				.min(10)
				.max(170)
				.describe(
					'Between the line, led on, and the end, on the side of the band: 90 is square, under 90 makes the far edge the longer one.',
				),
		}),
		z.strictObject({ shape: z.literal('pointed'), length: positive('Length over which the sides come together.') }),
		z.strictObject({ shape: z.literal('rounded') }),
		z.strictObject({ shape: z.literal('runs-off') }),
	])
	const stripe = z.strictObject({
		id,
		what: text.optional(),
		edge: id.describe('The line that it is laid off.'),
		lay: z
			.enum(['inboard', 'outboard', 'centred', 'front', 'rear'])
			.describe(
				'Towards the baseline, away from it, or half to each side (inside or outside of a closed line); front or rear where the line crosses the centreline.',
			),
		offset: any('From the line to the near edge of the first band.').default(0),
		bands: z
			.array(z.union([z.strictObject({ paint: id, width }), z.strictObject({ gap: notNegative('Gap between bands.') })]))
			.min(1)
			.describe('Bands and gaps in order, away from the line.'),
		front: stripeEnd.optional(),
		rear: stripeEnd.optional(),
		corners: z.enum(['mitred', 'rounded']).default('mitred'),
		hand: hand.optional().describe('As its line, where not said.'),
		over: z.array(id).optional().describe('Other stripes that this one may cross.'),
		templates: templates.optional(),
		evidence: evidence.optional(),
		note: text.optional(),
	})
	const field = z.strictObject({
		id,
		what: text.optional(),
		paint: id,
		between: z.array(id).min(1).max(8).describe('The lines it lies between: names of edges, or outline, or centreline.'),
		seed: z.strictObject(spot).optional().describe('A place inside it, where the lines alone leave a choice.'),
		hand: hand.optional(),
		over: z.array(id).optional().describe('Other fields that this one lies over.'),
		templates: templates.optional(),
		evidence: evidence.optional(),
		note: text.optional(),
	})
	return { edge, stripe, field }
}
