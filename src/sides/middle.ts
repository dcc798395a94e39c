import type { Chart } from '../chart/chart.ts'
import type { ChartPoint } from '../chart/point.ts'
import { GAUSS_5, gaussLegendre } from '../numeric/quadrature.ts'
import { axisOfReflection, dot } from './axis.ts'

/** A mark measured on both sides, g positive to the right. */
export interface SidedPair {
	readonly id: string
	readonly left: ChartPoint
	readonly right: ChartPoint
	/** one standard deviation of the middle of the two girths, mm */
	readonly middleSd: number
	/** and of the difference of the two stations, mm */
	readonly stationSd: number
}

/** How a pair lies to the middle: mm, with the variances that the middle itself has there. */
export interface PairOff {
	/** the middle of the two, right of the middle line */
	readonly across: number
	/** the right one, rearward of the left one's mirror image */
	readonly along: number
	readonly acrossVar: number
	readonly alongVar: number
}

/** The line that both sides are alike about, as seen from the centreline as taped. */
export interface Middle {
	/** where it is known best */
	readonly station: number
	/** how far right of the taped centreline it lies there, mm */
	readonly shiftMm: number
	readonly shiftSdMm: number
	/** how it turns there, to the right going rearward, rad */
	readonly angle: number
	readonly angleSd: number
	/** right of the taped centreline at a station, mm */
	at(station: number): { readonly mm: number; readonly sdMm: number }
	off(pair: SidedPair): PairOff
}

export type MiddleTrouble =
	| { readonly kind: 'no-pairs' }
	| { readonly kind: 'no-sd'; readonly id: string }
	| {
			readonly kind: 'one-pair' | 'one-station'
			readonly station: number
			readonly shiftMm: number
			readonly shiftSdMm: number
	  }

/**
 * The middle of the pairs by weighted least squares. Exact on what is flat or rolled; elsewhere to first order in shift and
 * angle, for a taut tape; for one that was guided along the crown at an even distance where only that fits the readings.
 */
export function middleOf(chart: Chart, pairs: readonly SidedPair[]): Middle | MiddleTrouble {
	const flat = flatMiddle(pairs)
	if ('kind' in flat || chart.euclidean) return flat
	const bent = bentMiddle(chart, pairs, flat.station)
	return bent && misfit(bent, pairs) <= misfit(flat, pairs) + GUIDED ? bent : flat
}

/** Sums of squares that differ by more, each in its standard deviations, tell the two apart (999 times in 1000). */
const GUIDED = 3.29 ** 2

const misfit = (middle: Middle, pairs: readonly SidedPair[]) =>
	pairs.reduce((sum, pair) => {
		const { across, along } = middle.off(pair)
		return sum + (across / pair.middleSd) ** 2 + (along / pair.stationSd) ** 2
	}, 0)

function flatMiddle(pairs: readonly SidedPair[]): Middle | MiddleTrouble {
	const axis = axisOfReflection(
		pairs.map(({ id, left, right, middleSd, stationSd }) => ({
			id,
			left: [left.s, left.g],
			right: [right.s, right.g],
			offsetSd: middleSd * Math.SQRT2,
			stationSd: stationSd / Math.SQRT2,
		})),
	)
	if ('kind' in axis) {
		if (!('middle' in axis)) return axis
		return { kind: axis.kind, station: axis.middle[0]!, shiftMm: axis.middle[1]!, shiftSdMm: axis.shiftSdMm }
	}
	const { normal, middle, shiftSdMm } = axis
	const [station, shiftMm] = middle as [number, number]
	const along = axis.along[0]!
	const turnVar = axis.turns[0]![0]!
	const angle = Math.atan2(along[1]!, along[0]!)
	return {
		station,
		shiftMm,
		shiftSdMm,
		angle,
		angleSd: Math.sqrt(turnVar),
		at: (s) => ({
			mm: shiftMm + (s - station) * Math.tan(angle),
			sdMm: Math.sqrt(shiftSdMm ** 2 + (s - station) ** 2 * turnVar),
		}),
		off: ({ left, right }) => {
			const m = [(left.s + right.s) / 2 - station, (left.g + right.g) / 2 - shiftMm]
			const d = [right.s - left.s, right.g - left.g]
			return {
				across: dot(normal, m),
				along: dot(along, d),
				acrossVar: shiftSdMm ** 2 + dot(along, m) ** 2 * turnVar,
				alongVar: dot(normal, d) ** 2 * turnVar,
			}
		},
	}
}

/**
 * On a panel bent both ways a taut line beside a taut line draws near or away: its distance e obeys e'' = -K e along the
 * baseline (Jacobi; do Carmo, 5-5), so that a shift p and a turn q take the place of 1 and s. By the first variation of
 * length the middle of two girths is then e itself, and the feet of the two move apart by -e' times the integrals of
 * dg / J^2 from the baseline to each. Undefined where that cannot be followed.
 */
