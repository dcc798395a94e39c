import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { deleteOne } from '../../src/numeric/deleteOne.ts'
import { GAUSS_10, gaussLegendre } from '../../src/numeric/quadrature.ts'
import { type SmoothingSpline, smoothByCp, smoothingSpline } from '../../src/numeric/smoothing.ts'

const t = [0, 1, 2.5, 4, 5.2, 7, 8]
const y = [0, 0.9, 2.2, 2.1, 1.2, 0.3, 0.1]
const sigma = [0.1, 0.2, 0.1, 0.1, 0.2, 0.1, 0.1]

/** Deterministic errors, roughly normal: sums of twelve uniform numbers. */
function noise(seed: number): () => number {
	let state = seed
	const next = () => {
		state = (state * 1103515245 + 12345) % 2147483648
		return state / 2147483648
	}
	return () => {
		let sum = -6
		for (let i = 0; i < 12; i++) sum += next()
		return sum
	}
}

describe('a smoothing spline', () => {
	for (const order of [2, 3] as const) {
		test(`of order ${order} is the least of its functional: any bump makes it worse`, () => {
			const lambda = 0.3
			const fit = smoothingSpline(t, y, sigma, lambda, { order })!
			const cost = (bump: number, at: number) => {
				// a smooth bump with exact derivatives: b = exp(-(t - at)^2)
				const b = (x: number) => bump * Math.exp(-((x - at) ** 2))
				const b2 = (x: number) => (4 * (x - at) ** 2 - 2) * b(x)
				const b3 = (x: number) => (12 * (x - at) - 8 * (x - at) ** 3) * b(x)
				let sum = 0
				t.forEach((x, i) => {
					sum += ((fit.fitted[i]! + b(x) - y[i]!) / sigma[i]!) ** 2
				})
				for (let i = 0; i + 1 < t.length; i++) {
					// inside the piece, so that each end is seen from its own side
					sum +=
						lambda * gaussLegendre((x) => (fit.at(x)[order]! + (order === 2 ? b2(x) : b3(x))) ** 2, t[i]!, t[i + 1]!, GAUSS_10, 4)
				}
				return sum
			}
			const least = cost(0, 0)
			for (const at of [-1, 0.5, 2.2, 4.1, 6, 8.5]) {
				// stationary: the two sides rise alike
				const up = cost(1e-3, at) - least
				const down = cost(-1e-3, at) - least
				expect(up).toBeGreaterThan(0)
				expect(down).toBeGreaterThan(0)
				expect(up / down).toBeCloseTo(1, 4)
			}
		})

		test(`of order ${order}: leaving a point out is what refitting without it gives`, () => {
			const fit = smoothingSpline(t, y, sigma, 0.5, { order })!
			t.forEach((at, i) => {
				const without = (values: number[]) => values.filter((_, k) => k !== i)
				const other = smoothingSpline(without(t), without(y), without(sigma), 0.5, { order })!
				expect(fit.deleted[i]!.residual).toBeCloseTo(other.at(at)[0]! - y[i]!, 9)
			})
		})

		test(`of order ${order}: leverages are the derivatives of the fit by its points`, () => {
			const fit = smoothingSpline(t, y, sigma, 0.5, { order })!
			t.forEach((_, i) => {
				const moved = y.map((v, k) => (k === i ? v + 1 : v))
				const other = smoothingSpline(t, moved, sigma, 0.5, { order })!
				expect(fit.leverage[i]).toBeCloseTo(other.fitted[i]! - fit.fitted[i]!, 9)
			})
		})

		test(`of order ${order} runs on beyond its ends as a polynomial of degree ${order - 1}, smoothly`, () => {
			const fit = smoothingSpline(t, y, sigma, 0.5, { order })!
			for (const [end, out] of [
				[0, -1e-4],
				[8, 1e-4],
			] as const) {
				const inside = fit.at(end - out)
				const outside = fit.at(end + out)
				for (let d = 0; d < order; d++) expect(Math.abs(inside[d]! - outside[d]!)).toBeLessThan(2e-3)
			}
			expect(fit.at(12)[order]).toBe(0)
		})
	}

	test('through polynomials it goes exactly, however stiff', () => {
		const q = (x: number) => 3 - 2 * x + 0.25 * x * x
		const fit = smoothingSpline(t, t.map(q), sigma, 1e6, { order: 3 })!
		for (const x of [-3, 0.5, 4.4, 11]) expect(fit.at(x)[0]).toBeCloseTo(q(x), 6)
	})

	test('two points are a straight line, three a parabola or less', () => {
		const two = smoothingSpline([1, 3], [5, 9], [1, 1], 1)!
		expect(Array.from(two.at(10))).toEqual([23, 2, 0, 0].map((v) => expect.closeTo(v, 9)))
		const three = smoothingSpline([0, 1, 3], [0, 1, 9], [1, 1, 1], 5)!
		expect(three.at(2)[0]).toBeCloseTo(4, 9)
	})

	test('a very small sigma pins a point, and a given slope is kept', () => {
		const pinned = sigma.map((s, i) => (i === 0 || i === 6 ? 1e-7 : s))
		const fit = smoothingSpline(t, y, pinned, 0.5, { extra: [{ t: 0, derivative: 1, value: 2, sigma: 1e-6 }] })!
		expect(Math.abs(fit.at(0)[0]!)).toBeLessThan(1e-9)
		expect(fit.at(8)[0]).toBeCloseTo(0.1, 9)
		expect(fit.at(0)[1]).toBeCloseTo(2, 6)
		expect(fit.residuals.some((r) => Math.abs(r) > 0.01)).toBe(true)
	})

	test('a small lambda goes through the points, a large one is the weighted straight line (order 2)', () => {
		const close = smoothingSpline(t, y, sigma, 1e-9, { order: 2 })!
		for (const r of close.residuals) expect(Math.abs(r)).toBeLessThan(1e-6)
		const stiff = smoothingSpline(t, y, sigma, 1e9, { order: 2 })!
		// weighted regression, textbook formulas
		const w = sigma.map((s) => 1 / s ** 2)
		const W = w.reduce((a, b) => a + b)
		const mean = (v: number[]) => v.reduce((a, b, i) => a + b * w[i]!, 0) / W
		const tm = mean(t)
		const slope = t.reduce((a, x, i) => a + w[i]! * (x - tm) * y[i]!, 0) / t.reduce((a, x, i) => a + w[i]! * (x - tm) ** 2, 0)
		expect(stiff.at(3)[1]).toBeCloseTo(slope, 5)
		expect(stiff.df).toBeCloseTo(2, 5)
	})

	test('a closed curve joins itself in value and three derivatives, from any point on', () => {
		const n = 9
		const angle = Array.from({ length: n }, (_, i) => (i + 0.2 * Math.sin(i)) * ((2 * Math.PI) / n))
		const value = angle.map((a) => 50 * Math.cos(a) + Math.sin(2 * a))
		const fit = smoothingSpline(
			angle,
			value,
			angle.map(() => 0.1),
			0.01,
			{ period: 2 * Math.PI },
		)!
		const before = fit.at(angle[0]! - 1e-9)
		const after = fit.at(angle[0]! + 1e-9)
		for (let d = 0; d <= 3; d++) expect(before[d]).toBeCloseTo(after[d]!, 5)
		expect(fit.at(1)[0]).toBeCloseTo(fit.at(1 + 4 * Math.PI)[0]!, 9)
		// the same points numbered from another one
		const turned = [...angle.slice(4), ...angle.slice(0, 4).map((a) => a + 2 * Math.PI)]
		const other = smoothingSpline(
			turned,
			[...value.slice(4), ...value.slice(0, 4)],
			angle.map(() => 0.1),
			0.01,
			{
				period: 2 * Math.PI,
			},
		)!
		for (const x of [0.3, 2, 5]) expect(other.at(x)[0]).toBeCloseTo(fit.at(x)[0]!, 7)
	})

	test('three points close a curve too', () => {
		const fit = smoothByCp(
			[0, 2, 4],
			[
				{ y: [1, -0.5, -0.5], sigma: [0.01, 0.01, 0.01] },
				{ y: [0, 0.87, -0.87], sigma: [0.01, 0.01, 0.01] },
			],
			{ period: 6 },
		)!
		expect(fit.coordinates[0]!.at(6)[0]).toBeCloseTo(fit.coordinates[0]!.at(0)[0]!, 9)
	})

	test('mistakes of the caller are thrown', () => {
		expect(() => smoothingSpline([0, 0], [1, 2], [1, 1], 1)).toThrow('increase')
		expect(() => smoothingSpline([0, 1], [1, 2], [1, 0], 1)).toThrow('sigma')
		expect(() => smoothingSpline([0, 1], [1, 2], [1, 1], 0)).toThrow('lambda')
	})
})

