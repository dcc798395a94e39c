import { flatten, flattenWithParams } from '../plane/flatten.ts'
import { intersections, selfIntersections } from '../plane/polyline.ts'
import type { Chart } from './chart.ts'
import { evaluate, evaluateCubic, frameOf, part, toPlaneCubic } from './curve.ts'
import { LEAST_J } from './limits.ts'
import type { Measure } from './measure.ts'
import { nearestOn } from './nearest.ts'
import { parallelPoint } from './parallel.ts'
import type { ChartCubic, ChartPoint, Curve } from './point.ts'
import type { Width } from './width.ts'

/**
 * A cubic of an offset, and the stretch of its line (parameters) that it stands off. Led round a corner it stands off no
 * stretch, but at a distance from the corner; with neither it only bridges a gap and is always cut out.
 */
export interface Tagged {
	readonly cubic: ChartCubic
	readonly from?: number
	readonly to?: number
	readonly cornerMm?: number
}

export interface Trim {
	readonly at: ChartPoint
	/** the line bends tighter than the distance, another part of it is nearer, or the panel ends */
	readonly why: 'bend' | 'crossing' | 'limit'
}

/** Chords for finding crossings; each crossing is then made exact on the cubics. */
const CHORD_MM = 0.002
/** What is nearer to the line than its distance by more than this is cut off: far above the rounding of distances. */
const NEARER_MM = 2e-6
/** Ends this near are one point: crossings are exact to far below this, and nobody can tape it. */
const JOIN_MM = 1e-3
/** Where between two cuts the distance is looked at: from cut to cut it is right or wrong throughout. */
const LOOKS = [0.2, 0.5, 0.8]

/**
 * A width at a parameter of the line's cubic k, and its rate. A taper may break where cubics meet: what it is inside is carried on
 * to the end, from farther off than lengths along the line are out.
 */
export function widthOn(width: Width, lengths: Measure, k: number, t: number): { readonly w: number; readonly rate: number } {
	const inside = lengths.lengthAt(k + Math.min(1 - 1e-7, Math.max(1e-7, t)))
	const rate = width.rate(inside)
	return { w: width.at(inside) + rate * (lengths.lengthAt(k + t) - inside), rate }
}

const asCurve = (list: readonly Tagged[], closed = false): Curve => ({
	id: '',
	cubics: list.map((t) => t.cubic),
	closed,
	maxErrorMm: 0,
})
const flat = (cubics: readonly ChartCubic[]) => flattenWithParams(cubics.map(toPlaneCubic), CHORD_MM)

