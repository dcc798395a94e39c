import type { Chart } from '../chart/chart.ts'
import type { PanelMesh } from './flattenMesh.ts'

/** Steps of the line that the places are set off from, mm of station. */
const STEP_MM = 1

/**
 * Where refinement starts: the line of one girth, half-way up the piece, developed by its length and in-surface curvature
 * (-J_g / J), and every place square off it by its girth from there. Exact where the panel bends one way only.
 */
export function startFlat(chart: Chart, { s, g }: PanelMesh): { x: Float64Array; y: Float64Array } {
	let [s0, s1, g0, g1] = [Infinity, -Infinity, Infinity, -Infinity]
	for (let i = 0; i < s.length; i++) {
		s0 = Math.min(s0, s[i]!)
		s1 = Math.max(s1, s[i]!)
		g0 = Math.min(g0, g[i]!)
		g1 = Math.max(g1, g[i]!)
	}
	const middle = (g0 + g1) / 2
	const n = Math.max(1, Math.ceil((s1 - s0) / STEP_MM))
	const h = (s1 - s0) / n
	// Heading by Simpson's rule, places by the same with the heading half-way.
	const heading = new Float64Array(n + 1)
	const px = new Float64Array(n + 1)
	const py = new Float64Array(n + 1)
	let m0 = chart.metric(s0, middle)
	for (let i = 0; i < n; i++) {
		const mh = chart.metric(s0 + (i + 0.5) * h, middle)
		const m1 = chart.metric(s0 + (i + 1) * h, middle)
		const a = heading[i]!
		const half = a - (h * (5 * m0.jg + 8 * mh.jg - m1.jg)) / 24
		const b = a - (h * (m0.jg + 4 * mh.jg + m1.jg)) / 6
		heading[i + 1] = b
		px[i + 1] = px[i]! + (h * (m0.j * Math.cos(a) + 4 * mh.j * Math.cos(half) + m1.j * Math.cos(b))) / 6
		py[i + 1] = py[i]! + (h * (m0.j * Math.sin(a) + 4 * mh.j * Math.sin(half) + m1.j * Math.sin(b))) / 6
		m0 = m1
	}
	const turn = heading[Math.round(n / 2)]!
	const [c, sn] = [Math.cos(turn), Math.sin(turn)]
	const x = new Float64Array(s.length)
	const y = new Float64Array(s.length)
	for (let k = 0; k < s.length; k++) {
		const t = (s[k]! - s0) / h
		const i = Math.min(n - 1, Math.max(0, Math.floor(t)))
		const f = t - i
		const at = (list: Float64Array) => list[i]! + (list[i + 1]! - list[i]!) * f
		const a = at(heading)
		const off = g[k]! - middle
		const [qx, qy] = [at(px) - off * Math.sin(a), at(py) + off * Math.cos(a)]
		x[k] = qx * c + qy * sn
		y[k] = -qx * sn + qy * c
	}
	return { x, y }
}
