/** Where a panel meets another one: the datums that both have, and the lines that go on from one to the other. */
import { z } from 'zod'
import type { Unit } from '../units/length.ts'
import { lengths } from './lengthField.ts'
import { id, markRef, text } from './names.ts'

export function seamSchema(unit: Unit) {
	const { notNegative, positive } = lengths(unit)
	return z.strictObject({
		with: id.describe('The other panel. Either of the two may name the other.'),
		what: text.optional(),
		datums: z
			.array(z.tuple([markRef, markRef]))
			.min(2)
			.max(8)
			.describe('Places that both panels have, in order along the seam: the datum of this panel, then that of the other.'),
		lines: z
			.array(z.tuple([id, id]))
			.default([])
			.describe('Lines that go on over the seam: the edge of this panel, then that of the other.'),
		gap: notNegative('Width of the shut line between the two, on the assembled vehicle.').optional(),
		proud: z
			.strictObject({
				panel: id.describe('The panel that stands higher: one of the two.'),
				by: positive('How much higher it stands.'),
			})
			.optional()
			.describe('Where one of the two stands higher than the other.'),
		tie: z
			.strictObject({
				keeps: id.optional().describe('The panel whose lines stay as they are; each of the two gives half where not said.'),
				over: positive('Length from the seam over which a line is bent; found by what the eye sees where not said.').optional(),
			})
			.optional()
			.describe('Lines that miss each other a little are bent until they flow over the seam.'),
	})
}
