import type { Box } from './cubic.ts'
import type { Loop, PlanePoint, Region } from './point.ts'
import { boxOf } from './polyline.ts'

/**
 * What of a region matters within a box: each loop clipped by its four sides (Sutherland & Hodgman, CACM 17, 1974). Parts that
 * fall asunder stay joined along the box itself, so only places inside it may be asked for. For booleans of something small with
 * something large.
 */
export function clipToBox(region: Region, box: Box): Region {
	return region.flatMap((loop): Loop[] => {
		const own = boxOf(loop)
		if (!own || own.maxX < box.minX || own.minX > box.maxX || own.maxY < box.minY || own.minY > box.maxY) return []
		if (own.minX >= box.minX && own.maxX <= box.maxX && own.minY >= box.minY && own.maxY <= box.maxY) return [loop]
		const clipped = SIDES.reduce((points, side) => clippedBy(points, side(box)), loop)
		return clipped.length >= 3 ? [clipped] : []
	})
}

/** Inside where a x + b y >= c. */
type Side = readonly [number, number, number]
const SIDES: readonly ((box: Box) => Side)[] = [
	({ minX }) => [1, 0, minX],
	({ maxX }) => [-1, 0, -maxX],
	({ minY }) => [0, 1, minY],
	({ maxY }) => [0, -1, -maxY],
]

function clippedBy(loop: Loop, [a, b, c]: Side): Loop {
	const out: PlanePoint[] = []
	let p = loop[loop.length - 1]
	if (!p) return []
	let inP = a * p.x + b * p.y - c
	for (const q of loop) {
		const inQ = a * q.x + b * q.y - c
		if (inP >= 0 !== inQ >= 0) {
			const t = inP / (inP - inQ)
			out.push({ x: p.x + (q.x - p.x) * t, y: p.y + (q.y - p.y) * t })
		}
		if (inQ >= 0) out.push(q)
		p = q
		inP = inQ
	}
	return out
}

/** The box of a region with so much round it, mm; undefined of none. */
export function boxAround(region: Region, byMm: number): Box | undefined {
	const box = boxOf(region.flat())
	return box && { minX: box.minX - byMm, maxX: box.maxX + byMm, minY: box.minY - byMm, maxY: box.maxY + byMm }
}
