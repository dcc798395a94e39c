import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { boundsOf, pathBounds } from '../../src/drawing/bounds.ts'
import type { Item, PathItem, TextItem } from '../../src/drawing/drawing.ts'
import { arrow, circle, line, polyline, rect } from '../../src/drawing/path.ts'
import { compose, flatten, movePoint, movePointBack, turnOf } from '../../src/drawing/place.ts'
import { polylinesOf } from '../../src/drawing/polylines.ts'

const number = fc.double({ min: -500, max: 500, noNaN: true })
const angle = fc.double({ min: -7, max: 7, noNaN: true })
const point = fc.record({ x: number, y: number })
const placing = fc.record({ at: point, angle })

describe('placing', () => {
	test('one after the other is the one composed', () => {
		fc.assert(
			fc.property(placing, placing, point, (outer, inner, p) => {
				const twice = movePoint(movePoint(p, inner), outer)
				const once = movePoint(p, compose(outer, inner))
				expect(Math.hypot(twice.x - once.x, twice.y - once.y)).toBeLessThan(1e-9)
			}),
		)
	})

	test('and back again is nothing', () => {
		fc.assert(
			fc.property(placing, point, (where, p) => {
				const back = movePointBack(movePoint(p, where), where)
				expect(Math.hypot(back.x - p.x, back.y - p.y)).toBeLessThan(1e-9)
			}),
		)
	})

	test('quarter turns are exact', () => {
		expect(turnOf(Math.PI / 2)).toEqual({ cos: 0, sin: 1 })
		expect(turnOf(-Math.PI / 2)).toEqual({ cos: 0, sin: -1 })
		expect(turnOf(5 * Math.PI)).toEqual({ cos: -1, sin: 0 })
	})

	test('groups in groups: turned first, then shifted', () => {
		const dot: TextItem = { kind: 'text', role: 'label', at: { x: 1, y: 0 }, text: 'x', sizeMm: 3, anchor: 'start', angle: 0 }
		const inner: Item = {
			kind: 'group',
			at: { x: 10, y: 0 },
			angle: Math.PI / 2,
			clip: { minX: 0, minY: 0, maxX: 2, maxY: 1 },
			items: [dot],
		}
		const flat = flatten([{ kind: 'group', at: { x: 0, y: 5 }, angle: Math.PI / 2, items: [inner] }])
		// by hand: (1,0) -> (10,1) -> (-1,10) -> (-1,15); the clip's corners likewise
		expect(flat[0]?.item).toMatchObject({ at: { x: -1, y: 15 }, angle: Math.PI })
		expect(flat[0]?.clips).toEqual([
			[
				{ x: 0, y: 15 },
				{ x: -2, y: 15 },
				{ x: -2, y: 14 },
				{ x: 0, y: 14 },
			],
		])
	})
})

describe('paths', () => {
	test.each([5, 50, 200, 1000])('a circle of radius %s is true to 0.001 mm', (radius) => {
		const points = polylinesOf(circle({ x: 3, y: 4 }, radius), 1e-7).flatMap((one) => one.points)
		expect(points.length).toBeGreaterThan(100)
		for (const p of points) expect(Math.abs(Math.hypot(p.x - 3, p.y - 4) - radius)).toBeLessThan(0.001)
	})

	test('a circle encloses pi r2, anticlockwise', () => {
		const points = polylinesOf(circle({ x: 0, y: 0 }, 50), 1e-5)[0]?.points ?? []
		const area = points.reduce((sum, p, i) => {
			const q = points[(i + 1) % points.length] as typeof p
			return sum + (p.x * q.y - q.x * p.y) / 2
		}, 0)
		expect(area).toBeCloseTo(Math.PI * 2500, 1)
	})

	test('polyline, line, rect, arrow', () => {
		expect(polyline([{ x: 1, y: 1 }])).toEqual([])
		expect(line({ x: 0, y: 0 }, { x: 1, y: 0 }).map(({ to }) => to)).toEqual(['move', 'line'])
		expect(rect({ minX: 0, minY: 0, maxX: 2, maxY: 1 }).at(-1)).toEqual({ to: 'close' })
		expect(pathBounds(arrow({ x: 0, y: 0 }, { x: 10, y: 0 }, 3))?.maxX).toBe(10)
	})
})

describe('bounds', () => {
	const path = (over: Partial<PathItem>): PathItem => ({ kind: 'path', role: 'guide', segments: [], ...over })

	test('of a cubic are those of its dense points', () => {
		fc.assert(
			fc.property(point, point, point, point, (p, a, b, q) => {
				const segments = [{ to: 'move', p } as const, { to: 'cubic', a, b, p: q } as const]
				const box = pathBounds(segments)
				const xs = Array.from({ length: 2001 }, (_, i) => {
					const [t, u] = [i / 2000, 1 - i / 2000]
					return u ** 3 * p.x + 3 * u * u * t * a.x + 3 * u * t * t * b.x + t ** 3 * q.x
				})
				expect(Math.min(...xs)).toBeGreaterThanOrEqual((box?.minX ?? 0) - 1e-6)
				expect(Math.min(...xs) - (box?.minX ?? 0)).toBeLessThan(0.01)
				expect(Math.max(...xs)).toBeLessThanOrEqual((box?.maxX ?? 0) + 1e-6)
			}),
		)
	})

	test('hold the width of the stroke, and stop at a clip', () => {
		const segments = line({ x: 0, y: 0 }, { x: 100, y: 0 })
		const item = path({ segments, stroke: { widthMm: 2, colour: '#000000' } })
		expect(boundsOf([item])).toEqual({ minX: -1, minY: -1, maxX: 101, maxY: 1 })
		const clipped: Item = { kind: 'group', at: { x: 5, y: 0 }, clip: { minX: 10, minY: -5, maxX: 20, maxY: 5 }, items: [item] }
		expect(boundsOf([clipped])).toEqual({ minX: 15, minY: -1, maxX: 25, maxY: 1 })
		expect(boundsOf([])).toBeUndefined()
	})
})
