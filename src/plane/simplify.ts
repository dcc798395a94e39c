import type { PlanePoint } from './point.ts'

/**
 * Fewer of the same points, every dropped one within `toleranceMm` of the chord that replaces it (Douglas & Peucker, 1973).
 * Ends are kept. A closed loop is cut at the point farthest from its middle and the one farthest from that: wherever it starts,
 * and mirrored, it comes out alike.
 */
export function simplify(points: readonly PlanePoint[], toleranceMm: number, closed = false): PlanePoint[] {
	if (!(toleranceMm >= 0)) throw new RangeError(`toleranceMm is ${toleranceMm}, not 0 or more`)
	const first = points[0]
	if (!first || points.length < 3) return [...points]
	const line = closed ? fromFarthest(points) : points
	const keep = new Uint8Array(line.length)
	keep[0] = 1
	keep[line.length - 1] = 1
	const ranges: [number, number][] = [[0, line.length - 1]]
	for (let range = ranges.pop(); range; range = ranges.pop()) {
		const [i, j] = range
		let worst = toleranceMm
		let at = -1
		for (let k = i + 1; k < j; k++) {
			const d = toChord(line[k] as PlanePoint, line[i] as PlanePoint, line[j] as PlanePoint)
			if (d > worst) {
				worst = d
				at = k
			}
		}
		if (at < 0) continue
		keep[at] = 1
		ranges.push([i, at], [at, j])
	}
	const out = line.filter((_, i) => keep[i] === 1)
	return closed ? out.slice(0, -1) : out
}

/** Of a closed loop and some of its own points in order: the largest distance of the others from the chord over them, mm. */
export function leftOutMm(loop: readonly PlanePoint[], kept: readonly PlanePoint[]): number {
	const at = new Map(loop.map((p, i) => [p, i]))
	let worst = 0
	for (const [k, a] of kept.entries()) {
		const b = kept[(k + 1) % kept.length] as PlanePoint
		for (let i = ((at.get(a) as number) + 1) % loop.length; loop[i] !== b; i = (i + 1) % loop.length) {
			worst = Math.max(worst, toChord(loop[i] as PlanePoint, a, b))
		}
	}
	return worst
}

/** The loop from the point farthest from its middle, round to it again. */
function fromFarthest(points: readonly PlanePoint[]): PlanePoint[] {
	const x = points.reduce((sum, p) => sum + p.x, 0) / points.length
	const y = points.reduce((sum, p) => sum + p.y, 0) / points.length
	let at = 0
	let far = 0
	points.forEach((p, i) => {
		const d = Math.hypot(p.x - x, p.y - y)
		// By a hair: rounding must not choose.
		if (d > far + 1e-9) {
			far = d
			at = i
		}
	})
	return [...points.slice(at), ...points.slice(0, at + 1)]
}

function toChord(p: PlanePoint, a: PlanePoint, b: PlanePoint): number {
	const vx = b.x - a.x
	const vy = b.y - a.y
	const square = vx * vx + vy * vy
	const t = square > 0 ? Math.min(1, Math.max(0, ((p.x - a.x) * vx + (p.y - a.y) * vy) / square)) : 0
	return Math.sqrt((a.x + t * vx - p.x) ** 2 + (a.y + t * vy - p.y) ** 2)
}
