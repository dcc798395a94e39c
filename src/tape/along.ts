/** A line as tape has to follow it: how it bends, and how much room there is beside it. */
import type { Chart } from '../chart/chart.ts'
import { cornersOf, frame, part } from '../chart/curve.ts'
import { shoot } from '../chart/geodesic.ts'
import { measure } from '../chart/measure.ts'
import type { ChartPoint, Curve } from '../chart/point.ts'

/** A turn that no tape is laid round in one length, radians: less is taken up by its stretch. */
const CORNER_RAD = 0.05
/** Looks along a line, mm apart. */
const LOOK_MM = 2.5
/** Steps in which room is looked for, mm: less than the narrowest thing that is left open; and how near the line, where its own outline would count. */
const STEP_MM = 0.9
const NEAR_MM = 0.06
/** The end of the room is found to this, mm. */
const END_MM = 0.01

export interface Look {
	/** along the line, mm, and the line's parameter */
	readonly l: number
	readonly u: number
	readonly at: ChartPoint
	/** in-surface curvature, positive to the plus side, 1/mm */
	readonly k: number
	/** Gaussian curvature, 1/mm^2 */
	readonly gauss: number
	/** room on the plus side, mm: as far as anything that must stay open, or as was looked */
	readonly room: number
}

/** A stretch of a line without corners, and what it turns by at each end; undefined where the line itself ends. */
export interface Smooth {
	readonly curve: Curve
	readonly turnBefore: number | undefined
	readonly turnAfter: number | undefined
}

/** The stretches of a line between its corners. */
export function smoothStretches(chart: Chart, line: Curve): readonly Smooth[] {
	const corners = cornersOf(chart, line).filter(({ turn }) => Math.abs(turn) > CORNER_RAD)
	const n = line.cubics.length
	if (corners.length === 0) return [{ curve: line, turnBefore: undefined, turnAfter: undefined }]
	const from = line.closed ? (corners[0] as { u: number }).u : 0
	const turned: Curve = { ...line, cubics: [...line.cubics.slice(from), ...line.cubics.slice(0, from)], closed: false }
	const cuts = corners.map(({ u, turn }) => ({ u: (u - from + n) % n, turn })).sort((a, b) => a.u - b.u)
	const bounds = line.closed
		? [...cuts, { u: n, turn: (cuts[0] as { turn: number }).turn }]
		: [{ u: 0, turn: undefined }, ...cuts, { u: n, turn: undefined }]
	return bounds.slice(1).map((end, i) => {
		const start = bounds[i] as { u: number; turn: number | undefined }
		return { curve: part(turned, start.u, end.u), turnBefore: start.turn, turnAfter: end.turn }
	})
}

/** Looks along a line, with the room beside it from `offMm` off it to `mostMm` beyond that. */
export function looksAlong(
	chart: Chart,
	line: Curve,
	offMm: number,
	mostMm: number,
	isOpen: (p: ChartPoint) => boolean,
): readonly Look[] {
	const lengths = measure(chart, line)
	const n = Math.max(4, Math.ceil(lengths.length / LOOK_MM))
	return Array.from({ length: n + 1 }, (_, i): Look => {
		const l = (lengths.length * Math.min(Math.max(i, 0.02), n - 0.02)) / n
		const u = lengths.at(l)
		const f = frame(chart, line, u)
		const { k: gauss } = chart.metric(f.at.s, f.at.g)
		const room = roomBeside(chart, f.at, f.angle + Math.PI / 2, offMm, mostMm, isOpen)
		return { l, u, at: f.at, k: f.curvature, gauss, room }
	})
}

function roomBeside(
	chart: Chart,
	at: ChartPoint,
	angle: number,
	offMm: number,
	mostMm: number,
	isOpen: (p: ChartPoint) => boolean,
): number {
	const reach = offMm + mostMm
	const [half, end] = [reach / 2, reach].map((mm) => shoot(chart, at, angle, mm, { toleranceMm: 0.01, spreadShare: 0 }).at) as [
		ChartPoint,
		ChartPoint,
	]
	// Through three places of the path: good to far less than tape widths differ by.
	const place = (mm: number): ChartPoint => {
		const t = mm / reach
		const [a, b, c] = [(1 - t) * (1 - 2 * t), 4 * t * (1 - t), t * (2 * t - 1)]
		return { s: a * at.s + b * half.s + c * end.s, g: a * at.g + b * half.g + c * end.g }
	}
	let clear = offMm + NEAR_MM
	if (isOpen(place(clear))) return 0
	for (let mm = clear + STEP_MM; mm < reach + STEP_MM; mm += STEP_MM) {
		const next = Math.min(mm, reach)
		if (isOpen(place(next))) {
			let [a, b] = [clear, next]
			while (b - a > END_MM) {
				const m = (a + b) / 2
				if (isOpen(place(m))) b = m
				else a = m
			}
			return a - offMm
		}
		clear = next
	}
	return mostMm
}

/**
 * In-surface curvature of a line's parallel so far off it, by -j'/j with j'' = -K j, j(0) = 1, j'(0) = -k and K as at the line
 * (geodesic parallels; do Carmo, Differential Geometry of Curves and Surfaces, 4-6). Unbounded at a focal point.
 */
export function parallelCurvature(k: number, gauss: number, offMm: number): number {
	const root = Math.sqrt(Math.abs(gauss))
	const x = root * offMm
	const [c, s] = gauss > 0 ? [Math.cos(x), Math.sin(x)] : [Math.cosh(x), Math.sinh(x)]
	const over = x < 1e-6 ? offMm : s / root
	const j = c - k * over
	return j > 0 ? (gauss * over + k * c) / j : Number.POSITIVE_INFINITY
}

/** How much the edge of tape so wide must stretch to lie along a line so bent: |k| w / 2, k that of its middle. */
export const strainOf = ({ k, gauss }: Pick<Look, 'k' | 'gauss'>, offMm: number, widthMm: number): number =>
	(Math.abs(parallelCurvature(k, gauss, offMm + widthMm / 2)) * widthMm) / 2
