/** Ways to turn a piece before it is laid on paper. */

import { turnOf } from '../drawing/place.ts'
import type { PlanePoint } from '../plane/point.ts'
import { simplify } from '../plane/simplify.ts'

/** Corners of the convex hull, anticlockwise. Andrew, "Another efficient algorithm for convex hulls in two dimensions" (1979). */
export function hull(points: readonly PlanePoint[]): readonly PlanePoint[] {
	const sorted = [...points].sort((a, b) => a.x - b.x || a.y - b.y)
	const half = (list: readonly PlanePoint[]) => {
		const chain: PlanePoint[] = []
		for (const p of list) {
			for (let n = chain.length; n >= 2; n = chain.length) {
				const [a, b] = [chain[n - 2] as PlanePoint, chain[n - 1] as PlanePoint]
				if ((b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x) > 0) break
				chain.pop()
			}
			chain.push(p)
		}
		return chain.slice(0, -1)
	}
	return [...half(sorted), ...half(sorted.reverse())]
}

const ROUGH_MM = 0.2

function extent(points: readonly PlanePoint[], angle: number): { readonly widthMm: number; readonly heightMm: number } {
	const { cos, sin } = turnOf(angle)
	let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity]
	for (const p of points) {
		const [x, y] = [p.x * cos - p.y * sin, p.x * sin + p.y * cos]
		minX = Math.min(minX, x)
		maxX = Math.max(maxX, x)
		minY = Math.min(minY, y)
		maxY = Math.max(maxY, y)
	}
	return { widthMm: maxX - minX, heightMm: maxY - minY }
}

/** Into (-90, 90] degrees: the writing is not turned upside down. */
export const upright = (angle: number) => angle - Math.PI * Math.ceil(angle / Math.PI - 0.5)

/**
 * Angles worth trying, the plainest first: as drawn, a quarter turn, then the turns that give the slimmest and the smallest box
 * (one side of either lies on a side of the hull: Freeman and Shapira, CACM 18 (1975)), each also with a quarter turn more.
 */
export function turnsToTry(points: readonly PlanePoint[]): readonly number[] {
	// sides that a fifth of a mm would straighten are one side
	const corners = simplify(hull(points), ROUGH_MM, true)
	const sides = corners.map((a, i) => {
		const b = corners[(i + 1) % corners.length] as PlanePoint
		const angle = -Math.atan2(b.y - a.y, b.x - a.x)
		return { angle, ...extent(corners, angle) }
	})
	const least = (size: (side: { widthMm: number; heightMm: number }) => number) =>
		// a thousandth of a mm apart counts as equal, so that rounding does not choose
		sides.reduce(
			(best, side) => (size(side) < size(best) - 1e-3 ? side : best),
			sides[0] ?? { angle: 0, widthMm: 0, heightMm: 0 },
		)
	const slim = least(({ widthMm, heightMm }) => Math.min(widthMm, heightMm)).angle
	const small = least(({ widthMm, heightMm }) => widthMm * heightMm).angle
	const quarter = Math.PI / 2
	const all = [0, quarter, slim, slim + quarter, small, small + quarter].map((angle) => Math.round(upright(angle) * 1e9) / 1e9)
	const exact = all.map((angle) => (Math.abs(Math.abs(angle) - quarter) < 1e-6 ? quarter : Math.abs(angle) < 1e-6 ? 0 : angle))
	return [...new Set(exact)]
}
