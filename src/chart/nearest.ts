import type { Chart } from './chart.ts'
import { evaluate, frame } from './curve.ts'
import { distance } from './distance.ts'
import type { ChartPoint, Curve } from './point.ts'

export interface Nearest {
	readonly u: number
	readonly at: ChartPoint
	/** along the panel, mm; positive on the curve's plus side */
	readonly offsetMm: number
}

/** Looks along each cubic before the place is made exact. */
const LOOKS = 8

/** The place on a curve nearest to a point, or undefined where no path between them was found. */
export function nearest(chart: Chart, curve: Curve, p: ChartPoint): Nearest | undefined {
	const n = curve.cubics.length
	// By the metric at the point: good to find the stretch, and then by the path itself.
	const j = chart.metric(p.s, p.g).j
	const rough = (u: number) => {
		const q = evaluate(curve, u).at
		return Math.hypot((q.s - p.s) * j, q.g - p.g)
	}
	let best = 0
	for (let k = 1; k <= n * LOOKS; k++) if (rough(k / LOOKS) < rough(best / LOOKS)) best = k
	let u = golden(rough, Math.max(0, (best - 1) / LOOKS), Math.min(n, (best + 1) / LOOKS))
	for (let k = 0; k < 4; k++) {
		const f = frame(chart, curve, u)
		const path = distance(chart, f.at, p)
		if (!path) return undefined
		// The part of the way that runs along the curve says how far the foot has to move.
		const along = path.length * Math.cos(path.startAngle - f.angle)
		const next = Math.min(n, Math.max(0, u + along / f.speed))
		const done = Math.abs(next - u) * f.speed < 1e-7
		u = next
		if (done) break
	}
	const f = frame(chart, curve, u)
	const path = distance(chart, f.at, p)
	if (!path) return undefined
	const side = Math.sin(path.startAngle - f.angle) >= 0 ? 1 : -1
	return { u, at: f.at, offsetMm: side * path.length }
}

const RATIO = (Math.sqrt(5) - 1) / 2

function golden(f: (x: number) => number, a: number, b: number): number {
	for (let i = 0; i < 40; i++) {
		const c = b - RATIO * (b - a)
		const d = a + RATIO * (b - a)
		if (f(c) < f(d)) b = d
		else a = c
	}
	return (a + b) / 2
}
