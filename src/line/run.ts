import type { Chart } from '../chart/chart.ts'
import { toChartCubic } from '../chart/curve.ts'
import { distance } from '../chart/distance.ts'
import { shoot } from '../chart/geodesic.ts'
import type { ChartCubic, ChartPoint } from '../chart/point.ts'
import { deleteOne } from '../numeric/deleteOne.ts'
import type { DeletedPrediction, SmoothingOptions } from '../numeric/smoothing.ts'
import { type ExtraObservation, type SmoothingCoordinate, smoothByCp, type smoothingSpline } from '../numeric/smoothing.ts'
import { fewLooks } from '../plane/fewLooks.ts'
import { fitCubics } from '../plane/fit.ts'

/** A mark that a line goes through, with how well it is known. */
export interface Through {
	readonly key: string
	readonly at: ChartPoint
	readonly sdS: number
	readonly sdG: number
	/** of (s, g), mm^2, where it is known: for how well a line across stations is known */
	readonly covariance?: { readonly ss: number; readonly sg: number; readonly gg: number }
	/** how far the line may pass from it, mm; by what it is known to where not said */
	readonly tolerance?: number
	/** its place among the marks as the job lists them, where that is another */
	readonly listed?: number
	/** JSON pointer to what it comes from, where the job does not list it among the marks of the line */
	readonly path?: string
	/** the line turns sharply here, and goes exactly through */
	readonly corner: boolean
	/** how the line comes here from the mark before */
	readonly by: 'smooth' | 'pulled'
}

export interface Run {
	readonly cubics: readonly ChartCubic[]
	readonly maxErrorMm: number
	/** the mark that stands farthest off the line the others make, with that distance and how large it may be by chance (3.29 sd) */
	readonly odd: readonly { readonly key: string; readonly offMm: number; readonly limitMm: number }[]
	/** of each mark that the others judge: how far off the line it would have to stand to be named */
	readonly named: readonly { readonly key: string; readonly fromMm: number }[]
	/** how well it is known across itself, at places along it */
	readonly known: readonly Known[]
}

/** A place on a line, the line's direction there (from +s towards +g) and one standard deviation across it, mm. */
export interface Known {
	readonly at: ChartPoint
	readonly angle: number
	readonly sdMm: number
}

/** A place that must be met: so well known that the smooth line goes through it to a thousandth of a millimetre. */
const PINNED_SD = 1e-4
/** No reading of a mark is better than a pencil line. */
const LEAST_SD = 0.1
/** Two-sided 0.1 % of a normal distribution: a mark flagged by chance once in a thousand. */
const ODD_SDS = 3.29
/**
 * Where the prediction without refitting finds no mark so far off, leaving each out in turn finds none either. 200 lines of 8 to
 * 14 marks, sigma 0.5, one mark 5 mm off: it is the one named in 89 % (61 % by the quick prediction alone, which names another
 * in 37 %); of good lines 5 % have a mark named (13 %). Three times as dear on average as never refitting.
 */
const SUSPICION_SDS = 2.5
/** Places between two marks at which it is said how well a line is known. */
const KNOWN_PLACES = 4
/** In a line of more marks than this one bad mark no longer loosens the curve that judges it, and leaving each out takes seconds. */
const MOST_JUDGED = 40

/**
 * A smooth line through marks: quintic smoothing splines of station and girth over the length from mark to mark, one weight
 * for both chosen by Mallows' Cp (the integral of the squared third derivative is kept small). A direction may be given at
 * either end, where the line goes on from a pulled one. Two marks alone are joined as a taut tape lies.
 */
export function smoothRun(
	chart: Chart,
	marks: readonly Through[],
	ends: { readonly startAngle?: number; readonly endAngle?: number; readonly pinStart: boolean; readonly pinEnd: boolean },
	toleranceMm: number,
): Run | undefined {
	const first = marks[0] as Through
	const last = marks[marks.length - 1] as Through
	if (marks.length === 2 && ends.startAngle === undefined && ends.endAngle === undefined) {
		return pulledBetween(chart, first, last, toleranceMm)
	}
	const t = lengths(chart, marks)
	const sd = (which: 'sdS' | 'sdG') =>
		marks.map((m, i) => {
			const pinned = (i === 0 && ends.pinStart) || (i === marks.length - 1 && ends.pinEnd) || m.corner
			return pinned ? PINNED_SD : Math.max(LEAST_SD, m[which])
		})
	const directions = [
		...(ends.startAngle === undefined ? [] : [{ t: 0, angle: ends.startAngle, at: first.at }]),
		...(ends.endAngle === undefined ? [] : [{ t: t[t.length - 1] as number, angle: ends.endAngle, at: last.at }]),
	]
	const extra = (part: (angle: number, j: number) => number): ExtraObservation[] =>
		directions.map((d) => ({ t: d.t, derivative: 1, value: part(d.angle, chart.metric(d.at.s, d.at.g).j), sigma: 1e-5 }))
	const coordinates = [
		{ y: marks.map((m) => m.at.s), sigma: sd('sdS'), extra: extra((a, j) => Math.cos(a) / j) },
		{ y: marks.map((m) => m.at.g), sigma: sd('sdG'), extra: extra((a) => Math.sin(a)) },
	]
	const fit = smoothByCp(t, coordinates)
	if (!fit) return undefined
	const run = fitted(chart, marks, t, coordinates, fit.coordinates, {}, toleranceMm)
	const cubics = [...run.cubics]
	// Pinned to a ten-thousandth by its weight; runs must meet to the last digit.
	if (ends.pinStart || first.corner) cubics[0] = started(cubics[0] as ChartCubic, first.at)
	if (ends.pinEnd || last.corner) cubics.push(ended(cubics.pop() as ChartCubic, last.at))
	return { ...run, cubics }
}

