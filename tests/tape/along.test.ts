/** What tape must stretch by, against closed forms: a plane, a cylinder and a sphere. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { frame } from '../../src/chart/curve.ts'
import { parallelPoint } from '../../src/chart/parallel.ts'
import { looksAlong, parallelCurvature, smoothStretches, strainOf } from '../../src/tape/along.ts'
import { corners, curve, inBox, KINDS, straight } from '../chart/panels.ts'
import { flat, pulled, rolled, SPHERE_MM, sphere } from '../scheme/bench.ts'

const never = () => false

describe('strain of tape along a line', () => {
	test('on a plane: a band bent to radius R at its middle stretches at its edge by w / 2R', () => {
		for (const [radius, width] of [
			[15, 3],
			[30, 6],
			[60, 12],
			[200, 25],
		] as const) {
			// Its inner side on the inside of the circle: its middle goes round at R - w/2.
			expect(strainOf({ k: 1 / radius, gauss: 0 }, 0, width)).toBeCloseTo(width / 2 / (radius - width / 2), 12)
		}
	})

	test('half the width over the usable strain is the least radius of the middle: 3 mm at 10 % 15 mm, 6 mm 30 mm, 12 mm 60 mm', () => {
		// arithmetic of R = w / (2 e); the widths are common practice, no source
		for (const [width, radius] of [
			[3, 15],
			[6, 30],
			[12, 60],
		] as const) {
			expect(strainOf({ k: 1 / (radius + width / 2), gauss: 0 }, 0, width)).toBeCloseTo(0.1, 9)
		}
	})

	test('on a cylinder what is straight on the unrolled sheet is straight for tape', () => {
		const line = pulled(rolled, [20, -40], [350, 55])
		for (const look of looksAlong(rolled, line, 0, 20, never)) expect(strainOf(look, 0, 19)).toBeLessThan(1e-6)
	})

	test('on a sphere a small circle at colatitude t bends by cot t / R in the surface, its parallels as those of other circles', () => {
		// do Carmo, Differential Geometry of Curves and Surfaces, 4-4: geodesic curvature of a parallel of the sphere.
		const girth = 70
		const line = curve([straight({ s: 100, g: girth }, { s: 200, g: girth })])
		for (const width of [3, 6, 12, 25]) {
			const colatitude = Math.PI / 2 - (girth + width / 2) / SPHERE_MM
			const want = (width / 2) * (Math.cos(colatitude) / Math.sin(colatitude) / SPHERE_MM)
			for (const look of looksAlong(sphere, line, 0, 25, never)) expect(strainOf(look, 0, width)).toBeCloseTo(want, 7)
		}
	})

	test('the closed form of a parallel agrees with the path followed there, on every kind of panel', () => {
		fc.assert(
			fc.property(
				fc.constantFrom(...KINDS),
				fc.double({ min: 0.3, max: 0.7, noNaN: true }),
				fc.double({ min: 0.3, max: 0.7, noNaN: true }),
				fc.double({ min: -0.004, max: 0.004, noNaN: true }),
				fc.double({ min: -Math.PI, max: Math.PI, noNaN: true }),
				fc.double({ min: 1, max: 8, noNaN: true }),
				(kind, a, b, k, angle, off) => {
					const chart = kind.chart()
					const at = inBox(kind, a, b)
					const followed = parallelPoint(chart, { at, angle, speed: 1, curvature: k }, off)
					const { k: gauss } = chart.metric(at.s, at.g)
					// Curvature of the panel changes on the way: what that leaves is far below a percent of strain.
					expect(Math.abs(parallelCurvature(k, gauss, off) - followed.curvature) * 12.5).toBeLessThan(2e-3)
				},
			),
			{ numRuns: 200 },
		)
	})
})

describe('the stretches of a line', () => {
	test('end at its corners and know what it turns by there', () => {
		const square = corners(
			[
				[0, 0],
				[100, 0],
				[100, 60],
				[0, 60],
			],
			true,
		)
		const found = smoothStretches(flat, square)
		expect(found).toHaveLength(4)
		for (const { turnBefore, turnAfter } of found) {
			expect(turnBefore).toBeCloseTo(Math.PI / 2, 6)
			expect(turnAfter).toBeCloseTo(Math.PI / 2, 6)
		}
		const total = found.reduce((sum, each) => sum + each.curve.cubics.length, 0)
		expect(total).toBe(square.cubics.length)
	})

	test('room beside a line is as far as what must stay open', () => {
		const line = curve([straight({ s: 0, g: 10 }, { s: 300, g: 10 })])
		const wall = (s: number) => 18 + s / 50
		for (const look of looksAlong(flat, line, 0, 25, (p) => p.g > wall(p.s))) {
			expect(look.room).toBeCloseTo(Math.min(25, wall(look.at.s) - 10), 1)
			expect(frame(flat, line, look.u).at.s).toBeCloseTo(look.l, 3)
		}
	})
})
