import type { Chart } from './chart.ts'
import { evaluateCubic, frameOf } from './curve.ts'
import { distance, type Path } from './distance.ts'
import { parallelPoint } from './parallel.ts'
import type { ChartCubic, ChartPoint, Curve } from './point.ts'

export interface Nearest {
	readonly u: number
	readonly at: ChartPoint
	/** along the panel, mm; positive on the curve's plus side */
	readonly offsetMm: number
}

/** Looks along each cubic before the place is made exact: a fitted cubic has no more than two nearest places. */
const LOOKS = 8
/** Stretches that are followed up: two arms of a U and the bend between them are as near as each other. */
const CANDIDATES = 3
/** The rough looks go by the metric half-way: good to a few percent, so what is farther than this is not followed up. */
const ROUGH_SHARE = 1.1
/** J changes by no more than this factor between p and what is nearest to it, so that a cubic farther off is not looked at. */
const FAR_SHARE = 2.5
/** Steps of the safeguarded secant: halving alone would need 30 to a millionth of a cubic. */
const MAX_STEPS = 40
/** A foot this near moves the distance by less than 1e-10 mm, since the distance is stationary there. */
const FOOT_MM = 1e-6

/** The place on a curve nearest to a point, or undefined where no path between them was found. */
export function nearest(chart: Chart, curve: Curve, p: ChartPoint): Nearest | undefined {
	return nearestOn(chart, curve)(p)
}

/** A foot that is known already, with its distance: only what is nearer is looked for. */
export interface KnownFoot {
	readonly u: number
	readonly distanceMm: number
}

/**
 * As `nearest`, for many points and one curve. With a known foot the answer is the nearest place elsewhere on the curve, and only
 * where it is nearer than that one; undefined if there is none.
 */
export function nearestOn(chart: Chart, curve: Curve): (p: ChartPoint, known?: KnownFoot) => Nearest | undefined {
	const places = curve.cubics.map((cubic) => Array.from({ length: LOOKS + 1 }, (_, k) => evaluateCubic(cubic, k / LOOKS).at))
	return (p, known) => {
		// By the metric at p alone, three places of each cubic and the spread of its looks: which cubics can be meant at all.
		const { j: here } = chart.metric(p.s, p.g)
		const cheap = (q: ChartPoint) => Math.hypot((q.s - p.s) * here, q.g - p.g)
		const least = places.map((looks) =>
			Math.min(cheap(looks[0] as ChartPoint), cheap(looks[LOOKS / 2] as ChartPoint), cheap(looks[LOOKS] as ChartPoint)),
		)
		const near = Math.min(...least)
		const starts: { cubic: number; t: number; rough: number }[] = []
		places.forEach((looks, cubic) => {
			const [a, m, b] = [looks[0] as ChartPoint, looks[LOOKS / 2] as ChartPoint, looks[LOOKS] as ChartPoint]
			const span = Math.max(Math.hypot((m.s - a.s) * here, m.g - a.g), Math.hypot((b.s - m.s) * here, b.g - m.g))
			if ((least[cubic] as number) - span > FAR_SHARE * near) return
			const rough = looks.map((q) => Math.hypot((q.s - p.s) * chart.metric((q.s + p.s) / 2, (q.g + p.g) / 2).j, q.g - p.g))
			rough.forEach((d, k) => {
				if (d <= (rough[k - 1] ?? Number.POSITIVE_INFINITY) && d < (rough[k + 1] ?? Number.POSITIVE_INFINITY)) {
					// The look beside it may be nearly as far from the true place: half the way to it is in doubt.
					const doubt = Math.abs((rough[k + 1] ?? rough[k - 1] ?? d) - d)
					starts.push({ cubic, t: k / LOOKS, rough: d - doubt })
				}
			})
		})
		starts.sort((a, b) => a.rough - b.rough)
		let best: { cubic: number; t: number; path: Path } | undefined
		for (const start of starts.slice(0, CANDIDATES)) {
			const least = Math.min(best?.path.length ?? Number.POSITIVE_INFINITY, known?.distanceMm ?? Number.POSITIVE_INFINITY)
			if (start.rough > least * ROUGH_SHARE) break
			// On one cubic the looks round a known foot lead to it and nowhere else.
			if (known && start.cubic === Math.floor(known.u) && Math.abs(start.cubic + start.t - known.u) < 1 / LOOKS) continue
			const cubic = curve.cubics[start.cubic] as ChartCubic
			const foot = squareFoot(chart, cubic, start.t, p) ?? footOn(chart, cubic, start.t, p)
			if (foot && !(best && best.path.length <= foot.path.length)) best = { cubic: start.cubic, ...foot }
		}
		if (!best || (known && best.path.length >= known.distanceMm)) return undefined
		const { cubic, t, path } = best
		const u = cubic + t
		const along = tangent(chart, curve, cubic, t)
		const side = Math.sin(path.startAngle - along.angle) >= 0 ? 1 : -1
		return { u, at: along.at, offsetMm: side * path.length }
	}
}

