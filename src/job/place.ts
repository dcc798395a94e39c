import type { Place } from './problem.ts'
import type { Panel } from './schema.ts'

/**
 * A place as the bench names it: left or right of a centreline; above or below the baseline of a panel of one side, and which
 * of a pair. `side` says on which side something lies where its place alone does not.
 */
export function placeOn(panel: Panel, at: { readonly s: number; readonly g: number }, side?: string): Place {
	const { s } = at
	const g = Math.abs(at.g)
	if (panel.hand === 'centre')
		return { panel: panel.id, side: at.g === 0 && side && side !== 'both' ? side : at.g < 0 ? 'left' : 'right', s, g }
	return { panel: panel.id, ...(side ? { side } : {}), line: at.g < 0 ? 'below' : 'above', s, g }
}

/** Girth with its sign: negative on the left and below. A side that is left out has g >= 0. */
export const signedGirth = (girth: number, side: string | undefined) => (side === 'left' || side === 'below' ? -girth : girth)
