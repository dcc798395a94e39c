import type { SectionLine } from './sectionLine.ts'
import { type SectionPoints, type SectionSpline, sectionSplines } from './sectionSpline.ts'

/** Feet on an earlier fit are taken twice: after the second round they move less than a hundredth of the noise. */
const ROUNDS = 2
/** Points closer together than this many sd of noise zigzag: lengths are counted from means over it. */
const STRIDE_SDS = 20

/** Fewer points than this are no section. */
export const LEAST_POINTS = 8
/**
 * Neighbouring points of a cut lie on edges with a corner in common, so their errors run alike: over a stretch they average out
 * less than single ones do. On a square grid cut in triangles by 2 / sqrt 3; on uneven ones by some more.
 */
const ALIKE = 1.25

/**
 * Smooth curves through the points of sections, each corner of the mesh known to `sd` square to the surface. The first fit counts
 * t along a line of means, which noise does not lengthen; then t of each point is its foot on the curve, so that only distances
 * square to the curve are smoothed (orthogonal distance fitting; Hoschek, Computer Aided Geometric Design 5, 1988).
 * Every line has LEAST_POINTS or more; undefined when some curve is not determined.
 */
export function fitSections(lines: readonly SectionLine[], sd: number): readonly SectionSpline[] | undefined {
	const noise = ALIKE * sd
	const points: SectionPoints[] = lines.map(({ xy, closed }) => ({ xy, closed, ...alongMeans(xy, closed, STRIDE_SDS * sd) }))
	let fits = sectionSplines(points, noise, 2)
	for (let round = 0; fits && round < ROUNDS; round++) {
		const before = fits.splines
		const moved = points.map((p, i) => ({ ...p, t: feet(before[i]!, p.xy, p.t) }))
		points.splice(0, points.length, ...moved)
		fits = sectionSplines(points, noise, 1, fits.logLambda)
	}
	return fits?.splines
}

/** Each point's place along the line through the means of stretches about `stride` long. */
function alongMeans(xy: Float64Array, closed: boolean, stride: number): { t: Float64Array; length: number } {
	const n = xy.length / 2
	const group = new Uint32Array(n)
	const means: number[] = []
	let from = 0
	for (let i = 1; i <= n; i++) {
		const far = i < n && Math.hypot(xy[2 * i]! - xy[2 * from]!, xy[2 * i + 1]! - xy[2 * from + 1]!) >= stride
		if (!far && i < n) continue
		let [x, y] = [0, 0]
		for (let k = from; k < i; k++) {
			group[k] = means.length / 2
			x += xy[2 * k]!
			y += xy[2 * k + 1]!
		}
		means.push(x / (i - from), y / (i - from))
		from = i
	}
	const nodes = means.length / 2
	const lengths = new Float64Array(nodes + 1)
	for (let k = 1; k <= nodes; k++) {
		const j = k % nodes
		lengths[k] = lengths[k - 1]! + Math.hypot(means[2 * j]! - means[2 * k - 2]!, means[2 * j + 1]! - means[2 * k - 1]!)
	}
	const t = new Float64Array(n)
	for (let i = 0; i < n; i++) {
		const k = group[i]!
		const before = closed ? (k + nodes - 1) % nodes : Math.max(0, k - 1)
		const next = closed ? (k + 1) % nodes : Math.min(nodes - 1, k + 1)
		const dx = means[2 * next]! - means[2 * before]!
		const dy = means[2 * next + 1]! - means[2 * before + 1]!
		const size = Math.hypot(dx, dy) || 1
		t[i] = lengths[k]! + ((xy[2 * i]! - means[2 * k]!) * dx + (xy[2 * i + 1]! - means[2 * k + 1]!) * dy) / size
	}
	if (closed) return { t, length: lengths[nodes]! }
	// an open line begins at its first point, which lies before the first mean
	const least = t.reduce((a, b) => Math.min(a, b))
	const most = t.reduce((a, b) => Math.max(a, b))
	return { t: t.map((x) => x - least), length: most - least }
}

/** The foot of its point on the curve: two steps of Newton, kept within a knot's length of where it was. */
function feet(fit: SectionSpline, xy: Float64Array, from: Float64Array): Float64Array {
	const t = from.slice()
	const c = new Float64Array(6)
	const most = fit.length / 50
	for (let i = 0; i < t.length; i++) {
		let q = t[i]!
		for (let k = 0; k < 2; k++) {
			fit.at(q, c)
			const dx = xy[2 * i]! - c[0]!
			const dy = xy[2 * i + 1]! - c[1]!
			const slope = c[2]! * c[2]! + c[3]! * c[3]! - dx * c[4]! - dy * c[5]!
			const step = slope > 0 ? (dx * c[2]! + dy * c[3]!) / slope : 0
			q += Math.max(-most, Math.min(most, step))
		}
		t[i] = fit.closed ? q : Math.max(0, Math.min(fit.length, q))
	}
	return t
}
