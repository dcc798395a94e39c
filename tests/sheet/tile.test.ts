import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { holds } from '../../src/drawing/box.ts'
import type { Item } from '../../src/drawing/drawing.ts'
import { circle, line, polyline } from '../../src/drawing/path.ts'
import type { PlanePoint } from '../../src/plane/point.ts'
import { hasInk, inkOf, segmentMeetsBox } from '../../src/sheet/ink.ts'
import { joinsOf } from '../../src/sheet/join.ts'
import { gridOver, joinsThrough, OVERLAP_MM, tileName } from '../../src/sheet/tile.ts'
import { turnsToTry } from '../../src/sheet/turn.ts'

const stroke = { widthMm: 0.2, colour: '#000000' }
const pathOf = (points: readonly PlanePoint[], closed = true): Item => ({
	kind: 'path',
	role: 'knife',
	segments: polyline(points, closed),
	stroke,
})
const boxOfInk = (items: readonly Item[]) => {
	const boxes = inkOf(items).map(({ box }) => box)
	return {
		minX: Math.min(...boxes.map(({ minX }) => minX)),
		minY: Math.min(...boxes.map(({ minY }) => minY)),
		maxX: Math.max(...boxes.map(({ maxX }) => maxX)),
		maxY: Math.max(...boxes.map(({ maxY }) => maxY)),
	}
}
const room = { widthMm: 190, heightMm: 170 }
const point = fc.record({ x: fc.double({ min: 0, max: 900, noNaN: true }), y: fc.double({ min: 0, max: 900, noNaN: true }) })
const shapes = fc.array(point, { minLength: 3, maxLength: 12 })

describe('a grid of tiles', () => {
	test('shows every point of the ink, in exactly one own part, and none of it is blank', () => {
		fc.assert(
			fc.property(shapes, (points) => {
				const items = [pathOf(points)]
				const ink = inkOf(items)
				const grid = gridOver(ink, boxOfInk(items), room)
				if (!grid) throw new Error('no grid')
				for (const { window, own } of grid.tiles) {
					expect(holds(window, own)).toBe(true)
					expect(window.maxX - window.minX).toBeCloseTo(room.widthMm, 6)
					expect(hasInk(ink, window)).toBe(true)
				}
				points.forEach((p, i) => {
					const q = points[(i + 1) % points.length] as PlanePoint
					for (let k = 0; k < 40; k++) {
						// an odd share, so that no point falls on a cut
						const at = { x: p.x + ((q.x - p.x) * (k + 0.3571)) / 40, y: p.y + ((q.y - p.y) * (k + 0.3571)) / 40 }
						const owners = grid.tiles.filter(
							({ own }) => at.x >= own.minX && at.x < own.maxX && at.y >= own.minY && at.y < own.maxY,
						)
						expect(owners.length).toBe(1)
					}
				})
			}),
		)
	})

	test('leaves out what has no ink: the middle of a large ring, and corners', () => {
		const items: Item[] = [{ kind: 'path', role: 'knife', segments: circle({ x: 0, y: 0 }, 440), stroke }]
		const ink = inkOf(items)
		const grid = gridOver(ink, boxOfInk(items), room)
		expect([grid?.rows, grid?.columns]).toEqual([6, 5])
		expect(grid?.tiles.length).toBeLessThan(30)
		// every tile has a point of the ring in its own part or within a mm of it
		for (const { own } of grid?.tiles ?? []) {
			const x = Math.max(own.minX, Math.min(0, own.maxX))
			const y = Math.max(own.minY, Math.min(0, own.maxY))
			const far = Math.max(...[own.minX, own.maxX].flatMap((cx) => [own.minY, own.maxY].map((cy) => Math.hypot(cx, cy))))
			expect(Math.hypot(x, y)).toBeLessThan(441.5)
			expect(far).toBeGreaterThan(438.5)
		}
	})

	test('a filled shape is ink all over', () => {
		const items: Item[] = [{ kind: 'path', role: 'fill', segments: circle({ x: 0, y: 0 }, 440), fill: '#000000' }]
		const ring: Item[] = [{ kind: 'path', role: 'fill', segments: circle({ x: 0, y: 0 }, 440), stroke }]
		const count = (list: Item[]) => gridOver(inkOf(list), boxOfInk(list), room)?.tiles.length ?? 0
		expect(count(items)).toBeGreaterThan(count(ring))
	})

	test('is one tile while the piece fits, to the last micrometre', () => {
		const of = (width: number) => {
			const box = { minX: 0, minY: 0, maxX: width, maxY: 50 }
			return gridOver([], box, room)?.columns
		}
		expect(of(190)).toBe(1)
		expect(of(190.001)).toBe(2)
		expect(of(2 * 190 - OVERLAP_MM)).toBe(2)
		expect(of(2 * 190 - OVERLAP_MM + 0.001)).toBe(3)
	})

	test('has a limit', () => {
		expect(gridOver([], { minX: 0, minY: 0, maxX: 50_000, maxY: 50_000 }, room)).toBeUndefined()
	})

	test('names', () => {
		expect([0, 1, 25, 26, 27].map((row) => tileName({ row, column: row }))).toEqual(['A1', 'B2', 'Z26', 'AA27', 'AB28'])
	})

	test('counts where a line crosses a join', () => {
		const along = [
			{ x: 0, y: 0 },
			{ x: 500, y: 0 },
		]
		const items = [pathOf(along, false)]
		const grid = gridOver(inkOf(items), boxOfInk(items), room)
		expect(grid?.columns).toBe(3)
		expect(grid && joinsThrough([along], grid)).toBe(2)
	})
})

