import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { arcCubics, circleCubics } from '../../src/plane/arc.ts'
import { cubicAt, cubicDerivative } from '../../src/plane/cubic.ts'
import { fitCubics } from '../../src/plane/fit.ts'
import { flatten, flattenWithParams } from '../../src/plane/flatten.ts'
import type { Cubic } from '../../src/plane/point.ts'
import { bernstein, distanceToCubics, distanceToCurve, distanceToPolyline, ellipseJet, sampleCubics } from './curves.ts'

describe('fitCubics', () => {
	test('an ellipse of any proportion stays within tolerance both ways, measured by brute force', () => {
		fc.assert(
			fc.property(
				fc.double({ min: 5, max: 300, noNaN: true }),
				fc.double({ min: 0.2, max: 1, noNaN: true }),
				fc.integer({ min: 1, max: 4 }),
				(a, ratio, digits) => {
					const toleranceMm = 10 ** -digits
					const at = ellipseJet(a, a * ratio)
					const fit = fitCubics(at, 0, 2 * Math.PI, { toleranceMm })
					expect(fit.met).toBe(true)
					expect(fit.params.length).toBe(fit.cubics.length + 1)
					const worst = Math.max(...sampleCubics(fit.cubics, 11).map((p) => distanceToCurve(p, at, 0, 2 * Math.PI, 100)))
					// between samples the reported error may be passed a little: hence a tenth
					expect(worst).toBeLessThanOrEqual(1.1 * fit.maxErrorMm + 1e-9)
					expect(fit.maxErrorMm).toBeLessThanOrEqual(toleranceMm)
				},
			),
			{ numRuns: 25 },
		)
	})

	test('joins lie on the curve with its direction', () => {
		const at = ellipseJet(60, 35)
		const { cubics, params } = fitCubics(at, 0.3, 4, { toleranceMm: 1e-4 })
		cubics.forEach((c, i) => {
			const a = at(params[i] as number)
			const end = at(params[i + 1] as number)
			expect(Math.hypot(c[0].x - a.x, c[0].y - a.y)).toBe(0)
			expect(Math.hypot(c[3].x - end.x, c[3].y - end.y)).toBe(0)
			const d = cubicDerivative(c, 0)
			expect(Math.abs(d.x * a.dy - d.y * a.dx)).toBeLessThan(1e-9 * Math.hypot(d.x, d.y) * Math.hypot(a.dx, a.dy))
		})
	})

	test("the curve's own pace costs nothing: a line travelled unevenly is one cubic", () => {
		const at = (t: number) => ({ x: Math.exp(2 * t), y: 2 * Math.exp(2 * t), dx: 2 * Math.exp(2 * t), dy: 4 * Math.exp(2 * t) })
		const fit = fitCubics(at, 0, 1, { toleranceMm: 1e-9 })
		expect(fit.cubics.length).toBe(1)
	})

	test('scale factors measure the error: a coordinate worth 100 mm needs 100 times the closeness', () => {
		const at = ellipseJet(1, 1)
		const scaled = fitCubics(at, 0, Math.PI, { toleranceMm: 0.01, scale: () => ({ sx: 100, sy: 100 }) })
		const plain = fitCubics(at, 0, Math.PI, { toleranceMm: 0.0001 })
		expect(scaled.cubics.length).toBe(plain.cubics.length)
		expect(scaled.maxErrorMm).toBeCloseTo(100 * plain.maxErrorMm, 12)
	})

	test('a depth limit is reported with the error that was achieved', () => {
		const at = ellipseJet(60, 35)
		const fit = fitCubics(at, 0, 2 * Math.PI, { toleranceMm: 1e-6, maxDepth: 3 })
		expect(fit.cubics.length).toBe(8)
		expect(fit.met).toBe(false)
		const worst = Math.max(...sampleCubics(fit.cubics, 40).map((p) => distanceToCurve(p, at, 0, 2 * Math.PI)))
		expect(fit.maxErrorMm).toBeGreaterThan(0.9 * worst)
		expect(fit.maxErrorMm).toBeLessThan(1.01 * worst)
	})

	test('refuses a curve that is not finite and a tolerance that is not positive', () => {
		expect(() => fitCubics((t) => ({ x: 1 / t, y: 0, dx: 1, dy: 0 }), 0, 1, { toleranceMm: 1 })).toThrow(/parameter 0/)
		expect(() => fitCubics(ellipseJet(1, 1), 0, 1, { toleranceMm: 0 })).toThrow(RangeError)
	})
})

