import { describe, expect, test } from 'vitest'
import { evaluateBSpline } from '../../src/numeric/bspline.ts'
import { gridSpline, lineSpline } from '../../src/numeric/gridSpline.ts'
import { evaluatePiece, splinePieces } from '../../src/numeric/splinePieces.ts'

const sample = <T>(n: number, f: (i: number) => T) => Array.from({ length: n }, (_, i) => f(i))

describe('the quintic spline on a grid', () => {
	test('is exact for polynomials of degree 5 in both parameters (Schoenberg: cardinal splines reproduce them)', () => {
		const f = (u: number, v: number) => 1 + u - 2 * v + u * u * v - 3 * u ** 3 * v * v + u ** 5 - 0.5 * v ** 5 + u ** 4 * v ** 4
		const axis = { from: -1, step: 0.25, count: 9 }
		const values = sample(9, (i) => sample(9, (k) => f(-1 + i / 4, -1 + k / 4))).flat()
		const spline = gridSpline(axis, axis, values)
		for (const [u, v] of [
			[-0.97, 0.31],
			[0.13, -0.77],
			[0.99, 0.99],
		] as const) {
			const [x, fu, fv, fuu, fuv, fvv] = spline.jet(u, v) as unknown as [number, number, number, number, number, number]
			expect(x).toBeCloseTo(f(u, v), 11)
			expect(fu).toBeCloseTo(1 + 2 * u * v - 9 * u * u * v * v + 5 * u ** 4 + 4 * u ** 3 * v ** 4, 9)
			expect(fv).toBeCloseTo(-2 + u * u - 6 * u ** 3 * v - 2.5 * v ** 4 + 4 * u ** 4 * v ** 3, 9)
			expect(fuu).toBeCloseTo(2 * v - 18 * u * v * v + 20 * u ** 3 + 12 * u * u * v ** 4, 8)
			expect(fuv).toBeCloseTo(2 * u - 18 * u * u * v + 16 * u ** 3 * v ** 3, 8)
			expect(fvv).toBeCloseTo(-6 * u ** 3 - 10 * v ** 3 + 12 * u ** 4 * v * v, 8)
		}
	})

	test('by the polynomials of its cells it is the same as by its B-splines, inside, on the lines between cells and beyond the ends', () => {
		const u = { from: -3, step: 0.7, count: 11, fade: 2 }
		const v = { from: 1, step: 0.4, count: 9, periodic: true }
		const values = sample(11, (i) =>
			sample(9, (k) => 1 + Math.sin(i / 3) * Math.cos((2 * Math.PI * k) / 9) + 0.1 * Math.cos(5 * i + k)),
		).flat()
		const [plain, kept] = [gridSpline(u, v, values), gridSpline(u, v, values, 1, true)]
		for (const at of [-5, -3, -2.93, -2.3, -1.6001, 0.35, 3.3, 3.9999, 4, 6.2]) {
			for (const place of [-1.3, 0.4, 1, 1.39, 1.4, 2.71, 4.6, 9]) {
				const [a, b] = [plain.jet(at, place), kept.jet(at, place)]
				for (let d = 0; d < 6; d++) expect(b[d]).toBeCloseTo(a[d] as number, 10)
				expect(kept.value(at, place)).toBeCloseTo(a[0] as number, 12)
				expect(plain.value(at, place)).toBe(a[0])
			}
		}
	})

	test('its error falls with the sixth power of the step', () => {
		const worst = (step: number) => {
			const count = Math.round(200 / step) + 1
			const line = lineSpline(
				{ from: 0, step, count },
				sample(count, (i) => Math.sin((i * step) / 20)),
			)
			const out = new Float64Array(2)
			return Math.max(...sample(400, (i) => Math.abs((line.jet(60 + i * 0.2, out)[0] as number) - Math.sin((60 + i * 0.2) / 20))))
		}
		expect(worst(10) / worst(5)).toBeGreaterThan(50)
	})

	test('repeats on a periodic axis', () => {
		const count = 24
		const line = lineSpline(
			{ from: 5, step: 1, count, periodic: true },
			sample(count, (i) => Math.cos((2 * Math.PI * i) / count)),
		)
		const out = new Float64Array(2)
		for (const t of [5, 5.5, 28.9, 29, 41.3, -60.2]) {
			const turn = (2 * Math.PI * (t - 5)) / count
			line.jet(t, out)
			expect(out[0]).toBeCloseTo(Math.cos(turn), 5)
			expect(out[1]).toBeCloseTo((-Math.sin(turn) * 2 * Math.PI) / count, 5)
		}
	})

	test('runs on past its ends without a corner of its curvature, and in the end straight', () => {
		const axis = { from: 0, step: 10, count: 12, fade: 40 }
		const flat = { from: 0, step: 1, count: 6 }
		const values = sample(12, (i) => sample(6, () => Math.sin(i / 4) * 30)).flat()
		const spline = gridSpline(axis, flat, values)
		const at = (u: number) => spline.jet(u, 2.5).slice()
		for (const end of [0, 110]) {
			const [a, b] = [at(end - 1e-6), at(end + 1e-6)]
			for (const d of [0, 1, 3]) expect(a[d]).toBeCloseTo(b[d] as number, 5)
			// Third derivative, by differences of the second on both sides.
			const before = ((at(end)[3] as number) - (at(end - 0.01)[3] as number)) / 0.01
			const after = ((at(end + 0.01)[3] as number) - (at(end)[3] as number)) / 0.01
			expect(after).toBeCloseTo(before, 5)
		}
		for (const u of [-20, 130]) {
			const h = 1e-3
			expect(at(u)[1]).toBeCloseTo(((at(u + h)[0] as number) - (at(u - h)[0] as number)) / (2 * h), 8)
			expect(at(u)[3]).toBeCloseTo(((at(u + h)[1] as number) - (at(u - h)[1] as number)) / (2 * h), 8)
		}
		expect(Math.abs(at(700)[3] as number)).toBeLessThan(1e-6)
	})
})

test('pieces of a spline are the spline (against de Boor recursion)', () => {
	const knots = Float64Array.of(0, 0, 0, 0, 1, 2.5, 4, 4, 4, 4)
	const spline = { degree: 3, knots, coefficients: Float64Array.of(1, -2, 0.5, 3, 2, -1) }
	const pieces = splinePieces(spline)
	const out = new Float64Array(2)
	for (const [p, t] of [
		[0, 0.3],
		[1, 1.9],
		[2, 3.999],
	] as const) {
		evaluatePiece(pieces, p, t, out)
		const want = evaluateBSpline(spline, t, 1)
		expect(out[0]).toBeCloseTo(want[0] as number, 12)
		expect(out[1]).toBeCloseTo(want[1] as number, 12)
	}
})
