/** The lines of the job card, and which of them a problem belongs to. */
import type { Problem } from '../../job/problem.ts'
import type { CARD_LINES } from '../../job/schema.ts'

export const LINES = [
	{ id: 'panel', title: 'The panel', about: 'which panel, which way is front, where the tape is hooked' },
	{ id: 'measure', title: 'Measure', about: 'readings off the old paint, and what they are good for' },
	{ id: 'shape', title: 'Shape', about: 'how the panel bends, and how far it can be measured' },
	{ id: 'scheme', title: 'Scheme', about: 'lines, stripes and colour fields' },
	// what is on the panel is settled before its sides are compared and its sheets printed: frames and decals are among these
	{ id: 'decals', title: 'Decals', about: 'artwork, where it goes, and how it lies down' },
	{ id: 'sides', title: 'Both sides', about: 'left against right, and the tape before anything is sprayed' },
	{ id: 'sheets', title: 'Sheets', about: 'paper to print, cut and tape from' },
	{ id: 'tape', title: 'Tape', about: 'what is taped when, step by step' },
	{ id: 'paint', title: 'Paint', about: 'sessions, coats, what to mix, clear, and the record' },
] as const satisfies readonly { readonly id: (typeof CARD_LINES)[number]; readonly title: string; readonly about: string }[]
export type LineId = (typeof LINES)[number]['id']

/** Where on the card a problem is mended. */
export function lineOf({ path, code }: Problem): LineId {
	const [, top, second, key] = path.split('/')
	if (/^(DECAL|ARTWORK|DRAWING|LETTERING|TRACED)_/.test(code) || top === 'artwork' || key === 'decals') return 'decals'
	if (/^(PAINT_NOT_LAID|CLEAR)/.test(code) || key === 'clear' || key === 'sprayed') return 'paint'
	if (top === 'paintwork') return second === 'sprayOut' || second === 'log' ? 'paint' : 'tape'
	if (/^(STAGE|FIELDS_OVERLAP|PAINT_ORDER|UNDERLAP|PAINTED|STEP)/.test(code) || key === 'painted') return 'tape'
	if (/^(SIDES|CENTRELINE|PAIR|TWIN|TAPED|MARKS_SWAPPED)/.test(code) || key === 'checks') return 'sides'
	if (key === 'found' || key === 'prepared') return 'shape'
	if (key === 'readings' || key === 'proof') return 'measure'
	if (key !== undefined && ['edges', 'stripes', 'fields', 'outline', 'holes', 'patches', 'seams', 'templates'].includes(key))
		return 'scheme'
	if (path.startsWith('/paper') || path.startsWith('/printer') || path.startsWith('/shop')) return 'sheets'
	return 'panel'
}

/** The place of the panel that a problem is about, in the job's list; undefined where it is about the whole job. */
export function panelOf({ path }: Problem): number | undefined {
	const found = /^\/panels\/(\d+)(\/|$)/.exec(path)
	return found ? Number(found[1]) : undefined
}
