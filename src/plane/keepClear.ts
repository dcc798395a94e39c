import type { Loop, PlanePoint, Region } from './point.ts'
import { meetingBoxes, meetingBoxesWithin, type SegmentTree, segmentTree, wholeBox } from './segmentTree.ts'

/** Whether a place belongs to a result, by the winding numbers of the subject and of the clip round it. */
export type Rule = (subject: number, clip: number) => boolean

interface Corners {
	/** four whole numbers a segment: its start and its end */
	readonly ends: Float64Array
	readonly tree: SegmentTree
	readonly box: Float64Array
}
/** A loop that meets no other: of the subject or of the clip, +1 where it runs anticlockwise. */
export interface Clear extends Corners {
	readonly clip: boolean
	readonly turn: 1 | -1
}

/** Up to here the products of differences are whole numbers still. */
const EXACT = 2 ** 25

/**
 * The loops of a subject and a clip, none of which meets itself or another; undefined where any two meet. Places are brought to
 * whole numbers of 1 / `perUnit` (to 2^25 of them, so that what lies on a line is told exactly); those on the way from one to
 * another are left out. The highest come first, as the library has them.
 */
export function clearLoops(subject: Region, clip: Region, perUnit: number): readonly Clear[] | undefined {
	const [own, other] = [allCorners(subject, perUnit), allCorners(clip, perUnit)]
	if (!own || !other) return undefined
	// Most often it is an edge that the two share: looked for first, as the first meeting ends it.
	if (own.some((a) => other.some((b) => meet(a, b)))) return undefined
	const loops: Clear[] = []
	for (const [k, list] of [own, other].entries()) {
		for (const [i, corners] of list.entries()) {
			if (meetsItself(corners) || list.slice(0, i).some((before) => meet(corners, before))) return undefined
			loops.push({ ...corners, clip: k === 1, turn: turnOf(corners) })
		}
	}
	return loops.sort((a, b) => (b.box[3] as number) - (a.box[3] as number))
}

/**
 * A boolean of such loops: nothing is cut, and the winding numbers on both sides of each say whether it bounds the result
 * (anticlockwise where it holds it, clockwise as a hole in it). As with the library each starts after its lowest place.
 */
export const combineClear = (loops: readonly Clear[], rule: Rule, perUnit: number): Region =>
	loops.flatMap((one) => {
		let [s, c] = [0, 0]
		for (const other of loops) {
			if (other === one || !encloses(other, one)) continue
			if (other.clip) c += other.turn
			else s += other.turn
		}
		const outside = rule(s, c)
		const inside = one.clip ? rule(s, c + one.turn) : rule(s + one.turn, c)
		if (inside === outside) return []
		return [startedLow(one.ends, inside === one.turn > 0, perUnit)]
	})

/** Whether each loop of a region lies, clear of its edge, in one loop of another; false also where that was not easily told. */
export function liesWithin(outer: Region, perUnit: number): (inner: Region) => boolean {
	const around = outer.flatMap((loop) => cornersOf(loop, perUnit) ?? [])
	return (inner) =>
		inner.every((loop) => {
			const one = cornersOf(loop, perUnit)
			return one !== undefined && around.some((other) => encloses(other, one) && !meet(other, one))
		})
}

/** Undefined where a loop has no area, runs back or is too large. */
function allCorners(region: Region, perUnit: number): Corners[] | undefined {
	const all: Corners[] = []
	for (const loop of region) {
		const corners = cornersOf(loop, perUnit)
		if (!corners) return undefined
		all.push(corners)
	}
	return all
}

/** Neighbours share a place and, as none runs back, no more. */
function meetsItself({ ends, tree }: Corners): boolean {
	const n = ends.length / 4
	return meetingBoxesWithin(tree, (s, t) => t - s !== 1 && t - s !== n - 1 && segmentsMeet(ends, s, ends, t))
}

/** +1 where it runs anticlockwise. */
function turnOf({ ends }: Corners): 1 | -1 {
	let twice = 0
	const [x0, y0] = [ends[0] as number, ends[1] as number]
	for (let o = 0; o < ends.length; o += 4) {
		const [px, py, qx, qy] = [ends[o] as number, ends[o + 1] as number, ends[o + 2] as number, ends[o + 3] as number]
		twice += (px - x0) * (qy - y0) - (py - y0) * (qx - x0)
	}
	return twice > 0 ? 1 : -1
}

/** Work space, used again. */
let room = new Float64Array(2048)
function roomFor(size: number): Float64Array {
	if (room.length < size) room = new Float64Array(2 * size)
	return room
}

/** Of each loop what it is in whole numbers, and of how many a unit: loops never change, and the same ones are cut again and again. */
const known = new WeakMap<Loop, { readonly perUnit: number; readonly corners: Corners | undefined }>()