describe('one lambda by Cp', () => {
	const x = Array.from({ length: 12 }, (_, i) => 40 * i)
	const truth = (v: number) => 120 * Math.sin(v / 200)
	const curve = (seed: number, sd = 0.5) => {
		const e = noise(seed)
		return smoothByCp(x, [
			{ y: x.map((v) => v + sd * e()), sigma: x.map(() => sd) },
			{ y: x.map((v) => truth(v) + sd * e()), sigma: x.map(() => sd) },
		])!
	}
	const rms = (spline: SmoothingSpline, f: (v: number) => number) =>
		Math.sqrt(x.reduce((sum, v) => sum + (spline.at(v)[0]! - f(v)) ** 2, 0) / x.length)

	test('is the least on a fine grid', () => {
		const e = noise(3)
		const ys = x.map((v) => truth(v) + 0.5 * e())
		const sd = x.map(() => 0.5)
		const fit = smoothByCp(x, [{ y: ys, sigma: sd }])!
		for (let k = -40; k <= 40; k++) {
			const other = smoothingSpline(x, ys, sd, fit.lambda * 10 ** (k / 10))!
			expect(other.sumSquares + 2 * other.df - x.length).toBeGreaterThan(fit.cp - 1e-3)
		}
	})

	test('comes nearer to the truth than the points do, on average over 50 seeds', () => {
		let sum = 0
		for (let seed = 1; seed <= 50; seed++) sum += rms(curve(seed).coordinates[1]!, truth)
		expect(sum / 50).toBeLessThan(0.42)
	})

	test('Cp estimates the squared error of the curve, in sigmas: mean over 200 seeds', () => {
		let claimed = 0
		let real = 0
		for (let seed = 1; seed <= 200; seed++) {
			const fit = curve(seed)
			claimed += fit.cp
			real += x.length * ((rms(fit.coordinates[0]!, (v) => v) / 0.5) ** 2 + (rms(fit.coordinates[1]!, truth) / 0.5) ** 2)
		}
		// its least over lambda is a little too hopeful
		expect(claimed / real).toBeGreaterThan(0.6)
		expect(claimed / real).toBeLessThan(1.1)
	})

	test('points on a parabola come back as one', () => {
		const p = (v: number) => 1e-3 * v * v - v
		const fit = smoothByCp(x, [{ y: x.map(p), sigma: x.map(() => 0.5) }])!
		expect(fit.atLimit).toBe('stiffest')
		expect(fit.df).toBeCloseTo(3, 2)
		expect(fit.coordinates[0]!.at(333)[0]).toBeCloseTo(p(333), 4)
	})

	test('turning the coordinates turns the curve, when all sigmas are alike', () => {
		fc.assert(
			fc.property(fc.double({ min: 0, max: 6.28, noNaN: true }), fc.integer({ min: 1, max: 1000 }), (turn, seed) => {
				const e = noise(seed)
				const px = x.map((v) => v + 0.5 * e())
				const py = x.map((v) => truth(v) + 0.5 * e())
				const c = Math.cos(turn)
				const s = Math.sin(turn)
				const sd = x.map(() => 0.5)
				const fit = smoothByCp(x, [
					{ y: px, sigma: sd },
					{ y: py, sigma: sd },
				])!
				const turned = smoothByCp(x, [
					{ y: px.map((v, i) => c * v - s * py[i]!), sigma: sd },
					{ y: px.map((v, i) => s * v + c * py[i]!), sigma: sd },
				])!
				expect(turned.lambda / fit.lambda).toBeCloseTo(1, 3)
				const a = fit.coordinates.map((k) => k.at(137)[0]!)
				const b = turned.coordinates.map((k) => k.at(137)[0]!)
				expect(b[0]).toBeCloseTo(c * a[0]! - s * a[1]!, 4)
			}),
			{ numRuns: 20 },
		)
	})

	test('200 points and points very close together', () => {
		const many = Array.from({ length: 200 }, (_, i) => i * 5 + (i % 7 === 0 ? 4.9 : 0))
		const e = noise(11)
		const fit = smoothByCp(many, [{ y: many.map((v) => truth(v) + 0.5 * e()), sigma: many.map(() => 0.5) }])!
		const worst = many.reduce((most, v) => Math.max(most, Math.abs(fit.coordinates[0]!.at(v)[0]! - truth(v))), 0)
		expect(worst).toBeLessThan(0.6)
	})
})

