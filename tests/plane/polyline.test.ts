import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { clipPolyline } from '../../src/plane/clip.ts'
import { closestOnCubics, closestOnPolyline } from '../../src/plane/closest.ts'
import { wherePoint } from '../../src/plane/inside.ts'
import type { Cubic, PlanePoint } from '../../src/plane/point.ts'
import {
	boxOf,
	intersections,
	isSimple,
	lengthOf,
	lengthsAlong,
	perimeter,
	pointAtLength,
	pointInLoop,
	pointInRegion,
	resample,
	selfIntersections,
	signedArea,
} from '../../src/plane/polyline.ts'
import { simplify } from '../../src/plane/simplify.ts'
import { distanceToCubics, distanceToPolyline } from './curves.ts'

// hundredths of a millimetre: what a person or a file gives, not numbers beside 0
const coordinate = fc.integer({ min: -10_000, max: 10_000 }).map((n) => n / 100)
const point = fc.record({ x: coordinate, y: coordinate })
const line = fc.array(point, { minLength: 2, maxLength: 30 })
const square = (x: number, y: number, w: number): PlanePoint[] => [
	{ x, y },
	{ x: x + w, y },
	{ x: x + w, y: y + w },
	{ x, y: y + w },
]

describe('measures', () => {
	test('a 3-4-5 triangle', () => {
		const loop = [
			{ x: 0, y: 0 },
			{ x: 3, y: 0 },
			{ x: 3, y: 4 },
		]
		expect(lengthOf(loop)).toBe(7)
		expect(perimeter(loop)).toBe(12)
		expect(signedArea(loop)).toBe(6)
		expect(signedArea([...loop].reverse())).toBe(-6)
		expect(lengthsAlong(loop, true)).toEqual([0, 3, 7, 12])
		expect(pointAtLength(loop, 5)).toEqual({ x: 3, y: 2 })
		expect(pointAtLength(loop, 99)).toEqual({ x: 3, y: 4 })
		expect(pointAtLength(loop, 13, true)).toEqual({ x: 1, y: 0 })
		expect(pointAtLength(loop, -1, true).x).toBeCloseTo(0.6, 12)
		expect(boxOf(loop)).toEqual({ minX: 0, minY: 0, maxX: 3, maxY: 4 })
		expect(boxOf([])).toBeUndefined()
		expect(() => pointAtLength([], 1)).toThrow(RangeError)
	})

	test('a small loop far from the origin keeps its area', () => {
		expect(signedArea(square(1e9, -1e9, 0.5))).toBe(0.25)
	})

	test('resampled points lie on the line at even lengths', () => {
		fc.assert(
			fc.property(line, fc.double({ min: 1, max: 50, noNaN: true }), (points, spacing) => {
				fc.pre(lengthOf(points) > 1)
				const even = resample(points, spacing)
				expect(even.length - 1).toBe(Math.max(1, Math.ceil(lengthOf(points) / spacing - 1e-9)))
				for (const p of even) expect(distanceToPolyline(p, points)).toBeLessThan(1e-9)
				expect(even[0]).toEqual(points[0])
				expect(even[even.length - 1]).toEqual(points[points.length - 1])
			}),
		)
	})

	test('what simplify drops is within tolerance; what it keeps was there', () => {
		fc.assert(
			fc.property(line, fc.double({ min: 0.1, max: 20, noNaN: true }), fc.boolean(), (points, tolerance, closed) => {
				const fewer = simplify(points, tolerance, closed)
				for (const p of points) expect(distanceToPolyline(p, fewer, closed)).toBeLessThanOrEqual(tolerance + 1e-9)
				for (const p of fewer) expect(points).toContain(p)
			}),
		)
	})
})

