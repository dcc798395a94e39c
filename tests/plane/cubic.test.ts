import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
	cubicAt,
	cubicBox,
	cubicCurvature,
	cubicDerivative,
	cubicFrame,
	cubicSecondDerivative,
	lineCubic,
	partOfCubic,
	reverseCubic,
	splitCubic,
} from '../../src/plane/cubic.ts'
import { cubicLength, cubicsLength } from '../../src/plane/length.ts'
import type { Cubic } from '../../src/plane/point.ts'
import { bernstein, sampleCubics } from './curves.ts'

const point = fc.record({
	x: fc.double({ min: -500, max: 500, noNaN: true }),
	y: fc.double({ min: -500, max: 500, noNaN: true }),
})
const cubic = fc.tuple(point, point, point, point) as fc.Arbitrary<Cubic>
const inner = fc.double({ min: 0, max: 1, noNaN: true })

describe('cubic', () => {
	test('point, derivatives and halves agree with the Bernstein form and its differences', () => {
		fc.assert(
			fc.property(cubic, inner, (c, u) => {
				const p = cubicAt(c, u)
				const b = bernstein(c, u)
				expect(Math.hypot(p.x - b.x, p.y - b.y)).toBeLessThan(1e-10)
				const h = 1e-4
				const d = cubicDerivative(c, u)
				const [before, after] = [bernstein(c, u - h), bernstein(c, u + h)]
				expect(Math.abs((after.x - before.x) / (2 * h) - d.x)).toBeLessThan(1e-3)
				expect(Math.abs((after.y - before.y) / (2 * h) - d.y)).toBeLessThan(1e-3)
				const dd = cubicSecondDerivative(c, u)
				expect(Math.abs((after.x - 2 * b.x + before.x) / (h * h) - dd.x)).toBeLessThan(1e-3)
				const [first, second] = splitCubic(c, u)
				const half = cubicAt(first, 0.5)
				const wanted = bernstein(c, u / 2)
				expect(Math.hypot(half.x - wanted.x, half.y - wanted.y)).toBeLessThan(1e-9)
				const quarter = cubicAt(second, 0.25)
				const there = bernstein(c, u + (1 - u) / 4)
				expect(Math.hypot(quarter.x - there.x, quarter.y - there.y)).toBeLessThan(1e-9)
			}),
		)
	})

	test('a part is the same curve, forwards or backwards', () => {
		fc.assert(
			fc.property(cubic, inner, inner, inner, (c, u0, u1, v) => {
				const part = cubicAt(partOfCubic(c, u0, u1), v)
				const whole = bernstein(c, u0 + v * (u1 - u0))
				expect(Math.hypot(part.x - whole.x, part.y - whole.y)).toBeLessThan(1e-9)
			}),
		)
	})

	test('the box holds every sample and is touched on all four sides', () => {
		fc.assert(
			fc.property(cubic, (c) => {
				const box = cubicBox(c)
				const points = sampleCubics([c], 2000)
				const xs = points.map((p) => p.x)
				const ys = points.map((p) => p.y)
				for (const [edge, sampled] of [
					[-box.minX, -Math.min(...xs)],
					[box.maxX, Math.max(...xs)],
					[-box.minY, -Math.min(...ys)],
					[box.maxY, Math.max(...ys)],
				] as const) {
					expect(sampled).toBeLessThanOrEqual(edge + 1e-9)
					// 2000 samples of a curve with |B''| up to 12,000 miss an extreme by at most 12000/8/2000^2
					expect(edge - sampled).toBeLessThan(0.0005)
				}
			}),
		)
	})

	test('curvature is positive to the left of travel and 1/r on a quarter of a circle', () => {
		const k = 0.5522847498
		const quarter: Cubic = [
			{ x: 10, y: 0 },
			{ x: 10, y: 10 * k },
			{ x: 10 * k, y: 10 },
			{ x: 0, y: 10 },
		]
		// the cubic's own curvature is within 1 % of the circle's
		expect(Math.abs(cubicCurvature(quarter, 0.5) - 0.1)).toBeLessThan(0.001)
		expect(cubicCurvature(reverseCubic(quarter), 0.5)).toBeCloseTo(-cubicCurvature(quarter, 0.5), 12)
	})

	test('a handle of length 0 has the limit direction and turning', () => {
		const c: Cubic = [
			{ x: 0, y: 0 },
			{ x: 0, y: 0 },
			{ x: 10, y: 0 },
			{ x: 20, y: 7 },
		]
		const near = cubicFrame(c, 1e-6)
		const at = cubicFrame(c, 0)
		expect(at.tangent.x).toBeCloseTo(near.tangent.x, 5)
		expect(at.tangent.y).toBeCloseTo(near.tangent.y, 5)
		expect(at.turning).toBeCloseTo(near.turning, 4)
		const mirrored = cubicFrame(reverseCubic(c), 1)
		expect(mirrored.tangent.x).toBeCloseTo(-at.tangent.x, 12)
		expect(mirrored.turning).toBeCloseTo(-at.turning, 12)
		const line = cubicFrame([c[0], c[0], c[3], c[3]], 1)
		expect(line.tangent.x).toBeCloseTo(20 / Math.hypot(20, 7), 12)
	})

	test('length of a line, and of a parabola by its closed form', () => {
		expect(cubicLength(lineCubic({ x: 1, y: 2 }, { x: 4, y: 6 }))).toBeCloseTo(5, 12)
		// y = x^2 over 0..1 raised to a cubic: length sqrt(5)/2 + asinh(2)/4 (any calculus text)
		const parabola: Cubic = [
			{ x: 0, y: 0 },
			{ x: 1 / 3, y: 0 },
			{ x: 2 / 3, y: 1 / 3 },
			{ x: 1, y: 1 },
		]
		expect(Math.abs(cubicLength(parabola) - (Math.sqrt(5) / 2 + Math.asinh(2) / 4))).toBeLessThan(1e-9)
		expect(cubicsLength(splitCubic(parabola, 0.3))).toBeCloseTo(cubicLength(parabola), 9)
	})
})
