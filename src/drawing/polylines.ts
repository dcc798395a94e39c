/** Paths as straight pieces, for tests of what lies where. */
import type { PlanePoint } from '../plane/point.ts'
import type { Segment } from './drawing.ts'

export interface Polyline {
	readonly points: readonly PlanePoint[]
	readonly closed: boolean
}

const MOST_PARTS = 256

/**
 * The parts needed so that equal steps of a cubic stay within the tolerance of it: from the second differences of its handles.
 * Wang's bound; Goldman, "Pyramid Algorithms" (2003), chapter 5.
 */
function partsOf(from: PlanePoint, a: PlanePoint, b: PlanePoint, to: PlanePoint, toleranceMm: number): number {
	const bend = Math.max(
		Math.hypot(from.x - 2 * a.x + b.x, from.y - 2 * a.y + b.y),
		Math.hypot(a.x - 2 * b.x + to.x, a.y - 2 * b.y + to.y),
	)
	return Math.min(MOST_PARTS, Math.max(1, Math.ceil(Math.sqrt((0.75 * bend) / toleranceMm))))
}

/** The subpaths of a path, cubics cut so that no chord is further than `toleranceMm` from its curve (at most 256 parts each). */
export function polylinesOf(segments: readonly Segment[], toleranceMm: number): readonly Polyline[] {
	const done: Polyline[] = []
	let points: PlanePoint[] = []
	const finish = (closed: boolean) => {
		if (points.length > 0) done.push({ points, closed })
		points = []
	}
	let start: PlanePoint | undefined
	for (const segment of segments) {
		if (segment.to === 'close') {
			finish(true)
			continue
		}
		if (segment.to === 'move') {
			finish(false)
			start = segment.p
			points = [segment.p]
			continue
		}
		// after a close the pen stands at the start of the subpath
		if (points.length === 0 && start) points = [start]
		const from = points.at(-1)
		if (segment.to === 'cubic' && from) {
			const { a, b, p } = segment
			const parts = partsOf(from, a, b, p, toleranceMm)
			for (let i = 1; i < parts; i++) {
				const t = i / parts
				const u = 1 - t
				const w = [u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t] as const
				points.push({
					x: w[0] * from.x + w[1] * a.x + w[2] * b.x + w[3] * p.x,
					y: w[0] * from.y + w[1] * a.y + w[2] * b.y + w[3] * p.y,
				})
			}
		}
		points.push(segment.p)
	}
	finish(false)
	return done
}
