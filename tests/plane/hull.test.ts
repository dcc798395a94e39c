import fc from 'fast-check'
import { expect, test } from 'vitest'
import { convexHull, smallestBox } from '../../src/plane/hull.ts'
import type { PlanePoint } from '../../src/plane/point.ts'
import { signedArea } from '../../src/plane/polyline.ts'

// hundredths of a millimetre: what a person or a file gives, not numbers beside 0
const coordinate = fc.integer({ min: -10_000, max: 10_000 }).map((n) => n / 100)
const points = fc.array(fc.record({ x: coordinate, y: coordinate }), { minLength: 3, maxLength: 40 })

function extent(list: readonly PlanePoint[], angle: number) {
	const along = list.map((p) => p.x * Math.cos(angle) + p.y * Math.sin(angle))
	const aside = list.map((p) => p.y * Math.cos(angle) - p.x * Math.sin(angle))
	return { along: Math.max(...along) - Math.min(...along), aside: Math.max(...aside) - Math.min(...aside) }
}

test('every point lies in the hull and every corner is one of them', () => {
	fc.assert(
		fc.property(points, (list) => {
			const hull = convexHull(list)
			fc.pre(hull.length >= 3)
			expect(signedArea(hull)).toBeGreaterThan(0)
			for (const corner of hull) expect(list).toContainEqual(corner)
			for (const p of list) {
				hull.forEach((a, i) => {
					const b = hull[(i + 1) % hull.length] as PlanePoint
					expect((b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x)).toBeGreaterThan(-1e-9)
				})
			}
		}),
	)
})

test('no box at any angle is smaller (brute force), and the box is as large as the points at its angle', () => {
	fc.assert(
		fc.property(points, (list) => {
			const box = smallestBox(list)
			const at = extent(list, box.angle)
			expect(at.along).toBeCloseTo(box.width, 8)
			expect(at.aside).toBeCloseTo(box.height, 8)
			expect(box.width).toBeGreaterThanOrEqual(box.height)
			expect(box.angle).toBeGreaterThan(-Math.PI / 2 - 1e-12)
			expect(box.angle).toBeLessThanOrEqual(Math.PI / 2 + 1e-12)
			for (let k = 0; k < 720; k++) {
				const other = extent(list, (k * Math.PI) / 1440)
				expect(other.along * other.aside).toBeGreaterThan(box.width * box.height * (1 - 1e-9) - 1e-9)
			}
			const c = { x: box.centre.x * Math.cos(box.angle) + box.centre.y * Math.sin(box.angle) }
			const along = list.map((p) => p.x * Math.cos(box.angle) + p.y * Math.sin(box.angle))
			expect(c.x).toBeCloseTo((Math.max(...along) + Math.min(...along)) / 2, 8)
		}),
	)
})

test('ties are settled the same way whatever the order of the points; lines and points have a box', () => {
	const hexagon = Array.from({ length: 6 }, (_, k) => ({
		x: 10 * Math.cos((k * Math.PI) / 3),
		y: 10 * Math.sin((k * Math.PI) / 3),
	}))
	const first = smallestBox(hexagon)
	expect(first.angle).toBeCloseTo(0, 12)
	for (let k = 1; k < 6; k++) {
		const turned = smallestBox([...hexagon.slice(k), ...hexagon.slice(0, k)].reverse())
		expect(turned.angle).toBeCloseTo(first.angle, 12)
		expect(turned.width).toBeCloseTo(20, 12)
	}
	expect(
		smallestBox([
			{ x: 1, y: 1 },
			{ x: 4, y: 5 },
		]),
	).toMatchObject({ width: 5, height: 0 })
	expect(smallestBox([{ x: 1, y: 1 }])).toMatchObject({ width: 0, height: 0, angle: 0 })
	expect(() => smallestBox([])).toThrow(RangeError)
})
