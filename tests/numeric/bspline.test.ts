import { describe, expect, test } from 'vitest'
import { basisDerivatives, clampedKnots, evaluateBSpline, knotSpan, periodicKnots } from '../../src/numeric/bspline.ts'

const places = [0, 0.7, 1.1, 2.6, 3]

describe('B-splines', () => {
	for (const degree of [1, 3, 5]) {
		test(`of degree ${degree} add up to 1 and their derivatives to 0`, () => {
			const knots = clampedKnots(places, degree)
			for (const t of [0, 0.3, 0.7, 1.9, 2.99, 3]) {
				const basis = basisDerivatives(knots, degree, knotSpan(knots, degree, t), t, 3)
				for (let d = 0; d <= 3; d++) {
					const sum = basis.subarray(d * (degree + 1), (d + 1) * (degree + 1)).reduce((a, b) => a + b, 0)
					expect(sum).toBeCloseTo(d === 0 ? 1 : 0, 9)
				}
			}
		})

		test(`of degree ${degree}: each derivative is the slope of the one before`, () => {
			const knots = clampedKnots(places, degree)
			const coefficients = Float64Array.from({ length: knots.length - degree - 1 }, (_, i) => Math.sin(3 * i))
			const spline = { degree, knots, coefficients }
			const h = 1e-5
			for (const t of [0.2, 0.9, 2, 2.8]) {
				const here = evaluateBSpline(spline, t, 3)
				const after = evaluateBSpline(spline, t + h, 3)
				const before = evaluateBSpline(spline, t - h, 3)
				for (let d = 0; d < 3; d++) expect(here[d + 1]).toBeCloseTo((after[d]! - before[d]!) / (2 * h), 4)
			}
		})
	}

	test('cubic on even knots: 1/6, 2/3, 1/6 (textbook)', () => {
		const knots = Float64Array.from({ length: 12 }, (_, i) => i)
		expect(Array.from(basisDerivatives(knots, 3, 5, 5, 0))).toEqual([1 / 6, 2 / 3, 1 / 6, 0].map((v) => expect.closeTo(v, 14)))
	})

	test('periodic knots repeat with the period, however few pieces', () => {
		for (const own of [places, [0, 1, 3]]) {
			const knots = periodicKnots(own, 5)
			const pieces = own.length - 1
			for (let i = 0; i + pieces < knots.length; i++) expect(knots[i + pieces]! - knots[i]!).toBeCloseTo(3, 12)
		}
	})
})
