import type { Curve } from '../chart/point.ts'
import type { Problem } from '../job/problem.ts'
import { listedShort } from '../job/say.ts'
import type { Side } from '../scheme/side.ts'

/** A line that the strips have a tick for, or an edge. */
export interface NamedLine {
	/** as the strip names it, or the edge's own name */
	readonly short: string
	/** as the person calls it */
	readonly name: string
	readonly side: Side
	readonly curve: Curve
}

/** Who asks for a line: the beginning of the problems' codes, and what they call it. */
export interface Asking {
	readonly code: 'PROOF' | 'CHECK' | 'PAINTED'
	readonly what: string
	readonly panel: string
	/** JSON pointer to the entry */
	readonly path: string
}

/** The line that an entry of a job names, on the side that it says; what cannot be told is a problem. */
export function lineNamed<T extends NamedLine>(
	lines: readonly T[],
	asked: { readonly line: string; readonly side?: 'left' | 'right' | undefined },
	{ code, what, panel, path }: Asking,
	problems: Problem[],
): T | undefined {
	const said = asked.line.trim().toLowerCase()
	const named = lines.filter(({ short }) => short.toLowerCase() === said)
	const candidates = named.filter(({ side }) => !asked.side || side === asked.side || side === 'both')
	const sides = new Set(candidates.map(({ side }) => side))
	if (sides.size === 1) return candidates[0]
	const known = [...new Set(lines.map(({ short }) => short))]
	const base = { severity: 'error' as const, place: { panel } }
	if (sides.size > 1) {
		problems.push({
			...base,
			code: `${code}_SIDE_NOT_SAID`,
			path: `${path}/side`,
			found: `${what} of "${asked.line}", which is on both sides`,
			expected: 'left or right',
			fix: 'Write which side was looked at.',
		})
		return undefined
	}
	problems.push({
		...base,
		code: `${code}_LINE_UNKNOWN`,
		path: `${path}/line`,
		found:
			named.length === 0 ? `"${asked.line}", a line that no strip has a tick for` : `"${asked.line}", which is not on that side`,
		expected: known.length > 0 ? listedShort(known) : 'a line of this panel',
		fix: 'Write the name that stands beside the tick on the strip.',
	})
	return undefined
}
