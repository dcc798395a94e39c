import type { PlanePoint } from './point.ts'
import { cross, distance, dot, minus, mix, norm } from './vector.ts'

/** A place where segment i (at parameter a in 0..1) meets segment j (at b). */
export interface Crossing {
	readonly i: number
	readonly a: number
	readonly j: number
	readonly b: number
	readonly point: PlanePoint
}

/** Places this near (mm) along both lines are one crossing: seen twice from the two segments that share a vertex. */
const SAME_PLACE_MM = 1e-7
/** Sine of the angle under which two segments count as parallel: their crossing would be rounding noise. */
const PARALLEL = 1e-12

/**
 * Every place where polyline p meets polyline q, ordered along p: crossings, touches, and both ends of shared stretches.
 * A vertex hit counts once, at the lower segment's end or the next one's start.
 */
export function intersections(
	p: readonly PlanePoint[],
	q: readonly PlanePoint[],
	options: { readonly pClosed?: boolean; readonly qClosed?: boolean } = {},
): Crossing[] {
	const a = segments(p, options.pClosed ?? false)
	const b = segments(q, options.qClosed ?? false)
	const found: Crossing[] = []
	sweep(a, b, (s, t) => meet(s, t, found))
	return ordered(found, a.length, b.length, options.pClosed ?? false, options.qClosed ?? false, p, q)
}

/**
 * Every place where a polyline meets itself, i < j, ordered along it. The vertex that neighbours share is not a crossing;
 * neighbours that fold back over each other are (with the end of the shorter one).
 */
export function selfIntersections(points: readonly PlanePoint[], closed = false): Crossing[] {
	const list = segments(points, closed)
	const found: Crossing[] = []
	sweep(list, undefined, (s, t) => {
		const [first, second] = s.place < t.place ? [s, t] : [t, s]
		const step = second.place - first.place
		const wraps = closed && step === list.length - 1
		if (step === 1 || wraps) foldBack(first, second, wraps, found)
		else meet(first, second, found)
	})
	return ordered(found, list.length, list.length, closed, closed, points, points)
}

/** Whether the polyline nowhere meets itself. */
export const isSimple = (points: readonly PlanePoint[], closed = false): boolean => selfIntersections(points, closed).length === 0

interface Segment {
	/** in the polyline */
	readonly index: number
	/** in the list, which leaves out segments of no length: so neighbours there share a vertex */
	readonly place: number
	readonly p: PlanePoint
	readonly q: PlanePoint
	readonly minX: number
	readonly maxX: number
	readonly minY: number
	readonly maxY: number
}

function segments(points: readonly PlanePoint[], closed: boolean): Segment[] {
	const list: Segment[] = []
	const count = closed ? points.length : points.length - 1
	for (let index = 0; index < count; index++) {
		const p = points[index] as PlanePoint
		const q = points[(index + 1) % points.length] as PlanePoint
		if (p.x === q.x && p.y === q.y) continue
		list.push({
			index,
			place: list.length,
			p,
			q,
			minX: Math.min(p.x, q.x),
			maxX: Math.max(p.x, q.x),
			minY: Math.min(p.y, q.y),
			maxY: Math.max(p.y, q.y),
		})
	}
	return list
}

/** Calls `pair` for every two segments whose boxes meet: within one list, or one of each. Sweeps along the longer side. */
function sweep(one: readonly Segment[], two: readonly Segment[] | undefined, pair: (s: Segment, t: Segment) => void): void {
	const all = two ? [...one, ...two] : one
	const count = all.length
	let box = { minX: Infinity, maxX: -Infinity, minY: Infinity, maxY: -Infinity }
	for (const s of all) {
		box = {
			minX: Math.min(box.minX, s.minX),
			maxX: Math.max(box.maxX, s.maxX),
			minY: Math.min(box.minY, s.minY),
			maxY: Math.max(box.maxY, s.maxY),
		}
	}
	const alongX = box.maxX - box.minX >= box.maxY - box.minY
	const low = Float64Array.from(all, (s) => (alongX ? s.minX : s.minY))
	const high = Float64Array.from(all, (s) => (alongX ? s.maxX : s.maxY))
	const sideLow = Float64Array.from(all, (s) => (alongX ? s.minY : s.minX))
	const sideHigh = Float64Array.from(all, (s) => (alongX ? s.maxY : s.maxX))
	const order = Uint32Array.from(all, (_, k) => k).sort((p, q) => (low[p] as number) - (low[q] as number))
	// segments that the sweep has reached and not yet passed
	const open = new Uint32Array(count)
	let opened = 0
	for (const k of order) {
		const from = low[k] as number
		const bottom = sideLow[k] as number
		const top = sideHigh[k] as number
		let kept = 0
		for (let n = 0; n < opened; n++) {
			const other = open[n] as number
			if ((high[other] as number) < from) continue
			open[kept++] = other
			if ((sideHigh[other] as number) < bottom || (sideLow[other] as number) > top) continue
			if (!two) pair(all[other] as Segment, all[k] as Segment)
			else if (other < one.length !== k < one.length) pair(all[Math.min(k, other)] as Segment, all[Math.max(k, other)] as Segment)
		}
		open[kept++] = k
		opened = kept
	}
}

