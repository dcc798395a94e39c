import { describe, expect, test } from 'vitest'
import { adaptiveQuadrature, GAUSS_5, GAUSS_10, gaussLegendre, gaussRule } from '../../src/numeric/quadrature.ts'

describe('Gauss-Legendre', () => {
	test('the published nodes and weights (Abramowitz & Stegun, table 25.4)', () => {
		expect(GAUSS_5.nodes[4]).toBeCloseTo(0.906179845938664, 14)
		expect(GAUSS_5.weights[4]).toBeCloseTo(0.236926885056189, 14)
		expect(GAUSS_5.weights[2]).toBeCloseTo(0.568888888888889, 14)
		expect(GAUSS_10.nodes[9]).toBeCloseTo(0.973906528517172, 14)
		expect(GAUSS_10.weights[9]).toBeCloseTo(0.066671344308688, 14)
	})
	for (const n of [2, 3, 5, 10]) {
		test(`${n} nodes are exact to degree ${2 * n - 1} and not beyond`, () => {
			const rule = gaussRule(n)
			const power = (p: number) => gaussLegendre((x) => x ** p, 0, 1, rule) - 1 / (p + 1)
			for (let p = 0; p < 2 * n; p++) expect(Math.abs(power(p))).toBeLessThan(1e-15)
			expect(Math.abs(power(2 * n))).toBeGreaterThan(1e-15)
		})
	}
	test('halving the panels of five nodes divides the error by about 2^10', () => {
		const exact = (Math.exp(6) - Math.exp(-6)) / 6
		const error = (panels: number) => Math.abs(gaussLegendre((x) => Math.exp(6 * x), -1, 1, GAUSS_5, panels) - exact)
		expect(error(8) / error(16)).toBeGreaterThan(900)
		expect(error(8) / error(16)).toBeLessThan(1100)
	})
})

describe('adaptive', () => {
	test.each([
		['square root', Math.sqrt, 0, 1, 2 / 3],
		['kink', (x: number) => Math.abs(x - 0.3), 0, 1, 0.29],
		['peak', (x: number) => 1 / (1e-4 + x * x), -1, 1, 200 * Math.atan(100)],
		['backwards', Math.exp, 1, 0, 1 - Math.E],
	] as const)('%s, closed form', (_, f, a, b, exact) => {
		const r = adaptiveQuadrature(f, a, b, { tolerance: 1e-9 })
		expect(r.reached).toBe(true)
		expect(Math.abs(r.value - exact)).toBeLessThan(1e-9)
	})
	test('at its limit it says so', () => {
		expect(adaptiveQuadrature((x) => x ** -0.5, 0, 1, { tolerance: 1e-12, maxPanels: 5 }).reached).toBe(false)
	})
})
