import type { Box } from './cubic.ts'
import type { PlanePoint } from './point.ts'
import { cross, distance, mix } from './vector.ts'

export { type Crossing, intersections, isSimple, selfIntersections } from './crossings.ts'
export { pointInLoop, pointInRegion } from './inside.ts'

/** Polylines: mm; `closed` adds the segment from the last point to the first, which is not repeated. */

/** Length of the polyline, mm; the perimeter where closed. */
export function lengthOf(points: readonly PlanePoint[], closed = false): number {
	let sum = 0
	for (let i = 1; i < points.length; i++) sum += distance(points[i - 1] as PlanePoint, points[i] as PlanePoint)
	if (closed && points.length > 1) sum += distance(points[points.length - 1] as PlanePoint, points[0] as PlanePoint)
	return sum
}

export const perimeter = (loop: readonly PlanePoint[]): number => lengthOf(loop, true)

/** Length from the start to each point, mm; one more entry than points where closed. */
export function lengthsAlong(points: readonly PlanePoint[], closed = false): number[] {
	const out: number[] = []
	let sum = 0
	const count = points.length + (closed ? 1 : 0)
	for (let i = 0; i < count; i++) {
		if (i > 0) sum += distance(points[i - 1] as PlanePoint, points[i % points.length] as PlanePoint)
		out.push(sum)
	}
	return out
}

/** Place at a length from the start; held at the ends of an open line, wrapped on a closed one. RangeError for no points. */
export function pointAtLength(points: readonly PlanePoint[], length: number, closed = false): PlanePoint {
	return pointAtLengths(points, lengthsAlong(points, closed), length, closed)
}

function pointAtLengths(points: readonly PlanePoint[], lengths: readonly number[], length: number, closed: boolean): PlanePoint {
	const first = points[0]
	if (!first) throw new RangeError('a polyline without points has no place on it')
	const total = lengths[lengths.length - 1] as number
	const wanted = closed && total > 0 ? length - total * Math.floor(length / total) : Math.min(total, Math.max(0, length))
	let low = 0
	let high = lengths.length - 1
	while (high - low > 1) {
		const mid = (low + high) >> 1
		if ((lengths[mid] as number) <= wanted) low = mid
		else high = mid
	}
	const a = points[low] as PlanePoint
	const b = points[high % points.length] as PlanePoint
	const step = (lengths[high] as number) - (lengths[low] as number)
	return step > 0 ? mix(a, b, (wanted - (lengths[low] as number)) / step) : a
}

/**
 * Points at even lengths no more than `spacingMm` apart, ends kept. Corners between them are cut: use it for marks along a
 * line, not for its shape. RangeError for a spacing that is not positive.
 */
export function resample(points: readonly PlanePoint[], spacingMm: number, closed = false): PlanePoint[] {
	if (!(spacingMm > 0)) throw new RangeError(`spacingMm is ${spacingMm}, not above 0`)
	const lengths = lengthsAlong(points, closed)
	const total = lengths[lengths.length - 1] ?? 0
	if (points.length < 2 || total === 0) return [...points]
	const count = Math.max(1, Math.ceil(total / spacingMm - 1e-9))
	const out: PlanePoint[] = []
	for (let i = 0; i < count; i++) out.push(pointAtLengths(points, lengths, (total * i) / count, false))
	if (!closed) out.push(points[points.length - 1] as PlanePoint)
	return out
}

/** Area inside a loop, mm^2, positive where it runs anticlockwise. Measured from its first point, so far-off loops lose no digits. */
export function signedArea(loop: readonly PlanePoint[]): number {
	const o = loop[0]
	if (!o) return 0
	let twice = 0
	for (let i = 2; i < loop.length; i++) {
		const a = loop[i - 1] as PlanePoint
		const b = loop[i] as PlanePoint
		twice += cross({ x: a.x - o.x, y: a.y - o.y }, { x: b.x - o.x, y: b.y - o.y })
	}
	return twice / 2
}

/** Smallest upright box; undefined for no points. */
export function boxOf(points: readonly PlanePoint[]): Box | undefined {
	if (points.length === 0) return undefined
	let minX = Number.POSITIVE_INFINITY
	let minY = Number.POSITIVE_INFINITY
	let maxX = Number.NEGATIVE_INFINITY
	let maxY = Number.NEGATIVE_INFINITY
	for (const p of points) {
		minX = Math.min(minX, p.x)
		minY = Math.min(minY, p.y)
		maxX = Math.max(maxX, p.x)
		maxY = Math.max(maxY, p.y)
	}
	return { minX, minY, maxX, maxY }
}