describe('nearest place', () => {
	test('on a polyline, against plain measuring', () => {
		fc.assert(
			fc.property(line, point, fc.boolean(), (points, p, closed) => {
				const found = closestOnPolyline(p, points, closed)
				expect(found.distance).toBeCloseTo(distanceToPolyline(p, points, closed), 9)
				const a = points[found.index] as PlanePoint
				const b = points[(found.index + 1) % points.length] as PlanePoint
				expect(Math.hypot(a.x + found.t * (b.x - a.x) - found.point.x, a.y + found.t * (b.y - a.y) - found.point.y)).toBeLessThan(
					1e-12,
				)
			}),
		)
	})

	test('on cubics, against brute force', () => {
		fc.assert(
			fc.property(fc.array(fc.tuple(point, point, point, point), { minLength: 1, maxLength: 3 }), point, (cubics, p) => {
				const found = closestOnCubics(p, cubics as Cubic[])
				const plain = distanceToCubics(p, cubics as Cubic[], 300)
				expect(found.distance).toBeLessThan(plain + 1e-6)
				expect(found.distance).toBeGreaterThan(plain - 1e-6)
			}),
		)
	})

	test('nothing within reach is told as nothing', () => {
		const c: Cubic[] = [
			[
				{ x: 0, y: 0 },
				{ x: 1, y: 0 },
				{ x: 2, y: 0 },
				{ x: 3, y: 0 },
			],
		]
		expect(closestOnCubics({ x: 0, y: 9 }, c, 5).index).toBe(-1)
		expect(closestOnCubics({ x: 0, y: 4 }, c, 5).distance).toBe(4)
		expect(closestOnPolyline({ x: 0, y: 0 }, []).index).toBe(-1)
	})
})

/** Every pair of segments that cross, by orientations, in the plainest way there is; none where any three points are in line. */
function plainCrossings(p: readonly PlanePoint[], q: readonly PlanePoint[]): string[] | undefined {
	const side = (a: PlanePoint, b: PlanePoint, c: PlanePoint) => Math.sign((b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x))
	const out: string[] = []
	for (let i = 1; i < p.length; i++) {
		for (let j = 1; j < q.length; j++) {
			const [a, b, c, d] = [p[i - 1], p[i], q[j - 1], q[j]] as [PlanePoint, PlanePoint, PlanePoint, PlanePoint]
			if (p === q && (j <= i + 1 || i === j)) continue
			const sides = [side(a, b, c) * side(a, b, d), side(c, d, a) * side(c, d, b)]
			if (sides.includes(0)) return undefined
			if (sides.every((s) => s < 0)) out.push(`${i - 1} ${j - 1}`)
		}
	}
	return out.sort()
}
const pairs = (found: readonly { i: number; j: number }[]) => found.map(({ i, j }) => `${i} ${j}`).sort()

describe('crossings', () => {
	test('the same pairs as testing every segment against every other', () => {
		fc.assert(
			fc.property(line, line, (p, q) => {
				const between = plainCrossings(p, q)
				const within = plainCrossings(p, p)
				if (between) expect(pairs(intersections(p, q))).toEqual(between)
				if (within) expect(pairs(selfIntersections(p))).toEqual(within)
				fc.pre(between !== undefined && within !== undefined)
			}),
		)
	})

	test('the place lies on both segments at the parameters given', () => {
		fc.assert(
			fc.property(line, line, (p, q) => {
				for (const { i, a, j, b, point } of intersections(p, q)) {
					const on = (l: PlanePoint[], k: number, t: number) => {
						const [s, e] = [l[k] as PlanePoint, l[k + 1] as PlanePoint]
						return Math.hypot(s.x + t * (e.x - s.x) - point.x, s.y + t * (e.y - s.y) - point.y)
					}
					expect(on(p, i, a)).toBeLessThan(1e-7)
					expect(on(q, j, b)).toBeLessThan(1e-7)
				}
			}),
		)
	})

	test('a vertex hit counts once, a shared stretch by its two ends, a fold by the shorter end', () => {
		const cross = intersections(
			[
				{ x: -5, y: 0 },
				{ x: 0, y: 0 },
				{ x: 5, y: 0 },
			],
			[
				{ x: 0, y: -5 },
				{ x: 0, y: 0 },
				{ x: 0, y: 5 },
			],
		)
		expect(cross.map((c) => c.point)).toEqual([{ x: 0, y: 0 }])
		const shared = intersections(
			[
				{ x: 0, y: 0 },
				{ x: 10, y: 0 },
			],
			[
				{ x: 4, y: 0 },
				{ x: 16, y: 0 },
			],
		)
		expect(shared.map((c) => c.point.x)).toEqual([4, 10])
		const fold = selfIntersections([
			{ x: 0, y: 0 },
			{ x: 10, y: 0 },
			{ x: 7, y: 0 },
		])
		expect(fold).toMatchObject([{ i: 0, a: 0.7, j: 1, b: 1 }])
	})

	test('a square is simple, a bow tie is not, a closed line does not meet itself where it closes', () => {
		expect(isSimple(square(0, 0, 10), true)).toBe(true)
		const [a, b, c, d] = square(0, 0, 10) as [PlanePoint, PlanePoint, PlanePoint, PlanePoint]
		expect(isSimple([a, c, b, d], true)).toBe(false)
		expect(selfIntersections([a, c, b, d], true)).toMatchObject([{ point: { x: 5, y: 5 } }])
		// points nearer than rounding neither hide nor invent a crossing
		expect(isSimple([a, { x: 1e-13, y: 1e-14 }, b, { x: 10 + 1e-12, y: 0 }, c, d, { x: 1e-12, y: 0 }], true)).toBe(true)
	})

	test('2,000 points of a spiral pair meet where the closed form says', () => {
		// r = t and r = t turned by a half: they never meet; a spoke meets each turn once
		const spiral = Array.from({ length: 2000 }, (_, k) => ({
			x: 0.01 * k * Math.cos(k / 40),
			y: 0.01 * k * Math.sin(k / 40),
		}))
		expect(isSimple(spiral)).toBe(true)
		expect(intersections(spiral, spiral.map((p) => ({ x: -p.x, y: -p.y })).slice(1)).length).toBe(0)
		const spoke = [
			{ x: 0.001, y: 0.0005 },
			{ x: 30, y: 15 },
		]
		// the angle grows to 2000/40 = 49.975 rad: 7 whole turns and the first passing of the spoke's angle
		expect(intersections(spiral, spoke).length).toBe(8)
	})
})

