/** The small things that every part of the job's schema is made of. */
import { z } from 'zod'
import type { Unit } from '../units/length.ts'
import { lengths } from './lengthField.ts'

export const id = z
	.string()
	.regex(/^[a-z][a-z0-9-]*$/, 'a name in small letters, figures and hyphens that starts with a letter')
	.describe('A name of your own: small letters, figures and hyphens, starting with a letter.')

/** A mark, or one side's mark where both sides were measured: "u3" or "left/u3". */
export const markRef = z
	.string()
	.regex(/^((left|right)\/)?[a-z][a-z0-9-]*$/, 'the name of a mark, or left/NAME or right/NAME for one side of it')
	.describe('A mark or a datum by its name; left/NAME or right/NAME for one side of it.')

export const text = z.string()

export const angleDeg = (about: string) => z.number().min(-180).max(180).describe(about)

export const girthSide = z
	.enum(['left', 'right', 'above', 'below'])
	.describe('Which side of the baseline: left or right of a centreline; above or below on a panel of one side.')
export const which = z.enum(['left', 'right']).describe('On a pair of panels: which of the two was measured.')

/** A place on a panel: station and girth, with its side. */
export function spotOf(unit: Unit) {
	const { any, notNegative } = lengths(unit)
	return {
		station: any('Along the baseline, rearward from its first datum.'),
		girth: notNegative('Square off the baseline, tape lying on the panel.').default(0),
		side: girthSide.optional(),
	}
}
