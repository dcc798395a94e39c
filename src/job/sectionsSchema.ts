/** A panel captured as gauge sections at stations along it. */
import { z } from 'zod'
import type { Unit } from '../units/length.ts'
import { lengths } from './lengthField.ts'

export function sectionsSchema(unit: Unit) {
	const { any, positive } = lengths(unit)

	const point = z.tuple([any('across, from the baseline'), any('down from the zero of this section, or up if negative')])
	const outward = z.tuple([any('outward from the baseline'), any('down from the zero of this section, or up if negative')])
	const readings = (about: string) => z.array(point).min(3).describe(about)
	const side = (about: string) => z.array(outward).min(2).describe(about)
	const stands = {
		along: any(
			'Where its plane stands: along the straight-edge that all sections were measured from; or, where "crown" is given, along the tape laid on the crown from the first reading of "crown".',
		),
		drop: any('How far the zero of this section lies below the straight-edge (or below the crown).').default(0),
		creases: z
			.array(any('across'))
			.default([])
			.describe(
				'Where swage lines and folds cross this section: the place across of the reading on each. Every section has as many, in the same order.',
			),
	}
	const whole = z.strictObject({
		...stands,
		points: readings('Readings of the gauge in order, from left to right (from below to above on a panel of one side).'),
		half: z.boolean().default(false).describe('Only one half is given, from the centre outward; the other is its mirror image.'),
	})
	const traced = z.strictObject({
		...stands,
		traced: z
			.string()
			.min(1)
			.max(100_000)
			.describe(
				'A tracing of the section at true size, as SVG path data: x across and y down from the zero of the section, in mm.',
			),
	})
	const sides = z.strictObject({
		...stands,
		left: side('The left half (the lower one on a panel of one side), from the centre outward.'),
		right: side('The right half (the upper one on a panel of one side), from the centre outward.'),
	})
	const end = z.strictObject({
		along: any('Along, as the sections are placed.'),
		across: any('Across, negative on the left (or below).').default(0),
	})
	return z.strictObject({
		kind: z.literal('sections'),
		crown: z
			.strictObject({
				points: z
					.array(z.tuple([any('along'), any('down from the straight-edge, or up if negative')]))
					.min(3)
					.describe('Readings of the gauge or a straight-edge along the crown, front to rear.'),
				sd: positive('How well one of these readings is known (one standard deviation).').optional(),
			})
			.optional()
			.describe(
				'The shape of the crown line, where sections were read square to it. Leave out where they stand parallel, square to one straight-edge.',
			),
		sections: z
			.array(z.union([whole, sides, traced]))
			.min(3)
			.describe('One section for each place along the panel, front to rear.'),
		closed: z
			.boolean()
			.optional()
			.describe(
				'Every section goes right round, its last reading its first again: a ring or a tube. Stations then run round it, and girths along it.',
			),
		sd: positive('How well one reading of the gauge is known (one standard deviation).').optional(),
		baseline: z
			.strictObject({
				from: end.optional().describe('Where it starts; the centre of the first section where absent.'),
				to: end.optional().describe('Where it ends; the centre of the last section where absent.'),
			})
			.prefault({})
			.describe('The two places between which the baseline is pulled taut over the panel.'),
		front: any('Station at which the baseline comes onto the first section.').default(0),
	})
}
