/** Rectangles and ellipses by their measures. */
import { arcCubics, circleCubics } from '../plane/arc.ts'
import { flatten } from '../plane/flatten.ts'
import type { Loop, PlanePoint } from '../plane/point.ts'

/** Corner order of the middles of the rounding, with the angle at which each arc starts. */
const CORNERS = [
	[1, -1, -Math.PI / 2],
	[1, 1, 0],
	[-1, 1, Math.PI / 2],
	[-1, -1, Math.PI],
] as const

/** Anticlockwise round 0,0; the radius is at most half the shorter side. Chords stay within the tolerance. */
export function rectangleLoop(width: number, height: number, corner: number, toleranceMm: number): Loop {
	const [x, y] = [width / 2 - corner, height / 2 - corner]
	const loop = CORNERS.flatMap(([sx, sy, from]): PlanePoint[] => {
		const middle = { x: sx * x, y: sy * y }
		if (corner === 0) return [middle]
		const arc = arcCubics(middle, corner, from, from + Math.PI / 2, toleranceMm / 2)
		return flatten(arc.cubics, toleranceMm / 2)
	})
	return loop.filter((p, i) => {
		const q = loop[(i + 1) % loop.length] as PlanePoint
		return p.x !== q.x || p.y !== q.y
	})
}

/** Anticlockwise round 0,0: a circle of the longer half, squeezed, so that its chords only come nearer. */
export function ellipseLoop(width: number, height: number, toleranceMm: number): Loop {
	const r = Math.max(width, height) / 2
	const { cubics } = circleCubics({ x: 0, y: 0 }, r, toleranceMm / 2)
	return flatten(cubics, toleranceMm / 2)
		.slice(0, -1)
		.map((p) => ({ x: (p.x / r) * (width / 2), y: (p.y / r) * (height / 2) }))
}
