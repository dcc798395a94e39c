import { intersections } from './crossings.ts'
import { pointInRegion } from './inside.ts'
import type { PlanePoint, Region } from './point.ts'
import { mix, refuseNonFinite } from './vector.ts'

/** A piece of a polyline, in its own direction. */
export interface PolylinePiece {
	readonly points: readonly PlanePoint[]
	/** where it starts and ends on the whole: segment index plus parameter */
	readonly from: number
	readonly to: number
}

/**
 * The pieces of an open polyline inside a region, in order and in its own direction; on the region's edge counts as inside.
 * Places are not snapped: every point is the polyline's own or a crossing with the edge.
 */
export function clipPolyline(line: readonly PlanePoint[], region: Region): PolylinePiece[] {
	refuseNonFinite(line, 'polyline')
	if (line.length < 2) return []
	const cuts = [0, line.length - 1]
	region.forEach((loop, i) => {
		refuseNonFinite(loop, `loop ${i}`)
		for (const c of intersections(line, loop, { qClosed: true })) cuts.push(c.i + c.a)
	})
	cuts.sort((a, b) => a - b)
	const at = (t: number): PlanePoint => {
		const i = Math.min(Math.floor(t), line.length - 2)
		return mix(line[i] as PlanePoint, line[i + 1] as PlanePoint, t - i)
	}
	const pieces: PolylinePiece[] = []
	let from: number | undefined
	for (let k = 1; k < cuts.length; k++) {
		const a = cuts[k - 1] as number
		const b = cuts[k] as number
		if (!(b > a)) continue
		const inside = pointInRegion(at((a + b) / 2), region)
		if (inside && from === undefined) from = a
		if (!inside && from !== undefined) {
			pieces.push(piece(line, at, from, a))
			from = undefined
		}
	}
	if (from !== undefined) pieces.push(piece(line, at, from, line.length - 1))
	return pieces
}

function piece(line: readonly PlanePoint[], at: (t: number) => PlanePoint, from: number, to: number): PolylinePiece {
	const points = [at(from)]
	for (let i = Math.floor(from) + 1; i < to; i++) points.push(line[i] as PlanePoint)
	points.push(at(to))
	return { points, from, to }
}
