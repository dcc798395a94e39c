import type { Chart } from './chart.ts'
import { evaluateCubic, frameOf } from './curve.ts'
import type { ChartCubic, Curve } from './point.ts'

/** A curve's length on the panel, and the way between length and parameter. */
export interface Measure {
	readonly length: number
	/** length from the start to parameter u */
	lengthAt(u: number): number
	/** parameter at a length from the start, clamped to the curve */
	at(length: number): number
}

/** Gauss-Legendre, 5 nodes on [0, 1] (Abramowitz & Stegun 25.4.30): exact to degree 9, far beyond a fitted cubic's speed. */
const NODES = [0.046910077030668, 0.2307653449471585, 0.5, 0.7692346550528415, 0.953089922969332]
const WEIGHTS = [0.1184634425280945, 0.2393143352496832, 0.2844444444444444, 0.2393143352496832, 0.1184634425280945]
/** Parts of one cubic, so that a long one is as good as a short one. */
const PARTS = 4

/** Newton needs three steps from a linear guess; the limit is for cusps, where speed is 0. */
const MAX_NEWTON = 30

export function measure(chart: Chart, curve: Curve): Measure {
	const speed = (c: ChartCubic, t: number) => frameOf(chart, evaluateCubic(c, t)).speed
	const over = (c: ChartCubic, t0: number, t1: number) => {
		let sum = 0
		const h = (t1 - t0) / PARTS
		for (let p = 0; p < PARTS; p++) {
			for (let k = 0; k < 5; k++) sum += (WEIGHTS[k] as number) * speed(c, t0 + h * (p + (NODES[k] as number))) * h
		}
		return sum
	}
	const starts = [0]
	for (const c of curve.cubics) starts.push((starts[starts.length - 1] as number) + over(c, 0, 1))
	const total = starts[starts.length - 1] as number
	const n = curve.cubics.length
	return {
		length: total,
		lengthAt(u) {
			const i = Math.min(n - 1, Math.max(0, Math.floor(u)))
			const t = Math.min(1, Math.max(0, u - i))
			return (starts[i] as number) + (t === 0 ? 0 : over(curve.cubics[i] as ChartCubic, 0, t))
		},
		at(length) {
			if (length <= 0) return 0
			if (length >= total) return n
			let i = 0
			while (i < n - 1 && (starts[i + 1] as number) < length) i++
			const c = curve.cubics[i] as ChartCubic
			const want = length - (starts[i] as number)
			const whole = (starts[i + 1] as number) - (starts[i] as number)
			let t = whole > 0 ? want / whole : 0
			for (let k = 0; k < MAX_NEWTON; k++) {
				const miss = over(c, 0, t) - want
				if (Math.abs(miss) < 1e-10) break
				const v = speed(c, t)
				t = Math.min(1, Math.max(0, t - miss / (v > 1e-9 ? v : whole)))
			}
			return i + t
		},
	}
}
