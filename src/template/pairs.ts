import type { Problem } from '../job/problem.ts'
import type { Panel } from '../job/schema.ts'
import { handedness } from './handed.ts'
import type { Piece } from './piece.ts'

/** How alike two pieces of a pair must be as mirror images, mm rms. */
const PAIR_MM = 0.05

/**
 * Left and right pieces must be mirror images, and not copies of each other unless their shape is its own mirror image. Of a
 * pair of panels pieces the twin is made from another chart: ask with the pieces of both.
 */
export function checkPairs(pieces: readonly Piece[], panel: Panel, path: string): Problem[] {
	const problems: Problem[] = []
	for (const left of pieces.filter((p) => p.side === 'LEFT')) {
		const id = left.id.replace(/\/left(?=\/|$)/, '/right')
		const right = pieces.find((p) => p.side === 'RIGHT' && p.id === id)
		const [a, b] = [longest(left.working), right && longest(right.working)]
		if (!right || !a || !b) continue
		const fit = handedness(a, b)
		// Two fields laid flat each by itself are alike as far as each is true.
		if (fit.mirroredMm <= (left.kind === 'area' ? Math.max(PAIR_MM, left.errorMm) : PAIR_MM)) continue
		problems.push({
			code: 'PIECES_NOT_MIRRORED',
			severity: fit.sameMm < PAIR_MM ? 'error' : 'note',
			path,
			place: { panel: panel.id },
			found: `pieces ${left.number} (left) and ${right.number} (right) differ by ${fit.mirroredMm.toFixed(2)} mm as mirror images`,
			expected: `mirror images within ${PAIR_MM} mm on a panel that is alike on both sides`,
			fix: 'if the panel itself differs from side to side this is right; else look at its profile',
		})
	}
	return problems
}

const longest = (lines: Piece['working']) =>
	lines.reduce<Piece['working'][number] | undefined>(
		(best, line) => (best && best.length >= line.length ? best : line),
		undefined,
	)
