import { describe, expect, test } from 'vitest'
import { brent, newtonBracketed } from '../../src/numeric/root.ts'

const cases: [string, (x: number) => number, (x: number) => number, number, number, number][] = [
	['cosine', Math.cos, (x) => -Math.sin(x), 1, 2, Math.PI / 2],
	['cube root of 2', (x) => x ** 3 - 2, (x) => 3 * x * x, 0, 5, 2 ** (1 / 3)],
	['nearly flat at the root', (x) => (x - 1) ** 5, (x) => 5 * (x - 1) ** 4, -3, 4, 1],
	['steep', (x) => Math.expm1(20 * (x - 0.3)), (x) => 20 * Math.exp(20 * (x - 0.3)), -2, 3, 0.3],
	['root of the arctangent', Math.atan, (x) => 1 / (1 + x * x), -4, 9, 0],
	['falling', (x) => 0.5 - x, () => -1, 0, 10, 0.5],
]

describe('roots of closed forms', () => {
	for (const [name, f, slope, a, b, root] of cases) {
		for (const [from, to] of [
			[a, b],
			[b, a],
		] as const) {
			test(`${name} from ${from} to ${to}`, () => {
				const tolerance = 1e-10
				// a fivefold root is known no better than the fifth root of the rounding of f
				const near = name.startsWith('nearly') ? 2e-3 : 2e-10
				const one = brent(f, from, to, { tolerance, maxSteps: 200 })
				const two = newtonBracketed((x) => ({ value: f(x), slope: slope(x) }), from, to, { tolerance, maxSteps: 200 })
				expect(one.ok && two.ok).toBe(true)
				expect(Math.abs(one.x - root)).toBeLessThan(near)
				expect(Math.abs(two.x - root)).toBeLessThan(near)
			})
		}
	}

	test('no bracket, nothing finite and too few steps are named', () => {
		expect(brent((x) => x * x + 1, -1, 1, { tolerance: 1e-9 })).toMatchObject({ ok: false, reason: 'not-bracketed' })
		expect(brent((x) => (x > 0.4 && x < 0.6 ? Number.NaN : x - 0.5), 0, 1, { tolerance: 1e-9 })).toMatchObject({
			ok: false,
			reason: 'not-finite',
		})
		expect(brent(Math.cos, 0, 3, { tolerance: 1e-15, maxSteps: 2 })).toMatchObject({ ok: false, reason: 'no-convergence' })
		expect(newtonBracketed((x) => ({ value: x * x + 1, slope: 2 * x }), -1, 1, { tolerance: 1e-9 })).toMatchObject({
			ok: false,
			reason: 'not-bracketed',
		})
	})

	test('an end that is the root', () => {
		expect(brent((x) => x, 0, 1, { tolerance: 1e-9 })).toMatchObject({ ok: true, x: 0 })
	})
})
