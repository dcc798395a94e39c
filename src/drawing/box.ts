/** Upright boxes on paper. */
import type { PlanePoint } from '../plane/point.ts'
import type { Box } from './drawing.ts'

export const boxWidth = (box: Box): number => box.maxX - box.minX
export const boxHeight = (box: Box): number => box.maxY - box.minY

/** The box grown by `by` mm on every side (shrunk where negative). */
export const grown = (box: Box, by: number): Box => ({
	minX: box.minX - by,
	minY: box.minY - by,
	maxX: box.maxX + by,
	maxY: box.maxY + by,
})

const NOWHERE = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY] as const

/** The smallest box round all points; undefined for none. */
export function boxOf(points: Iterable<PlanePoint>): Box | undefined {
	let [minX, minY, maxX, maxY] = NOWHERE
	for (const { x, y } of points) {
		minX = Math.min(minX, x)
		minY = Math.min(minY, y)
		maxX = Math.max(maxX, x)
		maxY = Math.max(maxY, y)
	}
	return minX > maxX ? undefined : { minX, minY, maxX, maxY }
}

/** The smallest box round all boxes; undefined for none. */
export function unionBox(boxes: readonly (Box | undefined)[]): Box | undefined {
	let [minX, minY, maxX, maxY] = NOWHERE
	for (const box of boxes) {
		if (!box) continue
		minX = Math.min(minX, box.minX)
		minY = Math.min(minY, box.minY)
		maxX = Math.max(maxX, box.maxX)
		maxY = Math.max(maxY, box.maxY)
	}
	return minX > maxX ? undefined : { minX, minY, maxX, maxY }
}

/** What two boxes share; undefined where they are apart. */
export function meet(a: Box, b: Box): Box | undefined {
	const box = {
		minX: Math.max(a.minX, b.minX),
		minY: Math.max(a.minY, b.minY),
		maxX: Math.min(a.maxX, b.maxX),
		maxY: Math.min(a.maxY, b.maxY),
	}
	return box.minX <= box.maxX && box.minY <= box.maxY ? box : undefined
}

/** Do two boxes share more than an edge? */
export const overlaps = (a: Box, b: Box): boolean => a.minX < b.maxX && b.minX < a.maxX && a.minY < b.maxY && b.minY < a.maxY

/** Does `outer` hold `inner`, within `slackMm`? */
export const holds = (outer: Box, inner: Box, slackMm = 0): boolean =>
	inner.minX >= outer.minX - slackMm &&
	inner.minY >= outer.minY - slackMm &&
	inner.maxX <= outer.maxX + slackMm &&
	inner.maxY <= outer.maxY + slackMm

/** The corners anticlockwise from the lower left. */
export const corners = (box: Box): readonly [PlanePoint, PlanePoint, PlanePoint, PlanePoint] => [
	{ x: box.minX, y: box.minY },
	{ x: box.maxX, y: box.minY },
	{ x: box.maxX, y: box.maxY },
	{ x: box.minX, y: box.maxY },
]