function bentMiddle(chart: Chart, pairs: readonly SidedPair[], station: number): Middle | undefined {
	const beside = besideBaseline(chart, station)
	const rowsOf = ({ left, right }: SidedPair) => {
		const here = beside((left.s + right.s) / 2)
		const reach = reachTo(chart, right) - reachTo(chart, left)
		return {
			across: [here.p, here.q] as Two,
			along: [-here.dp * reach, -here.dq * reach] as Two,
			mid: (left.g + right.g) / 2,
			apart: right.s - left.s,
		}
	}
	const n = [0, 0, 0]
	const y = [0, 0]
	for (const pair of pairs) {
		const rows = rowsOf(pair)
		const equations = [
			[rows.across, rows.mid, pair.middleSd],
			[rows.along, rows.apart, pair.stationSd],
		] as const
		for (const [[a, b], value, sd] of equations) {
			const w = 1 / sd ** 2
			n[0]! += w * a * a
			n[1]! += w * a * b
			n[2]! += w * b * b
			y[0]! += w * a * value
			y[1]! += w * b * value
		}
	}
	const det = n[0]! * n[2]! - n[1]! ** 2
	if (!(det > 0)) return undefined
	const cov = { ss: n[2]! / det, st: -n[1]! / det, tt: n[0]! / det }
	const shiftMm = cov.ss * y[0]! + cov.st * y[1]!
	const turn = cov.st * y[0]! + cov.tt * y[1]!
	const variance = ([a, b]: Two) => a * a * cov.ss + 2 * a * b * cov.st + b * b * cov.tt
	const value = ([a, b]: Two) => a * shiftMm + b * turn
	return {
		station,
		shiftMm,
		shiftSdMm: Math.sqrt(cov.ss),
		angle: turn,
		angleSd: Math.sqrt(cov.tt),
		at: (s) => {
			const { p, q } = beside(s)
			return { mm: value([p, q]), sdMm: Math.sqrt(variance([p, q])) }
		},
		off: (pair) => {
			const rows = rowsOf(pair)
			// stations are read on the baseline; out here a millimetre of it is more or less
			const j = (chart.metric(pair.left.s, pair.left.g).j + chart.metric(pair.right.s, pair.right.g).j) / 2
			return {
				across: rows.mid - value(rows.across),
				along: j * (rows.apart - value(rows.along)),
				acrossVar: variance(rows.across),
				alongVar: j * j * variance(rows.along),
			}
		},
	}
}

type Two = readonly [number, number]

/** So long a step of e'' = -K e, by the classical fourth-order rule, is exact to 1e-8 where the panel bends within 100 mm. */
const STEP_MM = 5

/** Shift p and turn q of a line beside the baseline, with their slopes. */
interface Beside {
	readonly p: number
	readonly dp: number
	readonly q: number
	readonly dq: number
}

/** What was worked out of a chart before: pairs are looked at many times. */
const worked = new WeakMap<Chart, { readonly beside: Map<number, Beside>; readonly reach: Map<string, number> }>()

function workedOf(chart: Chart) {
	const known = worked.get(chart)
	if (known) return known
	const fresh = { beside: new Map<number, Beside>(), reach: new Map<string, number>() }
	worked.set(chart, fresh)
	return fresh
}

/** From station 0: any other start is a linear combination of the two. */
function fromStart(chart: Chart, to: number): Beside {
	const { beside } = workedOf(chart)
	const known = beside.get(to)
	if (known) return known
	const steps = Math.max(1, Math.ceil(Math.abs(to) / STEP_MM))
	const h = to / steps
	let [p, dp, q, dq] = [1, 0, 0, 1]
	for (let i = 0; i < steps; i++) {
		const [k0, k1, k2] = [i * h, (i + 0.5) * h, (i + 1) * h].map((s) => chart.metric(s, 0).k) as [number, number, number]
		;[p, dp] = step(p, dp, h, k0, k1, k2)
		;[q, dq] = step(q, dq, h, k0, k1, k2)
	}
	const made = { p, dp, q, dq }
	beside.set(to, made)
	return made
}

/** The same that start with a shift of 1, and with a turn of 1, at a station. Their Wronskian is 1. */
function besideBaseline(chart: Chart, from: number): (to: number) => Beside {
	const a = fromStart(chart, from)
	return (to) => {
		const b = fromStart(chart, to)
		return {
			p: b.p * a.dq - b.q * a.dp,
			dp: b.dp * a.dq - b.dq * a.dp,
			q: b.q * a.p - b.p * a.q,
			dq: b.dq * a.p - b.dp * a.q,
		}
	}
}

function step(e: number, v: number, h: number, k0: number, k1: number, k2: number): [number, number] {
	const [a1, b1] = [v, -k0 * e]
	const [a2, b2] = [v + (h / 2) * b1, -k1 * (e + (h / 2) * a1)]
	const [a3, b3] = [v + (h / 2) * b2, -k1 * (e + (h / 2) * a2)]
	const [a4, b4] = [v + h * b3, -k2 * (e + h * a3)]
	return [e + (h / 6) * (a1 + 2 * a2 + 2 * a3 + a4), v + (h / 6) * (b1 + 2 * b2 + 2 * b3 + b4)]
}

/** Integral of dg / J^2 from the baseline to a place, mm. */
function reachTo(chart: Chart, { s, g }: ChartPoint): number {
	const { reach } = workedOf(chart)
	const key = `${s} ${g}`
	const mm = reach.get(key) ?? gaussLegendre((x) => 1 / chart.metric(s, x).j ** 2, 0, g, GAUSS_5, 2)
	reach.set(key, mm)
	return mm
}
