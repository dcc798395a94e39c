import clipper, { type Path } from 'clipper-lib'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { wherePoint } from '../../src/plane/inside.ts'
import { clearLoops, combineClear } from '../../src/plane/keepClear.ts'
import type { PlanePoint, Region } from '../../src/plane/point.ts'
import { signedArea } from '../../src/plane/polyline.ts'
import {
	areaOf,
	divide,
	intersect,
	normalise,
	offsetRegion,
	SNAP_MM,
	subtract,
	surelyWithin,
	union,
	xor,
} from '../../src/plane/region.ts'
import { distanceToPolyline } from './curves.ts'

const square = (x: number, y: number, w: number): PlanePoint[] => [
	{ x, y },
	{ x: x + w, y },
	{ x: x + w, y: y + w },
	{ x, y: y + w },
]
const coordinate = fc.integer({ min: -5000, max: 5000 }).map((n) => n / 100)
const loop = fc.array(fc.record({ x: coordinate, y: coordinate }), { minLength: 3, maxLength: 12 })
const region = fc.array(loop, { minLength: 1, maxLength: 3 })

const edgeDistance = (p: PlanePoint, ...regions: Region[]) =>
	Math.min(...regions.flat().map((l) => distanceToPolyline(p, l, true)))

/** A loop round a centre, one way or the other, some of its places on the way from one to the next. */
const blob = fc
	.record({
		x: fc.integer({ min: 0, max: 900 }),
		y: fc.integer({ min: 0, max: 900 }),
		r: fc.integer({ min: 20, max: 300 }),
		shares: fc.array(fc.double({ min: 0.6, max: 1, noNaN: true }), { minLength: 3, maxLength: 12 }),
		back: fc.boolean(),
		between: fc.boolean(),
	})
	.map(({ x, y, r, shares, back, between }) => {
		const round = shares.map((share, i) => {
			const a = (2 * Math.PI * i) / shares.length
			return { x: 2 * Math.round((x + r * share * Math.cos(a)) / 2), y: 2 * Math.round((y + r * share * Math.sin(a)) / 2) }
		})
		const [p, q] = [round[0] as PlanePoint, round[1] as PlanePoint]
		if (between) round.splice(1, 0, { x: (p.x + q.x) / 2, y: (p.y + q.y) / 2 })
		return back ? round.reverse() : round
	})

describe('loops that keep clear of each other', () => {
	test('come out as the library has them, cut by none', () => {
		const { ctUnion, ctIntersection, ctDifference, ctXor } = clipper.ClipType
		const rules = [
			[ctUnion, (s: number, c: number) => s !== 0 || c !== 0],
			[ctIntersection, (s: number, c: number) => s !== 0 && c !== 0],
			[ctDifference, (s: number, c: number) => s !== 0 && c === 0],
			[ctXor, (s: number, c: number) => (s !== 0) !== (c !== 0)],
		] as const
		let clear = 0
		let met = 0
		// Where two places are equally low the library starts at either.
		const turned = (loop: readonly { x: number; y: number }[]) => {
			const list = loop.map((p) => `${p.x},${p.y}`)
			const first = list.indexOf([...list].sort()[0] as string)
			return [...list.slice(first), ...list.slice(0, first)].join(' ')
		}
		fc.assert(
			fc.property(fc.array(blob, { minLength: 1, maxLength: 3 }), fc.array(blob, { maxLength: 3 }), (a, b) => {
				for (const [type, rule] of rules) {
					const loops = clearLoops(a, b, 1)
					if (!loops) {
						met++
						continue
					}
					clear++
					const mine = combineClear(loops, rule, 1)
					const work = new clipper.Clipper()
					const paths = (region: Region): Path[] => region.map((l) => l.map((p) => ({ X: p.x, Y: p.y })))
					work.AddPaths(paths(a), clipper.PolyType.ptSubject, true)
					work.AddPaths(paths(b), clipper.PolyType.ptClip, true)
					const solution: Path[] = []
					work.Execute(type, solution, clipper.PolyFillType.pftNonZero, clipper.PolyFillType.pftNonZero)
					const theirs = solution.map((path) => path.map((p) => ({ x: p.X, y: p.Y })))
					expect(mine.map(turned).sort()).toEqual(theirs.map(turned).sort())
				}
			}),
			{ numRuns: 400 },
		)
		expect(Math.min(clear, met)).toBeGreaterThan(100)
	})

	test('dividing gives what lies within and what lies beyond, each as if alone', () => {
		fc.assert(
			fc.property(region, region, (a, b) => {
				expect(divide(a, b)).toEqual({ within: intersect(a, b), beyond: subtract(a, b) })
			}),
			{ numRuns: 300 },
		)
	})

	test('what touches, crosses or runs back over itself is left to the library', () => {
		const corner = square(4, 4, 4)
		for (const other of [square(2, 2, 4), square(0, 0, 4), square(4, 0, 4), square(5, 1, 3)]) {
			expect(clearLoops([corner, other], [], 1)).toBeUndefined()
			expect(clearLoops([corner], [other], 1)).toBeUndefined()
		}
		const bow = [
			{ x: 0, y: 0 },
			{ x: 4, y: 4 },
			{ x: 4, y: 0 },
			{ x: 0, y: 4 },
		]
		const spike = [...square(0, 0, 4), { x: 0, y: 9 }]
		for (const loop of [bow, spike, [...square(0, 0, 4), { x: 0, y: Number.NaN }]]) {
			expect(clearLoops([loop], [], 1)).toBeUndefined()
		}
	})

	test('what surely lies within another has nothing outside it', () => {
		fc.assert(
			fc.property(fc.array(blob, { minLength: 1, maxLength: 2 }), fc.array(blob, { minLength: 1, maxLength: 2 }), (a, b) => {
				const outer = normalise(a).filter((l) => signedArea(l) > 0)
				if (surelyWithin(outer)(b)) expect(areaOf(subtract(b, outer))).toBe(0)
			}),
		)
		expect(surelyWithin([square(0, 0, 9)])([square(1, 1, 2), square(5, 5, 3)])).toBe(true)
		expect(surelyWithin([square(0, 0, 9)])([square(1, 1, 2), square(8, 8, 3)])).toBe(false)
	})
})