/** The end of one chain and the start of the next, cut where they meet nearest the corner between them. */
export function cutWhereMet(
	before: readonly Tagged[],
	after: readonly Tagged[],
): { before: Tagged[]; after: Tagged[] } | undefined {
	const a = asCurve(before)
	const b = asCurve(after)
	const fa = flat(a.cubics)
	const fb = flat(b.cubics)
	// Two halves of one closed line also touch where it was halved: a cut there would leave nothing.
	const met = intersections(fa.points, fb.points).filter(
		(x) => between(fa.params, x.i, x.a) > 1e-6 || between(fb.params, x.j, x.b) < after.length - 1e-6,
	)
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
		if (tagged.from === undefined || tagged.to === undefined) out.push({ ...tagged, cubic })
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

export interface Cap {
	/** the end of the line, and which it is */
	readonly end: ChartPoint
	readonly first: boolean
	readonly width: number
	/** made only where the offset comes near the end */
	readonly arc: () => readonly ChartCubic[]
}

interface Raw {
	readonly width: Width
	readonly lengths: Measure
	/** mm of offset per mm of line at some parameters of the line, where they are known */
	readonly spreads: ReadonlyMap<number, number>
	readonly id: string
	readonly maxErrorMm: number
	readonly toleranceMm: number
	/** at an open line's ends: arcs at its distance, beyond which the end itself is nearer */
	readonly caps: readonly Cap[]
}

/** Cut a raw offset at its crossings with itself and at focal points; keep the pieces that are truly that far off their line. */
export function trimmed(chart: Chart, base: Curve, pieces: readonly Tagged[], raw: Raw): { curves: Curve[]; trims: Trim[] } {
	const list = bridged(pieces, base.closed)
	const whole: Curve = { ...asCurve(list, base.closed), id: raw.id, maxErrorMm: raw.maxErrorMm }
	const n = list.length
	const standing = standingOff(chart, base, list, raw)
	const cuts = list.flatMap((t, i) => (isGap(t) ? [i, i + 1] : []))
	cuts.push(...focalPoints(standing, list), ...crossings(chart, whole, raw.caps, standing))
	const at = [0, ...cuts.filter((u) => u > 1e-7 && u < n - 1e-7).sort((a, b) => a - b), n]
	const kept: Curve[] = []
	const trims: Trim[] = []
	let before: Trim | undefined
	let startsTrimmed = false
	for (let i = 0; i + 1 < at.length; i++) {
		const from = at[i] as number
		const to = at[i + 1] as number
		if (to - from < 1e-7) continue
		const faults = LOOKS.flatMap((f) => standing.fault(from + (to - from) * f) ?? [])
		const why = (['limit', 'bend', 'crossing'] as const).find((w) => faults.includes(w))
		const piece = part(whole, from, to)
		if (!why) {
			// Two mitres on one line run over each other: once is enough.
			if (!kept.some((k) => same(k, piece))) kept.push(piece)
			before = undefined
		} else {
			// A swallow-tail is one fault: its turned stretch and the two that lead to it.
			const trim = { at: evaluate(whole, (from + to) / 2).at, why }
			if (kept.length === 0) startsTrimmed = true
			if (!before) trims.push(trim)
			else if (before.why === 'crossing' && why === 'bend') trims[trims.length - 1] = trim
			before = trims[trims.length - 1]
		}
	}
	if (base.closed && before && trims.length > 1 && startsTrimmed) {
		const first = trims.shift() as Trim
		if (before.why === 'crossing') trims[trims.length - 1] = first
	}
	return { curves: trims.length === 0 ? [whole] : join(kept, whole), trims }
}

function same(a: Curve, b: Curve): boolean {
	const pairs = [0, 0.5, 1].map((f) => [evaluate(a, f * a.cubics.length).at, evaluate(b, f * b.cubics.length).at] as const)
	return pairs.every(([p, q]) => Math.hypot(p.s - q.s, p.g - q.g) < JOIN_MM)
}

const isGap = (t: Tagged) => t.from === undefined && t.cornerMm === undefined

/** Straight bridges where one cubic does not start at the end of the last, so that the whole is one line. */
function bridged(pieces: readonly Tagged[], closed: boolean): Tagged[] {
	return pieces.flatMap((piece, i) => {
		const next = pieces[i + 1] ?? (closed ? pieces[0] : undefined)
		const [a, b] = [piece.cubic[3], next?.cubic[0]]
		if (!b || Math.hypot(a.s - b.s, a.g - b.g) < JOIN_MM) return [piece]
		const on = (t: number): ChartPoint => ({ s: a.s + (b.s - a.s) * t, g: a.g + (b.g - a.g) * t })
		return [piece, { cubic: [a, on(1 / 3), on(2 / 3), b] as const }]
	})
}

function crossings(chart: Chart, whole: Curve, caps: readonly Cap[], standing: Standing): number[] {
	const n = whole.cubics.length
	const cuts: number[] = []
	const near = caps.filter((cap) => standing.spread(cap.first ? 0 : n - 1e-9) < STRAIGHT_SPREAD || comesBack(chart, whole, cap))
	if (near.length === 0 && runsOneWay(whole)) return cuts
	const { points, params } = flat(whole.cubics)
	for (const x of selfIntersections(points)) {
		const u = between(params, x.i, x.a)
		const v = between(params, x.j, x.b)
		// The seam of a closed line is not a crossing.
		if (whole.closed && Math.min(u, v) < 1e-6 && Math.max(u, v) > n - 1e-6) continue
		cuts.push(...polish(whole, u, whole, v))
	}
	for (const cubic of near.flatMap((cap) => cap.arc())) {
		const other: Curve = { id: '', cubics: [cubic], closed: false, maxErrorMm: 0 }
		const f = flat([cubic])
		for (const x of intersections(points, f.points)) {
			cuts.push(polish(whole, between(params, x.i, x.a), other, between(f.params, x.j, x.b))[0])
		}
	}
	return cuts
}

/** Whether every handle leads on towards the end of the line, seen along the way from its start: such a line cannot meet itself. */
function runsOneWay({ cubics }: Curve): boolean {
	const from = cubics[0]?.[0]
	const to = cubics[cubics.length - 1]?.[3]
	if (!from || !to) return false
	const [s, g] = [to.s - from.s, to.g - from.g]
	return cubics.every((c) =>
		[1, 2, 3].every((k) => {
			const [a, b] = [c[k - 1] as ChartPoint, c[k] as ChartPoint]
			return (b.s - a.s) * s + (b.g - a.g) * g > 0
		}),
	)
}

/** A line that spreads its offset by less at an end bends towards it there: the end may be nearer than the line beside it. */
const STRAIGHT_SPREAD = 0.7
/** From its own end an offset of a nearly straight line is so far away after this many widths ... */
const OWN_END = 0.6
/** ... that this share of the width is not reached again, with room for reckoning distance by the metric half-way. */
const BACK_SHARE = 1.03

/** Chords on which coming back is looked for, as a share of the width: what they are out by is far less than the room left. */
const BACK_CHORD = 0.01

/** Whether an offset, having left the end of its line, comes back to about its distance from it. */
function comesBack(chart: Chart, whole: Curve, { end, first, width }: Cap): boolean {
	const points = flatten(whole.cubics.map(toPlaneCubic), Math.max(CHORD_MM, BACK_CHORD * Math.abs(width)))
	const w = Math.abs(width)
	let gone = 0
	for (let i = 1; i < points.length; i++) {
		const [p, q] = first ? [points[i - 1], points[i]] : [points[points.length - i], points[points.length - 1 - i]]
		if (!p || !q) continue
		const [ds, dg] = [q.x - end.s, q.y - end.g]
		const left = gone > OWN_END * w
		if (left && Math.hypot(ds * LEAST_J, dg) >= BACK_SHARE * w) continue
		const { j } = chart.metric((q.x + end.s) / 2, (q.y + end.g) / 2)
		if (!left) gone += Math.hypot((q.x - p.x) * j, q.y - p.y)
		if (gone > OWN_END * w && Math.hypot(ds * j, dg) < BACK_SHARE * w) return true
	}
	return false
}

/** How the places of a raw offset, by parameter, stand to its line. */
interface Standing {
	/** mm of offset per mm of line; not above 0 past a focal point */
	spread(u: number): number
	/** why the place is not part of the true offset */
	fault(u: number): Trim['why'] | undefined
}

/** Judged by the exact place square off the line, not by the cubic that was fitted to it. */
function standingOff(chart: Chart, base: Curve, list: readonly Tagged[], raw: Raw): Standing {
	const foot = nearestOn(chart, base)
	const nearer = (p: ChartPoint, own: number): Trim['why'] | undefined => {
		const found = foot(p)
		if (!found) return 'limit'
		return Math.abs(found.offsetMm) < own ? 'crossing' : undefined
	}
	/** Where on the line a place of the offset stands off it: which cubic, and how far along it; undefined round a corner. */
	const along = ({ from, to }: Tagged, t: number) => {
		if (from === undefined || to === undefined) return undefined
		// The middle says which cubic of the line this is, also where it ends on a corner.
		const k = Math.min(base.cubics.length - 1, Math.floor((from + to) / 2))
		return { k, v: Math.min(1, Math.max(0, from + (to - from) * t - k)) }
	}
	const place = (u: number) => {
		const i = Math.min(list.length - 1, Math.floor(u))
		const tagged = list[i] as Tagged
		const on = along(tagged, u - i)
		if (!on) return { at: evaluateCubic(tagged.cubic, u - i).at, cornerMm: tagged.cornerMm }
		const { k, v } = on
		const width = widthOn(raw.width, raw.lengths, k, v).w
		const f = frameOf(chart, evaluateCubic(base.cubics[k] as ChartCubic, v))
		return { ...parallelPoint(chart, f, width, 0, NEARER_MM / 10), width, foot: k + v }
	}
	return {
		spread(u) {
			const i = Math.min(list.length - 1, Math.floor(u))
			const on = along(list[i] as Tagged, u - i)
			const known = on && raw.spreads.get(on.k + on.v)
			if (known !== undefined) return known
			const p = place(u)
			return 'spread' in p ? p.spread : 1
		},
		fault(u) {
			const p = place(u)
			if (!('spread' in p)) return p.cornerMm === undefined ? 'crossing' : nearer(p.at, Math.abs(p.cornerMm) - raw.toleranceMm)
			if (!p.reached) return 'limit'
			if (p.spread <= 0) return 'bend'
			return foot(p.at, { u: p.foot, distanceMm: Math.abs(p.width) - NEARER_MM }) ? 'crossing' : undefined
		},
	}
}

/**
 * Looks along one cubic for the change of sign of the spread. A fit is cut finer where the offset turns, and a turn between
 * two looks crosses itself, so that it is found all the same.
 */
const SPREAD_LOOKS = 2

/**
 * Parameters at which the offset turns back (a focal point). A test for crossings alone misses an offset that is turned
 * inside out throughout.
 */
function focalPoints(standing: Standing, list: readonly Tagged[]): number[] {
	const found: number[] = []
	let before = standing.spread(0)
	for (let k = 1; k <= list.length * SPREAD_LOOKS; k++) {
		const u = Math.min(k / SPREAD_LOOKS, list.length - 1e-9)
		const now = standing.spread(u)
		if (now <= 0 !== before <= 0) found.push(turning(standing.spread, (k - 1) / SPREAD_LOOKS, u))
		before = now
	}
	return found
}

/** Halving: 40 times brings a cubic's parameter to 1e-12. */
function turning(f: (u: number) => number, a: number, b: number): number {
	const before = f(a) <= 0
	for (let i = 0; i < 40; i++) {
		const m = (a + b) / 2
		if (f(m) <= 0 === before) a = m
		else b = m
	}
	return (a + b) / 2
}

/** Pieces whose ends meet become one curve again; one that comes back to its start is closed. */
function join(pieces: readonly Curve[], whole: Curve): Curve[] {
	const runs: ChartCubic[][] = []
	for (const { cubics } of pieces) {
		const run = runs.findLast((r) => !meet(r, r) && meet(r, cubics))
		if (run) run.push(...cubics)
		else runs.push([...cubics])
	}
	// A closed line starts anywhere: what starts at its seam may go on from what ends there.
	const first = runs[0]
	const last = runs.findLast((r) => r !== first && first && !meet(r, r) && meet(r, first))
	if (first && last && !meet(first, first)) {
		last.push(...first)
		runs.shift()
	}
	return runs.map((cubics, i) => ({
		id: runs.length > 1 ? `${whole.id}/${i + 1}` : whole.id,
		cubics: joined(cubics),
		closed: meet(cubics, cubics),
		maxErrorMm: whole.maxErrorMm,
	}))
}

function meet(a: readonly ChartCubic[], b: readonly ChartCubic[]): boolean {
	const end = a[a.length - 1]?.[3]
	const start = b[0]?.[0]
	return end !== undefined && start !== undefined && Math.hypot(end.s - start.s, end.g - start.g) < JOIN_MM
}

/** Each cubic starts exactly where the one before ends. */
function joined(cubics: readonly ChartCubic[]): ChartCubic[] {
	return cubics.map((c, i) => {
		const before = cubics[i - 1]
		return before ? [before[3], c[1], c[2], c[3]] : c
	})
}
