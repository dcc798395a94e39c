// The smallest gap between two outlines, against a look at every place and every chord.
import fc from 'fast-check'
import { expect, test } from 'vitest'
import type { Chart } from '../../src/chart/chart.ts'
import type { ChartPoint, ChartRegion } from '../../src/chart/point.ts'
import { gapBetween } from '../../src/scheme/gap.ts'
import { sphere } from '../chart/panels.ts'

const seed = 20261127
const WITHIN = 50

/** A star of so many places. */
const star = fc
	.record({
		s: fc.double({ min: -80, max: 80, noNaN: true }),
		g: fc.double({ min: -80, max: 80, noNaN: true }),
		radii: fc.array(fc.double({ min: 2, max: 30, noNaN: true }), { minLength: 3, maxLength: 90 }),
	})
	.map(
		({ s, g, radii }): ChartRegion => [
			radii.map((r, i) => {
				const a = (2 * Math.PI * i) / radii.length
				return { s: s + r * Math.cos(a), g: g + r * Math.sin(a) }
			}),
		],
	)

function everyLook(chart: Chart, a: ChartRegion, b: ChartRegion): number {
	let best = Number.POSITIVE_INFINITY
	for (const [points, against] of [
		[a, b],
		[b, a],
	] as const) {
		for (const p of points.flat()) {
			const { j } = chart.metric(p.s, p.g)
			for (const loop of against) {
				loop.forEach((c, i) => {
					const d = loop[(i + 1) % loop.length] as ChartPoint
					const [x, y, dx, dy] = [(c.s - p.s) * j, c.g - p.g, (d.s - c.s) * j, d.g - c.g]
					const t = Math.min(1, Math.max(0, -(x * dx + y * dy) / (dx * dx + dy * dy || 1)))
					best = Math.min(best, Math.hypot(x + dx * t, y + dy * t))
				})
			}
		}
	}
	return best
}

test('what is passed over is never the nearest', () => {
	const chart = sphere(250)
	fc.assert(
		fc.property(star, star, (a, b) => {
			const gap = gapBetween(chart, a, b, WITHIN)
			const best = everyLook(chart, a, b)
			if (best > WITHIN) expect(gap).toBeUndefined()
			else expect(gap?.mm).toBeCloseTo(best, 9)
		}),
		{ seed, numRuns: 300 },
	)
})
