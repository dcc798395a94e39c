import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Chart } from '../../src/chart/chart.ts'
import { distance } from '../../src/chart/distance.ts'
import { flatChart } from '../../src/panel/flat.ts'
import { panelFrame } from '../../src/panel/frame.ts'
import { circleProfile } from '../../src/panel/profile.ts'
import { coneChart, rolledAlong } from '../../src/panel/rolled.ts'
import { lengthOf } from '../../src/plane/polyline.ts'
import { areaOf } from '../../src/plane/region.ts'
import { flatPiece } from '../../src/template/flatPiece.ts'
import { unroll } from '../../src/template/unroll.ts'
import { band } from '../scheme/bench.ts'

const frames = ['left', 'right'] as const
const sheets = frames.flatMap((hand): [string, Chart][] => {
	const frame = panelFrame('panel', hand)
	return [
		[`flat, bent baseline, ${hand}`, flatChart(frame, { front: 0, bend: 1 / 300 })],
		[`flat, bent the other way, ${hand}`, flatChart(frame, { front: 0, bend: -1 / 200 })],
		[`cylinder, ${hand}`, rolledAlong(frame, circleProfile(60, 180), 0, 300)],
		[`cone, ${hand}`, coneChart(frame, { frontDiameter: 60, rearDiameter: 140, slant: 260 }, 0)],
	]
})

describe('a sheet that bends one way', () => {
	test.each(sheets)('lies flat without stretch: %s', (_, chart) => {
		const flat = unroll(chart, 1e-8)
		const s = fc.double({ min: 20, max: 240, noNaN: true })
		const g = fc.double({ min: -25, max: 25, noNaN: true })
		fc.assert(
			fc.property(s, g, s, g, (s1, g1, s2, g2) => {
				const [p, q] = [flat({ s: s1, g: g1 }), flat({ s: s2, g: g2 })]
				const path = distance(chart, { s: s1, g: g1 }, { s: s2, g: g2 })
				expect(path).toBeDefined()
				expect(Math.hypot(p.x - q.x, p.y - q.y)).toBeCloseTo(path?.length as number, 6)
			}),
			{ numRuns: 100 },
		)
	})

	test.each(sheets)('keeps its lengths in space: %s', (_, chart) => {
		// Short lengths by the embedding alone, so that the metric is not asked.
		const flat = unroll(chart, 1e-8)
		fc.assert(
			fc.property(
				fc.double({ min: 20, max: 240, noNaN: true }),
				fc.double({ min: -25, max: 25, noNaN: true }),
				fc.double({ min: 0, max: 6.28, noNaN: true }),
				(s, g, a) => {
					const q = { s: s + 0.05 * Math.cos(a), g: g + 0.05 * Math.sin(a) }
					const [p3, q3] = [chart.embed?.({ s, g }), chart.embed?.(q)]
					const [p2, q2] = [flat({ s, g }), flat(q)]
					if (!p3 || !q3) throw new Error('no place in space')
					const space = Math.hypot(p3.x - q3.x, p3.y - q3.y, p3.z - q3.z)
					expect(Math.hypot(p2.x - q2.x, p2.y - q2.y) / space).toBeCloseTo(1, 5)
				},
			),
		)
	})
})

test('the piece of a band along a bent baseline follows the arc, not chords of it', () => {
	const chart = flatChart(panelFrame('panel', 'left'), { front: 0, bend: 1 / 300 })
	const along = (g: number) => ({
		id: 'line',
		cubics: [
			[
				{ s: 0, g },
				{ s: 80, g },
				{ s: 160, g },
				{ s: 240, g },
			] as const,
		],
		closed: false,
		maxErrorMm: 0,
	})
	const b = band(chart, along(10), 0, 20)
	const piece = flatPiece({
		chart,
		id: 'piece',
		number: 101,
		kind: 'stripe',
		panel: 'panel',
		panelTitle: 'Panel',
		side: 'LEFT',
		title: 'Stripe piece',
		region: b.region,
		working: [...b.near, ...b.far],
		stations: [100],
		datums: [],
		unit: 'mm',
		toleranceMm: 1e-6,
	})
	// A sector of 240/300 radians between radii 290 and 270.
	expect(areaOf(piece.knife)).toBeCloseTo((0.8 * (290 ** 2 - 270 ** 2)) / 2, 0)
	const lengths = piece.working.map((l) => lengthOf(l)).sort((x, y) => x - y)
	expect(lengths[0]).toBeCloseTo(0.8 * 270, 2)
	expect(lengths[1]).toBeCloseTo(0.8 * 290, 2)
})
