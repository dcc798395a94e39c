import type { Problem } from '../job/problem.ts'
import type { Panel } from '../job/schema.ts'
import { handedness } from './handed.ts'
import type { Piece } from './piece.ts'

/** How alike two pieces of a pair must be as mirror images, mm rms. */
const PAIR_MM = 0.05

/**
 * Left and right pieces must be mirror images (but for lines that keep each side as it was), and not copies of each other unless their shape is its own mirror image. Of a
 * pair of panels pieces the twin is made from another chart: ask with the pieces of both.
 */
export function checkPairs(pieces: readonly Piece[], panel: Panel, path: string): Problem[] {
	const problems: Problem[] = []
	const unlike = piecesOfEach(panel)
	for (const left of pieces.filter((p) => p.side === 'LEFT')) {
		const id = left.id.replace(/\/left(?=\/|$)/, '/right')
		const right = pieces.find((p) => p.side === 'RIGHT' && p.id === id)
		const [a, b] = [longest(left.working), right && longest(right.working)]
		if (!right || !a || !b || unlike(left.id)) continue
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

/** Whether a piece is of a line that keeps each side as it was, or of what lies on one: it is not meant to have a mirror image. */
function piecesOfEach(panel: Panel): (id: string) => boolean {
	const edges = new Set(panel.edges.flatMap(({ id, sides }) => (sides === 'each' ? [id] : [])))
	const stripes = panel.stripes.flatMap(({ id, edge }) => (edges.has(edge) ? [id] : []))
	const fields = panel.fields.flatMap(({ id, between }) => (between.some((edge) => edges.has(edge)) ? [id] : []))
	const own = new Set([...stripes, ...fields])
	return (id) => own.has(id.split('/')[1] ?? '')
}

const longest = (lines: Piece['working']) =>
	lines.reduce<Piece['working'][number] | undefined>(
		(best, line) => (best && best.length >= line.length ? best : line),
		undefined,
	)
