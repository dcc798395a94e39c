import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { gaussNewton } from '../../src/numeric/gaussNewton.ts'
import { leastSquares } from '../../src/numeric/leastSquares.ts'

describe('linear least squares', () => {
	test('a straight line through points: the textbook formulas', () => {
		const x = [1, 2, 4, 7]
		const y = [3, 4, 9, 11]
		const fit = leastSquares(Float64Array.from(x.flatMap((v) => [1, v])), y, [1, 1, 1, 1], 2)
		const xm = 3.5
		const sxx = x.reduce((sum, v) => sum + (v - xm) ** 2, 0)
		const slope = x.reduce((sum, v, i) => sum + (v - xm) * y[i]!, 0) / sxx
		expect(fit.x[1]).toBeCloseTo(slope, 12)
		expect(fit.sd[1]).toBeCloseTo(1 / Math.sqrt(sxx), 12)
		expect(fit.redundancy[0]).toBeCloseTo(1 - 1 / 4 - (1 - xm) ** 2 / sxx, 12)
		expect(fit.redundancy.reduce((a, b) => a + b)).toBeCloseTo(fit.dof, 12)
		expect(fit.undetermined).toEqual([])
	})

	test('an undetermined unknown is named, the others stand', () => {
		// b and c only ever appear as their sum
		const a = Float64Array.from([1, 0, 0, 0, 1, 1, 1, 1, 1, 1, 0, 0])
		const fit = leastSquares(a, [5, 3, 8, 5], [1, 1, 1, 1], 3)
		expect(fit.rank).toBe(2)
		expect(fit.undetermined).toEqual([1, 2])
		expect(fit.nullSpace).toHaveLength(1)
		expect(fit.nullSpace[0]![1]! + fit.nullSpace[0]![2]!).toBeCloseTo(0, 12)
		expect(fit.x[0]).toBeCloseTo(5, 12)
		expect(Number.isFinite(fit.sd[0]!)).toBe(true)
		expect(fit.sd[1]).toBe(Number.POSITIVE_INFINITY)
	})

	test('a column of nothing, and more unknowns than rows', () => {
		expect(leastSquares(Float64Array.from([1, 0, 2, 0]), [1, 2], [1, 1], 2).undetermined).toEqual([1])
		const wide = leastSquares(Float64Array.from([1, 1, 1]), [6], [1], 3)
		expect(wide.rank).toBe(1)
		expect(wide.undetermined).toEqual([0, 1, 2])
	})

	test('units of an unknown change nothing but its own number', () => {
		fc.assert(
			fc.property(
				fc.array(fc.integer({ min: -50, max: 50 }), { minLength: 12, maxLength: 12 }),
				fc.integer({ min: -9, max: 9 }),
				(v, e) => {
					const scale = 10 ** e
					const b = v.slice(0, 4)
					const sd = [1, 2, 0.5, 1]
					const a = v.slice(4).map((n, i) => n + (i % 3) * 0.37)
					const one = leastSquares(Float64Array.from(a), b, sd, 2)
					const two = leastSquares(Float64Array.from(a.map((n, i) => (i % 2 === 0 ? n * scale : n))), b, sd, 2)
					expect(two.rank).toBe(one.rank)
					for (let i = 0; i < 4; i++) expect(two.residuals[i]).toBeCloseTo(one.residuals[i]!, 7)
				},
			),
		)
	})

	test('an observation known exactly enough decides, and nothing checks the one it makes needless', () => {
		const fit = leastSquares(Float64Array.from([1, 1]), [10, 20], [1e-6, 1], 1)
		expect(fit.x[0]).toBeCloseTo(10, 9)
		expect(fit.redundancy[0]).toBeLessThan(1e-9)
		expect(fit.redundancy[1]).toBeCloseTo(1, 9)
	})
})

describe('Gauss-Newton', () => {
	/** Rosenbrock as least squares: residuals 10 (y - x^2), 1 - x; least at (1, 1) */
	const valley = (x: Float64Array) => ({
		residuals: Float64Array.from([10 * (x[1]! - x[0]! ** 2), 1 - x[0]!]),
		jacobian: Float64Array.from([-20 * x[0]!, 10, -1, 0]),
	})
	test('finds the end of a bent valley', () => {
		const fit = gaussNewton(valley, [-1.2, 1], [1, 1], { tolerance: 1e-10 })!
		expect(fit.converged).toBe(true)
		expect(fit.x[0]).toBeCloseTo(1, 8)
		expect(fit.x[1]).toBeCloseTo(1, 8)
	})

	test('says when it ran out of steps, and how far it was', () => {
		const fit = gaussNewton(valley, [-1.2, 1], [1, 1], { tolerance: 1e-10, maxSteps: 2 })!
		expect(fit.converged).toBe(false)
		expect(fit.offset).toBeGreaterThan(1e-10)
	})

	test('keeps out of where the model is not', () => {
		const log = (x: Float64Array) =>
			x[0]! > 0
				? {
						residuals: Float64Array.from([Math.log(x[0]!) + 3, 0.1 * (x[0]! - 1)]),
						jacobian: Float64Array.from([1 / x[0]!, 0.1]),
					}
				: undefined
		const fit = gaussNewton(log, [5], [1, 1], { tolerance: 1e-10 })!
		expect(fit.converged).toBe(true)
		expect(fit.x[0]).toBeGreaterThan(0)
		// stationary: (ln x + 3)/x + 0.01 (x - 1) = 0
		expect((Math.log(fit.x[0]!) + 3) / fit.x[0]! + 0.01 * (fit.x[0]! - 1)).toBeCloseTo(0, 8)
		expect(gaussNewton(log, [-1], [1, 1], { tolerance: 1e-10 })).toBeUndefined()
	})

	test('an unknown that nothing depends on stays where it was', () => {
		const model = (x: Float64Array) => ({
			residuals: Float64Array.from([x[0]! ** 2 - 4, x[0]! - 2]),
			jacobian: Float64Array.from([2 * x[0]!, 0, 1, 0]),
		})
		const fit = gaussNewton(model, [3, 77], [1, 1], { tolerance: 1e-10 })!
		expect(fit.x[0]).toBeCloseTo(2, 9)
		expect(fit.x[1]).toBe(77)
		expect(fit.undetermined).toEqual([1])
	})
})
