import type { Loop, PlanePoint, Region } from './point.ts'

export type Where = 'inside' | 'edge' | 'outside'

/** A place within this of an edge is on it: a hundredth of the grid that regions snap to. */
const ON_EDGE_MM = 1e-6

/** Whether a place lies in a loop (non-zero winding, whichever way the loop runs); on its edge counts as inside. */
export const pointInLoop = (p: PlanePoint, loop: Loop, edgeMm = ON_EDGE_MM): boolean =>
	wherePoint(p, [loop], edgeMm) !== 'outside'

/** Whether a place lies in a region (non-zero winding of all loops together); on an edge counts as inside. */
export const pointInRegion = (p: PlanePoint, region: Region, edgeMm = ON_EDGE_MM): boolean =>
	wherePoint(p, region, edgeMm) !== 'outside'

/** As `pointInRegion`, telling the edge apart. Winding number by upward and downward passes (Hormann & Agathos, 2001). */
export function wherePoint(p: PlanePoint, region: Region, edgeMm = ON_EDGE_MM): Where {
	let winding = 0
	for (const loop of region) {
		let a = loop[loop.length - 1]
		for (const b of loop) {
			if (a) {
				if (nearSegment(p, a, b, edgeMm)) return 'edge'
				if (a.y <= p.y !== b.y <= p.y) {
					const side = (b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x)
					if (a.y <= p.y) winding += side > 0 ? 1 : 0
					else winding -= side < 0 ? 1 : 0
				}
			}
			a = b
		}
	}
	return winding === 0 ? 'outside' : 'inside'
}

function nearSegment(p: PlanePoint, a: PlanePoint, b: PlanePoint, reach: number): boolean {
	if (p.x < Math.min(a.x, b.x) - reach || p.x > Math.max(a.x, b.x) + reach) return false
	if (p.y < Math.min(a.y, b.y) - reach || p.y > Math.max(a.y, b.y) + reach) return false
	const vx = b.x - a.x
	const vy = b.y - a.y
	const square = vx * vx + vy * vy
	const t = square > 0 ? Math.min(1, Math.max(0, ((p.x - a.x) * vx + (p.y - a.y) * vy) / square)) : 0
	return Math.sqrt((a.x + t * vx - p.x) ** 2 + (a.y + t * vy - p.y) ** 2) <= reach
}
