import type { Chart } from '../../src/chart/chart.ts'
import type { ChartPoint } from '../../src/chart/point.ts'
import type { PlanePoint } from '../../src/plane/point.ts'

type V = readonly [number, number, number]
const plus = (a: V, b: V, f = 1): V => [a[0] + f * b[0], a[1] + f * b[1], a[2] + f * b[2]]
const dot = (a: V, b: V) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
const cross = (a: V, b: V): V => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
const unit = (a: V): V => plus([0, 0, 0], a, 1 / Math.hypot(...a))

/**
 * A printed polyline laid on a panel, knowing of the panel nothing but where its points are in space: each chord goes straight
 * ahead on the surface (the direction is carried along it), and at each point turns by the angle that the paper turns, seen
 * from outside. Where it comes to, in (s, g).
 */
export function foldBack(
	chart: Chart,
	printed: readonly PlanePoint[],
	from: ChartPoint,
	angle: number,
	stepMm = 0.1,
): ChartPoint[] {
	const space = (s: number, g: number): V => {
		const p = chart.embed?.({ s, g })
		if (!p) throw new Error('a panel without a place in space')
		return [p.x, p.y, p.z]
	}
	const e = 1e-3
	const frame = (p: ChartPoint) => {
		const xs = plus([0, 0, 0], plus(space(p.s + e, p.g), space(p.s - e, p.g), -1), 1 / (2 * e))
		const xg = plus([0, 0, 0], plus(space(p.s, p.g + e), space(p.s, p.g - e), -1), 1 / (2 * e))
		const out = plus([0, 0, 0], unit(cross(xs, xg)), chart.orientation)
		return { xs, xg, out }
	}
	const rate = (p: ChartPoint, t: V) => {
		const { xs, xg } = frame(p)
		const [a, b, c] = [dot(xs, xs), dot(xs, xg), dot(xg, xg)]
		const [u, v] = [dot(xs, t), dot(xg, t)]
		const det = a * c - b * b
		return { s: (u * c - v * b) / det, g: (v * a - u * b) / det }
	}
	const flat = (p: ChartPoint, t: V): V => {
		const { out } = frame(p)
		return unit(plus(t, out, -dot(t, out)))
	}
	let p = from
	const first = frame(p)
	let t = unit(plus(plus([0, 0, 0], unit(first.xs), Math.cos(angle)), unit(first.xg), Math.sin(angle)))
	const reached = [p]
	for (let i = 1; i < printed.length; i++) {
		const [a, b, c] = [printed[i - 1], printed[i], printed[i + 1]] as [PlanePoint, PlanePoint, PlanePoint | undefined]
		const length = Math.hypot(b.x - a.x, b.y - a.y)
		const n = Math.max(1, Math.ceil(length / stepMm))
		for (let k = 0; k < n; k++) {
			const h = length / n
			const r = rate(p, t)
			const middle = { s: p.s + (r.s * h) / 2, g: p.g + (r.g * h) / 2 }
			const tm = flat(middle, t)
			const m = rate(middle, tm)
			p = { s: p.s + m.s * h, g: p.g + m.g * h }
			t = flat(p, tm)
		}
		reached.push(p)
		if (!c) break
		const turn = Math.atan2(c.y - b.y, c.x - b.x) - Math.atan2(b.y - a.y, b.x - a.x)
		const { out } = frame(p)
		t = unit(plus(plus([0, 0, 0], t, Math.cos(turn)), cross(out, t), Math.sin(turn)))
	}
	return reached
}
