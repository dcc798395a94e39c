/** The paintwork of the whole vehicle: the order of its paints, laps, and the record of what was done. */
import { z } from 'zod'
import type { Unit } from '../units/length.ts'
import { lengths } from './lengthField.ts'
import { id, text } from './names.ts'

export const day = (about: string) =>
	z
		.string()
		.regex(/^\d{4}-\d{2}-\d{2}$/, 'a date such as 2031-05-14')
		.describe(about)

export function paintworkSchema(unit: Unit) {
	const { notNegative } = lengths(unit)
	return z.strictObject({
		order: z
			.array(id)
			.optional()
			.describe(
				'The paints in the order they are sprayed. Those left out follow where they cost least; with none, the order is chosen and explained.',
			),
		after: z
			.array(z.strictObject({ paint: id, after: z.array(id).min(1).describe('Paints that are on before it.') }))
			.optional()
			.describe('Of single paints, what must be on before them.'),
		first: z
			.enum(['all-over', 'local'])
			.optional()
			.describe(
				'The first paint over all of each panel that has it, or only where it shows and a lap beyond. Left out, whichever costs less.',
			),
		underlap: notNegative(
			'How far a paint goes on below its neighbour that comes later; of the shop, where not said.',
		).optional(),
		underlaps: z
			.array(
				z.strictObject({
					under: id.describe('The paint that goes on below.'),
					over: id.describe('The neighbour that comes later.'),
					width: notNegative('How far it goes on below.'),
				}),
			)
			.optional()
			.describe('Of single pairs of paints.'),
		sprayOut: z
			.array(
				z.strictObject({
					paint: id,
					coats: z.number().int().min(1).max(30).describe('Coats on the card.'),
					matched: z.boolean().describe('Whether it matched.'),
					on: day('The day.').optional(),
					note: text.optional(),
				}),
			)
			.optional()
			.describe('Spray-out cards: which count of coats matched.'),
		log: z
			.array(
				z.strictObject({
					paint: id,
					panel: id.optional().describe('On this panel; on all that were sprayed together, where not said.'),
					coat: z.number().int().min(1).max(30),
					on: day('The day.').optional(),
					at: z
						.string()
						.regex(/^([01]\d|2[0-3]):[0-5]\d$/, 'a time such as 14:30')
						.optional(),
					celsius: z.number().min(-30).max(80).optional().describe('Temperature, degrees Celsius.'),
					humidity: z.number().min(0).max(100).optional().describe('Relative humidity, per cent.'),
					batch: text.optional(),
					note: text.optional(),
				}),
			)
			.optional()
			.describe('Coat by coat, as it was sprayed.'),
		done: z
			.array(
				z.strictObject({
					step: text.min(1).describe('A step of the plan by its name, such as tank/ivory/lay/3.'),
					on: day('The day.'),
					by: text.optional(),
					note: text.optional(),
				}),
			)
			.optional()
			.describe('Steps of the plan that were done.'),
	})
}

/** How a panel is cleared, and what the owner chose for its decals. */
export function clearSchema() {
	const coats = (about: string) => z.number().int().min(0).max(20).describe(about)
	return z.strictObject({
		paint: id.optional().describe('The clear, a paint of the job; a usual two-pack clear where not said.'),
		before: coats('Coats before decals.').optional(),
		over: coats('Coats over decals.').optional(),
		elsewhere: coats('Coats where no decals are.').optional(),
		flow: coats('Flow coats after flatting.').optional(),
		filmUm: z.number().gt(0).max(500).optional().describe('Dry film of one coat, micrometres.'),
		takenOff: z
			.array(
				z.strictObject({
					what: z.enum(['flatting', 'cutting', 'polishing']),
					um: z.number().gt(0).max(100).describe('Micrometres that a round takes off.'),
					rounds: z.number().int().min(1).max(10).default(1),
				}),
			)
			.optional()
			.describe('What flatting, cutting and polishing take off again.'),
		decals: z.enum(['under', 'over']).optional().describe("The owner's choice: decals under the clear, or over it."),
		decided: z
			.strictObject({ by: text.min(1), on: day('The day.').optional(), note: text.optional() })
			.optional()
			.describe('Who chose, and when.'),
	})
}

/** An edge as it really came out of the paint, measured again. */
export function paintedSchema(unit: Unit) {
	const { any, notNegative } = lengths(unit)
	return z.strictObject({
		line: text.min(1).describe('The painted edge as the strips name it at their ticks ("coach inner"), or the name of an edge.'),
		side: z.enum(['left', 'right']).optional().describe('Where the line is on both sides: the one that was measured.'),
		station: any('Where along the baseline.'),
		girth: notNegative('Square off the baseline to the painted edge, on the side of the baseline that the line is on.'),
		with: text.optional().describe('The instrument; a tape where not said.'),
		note: text.optional(),
	})
}
