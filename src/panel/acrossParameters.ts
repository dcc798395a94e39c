import { alongBlend } from './alongBlend.ts'
import type { SectionCurve } from './sectionCurve.ts'

/** The parameter across of a skin, against each section's own length. */
export interface LengthMap {
	/** v of the first end, the creases, the other end: mean lengths from across = 0, mm */
	readonly breaks: readonly number[]
	/** length along section i, from its across = 0, of v in a piece */
	lengthAt(i: number, piece: number, v: number): number
}

/** How surely a section's end is the same line on the panel as its neighbours' ends, mm: a gauge is set down by eye. */
const END_SD_MM = 2
/** Where across = 0 lies nearer to an end than this share of a piece it does not bend the parameter. */
const INNER_SHARE = 0.2

/**
 * Equal v on all sections lie on lines that run smoothly along the panel: shares of the length from across = 0 to the ends,
 * where the ends are a smooth line through those of the sections (a section read a little short is run on, a long one is cut).
 * Creases are met exactly.
 */
export function acrossParameters(us: readonly number[], curves: readonly SectionCurve[], periodU?: number): LengthMap {
	const count = (curves[0] as SectionCurve).breaks.length
	const columns = Array.from({ length: count }, (_, m) => {
		const raw = curves.map((c) => c.breaks[m] as number)
		return m === 0 || m === count - 1 ? smoothed(us, raw, periodU) : raw
	})
	const breaks = columns.map((list) => list.reduce((a, b) => a + b, 0) / list.length)
	return {
		breaks,
		lengthAt(i, piece, v) {
			const [v0, v1] = [breaks[piece] as number, breaks[piece + 1] as number]
			const [l0, l1] = [columns[piece]?.[i] as number, columns[piece + 1]?.[i] as number]
			const share = -v0 / (v1 - v0)
			const straight = l0 + ((v - v0) / (v1 - v0)) * (l1 - l0)
			if (share < INNER_SHARE || share > 1 - INNER_SHARE) return straight
			// The parabola through both ends that keeps v = 0 at across = 0.
			const bend = -(l0 + share * (l1 - l0)) / ((0 - v0) * (0 - v1))
			const curved = straight + bend * (v - v0) * (v - v1)
			return curved
		},
	}
}

function smoothed(us: readonly number[], lengths: readonly number[], periodU: number | undefined): number[] {
	const at = (weights: Float64Array) => weights.reduce((sum, w, i) => sum + w * (lengths[i] as number), 0)
	const blend = alongBlend(us, periodU, (rows) => {
		const squares = rows.reduce((sum, w, i) => sum + (at(w) - (lengths[i] as number)) ** 2, 0)
		return Math.sqrt(squares / us.length) <= END_SD_MM
	})
	return us.map((u) => at(blend.weights(u)))
}