describe('booleans', () => {
	test('two squares', () => {
		const a = [square(0, 0, 10)]
		const b = [square(5, 5, 10)]
		expect(areaOf(union([a, b]))).toBe(175)
		expect(areaOf(intersect(a, b))).toBe(25)
		expect(areaOf(subtract(a, b))).toBe(75)
		expect(areaOf(xor(a, b))).toBe(150)
		expect(intersect(a, [square(20, 0, 5)])).toEqual([])
		expect(subtract(a, [square(-1, -1, 20)])).toEqual([])
	})

	test('a hole is clockwise and taken off the area; its loop comes out whichever way it was given', () => {
		const ring = subtract([square(0, 0, 10)], [square(3, 3, 4).reverse()])
		expect(ring.length).toBe(2)
		expect(ring.map((l) => Math.sign(signedArea(l))).sort()).toEqual([-1, 1])
		expect(areaOf(ring)).toBe(84)
	})

	test('every place is in the result exactly where the rule says (random crossing polygons, winding counted afresh)', () => {
		fc.assert(
			fc.property(
				region,
				region,
				fc.array(fc.record({ x: coordinate, y: coordinate }), { minLength: 20, maxLength: 20 }),
				(a, b, places) => {
					const results = [union([a, b]), intersect(a, b), subtract(a, b), xor(a, b)]
					for (const p of places) {
						// the grid moves an edge by no more than its step, a crossing of shallow edges by more
						if (edgeDistance(p, a, b) < 0.01) continue
						const inA = wherePoint(p, a) === 'inside'
						const inB = wherePoint(p, b) === 'inside'
						// union merges all loops under one non-zero rule: a loop of the other direction takes away
						const both = wherePoint(p, [...a, ...b]) === 'inside'
						const expected = [both, inA && inB, inA && !inB, inA !== inB]
						expect(results.map((r) => wherePoint(p, r) === 'inside')).toEqual(expected)
					}
				},
			),
		)
	})

	test('results are on the grid, wound by rule, and stay as they are when normalised', () => {
		fc.assert(
			fc.property(region, region, (a, b) => {
				const result = xor(a, b)
				for (const p of result.flat()) {
					expect(Math.abs(p.x / SNAP_MM - Math.round(p.x / SNAP_MM))).toBeLessThan(1e-6)
				}
				// a hole lies in an outer loop, so winding is 0 or 1 everywhere off the edges
				for (const l of result) expect(wherePoint(besideFirst(l), result)).toBe('inside')
				expect(areaOf(normalise(result))).toBeCloseTo(areaOf(result), 2)
			}),
		)
	})

	test('slivers between edges that should coincide are dropped; a thin true strip stays', () => {
		const right = [square(0, 0, 10)]
		const noise = [
			[
				{ x: 10, y: 0 },
				{ x: 20, y: 0 },
				{ x: 20, y: 10 },
				{ x: 10.0001, y: 10 },
			],
		]
		expect(xor(right, [square(0, 0, 10).map((p) => ({ x: p.x + 0.0001, y: p.y }))])).toEqual([])
		expect(areaOf(union([right, noise]))).toBeCloseTo(200, 2)
		expect(intersect([square(0, 0, 10)], [square(9.99, 0, 10)]).length).toBe(1)
		expect(intersect([square(0, 0, 10)], [square(9.99, 0, 10)], { sliverMm: 0.05 })).toEqual([])
	})

	test('refuses what is no place, naming it', () => {
		const bad = [
			square(0, 0, 1),
			[
				{ x: 0, y: 0 },
				{ x: 1, y: Number.NaN },
				{ x: 1, y: 1 },
			],
		]
		expect(() => union([bad])).toThrow(/loop 1: point 1/)
		expect(() =>
			union([
				[
					[
						{ x: 0, y: 0 },
						{ x: 1e300, y: 0 },
						{ x: 1, y: 1 },
					],
				],
			]),
		).toThrow(RangeError)
		expect(union([])).toEqual([])
		expect(
			union([
				[
					[
						{ x: 0, y: 0 },
						{ x: 1, y: 0 },
					],
				],
			]),
		).toEqual([])
	})
})

