import { flattenWithParams } from '../plane/flatten.ts'
import { intersections, selfIntersections } from '../plane/polyline.ts'
import type { Chart } from './chart.ts'
import { evaluate, evaluateCubic, frame, part, toPlaneCubic } from './curve.ts'
import type { Measure } from './measure.ts'
import { parallelPoint } from './parallel.ts'
import type { ChartCubic, ChartPoint, Curve } from './point.ts'
import type { Width } from './width.ts'

/** A cubic of an offset, and the stretch of its line (parameters) that it stands off; none where it was led round a corner. */
export interface Tagged {
	readonly cubic: ChartCubic
	readonly from?: number
	readonly to?: number
}

export interface Trim {
	readonly at: ChartPoint
	/** the line bends tighter than the distance, another part of it is nearer, or the panel ends */
	readonly why: 'bend' | 'crossing' | 'limit'
}

/** Chords for finding crossings; each crossing is then made exact on the cubics. */
const CHORD_MM = 0.002
/** A point of the offset nearer to its line than this share of the distance (less a little) is cut off by another part of it. */
const NEAR_SHARE = 0.995
const NEAR_MM = 0.02
/** Ends this near are one point: far above rounding, far below what anyone can tape. */
const JOIN_MM = 0.005

const asCurve = (list: readonly Tagged[], closed = false): Curve => ({
	id: '',
	cubics: list.map((t) => t.cubic),
	closed,
	maxErrorMm: 0,
})
const flat = (curve: Curve) => flattenWithParams(curve.cubics.map(toPlaneCubic), CHORD_MM)

/** The end of one chain and the start of the next, cut where they meet nearest the corner between them. */
export function cutWhereMet(before: readonly Tagged[], after: readonly Tagged[]): { before: Tagged[]; after: Tagged[] } | undefined {
	const a = asCurve(before)
	const b = asCurve(after)
	const fa = flat(a)
	const fb = flat(b)
	const met = intersections(fa.points, fb.points)
	const latest = met.reduce<(typeof met)[number] | undefined>(
		(x, y) => (x && x.i + x.a - x.j - x.b >= y.i + y.a - y.j - y.b ? x : y),
		undefined,
	)
	if (!latest) return undefined
	const [u, v] = polish(a, between(fa.params, latest.i, latest.a), b, between(fb.params, latest.j, latest.b))
	return { before: partOf(before, 0, u), after: partOf(after, v, after.length) }
}

/** A part of a chain by parameter, each cubic keeping the stretch of line it stands off. */
function partOf(list: readonly Tagged[], u0: number, u1: number): Tagged[] {
	const out: Tagged[] = []
	list.forEach((tagged, i) => {
		const from = Math.max(0, u0 - i)
		const to = Math.min(1, u1 - i)
		const cubic = to - from > 1e-12 ? part(asCurve([tagged]), from, to).cubics[0] : undefined
		if (!cubic) return
		if (tagged.from === undefined || tagged.to === undefined) out.push({ cubic })
		else {
			const span = tagged.to - tagged.from
			out.push({ cubic, from: tagged.from + span * from, to: tagged.from + span * to })
		}
	})
	return out
}

const between = (params: readonly number[], i: number, a: number) => {
	const p = params[i] as number
	return p + ((params[i + 1] ?? p) - p) * a
}

/** Newton on C1(u) = C2(v), from a guess good to a chord. */
function polish(c1: Curve, u: number, c2: Curve, v: number): [number, number] {
	for (let k = 0; k < 8; k++) {
		const p = evaluate(c1, u)
		const q = evaluate(c2, v)
		const es = q.at.s - p.at.s
		const eg = q.at.g - p.at.g
		const det = q.ds * p.dg - p.ds * q.dg
		if (Math.abs(det) < 1e-12) break
		u = Math.min(c1.cubics.length, Math.max(0, u + (q.ds * eg - q.dg * es) / det))
		v = Math.min(c2.cubics.length, Math.max(0, v + (p.ds * eg - p.dg * es) / det))
	}
	return [u, v]
}

interface Raw {
	readonly width: Width
	readonly lengths: Measure
	readonly id: string
	readonly maxErrorMm: number
}

/** Cut a raw offset at its crossings with itself and at focal points; keep the pieces that are truly that far off their line. */
export function trimmed(chart: Chart, base: Curve, list: readonly Tagged[], raw: Raw): { curves: Curve[]; trims: Trim[] } {
	const whole: Curve = { ...asCurve(list, base.closed), id: raw.id, maxErrorMm: raw.maxErrorMm }
	const { points, params } = flat(whole)
	if (list.length === 0 || points.some((p) => !Number.isFinite(p.x + p.y))) {
		return { curves: [], trims: [{ at: evaluate(base, base.cubics.length / 2).at, why: 'limit' }] }
	}
	const n = list.length
	const backwards = runsBackwards(chart, base, list, raw)
	const cuts = backwards.flatMap((b) => [b.from, b.to])
	for (const x of selfIntersections(points)) {
		const u = between(params, x.i, x.a)
		const v = between(params, x.j, x.b)
		// The seam of a closed line is not a crossing.
		if (base.closed && Math.min(u, v) < 1e-6 && Math.max(u, v) > n - 1e-6) continue
		cuts.push(...polish(whole, u, whole, v))
	}
	if (cuts.length === 0) return { curves: [whole], trims: [] }
	const at = [0, ...cuts.filter((u) => u > 1e-7 && u < n - 1e-7).sort((a, b) => a - b), n]
	const tooNear = nearness(chart, base, list, raw)
	const kept: Curve[] = []
	const trims: Trim[] = []
	for (let i = 0; i + 1 < at.length; i++) {
		const from = at[i] as number
		const to = at[i + 1] as number
		if (to - from < 1e-7) continue
		const middle = (from + to) / 2
		const bent = backwards.some((b) => b.from < middle && middle < b.to)
		const near = bent || [0.2, 0.5, 0.8].some((f) => tooNear(from + (to - from) * f))
		if (near) trims.push({ at: evaluate(whole, middle).at, why: bent ? 'bend' : 'crossing' })
		else kept.push(part(whole, from, to))
	}
	return { curves: join(kept, whole), trims }
}

