import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { curveFromCurvature } from '../../src/plane/develop.ts'

describe('curve from its curvature', () => {
	test('constant curvature is a circle to rounding', () => {
		fc.assert(
			fc.property(
				fc.double({ min: -0.05, max: 0.05, noNaN: true }),
				fc.double({ min: 1, max: 2000, noNaN: true }),
				fc.double({ min: -3, max: 3, noNaN: true }),
				(k, length, heading) => {
					const curve = curveFromCurvature(() => k, length, { toleranceMm: 1e-6, heading, start: { x: 5, y: -7 } })
					expect(curve.met).toBe(true)
					for (const f of [0, 0.3, 0.77, 1]) {
						const l = f * length
						const turn = k * l
						// chord of the arc: 2 sin(turn/2)/k at half the turn; l where k is nothing
						const chord = Math.abs(turn) < 1e-8 ? l : (2 * Math.sin(turn / 2)) / k
						const end = curve.at(l)
						expect(Math.abs(end.x - 5 - chord * Math.cos(heading + turn / 2))).toBeLessThan(1e-8)
						expect(Math.abs(end.y + 7 - chord * Math.sin(heading + turn / 2))).toBeLessThan(1e-8)
						expect(end.heading).toBeCloseTo(heading + turn, 9)
					}
				},
			),
		)
	})

	test('the reported error holds against a far finer integration', () => {
		fc.assert(
			fc.property(
				fc.array(fc.double({ min: -0.02, max: 0.02, noNaN: true }), { minLength: 4, maxLength: 4 }),
				fc.integer({ min: 2, max: 7 }),
				(a, digits) => {
					const k = (l: number) => a.reduce((sum, c, n) => sum + c * Math.sin(((n + 1) * l) / 60 + n), 0)
					const toleranceMm = 10 ** -digits
					const curve = curveFromCurvature(k, 400, { toleranceMm })
					// midpoint rule on 200,000 steps: heading and place good to about 1e-7
					const n = 200_000
					const h = 400 / n
					let [x, y, heading] = [0, 0, 0]
					for (let i = 0; i < n; i++) {
						const half = (h / 2) * k((i + 0.5) * h)
						x += h * Math.cos(heading + half)
						y += h * Math.sin(heading + half)
						heading += 2 * half
					}
					const end = curve.at(400)
					expect(Math.hypot(end.x - x, end.y - y)).toBeLessThan(toleranceMm + 1e-6)
					expect(curve.errorMm).toBeLessThanOrEqual(toleranceMm)
				},
			),
			{ numRuns: 12 },
		)
	})

	test('a line, then a bend, with and without the jump being named', () => {
		const k = (l: number) => (l < 33.3 ? 0 : 0.01)
		const x = 33.3 + 100 * Math.sin(0.667)
		const y = 100 - 100 * Math.cos(0.667)
		for (const breaks of [[], [33.3]]) {
			const curve = curveFromCurvature(k, 100, { toleranceMm: 1e-4, breaks })
			const end = curve.at(100)
			expect(curve.met).toBe(true)
			expect(Math.hypot(end.x - x, end.y - y)).toBeLessThan(1e-4)
			if (breaks.length > 0) expect(Math.hypot(end.x - x, end.y - y)).toBeLessThan(1e-6)
		}
	})

	test('panels join up and hold the ends', () => {
		const curve = curveFromCurvature((l) => l * l * 1e-6, 300, { toleranceMm: 1e-5, start: { x: 1, y: 2 }, heading: 0.5 })
		curve.params.forEach((l, i) => {
			const p = curve.at(l)
			expect(Math.hypot(p.x - (curve.points[i]?.x as number), p.y - (curve.points[i]?.y as number))).toBeLessThan(1e-9)
		})
		expect(curve.at(-5)).toEqual({ x: 1, y: 2, heading: 0.5 })
		expect(curve.at(301)).toEqual(curve.at(300))
	})

	test('refuses what has no curve', () => {
		expect(() => curveFromCurvature(() => 0, 0, { toleranceMm: 1 })).toThrow(RangeError)
		expect(() => curveFromCurvature(() => Number.NaN, 1, { toleranceMm: 1 })).toThrow(/not finite/)
	})
})
