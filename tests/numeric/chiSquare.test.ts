import fc from 'fast-check'
import { expect, test } from 'vitest'
import { chiSquareQuantile, gammaP, lnGamma } from '../../src/numeric/chiSquare.ts'

/** Source: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.4, critical values of the chi-square distribution. */
test('quantiles as tabled by NIST', () => {
	for (const [p, dof, value] of [
		[0.95, 1, 3.841],
		[0.95, 2, 5.991],
		[0.999, 1, 10.828],
		[0.999, 5, 20.515],
		[0.99, 10, 23.209],
		[0.999, 30, 59.703],
		[0.95, 100, 124.342],
		[0.05, 10, 3.94],
		[0.001, 10, 1.479],
		[0.001, 100, 61.918],
	] as const) {
		expect(Math.abs(chiSquareQuantile(p, dof) - value), `${p} of ${dof}`).toBeLessThan(0.00051)
	}
})

/** Closed forms: P(1, x) = 1 - e^-x, and by parts P(a + 1, x) = P(a, x) - x^a e^-x / gamma(a + 1). */
test('the incomplete gamma function against its closed forms for whole a', () => {
	fc.assert(
		fc.property(fc.integer({ min: 1, max: 60 }), fc.double({ min: 0.01, max: 150, noNaN: true }), (a, x) => {
			let term = 1
			let above = 1
			for (let k = 1; k < a; k++) {
				term *= x / k
				above += term
			}
			expect(Math.abs(gammaP(a, x) - (1 - above * Math.exp(-x)))).toBeLessThan(1e-12)
		}),
	)
})

test('the gamma function of halves', () => {
	expect(lnGamma(0.5)).toBeCloseTo(Math.log(Math.sqrt(Math.PI)), 13)
	expect(lnGamma(5.5)).toBeCloseTo(Math.log((945 / 32) * Math.sqrt(Math.PI)), 13)
	expect(lnGamma(11)).toBeCloseTo(Math.log(3_628_800), 12)
})
