/** How a panel's shape was captured, kind by kind. */
import { z } from 'zod'
import type { Unit } from '../units/length.ts'
import { lengths } from './lengthField.ts'
import { angleDeg, girthSide } from './names.ts'
import { scanSchema } from './scanSchema.ts'
import { sectionsSchema } from './sectionsSchema.ts'
import { tapedSchema } from './tapedSchema.ts'

export function captureSchema(unit: Unit) {
	const { any, notNegative, positive } = lengths(unit)

	const profilePoint = z.tuple([any('across'), any('down from the highest place, or up if negative')])
	const profile = z
		.union([
			z.strictObject({
				points: z.array(profilePoint).min(3).describe('Readings of the profile gauge: across, and down, in order.'),
				half: z
					.boolean()
					.default(false)
					.describe('Only one half is given, from the centre outward; the other is its mirror image.'),
				sd: positive('How well one reading of the gauge is known (one standard deviation).').optional(),
			}),
			z.strictObject({
				radius: positive('Radius of a profile that is part of a circle.'),
				arc: positive('Length round the arc, the whole of it.').optional(),
			}),
			z.strictObject({
				straight: positive('Length of a straight profile.'),
				slopeDeg: angleDeg('How much it falls away from the baseline outward, degrees.').default(0),
			}),
		])
		.describe('The shape across: gauge points, part of a circle, or a straight line.')

	const flat = z.strictObject({
		kind: z.literal('flat'),
		bend: z
			.strictObject({
				radius: positive('Radius of the bent baseline, measured on the flat panel.'),
				towards: girthSide.describe('The side on which the centre of that radius lies.'),
			})
			.optional()
			.describe('The baseline is bent round a radius; leave out for a straight one.'),
		length: positive('How far the panel reaches along the baseline.').optional(),
		front: any('Station of its front end.').default(0),
		width: positive('How far the panel reaches to each side of the baseline.').optional(),
	})
	const rolled = z.strictObject({
		kind: z.literal('rolled'),
		round: z
			.union([
				z.strictObject({
					profile,
					baseline: z
						.enum(['along-axis', 'round-profile'])
						.describe('The baseline runs along the straight direction, or round the bend.'),
				}),
				z.strictObject({
					cone: z.strictObject({
						frontDiameter: notNegative('Diameter at the front end; 0 for a point.'),
						rearDiameter: notNegative('Diameter at the rear end.'),
						slant: positive('Length along the slope between the two.'),
					}),
				}),
			])
			.describe('The one way in which the sheet is bent.'),
		length: positive('Length along the straight direction.').optional(),
		front: any('Station of its front end.').default(0),
	})
	const revolved = z.strictObject({
		kind: z.literal('revolved'),
		crown: z
			.union([
				z.strictObject({ radius: positive('Radius of the baseline (the crown) about the axis.') }),
				z.strictObject({
					chord: positive('Straight length between two places on the crown.'),
					rise: positive('Height of the crown above the middle of that chord.'),
				}),
			])
			.describe('Radius of the crown line, or a chord and its rise to find it from.'),
		profile,
		length: positive('How far the panel reaches along the crown, the tape lying on it.'),
		front: any('Station of its front end.').default(0),
	})
	return z.discriminatedUnion('kind', [flat, rolled, revolved, sectionsSchema(unit), scanSchema(unit), tapedSchema(unit)])
}