describe('inside', () => {
	test('winding, holes and edges', () => {
		const ring = [square(0, 0, 10), square(3, 3, 4).reverse()]
		expect(wherePoint({ x: 1, y: 1 }, ring)).toBe('inside')
		expect(wherePoint({ x: 5, y: 5 }, ring)).toBe('outside')
		expect(wherePoint({ x: 3, y: 5 }, ring)).toBe('edge')
		expect(pointInRegion({ x: 10, y: 10 }, ring)).toBe(true)
		expect(pointInRegion({ x: 10.001, y: 5 }, ring)).toBe(false)
		// two overlapping loops of one direction: non-zero, not even-odd
		expect(pointInRegion({ x: 6, y: 6 }, [square(0, 0, 10), square(5, 5, 10)])).toBe(true)
		expect(pointInLoop({ x: 5, y: 5 }, square(0, 0, 10).reverse())).toBe(true)
		expect(pointInRegion({ x: 0, y: 0 }, [])).toBe(false)
	})

	test('pieces of a line inside a region keep its direction, its places and its length', () => {
		const ring = [square(0, 0, 10), square(3, 3, 4).reverse()]
		const pieces = clipPolyline(
			[
				{ x: 20, y: 5 },
				{ x: -5, y: 5 },
			],
			ring,
		)
		expect(pieces.map((p) => p.points)).toEqual([
			[
				{ x: 10, y: 5 },
				{ x: 7, y: 5 },
			],
			[
				{ x: 3, y: 5 },
				{ x: 0, y: 5 },
			],
		])
		expect(pieces[0]?.from).toBeCloseTo(0.4, 12)
		fc.assert(
			fc.property(line, (points) => {
				const inside = clipPolyline(points, [square(-40, -40, 80)])
				const outside = clipPolyline(points, [square(-200, -200, 400), square(-40, -40, 80).reverse()])
				const total = [...inside, ...outside].reduce((sum, p) => sum + lengthOf(p.points), 0)
				expect(total).toBeCloseTo(lengthOf(points), 6)
				for (const piece of inside) {
					for (const p of piece.points) expect(Math.max(Math.abs(p.x), Math.abs(p.y))).toBeLessThan(40 + 1e-6)
				}
			}),
		)
		expect(clipPolyline([], ring)).toEqual([])
		expect(() => clipPolyline([{ x: 0, y: Number.NaN }], ring)).toThrow(/point 0/)
	})
})
