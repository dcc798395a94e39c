import { describe, expect, test } from 'vitest'
import { leastSquares } from '../../src/numeric/leastSquares.ts'
import { flatChart, locate } from '../survey/bench.ts'

/**
 * Source: F. Krumm, Geodetic Network Adjustment Examples, rev. 3.5, University of Stuttgart, 2020: example 3.1.1
 * (trilateration, pp. 48-50) and example 2.1 (levelling, pp. 6-9). Redundancy numbers and the ellipse are calculated from
 * the same data with the textbook formulas (Baarda 1968). Tolerance: half the last printed digit.
 */
describe('published adjustments', () => {
	test('trilateration: two new points from five distances', () => {
		const distances: [string, string, number][] = [
			['p1', 'p3', 1000.02],
			['p1', 'p4', 1414.2],
			['p2', 'p3', 1414.24],
			['p2', 'p4', 999.98],
			['p3', 'p4', 1000],
		]
		const { survey, problems } = locate(
			{
				datums: [
					{ id: 'p1', station: 0, girth: 1000, side: 'above' },
					{ id: 'p2', station: 1000, girth: 1000, side: 'above' },
				],
				readings: distances.map(([from, to, length]) => ({ kind: 'tape', from, to, length, sd: 0.01 })),
			},
			// the mirrored pair of points, beyond the two fixed ones, is not on this panel
			flatChart({ gMin: () => -100, gMax: () => 1100 }),
		)
		expect(problems).toEqual([])
		const { p3, p4 } = survey.marks
		expect(p3!.at.s).toBeCloseTo(-0.0096, 4)
		expect(p3!.at.g).toBeCloseTo(-0.0226, 4)
		expect(p4!.at.s).toBeCloseTo(999.993, 4)
		expect(p4!.at.g).toBeCloseTo(0.0174, 4)
		const v = [0.26, -0.368, -0.368, 0.26, 0.26]
		const r = [1 / 7, 2 / 7, 2 / 7, 1 / 7, 1 / 7]
		survey.readings.forEach((reading, i) => {
			expect(Math.abs(100 * reading.residual - v[i]!)).toBeLessThan(0.0005)
			expect(reading.redundancy).toBeCloseTo(r[i]!, 4)
			expect(Math.abs(reading.w!)).toBeCloseTo(0.6882, 3)
		})
		expect(Math.sqrt(survey.closure.sumSquares / survey.closure.dof)).toBeCloseTo(0.688, 3)
		// 95 % ellipse with known sigma: sqrt(5.991 x eigenvalues)
		const { ss, sg, gg } = p3!.covariance
		const middle = (ss + gg) / 2
		const half = Math.hypot((ss - gg) / 2, sg)
		// in mm for metres
		expect(1000 * Math.sqrt(5.991 * (middle + half))).toBeCloseTo(34.62, 2)
		expect(1000 * Math.sqrt(5.991 * (middle - half))).toBeCloseTo(18.5, 2)
	})

	test('levelling: three heights from six differences', () => {
		const rows: [number, number, number, number][] = [
			[1, 2, 10.509, 0.006],
			[1, 3, 15.881, 0.012],
			[2, 3, 5.36, 0.004],
			[2, 4, -3.167, 0.004],
			[3, 4, -8.523, 0.005],
			[4, 1, -7.348, 0.003],
		]
		const known = 437.596
		const a = new Float64Array(18)
		const b = rows.map(([from, to, difference], i) => {
			let value = difference
			if (from === 1) value += known
			else a[3 * i + from - 2] = -1
			if (to === 1) value -= known
			else a[3 * i + to - 2] = 1
			return value
		})
		const fit = leastSquares(
			a,
			b,
			rows.map((row) => row[3]),
			3,
		)
		const scale = Math.sqrt(fit.sumSquares / fit.dof)
		expect(fit.x[0]).toBeCloseTo(448.10871, 5)
		expect(fit.x[1]).toBeCloseTo(453.46847, 5)
		expect(fit.x[2]).toBeCloseTo(444.94361, 5)
		expect(fit.sumSquares).toBeCloseTo(1.27212, 5)
		expect(scale).toBeCloseTo(0.6512, 4)
		expect(Array.from(fit.sd, (sd) => 1000 * sd * scale).map((sd) => sd.toFixed(2))).toEqual(['2.30', '2.64', '1.76'])
		const r = [0.6549, 0.8862, 0.3294, 0.4326, 0.5092, 0.1877]
		fit.redundancy.forEach((value, i) => {
			expect(value).toBeCloseTo(r[i]!, 4)
		})
	})
})