/**
 * As `nearest` for each of a row of points, closely set and within reach of the curve: each is looked for beside the foot of
 * the one before, which settles in a step or two. A place is good to `toleranceMm`. Where a row jumps, or its feet do, the
 * whole curve is looked at.
 */
export function nearestAlong(
	chart: Chart,
	curve: Curve,
	points: readonly ChartPoint[],
	toleranceMm: number,
): (Nearest | undefined)[] {
	const anywhere = nearestOn(chart, curve)
	let last: { at: ChartPoint; foot: Nearest } | undefined
	return points.map((p) => {
		const foot = (last && beside(chart, curve, last, p, toleranceMm)) ?? anywhere(p)
		last = foot && { at: p, foot }
		return foot
	})
}

/** How much farther along the curve than across to the next point its foot may lie: more is another arm of the curve. */
const STRIDE = 4

/** The foot of a point close to another whose foot is known, by Newton, on whatever cubic it comes to lie. */
function beside(
	chart: Chart,
	curve: Curve,
	last: { readonly at: ChartPoint; readonly foot: Nearest },
	p: ChartPoint,
	toleranceMm: number,
): Nearest | undefined {
	const n = curve.cubics.length
	const { j } = chart.metric(p.s, p.g)
	const stride = Math.hypot((p.s - last.at.s) * j, p.g - last.at.g)
	let u = last.foot.u
	let w = last.foot.offsetMm
	for (let i = 0; i < MAX_NEWTON; i++) {
		const k = Math.min(n - 1, Math.floor(u))
		const f = frameOf(chart, evaluateCubic(curve.cubics[k] as ChartCubic, u - k))
		const end = parallelPoint(chart, f, w, 0, toleranceMm / 10)
		if (!end.reached || !(end.spread > LEAST_SPREAD)) return undefined
		const metric = chart.metric((end.at.s + p.s) / 2, (end.at.g + p.g) / 2)
		const [es, eg] = [(p.s - end.at.s) * metric.j, p.g - end.at.g]
		if (Math.hypot(es, eg) < toleranceMm) {
			const moved = Math.hypot((f.at.s - last.foot.at.s) * metric.j, f.at.g - last.foot.at.g)
			return moved <= STRIDE * stride + toleranceMm ? { u, at: f.at, offsetMm: w } : undefined
		}
		const [c, s] = [Math.cos(end.ahead), Math.sin(end.ahead)]
		u += (es * c + eg * s) / (f.speed * end.spread)
		w += eg * c - es * s
		if (curve.closed) u = ((u % n) + n) % n
		else if (!(u >= 0 && u <= n)) return undefined
	}
	return undefined
}

/** Newton from a look an eighth of a cubic away takes three or four steps. */
const MAX_NEWTON = 8
/** Ends this near p are at it: distances are then right to as much. */
const MET_MM = 1e-8
/** With less spread left p is near a focal point, where the foot is not one place: left to the slower way. */
const LEAST_SPREAD = 0.3

