import type { PlanePoint } from './point.ts'
import { meetingBoxes, meetingBoxesWithin, type SegmentTree, segmentTree } from './segmentTree.ts'
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
	meetingBoxes(treeOf(a), treeOf(b), (s, t) => {
		meet(a[s] as Segment, b[t] as Segment, found)
		return false
	})
	return ordered(found, a.length, b.length, options.pClosed ?? false, options.qClosed ?? false, p, q)
}

/**
 * Every place where a polyline meets itself, i < j, ordered along it. The vertex that neighbours share is not a crossing;
 * neighbours that fold back over each other are (with the end of the shorter one).
 */
export function selfIntersections(points: readonly PlanePoint[], closed = false): Crossing[] {
	const list = segments(points, closed)
	const found: Crossing[] = []
	meetingBoxesWithin(treeOf(list), (s, t) => {
		const first = list[s] as Segment
		const second = list[t] as Segment
		const wraps = closed && t - s === list.length - 1
		if (t - s === 1 || wraps) foldBack(first, second, wraps, found)
		else meet(first, second, found)
		return false
	})
	return ordered(found, list.length, list.length, closed, closed, points, points)
}

/** Whether the polyline nowhere meets itself. */
export const isSimple = (points: readonly PlanePoint[], closed = false): boolean => selfIntersections(points, closed).length === 0

interface Segment {
	/** in the polyline */
	readonly index: number
	readonly p: PlanePoint
	readonly q: PlanePoint
}

/**
 * Segments of some length, so that neighbours in the list share a vertex. Points within `SAME_PLACE_MM` of the last one
 * kept are passed over: a segment of rounding has no direction, and its two neighbours would seem to touch.
 */
function segments(points: readonly PlanePoint[], closed: boolean): Segment[] {
	const list: Segment[] = []
	const count = closed ? points.length : points.length - 1
	let p = points[0]
	for (let index = 0; p && index < count; index++) {
		const q = points[(index + 1) % points.length] as PlanePoint
		if (distance(p, q) <= SAME_PLACE_MM) continue
		list.push({ index, p, q })
		p = q
	}
	return list
}

function treeOf(list: readonly Segment[]): SegmentTree {
	const ends = new Float64Array(4 * list.length)
	for (let k = 0; k < list.length; k++) {
		const { p, q } = list[k] as Segment
		ends[4 * k] = p.x
		ends[4 * k + 1] = p.y
		ends[4 * k + 2] = q.x
		ends[4 * k + 3] = q.y
	}
	return segmentTree(ends)
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
