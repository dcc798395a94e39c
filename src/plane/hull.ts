import type { PlanePoint } from './point.ts'
import { refuseNonFinite } from './vector.ts'

/** Corners of the convex hull, anticlockwise, no three in line (Andrew's monotone chain, 1979). Fewer than 3 for a line or a point. */
export function convexHull(points: readonly PlanePoint[]): PlanePoint[] {
	refuseNonFinite(points, 'hull')
	const sorted = [...points].sort((a, b) => a.x - b.x || a.y - b.y)
	const distinct = sorted.filter((p, i) => i === 0 || p.x !== sorted[i - 1]?.x || p.y !== sorted[i - 1]?.y)
	if (distinct.length < 3) return distinct
	const lower = chain(distinct)
	const upper = chain([...distinct].reverse())
	return [...lower.slice(0, -1), ...upper.slice(0, -1)]
}

function chain(sorted: readonly PlanePoint[]): PlanePoint[] {
	const out: PlanePoint[] = []
	for (const p of sorted) {
		while (out.length >= 2) {
			const a = out[out.length - 2] as PlanePoint
			const b = out[out.length - 1] as PlanePoint
			if ((b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x) > 0) break
			out.pop()
		}
		out.push(p)
	}
	return out
}

/** A box that stands at an angle. */
export interface TurnedBox {
	/** direction of the width, radians in (-pi/2, pi/2]: points turned by -angle about the origin lie upright */
	readonly angle: number
	/** mm, width >= height */
	readonly width: number
	readonly height: number
	readonly centre: PlanePoint
}

/** Boxes this near in area (mm^2, per mm^2) are equal, so that rounding does not choose between them. */
const EQUAL_AREA = 1e-9

/**
 * Box of least area around points (one side lies on the hull: Freeman & Shapira 1975; rotating calipers: Toussaint 1983).
 * Of equal boxes, the one at the least angle from 0, then the positive one. Throws a RangeError for no points.
 */
export function smallestBox(points: readonly PlanePoint[]): TurnedBox {
	const hull = convexHull(points)
	const first = hull[0]
	if (!first) throw new RangeError('no points to put a box around')
	if (hull.length === 1) return { angle: 0, width: 0, height: 0, centre: first }
	const n = hull.length
	const corner = (i: number) => hull[i % n] as PlanePoint
	// the corners farthest along the side, square off it, and back along it; each only ever moves on
	let front = 1
	let far = 1
	let back = 1
	let best: TurnedBox | undefined
	for (let i = 0; i < n; i++) {
		const p = corner(i)
		const q = corner(i + 1)
		const length = Math.hypot(q.x - p.x, q.y - p.y)
		const ex = (q.x - p.x) / length
		const ey = (q.y - p.y) / length
		const forward = (k: number) => ex * (corner(k).x - p.x) + ey * (corner(k).y - p.y)
		const aside = (k: number) => -ey * (corner(k).x - p.x) + ex * (corner(k).y - p.y)
		const climb = (from: number, value: (k: number) => number) => {
			let k = from
			for (let step = 0; step < n && value(k + 1) > value(k); step++) k++
			return k
		}
		front = climb(Math.max(front, i + 1), forward)
		far = climb(Math.max(far, front), aside)
		back = climb(Math.max(back, far), (k) => -forward(k))
		best = better(best, boxOnSide(p, ex, ey, forward(back), forward(front), aside(far)))
	}
	return best as TurnedBox
}

function boxOnSide(p: PlanePoint, ex: number, ey: number, low: number, high: number, aside: number): TurnedBox {
	const along = high - low
	const m = (low + high) / 2
	const centre = { x: p.x + ex * m - (ey * aside) / 2, y: p.y + ey * m + (ex * aside) / 2 }
	let angle = Math.atan2(ey, ex)
	if (aside > along) angle += Math.PI / 2
	angle -= Math.PI * Math.ceil(angle / Math.PI - 0.5)
	return { angle, width: Math.max(along, aside), height: Math.min(along, aside), centre }
}

function better(a: TurnedBox | undefined, b: TurnedBox): TurnedBox {
	if (!a) return b
	const areaA = a.width * a.height
	const areaB = b.width * b.height
	const slack = EQUAL_AREA * Math.max(areaA, areaB)
	if (areaB < areaA - slack) return b
	if (areaB > areaA + slack) return a
	const turn = Math.abs(b.angle) - Math.abs(a.angle)
	if (Math.abs(turn) > EQUAL_AREA) return turn < 0 ? b : a
	return b.angle > a.angle + EQUAL_AREA ? b : a
}