/**
 * The foot inside a cubic by Newton on (place, distance): the path that leaves square off the line has the line's parallel as
 * its derivative. Undefined where that does not settle inside the cubic.
 */
function squareFoot(chart: Chart, cubic: ChartCubic, start: number, p: ChartPoint): { t: number; path: Path } | undefined {
	let t = start
	let w: number | undefined
	for (let i = 0; i < MAX_NEWTON; i++) {
		const f = frameOf(chart, evaluateCubic(cubic, t))
		if (w === undefined) {
			const { j } = chart.metric(f.at.s, f.at.g)
			w = (p.g - f.at.g) * Math.cos(f.angle) - (p.s - f.at.s) * j * Math.sin(f.angle)
		}
		const end = parallelPoint(chart, f, w)
		if (!end.reached || !(end.spread > LEAST_SPREAD)) return undefined
		const { j } = chart.metric((end.at.s + p.s) / 2, (end.at.g + p.g) / 2)
		const [es, eg] = [(p.s - end.at.s) * j, p.g - end.at.g]
		const miss = Math.hypot(es, eg)
		if (miss < MET_MM) {
			const out = w >= 0 ? Math.PI / 2 : -Math.PI / 2
			return { t, path: { length: Math.abs(w), startAngle: f.angle + out, endAngle: end.ahead + out, errorMm: miss } }
		}
		const [c, s] = [Math.cos(end.ahead), Math.sin(end.ahead)]
		t += (es * c + eg * s) / (f.speed * end.spread)
		w += eg * c - es * s
		if (!(t > 0 && t < 1)) return undefined
	}
	return undefined
}

/** Where on one cubic the path to p leaves square to it, or the end of the cubic that is nearer. */
function footOn(chart: Chart, cubic: ChartCubic, start: number, p: ChartPoint): { t: number; path: Path } | undefined {
	let [low, high] = [0, 1]
	let t = start
	let last: { t: number; along: number } | undefined
	let path: Path | undefined
	for (let i = 0; i < MAX_STEPS; i++) {
		const f = frameOf(chart, evaluateCubic(cubic, t))
		path = distance(chart, f.at, p)
		if (!path) return undefined
		const turn = path.startAngle - f.angle
		// The part of the way that runs along the curve says how far the foot has to move.
		const along = path.length * Math.cos(turn)
		if (Math.abs(along) < FOOT_MM) break
		if (along > 0) low = t
		else high = t
		if (high - low < 1e-12 || (t === 0 && along < 0) || (t === 1 && along > 0)) break
		// Of two feet the secant's slope, of one the slope in a plane: 1 - k d (Struik, Differential Geometry, 1-4).
		const flat = f.speed * Math.max(0.1, 1 - f.curvature * path.length * Math.sin(turn))
		const secant = last && last.t !== t ? (last.along - along) / (t - last.t) : flat
		let next = t + along / (secant > 0 ? secant : flat)
		if (next <= low || next >= high) next = next <= low && low === 0 ? 0 : next >= high && high === 1 ? 1 : (low + high) / 2
		last = { t, along }
		t = next
	}
	return path ? { t, path } : undefined
}

/** Direction of the curve; at a corner half-way between the two. */
function tangent(chart: Chart, curve: Curve, i: number, t: number): { at: ChartPoint; angle: number } {
	const n = curve.cubics.length
	const here = frameOf(chart, evaluateCubic(curve.cubics[i] as ChartCubic, t))
	const beside = t === 0 ? i - 1 : t === 1 ? i + 1 : i
	if (beside === i || (!curve.closed && (beside < 0 || beside >= n))) return here
	const other = frameOf(chart, evaluateCubic(curve.cubics[(beside + n) % n] as ChartCubic, 1 - t))
	const x = Math.cos(here.angle) + Math.cos(other.angle)
	const y = Math.sin(here.angle) + Math.sin(other.angle)
	return { at: here.at, angle: Math.atan2(y, x) }
}
