import { describe, expect, test } from 'vitest'
import { smoothingSpline } from '../../src/numeric/smoothing.ts'

/** Source: SciPy, scipy.interpolate.make_smoothing_spline(t, y, w=1/sigma**2, lam=0.5), which agrees to 1e-12; printed to 1e-9. */
describe('natural cubic smoothing against SciPy', () => {
	const t = [0, 1, 2.5, 4, 5.2, 7, 8]
	const y = [0, 0.9, 2.2, 2.1, 1.2, 0.3, 0.1]
	const sigma = [0.1, 0.2, 0.1, 0.1, 0.2, 0.1, 0.1]
	const expected = [-0.000838235, 0.916470586, 2.195926512, 2.097253103, 1.214523082, 0.301107969, 0.098802234]
	test('fitted values', () => {
		const fit = smoothingSpline(t, y, sigma, 0.5, { order: 2 })!
		expected.forEach((value, i) => {
			expect(Math.abs(fit.fitted[i]! - value)).toBeLessThanOrEqual(5.01e-10)
		})
	})
	test('the same in other units: t in tenths, y in thousandths', () => {
		const fit = smoothingSpline(
			t.map((v) => 10 * v),
			y.map((v) => 1000 * v),
			sigma.map((v) => 1000 * v),
			// lambda: (y / sigma)^2 has no unit; the integral of f''^2 goes with y^2 / t^3
			(0.5 * 1e3) / 1e6,
			{ order: 2 },
		)!
		expected.forEach((value, i) => {
			expect(Math.abs(fit.fitted[i]! / 1000 - value)).toBeLessThanOrEqual(5.01e-10)
		})
	})
})