const moved = (p: ChartPoint, from: ChartPoint, to: ChartPoint): ChartPoint => ({
	s: p.s + to.s - from.s,
	g: p.g + to.g - from.g,
})
const started = ([a, b, c, d]: ChartCubic, at: ChartPoint): ChartCubic => [at, moved(b, a, at), c, d]
const ended = ([a, b, c, d]: ChartCubic, at: ChartPoint): ChartCubic => [a, b, moved(c, d, at), at]

/** A smooth closed line through marks; on a ring, with `turn`, it comes to its first mark so many mm of station on. */
export function smoothRing(chart: Chart, marks: readonly Through[], toleranceMm: number, turn = 0): Run | undefined {
	const first = marks[0] as Through
	const t = lengths(chart, [...marks, { ...first, at: { s: first.at.s + turn, g: first.at.g } }])
	const period = t.pop() as number
	const coordinates = [
		// What repeats is the station less the share of the turn.
		{ y: marks.map((m, i) => m.at.s - (turn * (t[i] as number)) / period), sigma: marks.map((m) => Math.max(LEAST_SD, m.sdS)) },
		{ y: marks.map((m) => m.at.g), sigma: marks.map((m) => Math.max(LEAST_SD, m.sdG)) },
	]
	const fit = smoothByCp(t, coordinates, { period })
	if (!fit) return undefined
	const run = fitted(chart, marks, t, coordinates, fit.coordinates, { period }, toleranceMm, turn / period)
	if (turn === 0) return run
	// It comes round to a rounding; its ends are one place to the last digit.
	const { s, g } = (run.cubics[0] as ChartCubic)[0]
	return { ...run, cubics: [...run.cubics.slice(0, -1), ended(run.cubics.at(-1) as ChartCubic, { s: s + turn, g })] }
}

type Spline = NonNullable<ReturnType<typeof smoothingSpline>>

function fitted(
	chart: Chart,
	marks: readonly Through[],
	t: readonly number[],
	coordinates: readonly SmoothingCoordinate[],
	splines: readonly Spline[],
	options: SmoothingOptions,
	toleranceMm: number,
	growth = 0,
): Run {
	const [s, g] = splines as [Spline, Spline]
	const a = new Float64Array(4)
	const b = new Float64Array(4)
	const at = (u: number) => {
		s.at(u, a)
		g.at(u, b)
		return { x: (a[0] as number) + growth * u, y: b[0] as number, dx: (a[1] as number) + growth, dy: b[1] as number }
	}
	const cubics: ChartCubic[] = []
	let worst = 0
	const knots = options.period === undefined ? t : [...t, options.period]
	// Between knots the spline is one polynomial: fitting piece by piece keeps the exact derivatives honest.
	for (let i = 0; i + 1 < knots.length; i++) {
		const run = fitCubics(at, knots[i] as number, knots[i + 1] as number, {
			toleranceMm,
			scale: (x, y) => ({ sx: chart.metric(x, y).j, sy: 1 }),
		})
		worst = Math.max(worst, run.maxErrorMm)
		cubics.push(...run.cubics.map(toChartCubic))
	}
	/** Of what the others say of each mark only the part across the line counts: along it the mark is free to slide. */
	const across = (i: number, ds: DeletedPrediction, dg: DeletedPrediction) => {
		const { x, y, dx, dy } = at(t[i] as number)
		const { j } = chart.metric(x, y)
		const speed = Math.hypot(j * dx, dy)
		const [ns, ng] = [-dy / speed, (j * dx) / speed]
		return { offMm: ns * j * ds.residual + ng * dg.residual, sd: Math.hypot(ns * j * ds.sd, ng * dg.sd) }
	}
	const judged = (said: readonly (readonly (DeletedPrediction | undefined)[] | undefined)[]) =>
		said.flatMap((pair, i) => {
			const [ds, dg] = pair ?? []
			// What is pinned is meant so.
			if (!ds || !dg || coordinates[1]?.sigma[i] === PINNED_SD) return []
			const { offMm, sd } = across(i, ds, dg)
			return [{ key: (marks[i] as Through).key, offMm, limitMm: ODD_SDS * sd, sds: Math.abs(offMm) / sd }]
		})
	let judgements = judged(marks.map((_, i) => [s.deleted[i], g.deleted[i]]))
	if (marks.length <= MOST_JUDGED && judgements.some((j) => j.sds > SUSPICION_SDS)) {
		judgements = judged(deleteOne(t, coordinates, options))
	}
	const odd = judgements.filter((j) => j.sds > ODD_SDS).sort((x, y) => y.sds - x.sds)
	const known = between(knots).map((u): Known => {
		const { x, y, dx, dy } = at(u)
		const { j } = chart.metric(x, y)
		const angle = Math.atan2(dy, j * dx)
		return { at: { s: x, g: y }, angle, sdMm: Math.hypot(Math.sin(angle) * j * s.sdAt(u), Math.cos(angle) * g.sdAt(u)) }
	})
	const named = judgements.map(({ key, limitMm }) => ({ key, fromMm: limitMm }))
	return { cubics, maxErrorMm: worst, odd: odd.slice(0, 1), named, known }
}