function meet(s: Segment, t: Segment, found: Crossing[]): void {
	const r = minus(s.q, s.p)
	const v = minus(t.q, t.p)
	const w = minus(t.p, s.p)
	const lengthR = norm(r)
	const lengthV = norm(v)
	const denominator = cross(r, v)
	// how far past its ends a segment still counts: the same place seen with rounding
	const slackA = SAME_PLACE_MM / lengthR
	const slackB = SAME_PLACE_MM / lengthV
	if (Math.abs(denominator) > PARALLEL * lengthR * lengthV) {
		const a = cross(w, v) / denominator
		const b = cross(w, r) / denominator
		if (a < -slackA || a > 1 + slackA || b < -slackB || b > 1 + slackB) return
		add(found, s, clamp(a), t, clamp(b))
		return
	}
	if (Math.abs(cross(w, r)) > SAME_PLACE_MM * lengthR) return
	// on one line: the ends of the shared stretch
	const a0 = dot(w, r) / (lengthR * lengthR)
	const a1 = a0 + dot(v, r) / (lengthR * lengthR)
	const from = Math.max(0, Math.min(a0, a1))
	const to = Math.min(1, Math.max(a0, a1))
	if (from > to + slackA) return
	for (const a of from < to ? [from, to] : [clamp(from)]) add(found, s, a, t, clamp((a - a0) / (a1 - a0)))
}

/** Neighbours share a vertex; they meet elsewhere only where the second turns straight back over the first. */
function foldBack(s: Segment, t: Segment, wraps: boolean, found: Crossing[]): void {
	const [before, after] = wraps ? [t, s] : [s, t]
	const r = minus(before.p, before.q)
	const v = minus(after.q, after.p)
	const lengthR = norm(r)
	const lengthV = norm(v)
	if (dot(r, v) <= 0 || Math.abs(cross(r, v)) > PARALLEL * lengthR * lengthV) return
	const reach = Math.min(lengthR, lengthV)
	const onBefore = 1 - reach / lengthR
	const onAfter = reach / lengthV
	if (wraps) add(found, s, onAfter, t, onBefore)
	else add(found, s, onBefore, t, onAfter)
}

function add(found: Crossing[], s: Segment, a: number, t: Segment, b: number): void {
	found.push({ i: s.index, a, j: t.index, b, point: mix(s.p, s.q, a) })
}

const clamp = (t: number) => Math.min(1, Math.max(0, t))

/** In order along the first line, each place once. */
function ordered(
	found: Crossing[],
	countP: number,
	countQ: number,
	pClosed: boolean,
	qClosed: boolean,
	p: readonly PlanePoint[],
	q: readonly PlanePoint[],
): Crossing[] {
	if (found.length < 2) return found
	found.sort((x, y) => x.i + x.a - y.i - y.a || x.j + x.b - y.j - y.b)
	const kept: Crossing[] = []
	const gap = (i: number, a: number, j: number, b: number, count: number, closed: boolean, line: readonly PlanePoint[]) => {
		const apart = Math.abs(i + a - j - b)
		if (Math.min(apart, closed ? Math.abs(line.length - apart) : apart) > 2) return Number.POSITIVE_INFINITY
		if (i === j) return Math.abs(a - b) * distance(line[i] as PlanePoint, line[(i + 1) % line.length] as PlanePoint)
		// on neighbouring segments: by way of the vertex between them
		const [lo, la, hi, ha] = i < j ? [i, a, j, b] : [j, b, i, a]
		const wraps = closed && hi - lo > count / 2 && count > 2
		const [first, fa, second, sa] = wraps ? [hi, ha, lo, la] : [lo, la, hi, ha]
		const length = (k: number) => distance(line[k] as PlanePoint, line[(k + 1) % line.length] as PlanePoint)
		return (1 - fa) * length(first) + sa * length(second)
	}
	for (const c of found) {
		const seen = kept.some(
			(k) =>
				distance(k.point, c.point) <= 2 * SAME_PLACE_MM &&
				gap(k.i, k.a, c.i, c.a, countP, pClosed, p) <= 4 * SAME_PLACE_MM &&
				gap(k.j, k.b, c.j, c.b, countQ, qClosed, q) <= 4 * SAME_PLACE_MM,
		)
		if (!seen) kept.push(c)
	}
	return kept
}
