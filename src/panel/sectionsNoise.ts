import { LEAST_J } from '../chart/limits.ts'
import type { GirthGrid } from './girthLines.ts'
import type { Loft } from './loft.ts'

/**
 * Length of guides for which the answer is meant, mm. Over it waves between close sections come back: what is left of them is
 * the wave's own height, as the rise of an arc of this length.
 */
const GUIDE_MM = 150

/**
 * Standard deviation of in-surface curvature on a lofted panel from the gauge's own uncertainty, 1/mm, as root mean square over
 * the places that can be measured.
 *
 * A bump h of the skin changes the curvature of a line along the panel by k_s h_g, and by the integral of k_g h_ss over the
 * girth (first variation of K = k_s k_g; Jacobi's equation). Readings are white noise that a smoothing spline passes by
 * 1 / (1 + (w / c)^6) (Silverman, Annals of Statistics 12, 1984), with c = 3 share / spacing: slopes then keep
 * 1.5 share^1.5 / spacing of the uncertainty, bends 3.67 share^2.5 / spacing^2, and an integral over a girth g the root of
 * (spacing g). Measured on 15 to 30 noisy tanks each of 7 x 13 to 17 x 33 readings, the rise of guides of 150 mm was 0.4 to 0.7
 * of what follows from this (root mean square over the panel), on the worst line 0.6 to 1.1.
 */
export function curvatureSd(skin: Loft, grid: GirthGrid, sd: number): number {
	const count = skin.sections.reduce((sum, s) => sum + s.points.length, 0)
	const round = skin.curves.reduce((sum, c) => sum + (c.breaks[c.breaks.length - 1] as number) - (c.breaks[0] as number), 0)
	const across = round / count
	const gaps = skin.sections.length - 1
	const along = (skin.surface.uMax - skin.surface.uMin) / gaps
	const shareV = skin.shareAcross
	const shareU = skin.blend.share
	const slope = ((1.5 * sd * shareV ** 1.5) / across) * Math.sqrt(shareU)
	const bend = sd * Math.min((3.67 * shareU ** 2.5) / (along * along), (8 * 1.2 * Math.sqrt(shareU)) / GUIDE_MM ** 2)
	const { stations, girths, zero, stepG, j, x, followed } = grid
	let sum = 0
	let n = 0
	// Every other place is enough for a mean.
	for (let i = 1; i + 1 < stations; i += 2) {
		for (let k = 1; k + 1 < girths; k += 2) {
			const at = i * girths + k
			if (!followed[at] || (j[at] as number) < LEAST_J) continue
			const [ks, kg] = bends(x, at, girths, stepG)
			const g = Math.abs(k - zero) * stepG
			sum += (ks * slope) ** 2 + (kg * bend) ** 2 * across * g
			n++
		}
	}
	return n > 0 ? Math.sqrt(sum / n) : 0
}

/** Normal curvatures along and across at a place of the grid, from its neighbours. */
function bends(x: Float64Array, at: number, girths: number, stepG: number): readonly [number, number] {
	const p = (k: number, c: number) => x[3 * k + c] as number
	const s = [0, 1, 2].map((c) => (p(at + girths, c) - p(at - girths, c)) / 2) as [number, number, number]
	const g = [0, 1, 2].map((c) => (p(at + 1, c) - p(at - 1, c)) / 2) as [number, number, number]
	const n = [s[1] * g[2] - s[2] * g[1], s[2] * g[0] - s[0] * g[2], s[0] * g[1] - s[1] * g[0]] as const
	const area = Math.hypot(...n)
	let ss = 0
	let gg = 0
	for (let c = 0; c < 3; c++) {
		ss += (n[c] as number) * (p(at + girths, c) - 2 * p(at, c) + p(at - girths, c))
		gg += (n[c] as number) * (p(at + 1, c) - 2 * p(at, c) + p(at - 1, c))
	}
	return [ss / area / (s[0] ** 2 + s[1] ** 2 + s[2] ** 2), gg / area / (stepG * stepG)]
}
