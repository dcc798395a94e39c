/** Where inside a piece a number has most room. */
import { boxHeight, boxOf, boxWidth } from '../drawing/box.ts'
import { closestOnPolyline } from '../plane/closest.ts'
import { pointInLoop } from '../plane/inside.ts'
import type { PlanePoint } from '../plane/point.ts'
import { simplify } from '../plane/simplify.ts'

/** Places tried each way, and how often the grid is drawn closer round the best. */
const GRID = 24
const CLOSER = 2
/** Enough of an outline to ask for its middle. */
const ROUGH_MM = 0.3

/**
 * The place inside the loops (outside their windows) that is farthest from all their lines, near enough, and how far that is, mm.
 * The first point of the first loop and 0 where no place inside was found; the origin for no loops.
 */
export function roomyPlace(loops: readonly (readonly PlanePoint[])[]): { readonly at: PlanePoint; readonly radiusMm: number } {
	const rough = loops.map((loop) => simplify(loop, ROUGH_MM, true)).filter((loop) => loop.length > 2)
	const box = boxOf(rough.flat())
	let best = { at: rough[0]?.[0] ?? { x: 0, y: 0 }, radiusMm: 0 }
	if (!box) return best
	// inside an odd number of loops: a window is outside
	const inside = (p: PlanePoint) => rough.filter((loop) => pointInLoop(p, loop)).length % 2 === 1
	const clearance = (p: PlanePoint) => Math.min(...rough.map((loop) => closestOnPolyline(p, loop, true).distance))
	let [width, height] = [boxWidth(box), boxHeight(box)]
	let centre = { x: box.minX + width / 2, y: box.minY + height / 2 }
	for (let round = 0; round <= CLOSER; round++) {
		for (let i = 0; i < GRID; i++) {
			for (let j = 0; j < GRID; j++) {
				const at = { x: centre.x + ((i + 0.5) / GRID - 0.5) * width, y: centre.y + ((j + 0.5) / GRID - 0.5) * height }
				const radiusMm = inside(at) ? clearance(at) : 0
				if (radiusMm > best.radiusMm) best = { at, radiusMm }
			}
		}
		centre = best.at
		width *= 3 / GRID
		height *= 3 / GRID
	}
	return best
}
