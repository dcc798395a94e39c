import { describe, expect, test } from 'vitest'
import { type Derivative, integrate, integratePath } from '../../src/numeric/ode.ts'

const oscillator: Derivative = (_, y, out) => {
	out[0] = y[1]!
	out[1] = -y[0]!
}

describe('integrate', () => {
	for (const tolerance of [1e-4, 1e-7, 1e-10]) {
		test(`sine and cosine to ${tolerance} (closed form), with an honest error`, () => {
			const r = integrate(oscillator, [0, 1], 0, 5, { tolerance })
			const wrong = Math.max(Math.abs(r.y[0]! - Math.sin(5)), Math.abs(r.y[1]! - Math.cos(5)))
			expect(r.reachedEnd).toBe(true)
			expect(wrong).toBeLessThan(10 * tolerance)
			expect(wrong).toBeLessThanOrEqual(r.error)
		})
	}

	test('a straight path costs one step and is exact', () => {
		const straight: Derivative = (_, __, out) => {
			out[0] = 0.6
			out[1] = 0.8
		}
		const r = integrate(straight, [1, 2], 0, 500, { tolerance: 1e-9 })
		expect(r.steps).toBe(1)
		expect(r.y[0]).toBeCloseTo(301, 10)
		expect(r.y[1]).toBeCloseTo(402, 10)
	})

	test('there and back again', () => {
		const there = integrate(oscillator, [0.3, -0.8], 1, 4, { tolerance: 1e-11 })
		const back = integrate(oscillator, there.y, 4, 1, { tolerance: 1e-11 })
		expect(back.y[0]).toBeCloseTo(0.3, 9)
		expect(back.y[1]).toBeCloseTo(-0.8, 9)
	})

	test('the same path whichever way the error is counted, with fewer steps for a loose one', () => {
		const tight = integrate(oscillator, [0, 1], 0, 3, { tolerance: 1e-8 })
		const loose = integrate(oscillator, [0, 1], 0, 3, { tolerance: 1e-8, scale: [1e-3, 1e-3] })
		expect(loose.steps).toBeLessThan(tight.steps)
	})

	test('a kink does not stall it: at the shortest step it goes on, and the error says so', () => {
		const kinked: Derivative = (t, _, out) => {
			out[0] = Math.abs(t - 1 / 3)
		}
		const r = integrate(kinked, [0], 0, 1, { tolerance: 1e-13 })
		expect(r.reachedEnd).toBe(true)
		// 1/18 + 4/18; a slope that changes by 2 inside one step of 1/1000 can hide no more than 2 h^2 / 8
		expect(Math.abs(r.y[0]! - 5 / 18)).toBeLessThan(2.5e-7)
		expect(r.error).toBeGreaterThan(1e-13)
		expect(r.steps).toBeLessThan(200)
	})

	test('where the derivative ends, it stops there and says so', () => {
		const edge: Derivative = (_, y, out) => {
			out[0] = y[0]! < 1 ? 1 : Number.NaN
		}
		const r = integrate(edge, [0], 0, 2, { tolerance: 1e-6 })
		expect(r.reachedEnd).toBe(false)
		expect(r.y[0]).toBeLessThan(1)
		expect(r.y[0]).toBeGreaterThan(0.99)
		expect(r.t).toBeCloseTo(r.y[0]!, 12)
	})

	test('runs out of steps with its last place', () => {
		const r = integrate(oscillator, [0, 1], 0, 100, { tolerance: 1e-12, maxSteps: 20 })
		expect(r.reachedEnd).toBe(false)
		expect(r.steps).toBe(20)
		expect(Math.abs(r.y[0]! - Math.sin(r.t))).toBeLessThan(1e-8)
	})

	test('an interval of no length', () => {
		expect(integrate(oscillator, [0, 1], 2, 2, { tolerance: 1e-6 })).toMatchObject({ reachedEnd: true, steps: 0, t: 2 })
	})
})

describe('integratePath', () => {
	for (const [from, to] of [
		[0, 4],
		[4, 0],
	] as const) {
		test(`between the steps, ${from} to ${to}`, () => {
			const path = integratePath(oscillator, [Math.sin(from), Math.cos(from)], from, to, { tolerance: 1e-8 })
			for (let i = 0; i <= 200; i++) {
				const t = from + ((to - from) * i) / 200
				expect(Math.abs(path.at(t)[0]! - Math.sin(t))).toBeLessThan(1e-6)
			}
			const last = path.nodes.at(-1)!
			expect(path.nodes[0]!.t).toBe(from)
			expect(last.t).toBe(to)
			for (const node of path.nodes) {
				expect(node.dy[0]).toBeCloseTo(node.y[1]!, 12)
				expect(path.at(node.t)[0]).toBeCloseTo(node.y[0]!, 12)
			}
		})
	}
})
