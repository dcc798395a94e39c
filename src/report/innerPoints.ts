/** Places well inside a region. */
import { closestOnPolyline } from '../plane/closest.ts'
import type { PlanePoint, Region } from '../plane/point.ts'
import { boxOf, pointInRegion } from '../plane/polyline.ts'

/** Looked at across and up: fine enough to find the body of a crescent. */
const ACROSS = 24
const UP = 14

/** Points of a grid inside the region, the ones furthest from its rim first; none for a region that the grid misses. */
export function innerPoints(region: Region): readonly PlanePoint[] {
	const box = boxOf(region.flat())
	if (!box) return []
	const found: { readonly p: PlanePoint; readonly off: number }[] = []
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
	return found.toSorted((a, b) => Math.round((b.off - a.off) * 1e3)).map(({ p }) => p)
}
