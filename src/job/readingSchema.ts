/** What was measured: each kind of reading says how the tape ran. */
import { z } from 'zod'
import type { Unit } from '../units/length.ts'
import { lengths } from './lengthField.ts'
import { id, markRef, spotOf, text, which } from './names.ts'

export function readingSchema(unit: Unit) {
	const { any, notNegative, positive } = lengths(unit)
	const spot = spotOf(unit)

	const reading = {
		with: text
			.optional()
			.describe('The instrument: tape, steel-rule, caliper, profile-gauge, photograph or one from the shop file.'),
		sd: positive('One standard deviation, where it is not the usual one of the instrument.').optional(),
		panel: which.optional(),
		note: text.optional(),
	}
	const pull = z
		.enum(['pressed', 'tight'])
		.default('pressed')
		.describe('Tape pressed down along the panel, or pulled tight: then it bridges hollows.')
	const squared = z.enum(['t-strip', 'by-eye']).default('by-eye').describe('How the tape was squared off the baseline.')
	return z.discriminatedUnion('kind', [
		z.strictObject({
			kind: z.literal('square').describe('Station along the baseline, and girth square off it with the tape lying free.'),
			mark: id,
			...spot,
			...reading,
			squared,
		}),
		z.strictObject({
			kind: z.literal('tape').describe('From mark to mark (or datum), the tape lying on the panel.'),
			from: markRef,
			to: markRef,
			length: positive('What the tape read.'),
			pull,
			...reading,
		}),
		z.strictObject({
			kind: z.literal('straight').describe('Straight through the air from mark to mark: caliper, trammel or ruler.'),
			from: markRef,
			to: markRef,
			length: positive('What was read.'),
			...reading,
		}),
		z.strictObject({
			kind: z.literal('width').describe('Across a stripe or across the panel, from mark to mark.'),
			from: markRef,
			to: markRef,
			length: positive('What was read.'),
			pull,
			...reading,
		}),
		z.strictObject({
			kind: z.literal('gap').describe('Between two lines, from a mark on one to a mark on the other.'),
			from: markRef,
			to: markRef,
			length: positive('What was read.'),
			...reading,
		}),
		z.strictObject({
			kind: z.literal('toLine').describe('Shortest way from a mark to the line a taut tape takes between two others.'),
			mark: markRef,
			line: z.tuple([markRef, markRef]),
			distance: notNegative('What was read.'),
			...reading,
		}),
		z.strictObject({
			kind: z.literal('crossing').describe('Where a line crosses a station: the girth there, with no mark of its own.'),
			edge: id.describe('The line.'),
			...spot,
			...reading,
			squared,
		}),
		z.strictObject({
			kind: z.literal('between').describe('Between two lines, square off them: at one station, or the same throughout.'),
			lines: z.tuple([id, id]).describe('The two lines.'),
			width: positive('What was read.'),
			station: any('Where; left out, the width is the same all along.').optional(),
			side: which.optional().describe('On which side of a centreline; both, where not said.'),
			...reading,
		}),
	])
}
