/** Where a panel ends, and what lies within it that paint or paper does not go over. */
import { z } from 'zod'
import type { Unit } from '../units/length.ts'
import { lengths } from './lengthField.ts'
import { id, markRef, spotOf, text } from './names.ts'

export function outlineSchemas(unit: Unit) {
	const { positive } = lengths(unit)
	const spot = spotOf(unit)

	const point = z.union([
		markRef,
		z.strictObject({ mark: markRef, smooth: z.boolean().default(false) }),
		z.strictObject({
			...spot,
			smooth: z.boolean().default(false).describe('The outline passes here in a curve; else it has a corner.'),
		}),
	])
	const outline = z.strictObject({
		points: z.array(point).min(2),
		mirrored: z.boolean().default(false).describe('One half is given, from the centreline round to the centreline.'),
	})
	const hole = z.strictObject({ id, what: text.optional(), ...spot, diameter: positive('Diameter.') })
	const patch = z.strictObject({
		id,
		what: text.optional().describe('What it is: the knee recess, the filler flange.'),
		outline: z.array(point).min(3).describe('Places round its rim in order, each once: marks, datums, or places of their own.'),
		hand: z
			.enum(['mirrored', 'left', 'right', 'across'])
			.optional()
			.describe('On both sides alike, on one side only, or across the centreline.'),
		painted: z.boolean().default(true).describe('Paint runs on over it; if not, bands and fields end at its rim.'),
		note: text.optional(),
	})
	return { outline, hole, patch }
}
