/** Places well inside a region. */
import { closestOnPolyline } from '../plane/closest.ts'
import type { PlanePoint, Region } from '../plane/point.ts'
import { boxOf, pointInRegion } from '../plane/polyline.ts'
import { distance } from '../plane/vector.ts'

/** Looked at across and up: fine enough to find the body of a crescent. */
const ACROSS = 20
const UP = 10
/** Distances from the rim that differ by less are alike. */
const STEP_MM = 1

export interface InnerPoint {
	readonly p: PlanePoint
	/** distance from the rim, mm */
	readonly off: number
}

/** Points of a grid inside the region, the ones furthest from its rim first; none for a region that the grid misses. */
export function innerPoints(region: Region): readonly InnerPoint[] {
	const box = boxOf(region.flat())
	if (!box) return []
	const found: InnerPoint[] = []
	for (let i = 0; i < ACROSS; i++) {
		for (let j = 0; j < UP; j++) {
			const p = {
				x: box.minX + ((i + 0.5) / ACROSS) * (box.maxX - box.minX),
				y: box.minY + ((j + 0.5) / UP) * (box.maxY - box.minY),
			}
			if (!pointInRegion(p, region)) continue
			found.push({ p, off: Math.min(...region.map((loop) => closestOnPolyline(p, loop, true).distance)) })
		}
	}
	// Where many are as far from the rim, the ones in the middle of the whole come first.
	const middle = { x: (box.minX + box.maxX) / 2, y: (box.minY + box.maxY) / 2 }
	const rank = (off: number) => Math.round(off / STEP_MM)
	return found.toSorted((a, b) => rank(b.off) - rank(a.off) || distance(a.p, middle) - distance(b.p, middle))
}
