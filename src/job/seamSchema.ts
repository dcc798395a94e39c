/** Where a panel meets another one: the datums that both have, and the lines that go on from one to the other. */
import { z } from 'zod'
import { id, markRef, text } from './names.ts'

export function seamSchema() {
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
	})
}