describe('joins', () => {
	test('marks lie in the overlap of both neighbours, two at least, well apart', () => {
		fc.assert(
			fc.property(shapes, (points) => {
				const items = [pathOf(points)]
				const ink = inkOf(items)
				const grid = gridOver(ink, boxOfInk(items), room)
				const joins = joinsOf(grid?.tiles ?? [], ink)
				for (const { first, second, strip, marks, upright } of joins) {
					const across = upright ? strip.maxX - strip.minX : strip.maxY - strip.minY
					expect(across).toBeCloseTo(OVERLAP_MM, 6)
					expect(marks.length).toBeGreaterThanOrEqual(2)
					for (const { x, y } of marks) {
						const arms = { minX: x - 4, minY: y - 4, maxX: x + 4, maxY: y + 4 }
						expect(holds(first.window, arms) && holds(second.window, arms)).toBe(true)
					}
					const places = marks.map((p) => (upright ? p.y : p.x))
					expect(Math.max(...places) - Math.min(...places)).toBeGreaterThanOrEqual(30)
				}
			}),
		)
	})
})

describe('ink', () => {
	test('a line meets a box when a point of it is inside', () => {
		const box = { minX: 300, minY: 300, maxX: 600, maxY: 500 }
		fc.assert(
			fc.property(point, point, (a, b) => {
				const inside = Array.from({ length: 1001 }, (_, i) => ({
					x: a.x + ((b.x - a.x) * i) / 1000,
					y: a.y + ((b.y - a.y) * i) / 1000,
				})).some(({ x, y }) => x > 300 && x < 600 && y > 300 && y < 500)
				if (inside) expect(segmentMeetsBox(a, b, box)).toBe(true)
				// and misses one that it does not come near
				const shrunk = { minX: 302, minY: 302, maxX: 598, maxY: 498 }
				if (!inside) expect(segmentMeetsBox(a, b, shrunk)).toBe(false)
			}),
		)
	})
})

describe('turns', () => {
	test('lay a slim piece straight', () => {
		const lean = 0.3
		const corner = (x: number, y: number) => ({
			x: x * Math.cos(lean) - y * Math.sin(lean),
			y: x * Math.sin(lean) + y * Math.cos(lean),
		})
		const points = [corner(0, 0), corner(500, 0), corner(500, 20), corner(0, 20)]
		const turns = turnsToTry(points)
		expect(turns.slice(0, 2)).toEqual([0, Math.PI / 2])
		expect(turns.some((angle) => Math.abs(angle + lean) < 1e-6)).toBe(true)
		for (const angle of turns) expect(Math.abs(angle)).toBeLessThanOrEqual(Math.PI / 2 + 1e-9)
	})

	test('an upright line alone is turned without fault', () => {
		expect(
			turnsToTry([
				{ x: 0, y: 0 },
				{ x: 0, y: 10 },
			]).length,
		).toBeGreaterThan(1)
		expect(turnsToTry([])).toContain(0)
		expect(line({ x: 0, y: 0 }, { x: 1, y: 1 }).length).toBe(2)
	})
})