describe('arcCubics', () => {
	test('is as far from the circle as it says, and within tolerance', () => {
		fc.assert(
			fc.property(
				fc.double({ min: 0.5, max: 2000, noNaN: true }),
				fc.double({ min: -7, max: 7, noNaN: true }),
				fc.integer({ min: 1, max: 7 }),
				(radius, sweep, digits) => {
					fc.pre(Math.abs(sweep) > 1e-3)
					const arc = arcCubics({ x: 3, y: -4 }, radius, 1, 1 + sweep, 10 ** -digits)
					const worst = Math.max(...sampleCubics(arc.cubics, 200).map((p) => Math.abs(Math.hypot(p.x - 3, p.y + 4) - radius)))
					expect(worst).toBeLessThanOrEqual(arc.maxErrorMm + 1e-11 * radius)
					expect(worst).toBeGreaterThanOrEqual(0.98 * arc.maxErrorMm - 1e-11 * radius)
					expect(arc.maxErrorMm).toBeLessThanOrEqual(10 ** -digits)
				},
			),
		)
	})

	test('a quarter circle of radius 1 by one cubic is 2.73e-4 off (Goldapp, CAGD 8, 1991)', () => {
		expect(arcCubics({ x: 0, y: 0 }, 1, 0, Math.PI / 2, 1).maxErrorMm).toBeCloseTo(2.73e-4, 6)
	})

	test('a whole circle closes exactly', () => {
		const { cubics } = circleCubics({ x: 0, y: 0 }, 50, 1e-6)
		expect(cubics[cubics.length - 1]?.[3]).toEqual(cubics[0]?.[0])
	})
})

describe('flatten', () => {
	const point = fc.record({
		x: fc.double({ min: -100, max: 100, noNaN: true }),
		y: fc.double({ min: -100, max: 100, noNaN: true }),
	})

	test('no place of a cubic is farther from its chord than the tolerance', () => {
		fc.assert(
			fc.property(fc.tuple(point, point, point, point), fc.integer({ min: 0, max: 3 }), (c, digits) => {
				const toleranceMm = 10 ** -digits
				const { points, params } = flattenWithParams([c as Cubic], toleranceMm)
				for (let i = 1; i < points.length; i++) {
					for (const f of [0.25, 0.5, 0.75]) {
						const u = (params[i - 1] as number) + f * ((params[i] as number) - (params[i - 1] as number))
						const chord = [points[i - 1], points[i]] as const
						expect(distanceToPolyline(bernstein(c as Cubic, u), chord as never)).toBeLessThanOrEqual(toleranceMm + 1e-12)
					}
				}
			}),
		)
	})

	test('parameters find their points again; ends are kept', () => {
		const { cubics } = arcCubics({ x: 0, y: 0 }, 80, 0, 3, 1e-6)
		const { points, params } = flattenWithParams(cubics, 0.01)
		points.forEach((p, k) => {
			const u = params[k] as number
			const i = Math.min(Math.floor(u), cubics.length - 1)
			const q = cubicAt(cubics[i] as Cubic, u - i)
			expect(Math.hypot(p.x - q.x, p.y - q.y)).toBeLessThan(1e-12)
		})
		expect(params[params.length - 1]).toBe(cubics.length)
	})

	test('a circle takes no more than 1.5 times the chords that its sagitta needs', () => {
		const { cubics } = circleCubics({ x: 0, y: 0 }, 50, 1e-6)
		const needed = Math.PI / Math.acos(1 - 0.01 / 50)
		// halving overshoots by less than 2; equal cubics land where they land
		expect(flatten(cubics, 0.01).length).toBeLessThan(2 * needed)
	})

	test('in a local scale the sagitta is that of the true lengths', () => {
		const { cubics } = circleCubics({ x: 0, y: 0 }, 1, 1e-9)
		const big = circleCubics({ x: 0, y: 0 }, 100, 1e-7).cubics
		expect(flatten(cubics, 0.01, () => ({ sx: 100, sy: 100 })).length).toBe(flatten(big, 0.01).length)
		expect(distanceToCubics({ x: 2, y: 0 }, cubics)).toBeCloseTo(1, 9)
	})
})
