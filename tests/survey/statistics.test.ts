import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { closureOf } from '../../src/survey/closure.ts'
import { ellipse95 } from '../../src/survey/ellipse.ts'
import { locate, sphereChart } from './bench.ts'

describe('what is said of a mark', () => {
	/** Closed form: a turned ellipse with half-axes a and b has covariance R diag(a^2, b^2) R^T / 5.991. */
	test('the ellipse has the axes and the direction it was made with, where a millimetre of station is as long as it says', () => {
		fc.assert(
			fc.property(
				fc.double({ min: 0.5, max: 5, noNaN: true }),
				fc.double({ min: 0.05, max: 0.95, noNaN: true }),
				fc.double({ min: -89, max: 89, noNaN: true }),
				fc.double({ min: 0.5, max: 1.5, noNaN: true }),
				(a, narrow, deg, j) => {
					const b = a * narrow
					const [c, s] = [Math.cos((deg * Math.PI) / 180), Math.sin((deg * Math.PI) / 180)]
					const ss = (a * a * c * c + b * b * s * s) / 5.991 / (j * j)
					const sg = ((a * a - b * b) * c * s) / 5.991 / j
					const gg = (a * a * s * s + b * b * c * c) / 5.991
					const ellipse = ellipse95({ ss, sg, gg }, j)
					expect(ellipse.majorMm).toBeCloseTo(a, 9)
					expect(ellipse.minorMm).toBeCloseTo(b, 9)
					expect(ellipse.angleDeg).toBeCloseTo(deg, 6)
				},
			),
		)
		expect(ellipse95({ ss: 1, sg: 0, gg: 1 }, 1)).toMatchObject({ angleDeg: 0 })
	})
})

describe('what is said of a reading', () => {
	const tapes = [
		{ kind: 'tape', from: 'a', to: 'b', length: 300.3, sd: 0.5 },
		{ kind: 'square', mark: 'u', station: 50, girth: 0, sd: 0.5 },
		{ kind: 'tape', from: 'a', to: 'u', length: 50.6, sd: 0.5 },
	]
	const datums = [
		{ id: 'a', station: 0, girth: 0 },
		{ id: 'b', station: 300, girth: 0 },
	]
	/** Between datums all of a slip shows (r = 1); of two equal readings of one length half of it does (r = 1/2). */
	test('the smallest slip that would be seen: 4.13 sd over the root of its redundancy', () => {
		const { survey } = locate({ datums, readings: tapes })
		const seen = (path: string) => survey.readings.find((r) => r.path.endsWith(path))?.seenMm
		expect(seen('0/length')).toBeCloseTo(4.13 * 0.5, 9)
		expect(seen('1/station')).toBeCloseTo((4.13 * 0.5) / Math.sqrt(0.5), 9)
		expect(seen('2/length')).toBeCloseTo((4.13 * 0.5) / Math.sqrt(0.5), 9)
		expect(seen('1/girth')).toBeUndefined()
	})

	test('all readings together: chi-square, with the factor by which they are worse', () => {
		const { survey } = locate({ datums, readings: tapes })
		expect(survey.closure.dof).toBe(2)
		expect(survey.closure.sumSquares).toBeCloseTo(0.36 + 2 * 0.36, 9)
		expect(survey.closure.factor).toBeCloseTo(Math.sqrt(1.08 / 2), 9)
		// 2 degrees of freedom in closed form: 1 - e^(-x / 2)
		expect(survey.closure.expected?.from).toBeCloseTo(-2 * Math.log(1 - 0.0005), 9)
		expect(survey.closure.expected?.to).toBeCloseTo(-2 * Math.log(0.0005), 7)
		expect(survey.closure.verdict).toBe('as-said')
		expect(closureOf(0, 0)).toEqual({ dof: 0, sumSquares: 0, verdict: 'unchecked' })
		expect(closureOf(2, 16).verdict).toBe('worse')
		expect(closureOf(2, 0.0005).verdict).toBe('better')
	})

	test('readings that are all a little worse than said are told of together, and none is blamed', () => {
		const { problems } = locate({
			datums,
			readings: [2.6, 2.4, 2.5, 2.6, 2.5, 2.6].map((off, i) => ({
				...{ kind: 'tape', from: 'a', to: 'b', length: 300 + (i % 2 ? 0.6 : -0.6) * off, sd: 0.5 },
			})),
		})
		expect(problems).toMatchObject([{ code: 'READINGS_SPREAD', severity: 'warning' }])
		expect(problems[0]!.found).toContain('3.0 times')
	})

	/** The whole ellipse on a sphere is turned by nothing and scaled by cos(g / R): checked against the survey's own covariance. */
	test('on a sphere station counts by its length there', () => {
		const { survey } = locate(
			{ readings: [{ kind: 'square', mark: 'u', station: 30, girth: 90, side: 'above', sd: 0.5, squared: 't-strip' }] },
			sphereChart(150),
		)
		const u = survey.marks.u!
		const j = Math.cos(90 / 150)
		const along = 2.4477 * Math.hypot(0.5, (90 * Math.PI) / 360) * j
		expect(ellipse95(u.covariance, j).majorMm).toBeCloseTo(Math.max(along, 2.4477 * 0.5), 3)
		expect(ellipse95(u.covariance, j).minorMm).toBeCloseTo(Math.min(along, 2.4477 * 0.5), 3)
	})
})