/** The knots and places between them. */
function between(knots: readonly number[]): number[] {
	const places = knots
		.slice(1)
		.flatMap((to, i) =>
			Array.from({ length: KNOWN_PLACES }, (_, k) => (knots[i] as number) + ((to - (knots[i] as number)) * k) / KNOWN_PLACES),
		)
	return [...places, knots[knots.length - 1] as number]
}

/** Length from mark to mark, by the metric half-way. */
function lengths(chart: Chart, marks: readonly Through[]): number[] {
	const t = [0]
	for (let i = 1; i < marks.length; i++) {
		const p = (marks[i - 1] as Through).at
		const q = (marks[i] as Through).at
		const j = chart.metric((p.s + q.s) / 2, (p.g + q.g) / 2).j
		t.push((t[i - 1] as number) + Math.max(1e-3, Math.hypot((q.s - p.s) * j, q.g - p.g)))
	}
	return t
}

/** A stretch of line with no marks of its own. */
interface Straight {
	readonly cubics: readonly ChartCubic[]
	readonly maxErrorMm: number
}

interface Pulled extends Straight {
	readonly startAngle: number
	readonly endAngle: number
	readonly length: number
}

/** The line that a taut tape takes between two marks; between them it is known as a straight one is from its ends. */
export function pulledBetween(
	chart: Chart,
	p: Through,
	q: Through,
	toleranceMm: number,
): (Run & { readonly startAngle: number; readonly endAngle: number }) | undefined {
	const pulled = pulledRun(chart, p.at, q.at, toleranceMm)
	if (!pulled) return undefined
	const [from, to] = [sdAcross(chart, p, pulled.startAngle), sdAcross(chart, q, pulled.endAngle)]
	const known = Array.from({ length: KNOWN_PLACES + 1 }, (_, k): Known => {
		const part = k / KNOWN_PLACES
		const { at, angle } = shoot(chart, p.at, pulled.startAngle, part * pulled.length)
		return { at, angle, sdMm: Math.hypot((1 - part) * from, part * to) }
	})
	return { ...pulled, odd: [], named: [], known }
}

/** A mark's covariance seen across a line of this direction at its place: along the line the mark is free to slide. */
export function sdAcross(chart: Chart, { at, covariance, sdS, sdG }: Through, angle: number): number {
	const { ss, sg, gg } = covariance ?? { ss: sdS * sdS, sg: 0, gg: sdG * sdG }
	const a = -Math.sin(angle) * chart.metric(at.s, at.g).j
	const b = Math.cos(angle)
	return Math.sqrt(Math.max(0, a * a * ss + 2 * a * b * sg + b * b * gg))
}

/** The line that a taut tape takes between two places. */
export function pulledRun(chart: Chart, p: ChartPoint, q: ChartPoint, toleranceMm: number): Pulled | undefined {
	const path = distance(chart, p, q)
	if (!path) return undefined
	const run = straightOn(chart, p, path.startAngle, path.length, toleranceMm)
	// It arrives to a ten-millionth; runs must meet to the last digit.
	return {
		...run,
		cubics: [...run.cubics.slice(0, -1), ended(run.cubics[run.cubics.length - 1] as ChartCubic, q)],
		startAngle: path.startAngle,
		endAngle: path.endAngle,
		length: path.length,
	}
}

/** Paths to the places that a straightest line is fitted to, and what goes between them, are these shares of its tolerance exact. */
const PATH_SHARE = 1e-3
const BETWEEN_SHARE = 0.02

/** A straightest line from a place in a direction, as cubics. */
export function straightOn(chart: Chart, p: ChartPoint, angle: number, length: number, toleranceMm: number): Straight {
	const path = { toleranceMm: PATH_SHARE * toleranceMm, spreadShare: 0 }
	const at = (l: number) => {
		const shot = shoot(chart, p, angle, l, path)
		const j = chart.metric(shot.at.s, shot.at.g).j
		return { x: shot.at.s, y: shot.at.g, dx: Math.cos(shot.angle) / j, dy: Math.sin(shot.angle) }
	}
	const scale = (x: number, y: number) => ({ sx: chart.metric(x, y).j, sy: 1 })
	const between = fewLooks(at, 0, length, { toleranceMm: BETWEEN_SHARE * toleranceMm, scale })
	const run = fitCubics(between, 0, length, { toleranceMm, scale })
	return { cubics: run.cubics.map(toChartCubic), maxErrorMm: run.maxErrorMm }
}