describe('deleteOne', () => {
	const x = Array.from({ length: 11 }, (_, i) => 45 * i)
	const make = (seed: number, slip: number, at: number) => {
		const e = noise(seed)
		const sd = x.map(() => 0.5)
		return deleteOne(x, [
			{ y: x.map((v) => v + 0.5 * e()), sigma: sd },
			{ y: x.map((v, i) => 60 * Math.sin(v / 180) + 0.5 * e() + (i === at ? slip : 0)), sigma: sd },
		])
	}
	const ratios = (seed: number, slip: number, at: number) =>
		make(seed, slip, at).map((p) => Math.abs(p![1]!.residual) / p![1]!.sd)

	test('names a point 6 mm off in nearly all of 30 seeds', () => {
		let named = 0
		for (let seed = 1; seed <= 30; seed++) {
			const r = ratios(seed, 6, 5)
			if (r[5]! > 3.29 && r[5] === Math.max(...r)) named++
		}
		expect(named).toBeGreaterThanOrEqual(26)
	})

	test('seldom accuses good points: at most 3 of 30 curves', () => {
		let accused = 0
		for (let seed = 1; seed <= 30; seed++) if (Math.max(...ratios(seed, 0, 0)) > 3.29) accused++
		expect(accused).toBeLessThanOrEqual(3)
	})
})
