import type { Chart } from '../../src/chart/chart.ts'
import { frame } from '../../src/chart/curve.ts'
import type { ChartPoint, Curve } from '../../src/chart/point.ts'
import type { EdgeInput } from '../../src/line/edge.ts'
import type { Through } from '../../src/line/run.ts'

/** Random numbers that a seed repeats (mulberry32, T. Ettinger, public domain). */
export function random(seed: number): () => number {
	let a = seed >>> 0
	return () => {
		a = (a + 0x6d2b79f5) | 0
		let t = Math.imul(a ^ (a >>> 15), 1 | a)
		t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t
		return ((t ^ (t >>> 14)) >>> 0) / 4294967296
	}
}

/** Standard normal (Box & Muller 1958). */
export const normal = (r: () => number) => Math.sqrt(-2 * Math.log(1 - r())) * Math.cos(2 * Math.PI * r())

/** A shoulder line: one long bow with a slight S in it. */
export function trueLine(r: () => number): { length: number; at: (s: number) => number } {
	const length = 300 + 200 * r()
	const bow = 20 + 30 * r()
	const sway = (r() - 0.5) * 20
	const phase = r() * 6
	return {
		length,
		at: (s) => bow * Math.sin((Math.PI * s) / length) + sway * Math.sin((2 * Math.PI * s) / length + phase),
	}
}

export function mark(key: string, s: number, g: number, more: Partial<Through> = {}): Through {
	return { key, at: { s, g }, sdS: 0.5, sdG: 0.5, tolerance: 1, corner: false, by: 'smooth', ...more }
}

export function edgeInput(marks: readonly Through[], more: Partial<EdgeInput> = {}): EdgeInput {
	return {
		id: 'edge',
		panel: { id: 'panel', hand: 'centre' } as EdgeInput['panel'],
		path: '/panels/0/edges/0',
		marks,
		closed: false,
		runsOff: { front: false, rear: false },
		onPanel: () => true,
		toleranceMm: 0.0005,
		...more,
	}
}

/** In-surface curvature by looking only at the embedding: the path's second derivative in space, across it in the surface. */
export function curvatureInSpace(chart: Chart, curve: Curve, u: number): number {
	const h = 1e-3
	const at = (p: ChartPoint) => {
		const q = chart.embed?.(p)
		if (!q) throw new Error('a panel without a place in space')
		return [q.x, q.y, q.z] as const
	}
	const p = frame(chart, curve, u).at
	const ps = [-h, 0, h].map((d) => at(frame(chart, curve, u + d).at))
	const [a, b, c] = ps as [V, V, V]
	const d1 = scale(minus(c, a), 1 / (2 * h))
	const d2 = scale(minus(minus(c, b), minus(b, a)), 1 / (h * h))
	const e = 1e-3
	const xs = minus(at({ s: p.s + e, g: p.g }), at({ s: p.s - e, g: p.g }))
	const xg = minus(at({ s: p.s, g: p.g + e }), at({ s: p.s, g: p.g - e }))
	const n = cross(xs, xg)
	return dot(cross(d1, d2), n) / (Math.hypot(...n) * Math.hypot(...d1) ** 3)
}

type V = readonly [number, number, number]
const minus = (a: V, b: V): V => [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
const scale = (a: V, f: number): V => [a[0] * f, a[1] * f, a[2] * f]
const dot = (a: V, b: V) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
const cross = (a: V, b: V): V => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