function cornersOf(loop: Loop, perUnit: number): Corners | undefined {
	const before = known.get(loop)
	if (before?.perUnit === perUnit) return before.corners
	const corners = cornersAnew(loop, perUnit)
	known.set(loop, { perUnit, corners })
	return corners
}

/** Segments of the loop without places that repeat or lie on the way; undefined where it has no area, runs back or is too large. */
function cornersAnew(loop: Loop, perUnit: number): Corners | undefined {
	const xy = roomFor(2 * loop.length)
	let n = 0
	for (let i = 0; i < loop.length; i++) {
		const p = loop[i] as PlanePoint
		const x = Math.round(p.x * perUnit)
		const y = Math.round(p.y * perUnit)
		if (!(Math.abs(x) <= EXACT && Math.abs(y) <= EXACT)) return undefined
		if (n > 0 && xy[2 * n - 2] === x && xy[2 * n - 1] === y) continue
		xy[2 * n] = x
		xy[2 * n + 1] = y
		n++
	}
	if (n > 1 && xy[0] === xy[2 * n - 2] && xy[1] === xy[2 * n - 1]) n--
	const ends = new Float64Array(4 * n)
	let count = 0
	for (let i = 0; i < n; i++) {
		const a = 2 * (i === 0 ? n - 1 : i - 1)
		const b = 2 * (i === n - 1 ? 0 : i + 1)
		const [x, y] = [xy[2 * i] as number, xy[2 * i + 1] as number]
		const [ax, ay] = [x - (xy[a] as number), y - (xy[a + 1] as number)]
		const [bx, by] = [(xy[b] as number) - x, (xy[b + 1] as number) - y]
		if (ax * by === ay * bx) {
			if (ax * bx + ay * by < 0) return undefined
			continue
		}
		ends[4 * count] = x
		ends[4 * count + 1] = y
		count++
	}
	if (count < 3) return undefined
	for (let i = 0; i < count; i++) {
		const next = i + 1 === count ? 0 : 4 * (i + 1)
		ends[4 * i + 2] = ends[next] as number
		ends[4 * i + 3] = ends[next + 1] as number
	}
	const tree = segmentTree(ends, count)
	return { ends: ends.subarray(0, 4 * count), tree, box: wholeBox(tree) }
}

function meet(a: Corners, b: Corners): boolean {
	return meetingBoxes(a.tree, b.tree, (s, t) => segmentsMeet(a.ends, s, b.ends, t))
}

/** Whether two segments whose boxes meet have a place in common; of two on one line the boxes have said it. */
function segmentsMeet(p: Float64Array, s: number, q: Float64Array, t: number): boolean {
	const [x0, y0, x1, y1] = [p[4 * s] as number, p[4 * s + 1] as number, p[4 * s + 2] as number, p[4 * s + 3] as number]
	const [x2, y2, x3, y3] = [q[4 * t] as number, q[4 * t + 1] as number, q[4 * t + 2] as number, q[4 * t + 3] as number]
	const a = (x1 - x0) * (y2 - y0) - (y1 - y0) * (x2 - x0)
	const b = (x1 - x0) * (y3 - y0) - (y1 - y0) * (x3 - x0)
	if ((a > 0 && b > 0) || (a < 0 && b < 0)) return false
	const c = (x3 - x2) * (y0 - y2) - (y3 - y2) * (x0 - x2)
	const d = (x3 - x2) * (y1 - y2) - (y3 - y2) * (x1 - x2)
	return !((c > 0 && d > 0) || (c < 0 && d < 0))
}

/** Of two loops that do not meet, whether the first goes round the second (upward and downward passes beside one place). */
function encloses({ box, ends }: Corners, other: Corners): boolean {
	for (let k = 0; k < 2; k++) {
		if ((box[k] as number) > (other.box[k] as number) || (box[k + 2] as number) < (other.box[k + 2] as number)) return false
	}
	const [x, y] = [other.ends[0] as number, other.ends[1] as number]
	let inside = false
	for (let o = 0; o < ends.length; o += 4) {
		const [ax, ay, bx, by] = [ends[o] as number, ends[o + 1] as number, ends[o + 2] as number, ends[o + 3] as number]
		if (ay <= y === by <= y) continue
		const side = (bx - ax) * (y - ay) - (by - ay) * (x - ax)
		if (side > 0 === by > ay) inside = !inside
	}
	return inside
}

function startedLow(ends: Float64Array, forward: boolean, perUnit: number): Loop {
	const n = ends.length / 4
	let low = 0
	for (let i = 1; i < n; i++) {
		const dy = (ends[4 * i + 1] as number) - (ends[4 * low + 1] as number)
		if (dy < 0 || (dy === 0 && (ends[4 * i] as number) > (ends[4 * low] as number))) low = i
	}
	return Array.from({ length: n }, (_, k) => {
		const o = 4 * ((forward ? low + 1 + k : low - 1 - k + n) % n)
		return { x: (ends[o] as number) / perUnit, y: (ends[o + 1] as number) / perUnit }
	})
}
