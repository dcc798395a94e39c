import type { Cubic, PlanePoint } from '../../src/plane/point.ts'

/** Shapes and slow, plain measuring that the plane tests share: nothing here calls the code under test. */

export const ellipseJet = (a: number, b: number) => (t: number) => ({
	x: a * Math.cos(t),
	y: b * Math.sin(t),
	dx: -a * Math.sin(t),
	dy: b * Math.cos(t),
})

/** An S of one cubic, 100 mm long, bent both ways. */
export const sCurve: Cubic[] = [
	[
		{ x: 0, y: 0 },
		{ x: 60, y: 0 },
		{ x: 40, y: 50 },
		{ x: 100, y: 50 },
	],
]

/** Bernstein form written out, as in any textbook. */
export function bernstein(c: Cubic, u: number): PlanePoint {
	const [p, q, r, s] = c
	const w = [(1 - u) ** 3, 3 * (1 - u) ** 2 * u, 3 * (1 - u) * u ** 2, u ** 3] as const
	return {
		x: w[0] * p.x + w[1] * q.x + w[2] * r.x + w[3] * s.x,
		y: w[0] * p.y + w[1] * q.y + w[2] * r.y + w[3] * s.y,
	}
}

export function sampleCubics(cubics: readonly Cubic[], each: number): PlanePoint[] {
	return cubics.flatMap((c, i) =>
		Array.from({ length: each + (i === cubics.length - 1 ? 1 : 0) }, (_, k) => bernstein(c, k / each)),
	)
}

/** Distance from p to a parametric curve by brute force: a grid, then ternary search about each of its minima. */
export function distanceToCurve(p: PlanePoint, at: (t: number) => PlanePoint, t0: number, t1: number, steps = 400): number {
	const h = (t1 - t0) / steps
	const d = (t: number) => {
		const q = at(t)
		return Math.hypot(q.x - p.x, q.y - p.y)
	}
	const grid = Array.from({ length: steps + 1 }, (_, i) => d(t0 + i * h))
	let best = Number.POSITIVE_INFINITY
	grid.forEach((value, i) => {
		if (value > (grid[i - 1] ?? Infinity) || value > (grid[i + 1] ?? Infinity)) return
		let low = Math.max(t0, t0 + (i - 1) * h)
		let high = Math.min(t1, t0 + (i + 1) * h)
		for (let k = 0; k < 50; k++) {
			const m1 = low + (high - low) / 3
			const m2 = high - (high - low) / 3
			if (d(m1) < d(m2)) high = m2
			else low = m1
		}
		best = Math.min(best, d((low + high) / 2))
	})
	return best
}

/** Smallest radius of curvature at 400 places of each cubic: what bends tighter than a grid's step is not for a grid to judge. */
export function smallestRadius(cubics: readonly Cubic[]): number {
	let least = Number.POSITIVE_INFINITY
	for (const [p, q, r, s] of cubics) {
		for (let k = 0; k <= 400; k++) {
			const [u, v] = [k / 400, 1 - k / 400]
			const first = (i: 'x' | 'y') => 3 * (v * v * (q[i] - p[i]) + 2 * v * u * (r[i] - q[i]) + u * u * (s[i] - r[i]))
			const second = (i: 'x' | 'y') => 6 * (v * (r[i] - 2 * q[i] + p[i]) + u * (s[i] - 2 * r[i] + q[i]))
			const turning = Math.abs(first('x') * second('y') - first('y') * second('x'))
			least = Math.min(least, Math.hypot(first('x'), first('y')) ** 3 / turning)
		}
	}
	return least
}

/** Distance from p to a run of cubics by the same brute force, passing over cubics that cannot come nearer than their start. */
export function distanceToCubics(p: PlanePoint, cubics: readonly Cubic[], steps = 60): number {
	const apart = (a: PlanePoint, b: PlanePoint) => Math.hypot(a.x - b.x, a.y - b.y)
	let best = Math.min(...cubics.map((c) => Math.min(apart(p, c[0]), apart(p, c[3]))))
	for (const c of cubics) {
		// no cubic is longer than the path over its handles
		const reach = apart(c[0], c[1]) + apart(c[1], c[2]) + apart(c[2], c[3])
		if (apart(p, c[0]) - reach > best) continue
		best = Math.min(
			best,
			distanceToCurve(p, (u) => bernstein(c, u), 0, 1, steps),
		)
	}
	return best
}

/** Distance from p to a polyline, written out plainly. */
export function distanceToPolyline(p: PlanePoint, line: readonly PlanePoint[], closed = false): number {
	const points = closed ? [...line, line[0] as PlanePoint] : line
	let best = Number.POSITIVE_INFINITY
	for (let i = 1; i < points.length; i++) {
		const a = points[i - 1] as PlanePoint
		const b = points[i] as PlanePoint
		const vx = b.x - a.x
		const vy = b.y - a.y
		const length2 = vx * vx + vy * vy
		const t = length2 > 0 ? Math.max(0, Math.min(1, ((p.x - a.x) * vx + (p.y - a.y) * vy) / length2)) : 0
		best = Math.min(best, Math.hypot(a.x + t * vx - p.x, a.y + t * vy - p.y))
	}
	return best
}
