/** What printed strips missed the old paint by, laid on it before stripping. */
import { z } from 'zod'
import type { Unit } from '../units/length.ts'
import { lengths } from './lengthField.ts'
import { text, which } from './names.ts'

export function proofSchema(unit: Unit) {
	const { any, notNegative } = lengths(unit)
	return z.strictObject({
		line: text.min(1).describe('The line as the strip names it at its tick ("coach inner"), or the name of an edge.'),
		station: any('The station of the strip.'),
		side: which.optional().describe('Where the line is on both sides: the one that was looked at.'),
		misses: notNegative('How far the old paint lies from the tick, along the strip.'),
		towards: z
			.enum(['inboard', 'outboard'])
			.optional()
			.describe('Which way from the tick the old paint lies: towards the baseline, or away from it. Not needed for 0.'),
		note: text.optional(),
	})
}
