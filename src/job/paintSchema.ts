/** A paint: its colour in the drawings, and how it is sprayed. */
import { z } from 'zod'
import { id, text } from './names.ts'

/** What one coat of anything may leave, um: a filler primer at its heaviest is 150 in all. */
const MOST_FILM_UM = 500
const MOST_COATS = 30
const MOST_HOURS = 24 * 60

const part = (about: string) => z.number().gt(0).max(1).describe(about)
const hours = (about: string) => z.number().nonnegative().max(MOST_HOURS).describe(about)

export function paintSchema() {
	const sprayed = z.strictObject({
		as: z
			.enum(['ground-coat', 'colour', 'mid-coat', 'clear'])
			.default('colour')
			.describe(
				'What it is: a ground coat below another, a colour by itself, a mid-coat (candy or pearl) that is seen through, a clear.',
			),
		over: id.optional().describe('The paint that it always goes over, on the same lines: what a candy is seen against.'),
		hides: z
			.boolean()
			.optional()
			.describe(
				'Whether nothing below it shows; where not said, all but mid-coats and clears do. Below one that does not hide, no lap may lie.',
			),
		coats: z.number().int().min(1).max(MOST_COATS).optional().describe('How many coats.'),
		filmUm: z.number().gt(0).max(MOST_FILM_UM).optional().describe('Dry film of one coat, micrometres.'),
		volumeSolids: z.number().gt(0).max(100).optional().describe('Volume solids as it is sprayed, per cent.'),
		transfer: part('Transfer efficiency: how much of what is sprayed stays on the panel, as a part of 1.').optional(),
		allowance: z.number().min(0).max(5).optional().describe('Mixed over what is needed, as a part of it: 0.15 is 15 per cent.'),
		mix: text.optional().describe('How it is mixed, as its sheet says.'),
		potLifeHours: hours('How long it can be sprayed once it is mixed.').optional(),
		recoatHours: z
			.strictObject({ from: hours('From so long after a coat.'), to: hours('Until so long after it.').optional() })
			.optional()
			.describe('When the next coat may go on without flatting.'),
		tapeHours: hours('So long after the last coat tape may lie on it.').optional(),
		lift: z
			.enum(['tacky', 'dry-to-tape', 'cured'])
			.optional()
			.describe('When tape is lifted off its edges: while it is tacky, dry enough to be taped, or cured. As its sheet says.'),
		source: text.optional().describe('Where the figures come from: its data sheet, a spray-out card, memory.'),
	})
	return z.strictObject({
		id,
		name: text,
		colour: z
			.string()
			.regex(/^#[0-9a-fA-F]{6}$/, 'a colour such as #1f6b4f')
			.describe('For the drawings only.'),
		sprayed: sprayed.optional().describe('How it is sprayed; usual figures, marked so, where not said.'),
	})
}
