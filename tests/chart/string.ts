import type { SpacePoint } from '../../src/chart/point.ts'

/** A string held against a body in space, by relaxing a row of points: it knows nothing of charts or paths. */

/** How far a place lies outside of a body (negative: inside), to first order near its surface. */
export type Outside = (p: SpacePoint) => number

/**
 * Length of the shortest string from a to b that goes nowhere into the body, begun along a row of places. Each point in turn is
 * drawn to the middle of its neighbours and put back to the surface where it comes inside; then twice as many points. The chords
 * cut a little into what they lie on, by the square of their length: two finenesses take that out (Richardson).
 */
export function stringLength(outside: Outside, start: readonly SpacePoint[], finest = 256): number {
	let row = start.slice()
	const lengths: number[] = []
	for (;;) {
		relax(row, outside)
		lengths.push(lengthOf(row))
		if (row.length - 1 >= finest) break
		row = row.flatMap((p, i) => (i === 0 ? [p] : [middle(row[i - 1] as SpacePoint, p), p]))
	}
	const [coarse, fine] = lengths.slice(-2) as [number, number]
	return fine + (fine - coarse) / 3
}

const SETTLED_MM = 1e-7
/** Over-relaxation (Young 1954): a point is drawn somewhat past the middle. */
const PAST = 1.9

function relax(row: SpacePoint[], outside: Outside): void {
	for (let round = 0; round < 20000; round++) {
		let moved = 0
		for (let i = 1; i + 1 < row.length; i++) {
			const p = row[i] as SpacePoint
			const m = middle(row[i - 1] as SpacePoint, row[i + 1] as SpacePoint)
			const q = lifted({ x: p.x + PAST * (m.x - p.x), y: p.y + PAST * (m.y - p.y), z: p.z + PAST * (m.z - p.z) }, outside)
			moved = Math.max(moved, Math.hypot(q.x - p.x, q.y - p.y, q.z - p.z))
			row[i] = q
		}
		if (moved < SETTLED_MM) return
	}
	throw new Error('the string did not come to rest')
}

/** The nearest place that is not inside, by Newton along the gradient. */
function lifted(p: SpacePoint, outside: Outside): SpacePoint {
	let q = p
	for (let k = 0; k < 4; k++) {
		const depth = outside(q)
		if (depth >= 0) return q
		const h = 1e-5
		const g = [
			(outside({ ...q, x: q.x + h }) - outside({ ...q, x: q.x - h })) / (2 * h),
			(outside({ ...q, y: q.y + h }) - outside({ ...q, y: q.y - h })) / (2 * h),
			(outside({ ...q, z: q.z + h }) - outside({ ...q, z: q.z - h })) / (2 * h),
		] as const
		const by = -depth / (g[0] ** 2 + g[1] ** 2 + g[2] ** 2)
		q = { x: q.x + by * g[0], y: q.y + by * g[1], z: q.z + by * g[2] }
	}
	return q
}

const middle = (a: SpacePoint, b: SpacePoint): SpacePoint => ({ x: (a.x + b.x) / 2, y: (a.y + b.y) / 2, z: (a.z + b.z) / 2 })

const lengthOf = (row: readonly SpacePoint[]) =>
	row.slice(1).reduce((sum, p, i) => {
		const q = row[i] as SpacePoint
		return sum + Math.hypot(p.x - q.x, p.y - q.y, p.z - q.z)
	}, 0)
