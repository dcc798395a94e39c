/** Lines as taped, measured before anything is sprayed. */
import { z } from 'zod'
import type { Unit } from '../units/length.ts'
import { lengths } from './lengthField.ts'
import { text, which } from './names.ts'

export function checkSchema(unit: Unit) {
	const { any, notNegative } = lengths(unit)
	return z.strictObject({
		line: text.min(1).describe('The taped edge as the strips name it at their ticks ("coach inner"), or the name of an edge.'),
		side: which.optional().describe('Where the line is on both sides: the one that was measured.'),
		station: any('Where along the baseline.'),
		girth: notNegative('Square off the baseline to the edge of the tape, on the side of the baseline that the line is on.'),
		with: text.optional().describe('The instrument; a tape where not said.'),
		note: text.optional(),
	})
}
