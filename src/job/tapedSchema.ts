/** A panel captured with a tape alone: lengths laid along lines of constant girth. */
import { z } from 'zod'
import type { Unit } from '../units/length.ts'
import { lengths } from './lengthField.ts'
import { girthSide, spotOf } from './names.ts'

export function tapedSchema(unit: Unit) {
	const { any, notNegative, positive } = lengths(unit)

	const where = {
		girth: notNegative('How far from the baseline, square off it.'),
		side: girthSide
			.optional()
			.describe('The side it was laid on. Left out on a centreline panel: both sides alike; on a panel of one side: above.'),
	}
	const length = (about: string) => positive(`${about} At most 100 mm.`)
	const list = z.strictObject({
		...where,
		from: any('The station it starts at; the first of "stations" where absent.').optional(),
		lengths: z
			.array(length('From one struck line to the next, steered along this girth.'))
			.min(1)
			.describe('The lengths between successive "stations", front to rear; it may end before the last one.'),
	})
	const single = z.strictObject({
		...where,
		from: any('Station of the struck line it starts at.'),
		to: any('Station of the struck line it ends at.'),
		length: length('What was read, steered along this girth.'),
	})
	const spot = z.strictObject(spotOf(unit))
	return z.strictObject({
		kind: z.literal('taped'),
		stations: z
			.array(any('station'))
			.min(2)
			.describe('Where lines were struck square off the baseline, front to rear: at the same stations for both sides.'),
		squared: z
			.enum(['t-strip', 'by-eye'])
			.default('t-strip')
			.describe('How those lines were squared off the baseline; a T-strip is truer.'),
		laid: z
			.array(z.union([list, single]))
			.min(1)
			.describe('Short lengths laid along lines of constant girth, from one struck line to another.'),
		tapes: z
			.array(
				z.strictObject({
					from: spot.describe('Where it starts.'),
					to: spot.describe('Where it ends.'),
					length: positive('What the tape read, pressed down, the shortest way.'),
				}),
			)
			.default([])
			.describe('Longer tapes, from place to place, pressed down: diagonals help most.'),
		sd: positive('How well one of these lengths is known (one standard deviation).').optional(),
		front: any("Station of the panel's front end.").default(0),
		length: positive('How far the panel reaches along the baseline.').optional(),
	})
}

export type TapedCapture = z.output<ReturnType<typeof tapedSchema>>
