import { GAUSS_10 } from '../numeric/quadrature.ts'
import { type Chart, metricRoom } from './chart.ts'
import type { ChartCubic, Curve } from './point.ts'

/** A curve's length on the panel, and the way between length and parameter. */
export interface Measure {
	readonly length: number
	/** length from the start to parameter u */
	lengthAt(u: number): number
	/** parameter at a length from the start, clamped to the curve */
	at(length: number): number
}

/** A stretch of the curve on which speed is a short Legendre series. */
interface Stretch {
	readonly from: number
	readonly width: number
	/** length at its start */
	readonly start: number
	readonly length: number
	/** of speed, in x from -1 to 1 over the stretch */
	readonly series: Float64Array
}

const ORDER = 10
/** What the last terms may be of the first: the length is then right to about 1e-10 of itself. */
const SMALL = 1e-9
/** A cusp never becomes a short series: at a 64th of a cubic its length is right enough all the same. */
const MAX_DEPTH = 6
/** Newton on a series doubles its digits; the limit is for cusps. */
const MAX_NEWTON = 30

/** P_k at the nodes, row by node. */
const AT_NODES = Array.from(GAUSS_10.nodes, (x) => legendre(x, new Float64Array(ORDER + 1)).slice())

/** P_0 .. P_ORDER at x by the three-term recurrence (Abramowitz & Stegun 22.7.10). */
function legendre(x: number, out: Float64Array): Float64Array {
	out[0] = 1
	out[1] = x
	for (let k = 1; k < ORDER; k++) out[k + 1] = ((2 * k + 1) * x * (out[k] as number) - k * (out[k - 1] as number)) / (k + 1)
	return out
}

const measured = new WeakMap<Curve, { readonly chart: Chart; readonly made: Measure }>()

/** As `measuredAnew`, once for each curve: neither it nor its panel ever changes. */
export function measure(chart: Chart, curve: Curve): Measure {
	const known = measured.get(curve)
	if (known?.chart === chart) return known.made
	const made = measuredAnew(chart, curve)
	measured.set(curve, { chart, made })
	return made
}

/**
 * Lengths along a curve on the panel: speed is projected on Legendre polynomials by Gauss's rule, cubic by cubic (halved where
 * the series is long), and integrated term by term. Good to about 1e-10 of the length away from cusps.
 */
function measuredAnew(chart: Chart, curve: Curve): Measure {
	const stretches: Stretch[] = []
	let total = 0
	const room = metricRoom()
	// As `evaluateCubic` and `frameOf` have it, with nothing made: ten times a cubic, and of every curve there is.
	const speedOf = ([p0, p1, p2, p3]: ChartCubic, t: number) => {
		const r = 1 - t
		const [b0, b1, b2, b3] = [r * r * r, 3 * r * r * t, 3 * r * t * t, t * t * t]
		const { j } = chart.metric(b0 * p0.s + b1 * p1.s + b2 * p2.s + b3 * p3.s, b0 * p0.g + b1 * p1.g + b2 * p2.g + b3 * p3.g, room)
		const [d0, d1, d2] = [3 * r * r, 6 * r * t, 3 * t * t]
		const ds = d0 * (p1.s - p0.s) + d1 * (p2.s - p1.s) + d2 * (p3.s - p2.s)
		const dg = d0 * (p1.g - p0.g) + d1 * (p2.g - p1.g) + d2 * (p3.g - p2.g)
		return Math.sqrt(j * j * ds * ds + dg * dg)
	}
	const add = (cubic: ChartCubic, u: number, t0: number, width: number, depth: number): void => {
		const series = new Float64Array(ORDER)
		for (let i = 0; i < ORDER; i++) {
			const f = (GAUSS_10.weights[i] as number) * speedOf(cubic, t0 + (width * ((GAUSS_10.nodes[i] as number) + 1)) / 2)
			const p = AT_NODES[i] as Float64Array
			for (let k = 0; k < ORDER; k++) series[k] = (series[k] as number) + (k + 0.5) * f * (p[k] as number)
		}
		const tail = Math.abs(series[ORDER - 1] as number) + Math.abs(series[ORDER - 2] as number)
		if (depth < MAX_DEPTH && tail > SMALL * Math.abs(series[0] as number)) {
			add(cubic, u, t0, width / 2, depth + 1)
			add(cubic, u, t0 + width / 2, width / 2, depth + 1)
			return
		}
		const length = (series[0] as number) * width
		stretches.push({ from: u + t0, width, start: total, length, series })
		total += length
	}
	for (const [u, cubic] of curve.cubics.entries()) add(cubic, u, 0, 1, 0)

	const n = curve.cubics.length
	const p = new Float64Array(ORDER + 1)
	/** length within a stretch to x; leaves P_k(x) in p */
	const within = ({ series, width }: Stretch, x: number) => {
		legendre(x, p)
		let sum = (series[0] as number) * (x + 1)
		for (let k = 1; k < ORDER; k++) sum += ((series[k] as number) * ((p[k + 1] as number) - (p[k - 1] as number))) / (2 * k + 1)
		return (sum * width) / 2
	}
	return {
		length: total,
		lengthAt(u) {
			if (u <= 0) return 0
			if (u >= n) return total
			const s = last(stretches, (q) => q.from <= u)
			return s.start + within(s, (2 * (u - s.from)) / s.width - 1)
		},
		at(length) {
			if (length <= 0) return 0
			if (length >= total) return n
			const s = last(stretches, (q) => q.start <= length)
			const want = length - s.start
			let x = s.length > 0 ? (2 * want) / s.length - 1 : -1
			for (let i = 0; i < MAX_NEWTON; i++) {
				const miss = within(s, x) - want
				if (Math.abs(miss) < 1e-11) break
				let rate = 0
				for (let k = 0; k < ORDER; k++) rate += (s.series[k] as number) * (p[k] as number)
				rate *= s.width / 2
				x = Math.min(1, Math.max(-1, x - miss / (rate > 1e-9 ? rate : s.length / 2)))
			}
			return Math.min(n, s.from + (s.width * (x + 1)) / 2)
		},
	}
}

/** The last stretch that fulfils a condition which the first ones do (halving). */
function last(list: readonly Stretch[], holds: (s: Stretch) => boolean): Stretch {
	let low = 0
	let high = list.length - 1
	while (low < high) {
		const middle = (low + high + 1) >> 1
		if (holds(list[middle] as Stretch)) low = middle
		else high = middle - 1
	}
	return list[low] as Stretch
}