/** A place half a grid step to the left of a loop's longest segment: in the region, whether the loop is outer or a hole. */
function besideFirst(l: readonly PlanePoint[]): PlanePoint {
	const ends = l.map((p, i) => [p, l[(i + 1) % l.length] as PlanePoint] as const)
	const size = ([p, q]: readonly [PlanePoint, PlanePoint]) => Math.hypot(q.x - p.x, q.y - p.y)
	const [p, q] = ends.reduce((m, e) => (size(e) > size(m) ? e : m))
	const f = (0.5 * SNAP_MM) / size([p, q])
	return { x: (p.x + q.x) / 2 - f * (q.y - p.y), y: (p.y + q.y) / 2 + f * (q.x - p.x) }
}

describe('offsets of regions', () => {
	test('a square grows by mitres and rounds, shrinks, and vanishes', () => {
		const a = [square(0, 0, 10)]
		expect(areaOf(offsetRegion(a, 1, { join: 'mitre' }))).toBe(144)
		// 100 + perimeter x 1 + a circle of radius 1
		expect(areaOf(offsetRegion(a, 1, { join: 'round', arcToleranceMm: 0.0005 }))).toBeCloseTo(140 + Math.PI, 2)
		expect(areaOf(offsetRegion(a, -2, { join: 'mitre' }))).toBe(36)
		expect(offsetRegion(a, -5.01, { join: 'round' })).toEqual([])
		expect(offsetRegion(a, 0, { join: 'round' })).toEqual(a.map((l) => expect.arrayContaining([...l])))
	})

	test('a hole shrinks as the region grows', () => {
		const ring = [square(0, 0, 30), square(10, 10, 10).reverse()]
		expect(areaOf(offsetRegion(ring, 2, { join: 'mitre' }))).toBe(34 * 34 - 36)
		expect(areaOf(offsetRegion(ring, 6, { join: 'mitre' }))).toBe(42 * 42)
	})

	test('rounded growth is at the distance everywhere (measured to the original edge)', () => {
		fc.assert(
			fc.property(region, fc.integer({ min: -80, max: 80 }), (shape, tenths) => {
				fc.pre(Math.abs(tenths) > 5)
				const d = tenths / 10
				const start = normalise(shape)
				const grown = offsetRegion(shape, d, { join: 'round', arcToleranceMm: 0.001 })
				for (const l of grown) {
					l.forEach((p, i) => {
						const q = l[(i + 1) % l.length] as PlanePoint
						for (const m of [p, { x: (p.x + q.x) / 2, y: (p.y + q.y) / 2 }]) {
							// chords inside arcs by their sagitta; the grid by a step at each of two ends
							expect(Math.abs(edgeDistance(m, start) - Math.abs(d))).toBeLessThan(0.0012)
						}
					})
				}
			}),
			{ numRuns: 60 },
		)
	})

	test('refuses a distance that is none and a mitre limit that the library would not keep', () => {
		expect(() => offsetRegion([square(0, 0, 1)], Number.NaN, { join: 'round' })).toThrow(RangeError)
		expect(() => offsetRegion([square(0, 0, 1)], 1, { join: 'mitre', mitreLimit: 1 })).toThrow(/mitreLimit/)
		expect(() => offsetRegion([square(0, 0, 1)], 1, { join: 'round', arcToleranceMm: 0 })).toThrow(/arcToleranceMm/)
	})
})
