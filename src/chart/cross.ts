import type { Chart } from './chart.ts'
import { evaluate, evaluateCubic, frame } from './curve.ts'
import type { ChartCubic, ChartPoint, Curve } from './point.ts'

export interface StationCrossing {
	readonly at: ChartPoint
	/** parameter on the curve */
	readonly u: number
	/** direction of the curve there, from +s towards +g */
	readonly angle: number
}

/** Halving on a cubic's parameter: 50 times is far below a thousandth of a millimetre. */
const HALVINGS = 50
/** A cubic in s turns at most twice; so many looks find each crossing of one. */
const LOOKS = 8

/** Every place where a curve crosses a station, in its own order. */
export function crossStation(chart: Chart, curve: Curve, station: number): StationCrossing[] {
	const found: StationCrossing[] = []
	curve.cubics.forEach((cubic, i) => {
		const lo = Math.min(...cubic.map((p) => p.s))
		const hi = Math.max(...cubic.map((p) => p.s))
		if (station < lo - 1e-9 || station > hi + 1e-9) return
		for (let k = 0; k < LOOKS; k++) {
			const t = root(cubic, station, k / LOOKS, (k + 1) / LOOKS)
			if (t === undefined) continue
			const u = i + t
			const at = evaluate(curve, Math.min(u, curve.cubics.length)).at
			const last = found[found.length - 1]
			if (last && Math.abs(last.at.g - at.g) < 1e-6 && Math.abs(last.u - u) < 1e-6) continue
			found.push({ at: { s: station, g: at.g }, u, angle: frame(chart, curve, u).angle })
		}
	})
	return found
}

function root(cubic: ChartCubic, station: number, from: number, to: number): number | undefined {
	const f = (t: number) => evaluateCubic(cubic, t).at.s - station
	const start = f(from)
	const end = f(to)
	if (Math.abs(start) < 1e-9) return from
	if (Math.abs(end) < 1e-9) return to
	if (start * end > 0) return undefined
	let a = from
	let b = to
	for (let i = 0; i < HALVINGS; i++) {
		const m = (a + b) / 2
		if (f(m) * start > 0) a = m
		else b = m
	}
	return (a + b) / 2
}