/** Pieces whose ends meet become one curve again. */
function join(pieces: readonly Curve[], whole: Curve): Curve[] {
	const meets = (a: readonly ChartCubic[] | undefined, b: readonly ChartCubic[] | undefined) => {
		const end = a?.[a.length - 1]?.[3]
		const start = b?.[0]?.[0]
		return end !== undefined && start !== undefined && Math.hypot(end.s - start.s, end.g - start.g) < JOIN_MM
	}
	const runs: ChartCubic[][] = []
	for (const piece of pieces) {
		const last = runs[runs.length - 1]
		if (meets(last, piece.cubics)) last?.push(...piece.cubics)
		else runs.push([...piece.cubics])
	}
	if (whole.closed && runs.length > 1 && meets(runs[runs.length - 1], runs[0])) {
		const first = runs.shift() as ChartCubic[]
		runs[runs.length - 1]?.push(...first)
	}
	return runs.map((cubics, i) => ({
		id: runs.length > 1 ? `${whole.id}/${i + 1}` : whole.id,
		cubics,
		closed: whole.closed && runs.length === 1 && meets(cubics, cubics),
		maxErrorMm: whole.maxErrorMm,
	}))
}

/** Stretches on which the offset runs against its line: past a focal point. A test for crossings alone misses a fully turned one. */
function runsBackwards(chart: Chart, base: Curve, list: readonly Tagged[], raw: Raw): { from: number; to: number }[] {
	const spread = (u: number) => {
		const i = Math.min(list.length - 1, Math.floor(u))
		const tag = list[i] as Tagged
		if (tag.from === undefined || tag.to === undefined) return 1
		const cubic = Math.min(base.cubics.length - 1, Math.floor((tag.from + tag.to) / 2))
		const v = tag.from + (tag.to - tag.from) * (u - i)
		const one: Curve = { ...base, cubics: [base.cubics[cubic] as ChartCubic] }
		const length = raw.lengths.lengthAt(Math.min(cubic + 1 - 1e-9, Math.max(cubic + 1e-9, v)))
		return parallelPoint(chart, frame(chart, one, v - cubic), raw.width.at(length)).spread
	}
	const runs: { from: number; to: number }[] = []
	const PER_CUBIC = 6
	let start: number | undefined
	let lastU = 0
	let last = spread(0)
	if (last <= 0) start = 0
	for (let k = 1; k <= list.length * PER_CUBIC; k++) {
		const u = k / PER_CUBIC
		const now = spread(Math.min(u, list.length - 1e-9))
		if (now <= 0 !== last <= 0) {
			const root = bisect(spread, lastU, u)
			if (start === undefined) start = root
			else {
				runs.push({ from: start, to: root })
				start = undefined
			}
		}
		last = now
		lastU = u
	}
	if (start !== undefined) runs.push({ from: start, to: list.length })
	return runs
}

/** Halving: 40 times brings a cubic's parameter to 1e-12. */
function bisect(f: (u: number) => number, a: number, b: number): number {
	const before = f(a) <= 0
	for (let i = 0; i < 40; i++) {
		const m = (a + b) / 2
		if (f(m) <= 0 === before) a = m
		else b = m
	}
	return (a + b) / 2
}

/** Whether a place on the raw offset is nearer to its line than it should be. Distances by the metric half-way: good to 0.1 % here. */
function nearness(chart: Chart, base: Curve, list: readonly Tagged[], raw: Raw): (u: number) => boolean {
	const { points, params } = flattenWithParams(base.cubics.map(toPlaneCubic), 0.05)
	const widths = params.map((u) => Math.abs(raw.width.at(raw.lengths.lengthAt(u))))
	return (u) => {
		const i = Math.min(list.length - 1, Math.floor(u))
		const p = evaluateCubic((list[i] as Tagged).cubic, u - i).at
		for (let k = 0; k + 1 < points.length; k++) {
			const a = points[k] as { x: number; y: number }
			const b = points[k + 1] as { x: number; y: number }
			const j = chart.metric((p.s + (a.x + b.x) / 2) / 2, (p.g + (a.y + b.y) / 2) / 2).j
			const ax = (a.x - p.s) * j
			const ay = a.y - p.g
			const dx = (b.x - a.x) * j
			const dy = b.y - a.y
			const t = Math.min(1, Math.max(0, -(ax * dx + ay * dy) / (dx * dx + dy * dy || 1)))
			const w = (widths[k] as number) + ((widths[k + 1] as number) - (widths[k] as number)) * t
			if (Math.hypot(ax + dx * t, ay + dy * t) < w * NEAR_SHARE - NEAR_MM) return true
		}
		return false
	}
}
