/** A seam with its halves on both panels, and which places on the two belong together. */
import type { Job, Seam as SeamInput } from '../job/schema.ts'
import type { PanelResult } from './panelResult.ts'
import { seamSideOf, seamsNamed } from './seamEnds.ts'
import { type EdgeHit, type SeamHalf, type SeamLine, seamHalf, seamHits, seamLine } from './seamLines.ts'

export interface MetLine {
	/** where it comes to the seam on each panel */
	readonly hits: readonly [readonly EdgeHit[], readonly EdgeHit[]]
	/** of these, what goes on in what */
	readonly pairs: readonly (readonly [EdgeHit, EdgeHit])[]
}

export interface MetSeam {
	readonly halves: readonly [SeamHalf, SeamHalf]
	readonly seams: readonly [SeamLine, SeamLine]
	/** one length of the seam on this panel to the same on the other */
	readonly stretch: number
	/** on which side of the seam each panel lies, as one looks at it: 1 left of its direction; undefined where that is not clear or not asked for */
	readonly lies: readonly [1 | -1 | undefined, 1 | -1 | undefined]
	readonly lines: readonly MetLine[]
	/** how far along the seam a line that leaves this panel under an angle (radians) has come when it is over the gap */
	overGap(angle: number): number
}

/** Undefined with the panel on which the seam cannot be found. */
export function meetSeam(
	own: PanelResult,
	theirs: PanelResult,
	input: SeamInput,
	at: { readonly job: Job; readonly path: string },
): MetSeam | { readonly notOn: string } {
	const refs = (half: 0 | 1) => input.datums.map((pair) => pair[half])
	const [a, b] = [seamHalf(own, refs(0)), seamHalf(theirs, refs(1))]
	const [seamA, seamB] = [a && seamLine(a), b && seamLine(b)]
	if (!a || !seamA) return { notOn: own.id }
	if (!b || !seamB) return { notOn: theirs.id }
	const gap = input.gap ?? 0
	const lies = gap > 0 || input.tie ? ([liesOn(own, at), liesOn(theirs, at)] as const) : ([undefined, undefined] as const)
	const [left] = lies
	const overGap = (angle: number) => (gap > 0 && left ? (-left * gap) / Math.tan(angle) : 0)
	const stretch = seamA.lengthMm / seamB.lengthMm
	const lines = input.lines.map(([mine, other]): MetLine => {
		const hits = [seamHits(own, a, seamA, mine), seamHits(theirs, b, seamB, other)] as const
		return { hits, pairs: pairsOf(...hits, (p, q) => Math.abs(q.alongMm * stretch - p.alongMm - overGap(p.angle))) }
	})
	return { halves: [a, b], seams: [seamA, seamB], stretch, lies, lines, overGap }
}

function liesOn({ id, panel, shape, survey, lines }: PanelResult, at: { readonly job: Job; readonly path: string }) {
	const names = seamsNamed(at.job, id).find(({ path }) => path === at.path)
	if (!names || !shape || !survey || !lines) return undefined
	return seamSideOf({ shape, survey, lines }, panel, names).value?.lies
}

/** Places on the two panels that belong together: of one side before others, then the nearest along the seam, each once. */
function pairsOf(
	own: readonly EdgeHit[],
	theirs: readonly EdgeHit[],
	far: (p: EdgeHit, q: EdgeHit) => number,
): (readonly [EdgeHit, EdgeHit])[] {
	const all = own.flatMap((p) => theirs.map((q) => ({ p, q, other: p.side === q.side ? 0 : 1, far: far(p, q) })))
	all.sort((x, y) => x.other - y.other || x.far - y.far)
	const used = new Set<EdgeHit>()
	return all.flatMap(({ p, q }): (readonly [EdgeHit, EdgeHit])[] => {
		if (used.has(p) || used.has(q)) return []
		used.add(p).add(q)
		return [[p, q]]
	})
}
