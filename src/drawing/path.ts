/** Segments of common shapes. */
import type { PlanePoint } from '../plane/point.ts'
import { corners, grown } from './box.ts'
import type { Box, Segment } from './drawing.ts'

/** Straight segments through the points; no segments for fewer than two. */
export function polyline(points: readonly PlanePoint[], closed = false): readonly Segment[] {
	if (points.length < 2) return []
	const segments: Segment[] = points.map((p, index) => ({ to: index === 0 ? 'move' : 'line', p }))
	return closed ? [...segments, { to: 'close' }] : segments
}

export const line = (from: PlanePoint, to: PlanePoint): readonly Segment[] => polyline([from, to])

export const rect = (box: Box): readonly Segment[] => polyline(corners(box), true)

/**
 * A rectangular line of `widthMm` as a shape to fill, its inner edge run the other way round: viewers and printers may move a stroked
 * line to whole dots (stroke adjustment, ISO 32000-1, 10.6.5), but not the edges of a filled shape. `box` is the line's middle.
 */
export const filledFrame = (box: Box, widthMm: number): readonly Segment[] => [
	...rect(grown(box, widthMm / 2)),
	...polyline([...corners(grown(box, -widthMm / 2))].reverse(), true),
]

/**
 * Error of radius, as a part of the radius, of a circle made of four cubics with the usual handles; it falls with the sixth power of the
 * number of cubics. Goldapp, "Approximation of circular arcs by cubic polynomials", CAGD 8 (1991).
 */
const FOUR_CUBICS_ERROR = 2.726e-4
const MOST_CUBICS = 512

/** A full circle, anticlockwise, whose radius is true to `toleranceMm`; eight cubics at least. */
export function circle(centre: PlanePoint, radiusMm: number, toleranceMm = 0.001): readonly Segment[] {
	let count = 8
	while (radiusMm * FOUR_CUBICS_ERROR * (4 / count) ** 6 > toleranceMm && count < MOST_CUBICS) count *= 2
	const step = (2 * Math.PI) / count
	const handle = (4 / 3) * Math.tan(step / 4) * radiusMm
	const on = (i: number) => ({ cos: Math.cos(i * step), sin: Math.sin(i * step) })
	const point = (i: number, along: number): PlanePoint => {
		const { cos, sin } = on(i % count)
		return { x: centre.x + radiusMm * cos - along * sin, y: centre.y + radiusMm * sin + along * cos }
	}
	const segments: Segment[] = [{ to: 'move', p: point(0, 0) }]
	for (let i = 0; i < count; i++) {
		segments.push({ to: 'cubic', a: point(i, handle), b: point(i + 1, -handle), p: point(i + 1, 0) })
	}
	return [...segments, { to: 'close' }]
}

/** A shaft with an open head of `headMm` at its end. */
export function arrow(from: PlanePoint, to: PlanePoint, headMm: number): readonly Segment[] {
	const angle = Math.atan2(to.y - from.y, to.x - from.x)
	// a head of 30 degrees between its sides reads as an arrow at any size
	const barb = (turn: number): PlanePoint => ({
		x: to.x - headMm * Math.cos(angle + turn),
		y: to.y - headMm * Math.sin(angle + turn),
	})
	return [...line(from, to), ...polyline([barb(Math.PI / 12), to, barb(-Math.PI / 12)])]
}
