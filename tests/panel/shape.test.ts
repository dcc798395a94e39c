import { describe, expect, test } from 'vitest'
import type { Chart } from '../../src/chart/chart.ts'
import { beyond } from '../../src/chart/limits.ts'
import type { ChartPoint, SpacePoint } from '../../src/chart/point.ts'
import type { Capture, Panel } from '../../src/job/schema.ts'
import { fitEdge } from '../../src/line/edge.ts'
import { chartOf, handsOf } from '../../src/panel/shape.ts'

const at = '/panels/0/found'
function good(capture: Capture, hand: 'centre' | 'left' | 'right' = 'centre'): Chart {
	const outcome = chartOf('p', hand, capture, at)
	expect(outcome.problems).toEqual([])
	if (!outcome.value) throw new Error('no chart')
	return outcome.value
}
const bad = (capture: Capture) => {
	const outcome = chartOf('p', 'centre', capture, at)
	expect(outcome.value).toBeUndefined()
	const [p] = outcome.problems
	return [p?.code, p?.path]
}

describe('captures that cannot be, each by name and place', () => {
	const cone = (frontDiameter: number, rearDiameter: number, slant: number): Capture => ({
		kind: 'rolled',
		front: 0,
		round: { cone: { frontDiameter, rearDiameter, slant } },
	})
	test('cones', () => {
		expect(bad(cone(120, 120, 200))).toEqual(['CONE_IS_CYLINDER', `${at}/round/cone`])
		expect(bad(cone(0, 240, 100))).toEqual(['CONE_IMPOSSIBLE', `${at}/round/cone/slant`])
		expect(bad(cone(0, 240, 120))).toEqual(['CONE_IMPOSSIBLE', `${at}/round/cone/slant`])
		good(cone(0, 239, 120))
	})
	test('an arc that goes more than once round', () => {
		expect(bad({ kind: 'rolled', front: 0, round: { profile: { radius: 50, arc: 315 }, baseline: 'along-axis' } })).toEqual([
			'ARC_TOO_LONG',
			`${at}/round/profile/arc`,
		])
	})
	test('a cross-section deeper than its crown is from the axis', () => {
		expect(bad({ kind: 'revolved', front: 0, length: 200, crown: { radius: 40 }, profile: { radius: 60 } })).toEqual([
			'PROFILE_PAST_AXIS',
			`${at}/crown`,
		])
	})
	test('a gauge profile keeps its own problem and path', () => {
		expect(
			bad({
				kind: 'revolved',
				front: 0,
				length: 200,
				crown: { radius: 300 },
				profile: {
					points: [
						[5, 0],
						[20, 2],
						[40, 9],
					],
					half: false,
				},
			}),
		).toEqual(['PROFILE_OFF_CENTRE', `${at}/profile/points`])
	})
})

test('a chord and its rise are a radius', () => {
	// R = c^2 / (8 h) + h / 2, the sagitta rule of any drawing handbook: R 150 has a chord of 185.5 mm and a rise of 32.1 mm over
	// 200 mm of arc.
	const crown = { chord: 2 * 150 * Math.sin(100 / 150), rise: 150 * (1 - Math.cos(100 / 150)) }
	expect(crown.chord).toBeCloseTo(185.5, 1)
	expect(crown.rise).toBeCloseTo(32.1, 1)
	const [a, b] = [crown, { radius: 150 }].map((c) =>
		good({ kind: 'revolved', front: 0, length: 300, crown: c, profile: { radius: 60, arc: 100 } }),
	) as [Chart, Chart]
	for (const p of [
		{ s: 0, g: 0 },
		{ s: 120, g: 30 },
		{ s: -60, g: -44 },
	]) {
		expect(a.metric(p.s, p.g).j).toBeCloseTo(b.metric(p.s, p.g).j, 12)
		expect(a.embed?.(p).z).toBeCloseTo(b.embed?.(p).z as number, 9)
	}
})

test('which way a baseline is bent: towards the right is towards +g on a centreline, above is +g on a side', () => {
	const bend = (towards: 'left' | 'right' | 'above' | 'below', hand: 'centre' | 'left' | 'right') =>
		good({ kind: 'flat', front: 0, bend: { radius: 200, towards } }, hand).baselineCurvature(0)
	expect(bend('right', 'centre')).toBe(1 / 200)
	expect(bend('left', 'centre')).toBe(-1 / 200)
	for (const hand of ['left', 'right'] as const) {
		expect(bend('above', hand)).toBe(1 / 200)
		expect(bend('below', hand)).toBe(-1 / 200)
	}
	// In the vehicle: the centre of the bend really lies to the right.
	const chart = good({ kind: 'flat', front: 0, bend: { radius: 200, towards: 'right' } })
	const ends = [
		{ s: -50, g: 0 },
		{ s: 0, g: 0 },
		{ s: 50, g: 0 },
	].map((p) => chart.embed?.(p)) as [SpacePoint, SpacePoint, SpacePoint]
	expect(ends[0].y).toBeGreaterThan(ends[1].y)
	expect(ends[2].y).toBeGreaterThan(ends[1].y)
})

describe('where a chart ends', () => {
	const kinds: [string, Capture][] = [
		['flat', { kind: 'flat', front: 0, length: 300, width: 90 }],
		['flat, bent tightly', { kind: 'flat', front: 0, length: 120, bend: { radius: 60, towards: 'right' } }],
		[
			'a nose of revolution',
			{ kind: 'revolved', front: 0, length: 300, crown: { radius: 120 }, profile: { radius: 118, arc: 330 } },
		],
		['rolled', { kind: 'rolled', front: 0, length: 300, round: { profile: { radius: 60, arc: 150 }, baseline: 'along-axis' } }],
		[
			'rolled, round',
			{ kind: 'rolled', front: 0, length: 300, round: { profile: { radius: 60, arc: 150 }, baseline: 'round-profile' } },
		],
		['a cone', { kind: 'rolled', front: 10, round: { cone: { frontDiameter: 60, rearDiameter: 200, slant: 200 } } }],
		['a cone to its point', { kind: 'rolled', front: 10, round: { cone: { frontDiameter: 200, rearDiameter: 0, slant: 200 } } }],
	]
	test.each(kinds)('%s: inside its limits a mm of baseline is a quarter to four, and the baseline is inside', (_, capture) => {
		const chart = good(capture)
		expect(chart.sMin).toBeLessThan(chart.sMax)
		for (let i = 0; i <= 40; i++) {
			const s = chart.sMin + ((chart.sMax - chart.sMin) * i) / 40
			const [low, high] = [chart.gMin(s), chart.gMax(s)]
			expect(low).toBeLessThanOrEqual(0)
			expect(high).toBeGreaterThanOrEqual(0)
			for (let k = 0; k <= 20; k++) {
				const p = { s, g: low + ((high - low) * k) / 20 }
				const { j } = chart.metric(p.s, p.g)
				expect(j).toBeGreaterThanOrEqual(0.25 - 1e-9)
				expect(j).toBeLessThanOrEqual(4 + 1e-9)
				expect(beyond(chart, p)).toBeLessThan(1e-12)
				const x = chart.embed?.(p) as SpacePoint
				expect(Number.isFinite(x.x + x.y + x.z)).toBe(true)
			}
			expect(beyond(chart, { s, g: high + 3 })).toBeCloseTo(3, 9)
			expect(beyond(chart, { s, g: low - 3 })).toBeCloseTo(3, 9)
		}
		expect(beyond(chart, { s: chart.sMax + 7, g: 0 })).toBeCloseTo(7, 9)
		expect(beyond(chart, { s: chart.sMin - 7, g: 0 })).toBeCloseTo(7, 9)
		expect(chart.limitReason.length).toBeGreaterThan(15)
	})

	test('nowhere, however far out, is a number missing', () => {
		for (const [, capture] of kinds) {
			const chart = good(capture)
			for (const s of [-5000, -200, 0, 150, 5000]) {
				for (const g of [-3000, -250, 0, 250, 3000]) {
					const m = chart.metric(s, g)
					expect(m.j).toBeGreaterThan(0)
					expect(Number.isFinite(m.j + m.jg + m.js + m.k + chart.girthIntegral(s, g))).toBe(true)
				}
			}
		}
	})

	test('a bent baseline without a length comes to an end before it meets itself', () => {
		const chart = good({ kind: 'flat', front: 0, bend: { radius: 60, towards: 'left' } })
		expect(chart.sMax - chart.sMin).toBeLessThanOrEqual(2 * Math.PI * 60 + 1e-9)
	})

	test('a line led over the limit is named with its place', () => {
		const chart = good({ kind: 'flat', front: 0, length: 120, bend: { radius: 60, towards: 'right' } })
		// A quarter is left at girth 45: the marks of this line go to 80.
		expect(chart.gMax(0)).toBeCloseTo(45, 9)
		const mark = (key: string, p: ChartPoint) => ({
			key,
			at: p,
			sdS: 0.5,
			sdG: 0.5,
			tolerance: 1,
			corner: false,
			by: 'smooth' as const,
		})
		const outcome = fitEdge(chart, {
			id: 'upper',
			panel: { id: 'p', hand: 'centre' } as Panel,
			side: 'right',
			path: '/panels/0/edges/0',
			marks: [mark('a', { s: 0, g: 20 }), mark('b', { s: 20, g: 50 }), mark('c', { s: 40, g: 80 })],
			closed: false,
			runsOff: { front: false, rear: false },
			onPanel: () => true,
			toleranceMm: 0.001,
		})
		const problem = outcome.problems.find((p) => p.code === 'CHART_LIMIT')
		expect(problem?.path).toBe('/panels/0/edges/0')
		expect(problem?.place?.panel).toBe('p')
		expect(problem?.place?.side).toBe('right')
		expect(problem?.place?.g).toBeCloseTo(80, 0)
		expect(problem?.place?.s).toBeCloseTo(40, 0)
	})
})

test('a pair is two charts of opposite orientation, and a hand is one', () => {
	expect(handsOf({ hand: 'pair' } as never)).toEqual(['left', 'right'])
	expect(handsOf({ hand: 'centre' } as never)).toEqual(['centre'])
	expect(handsOf({ hand: 'right' } as never)).toEqual(['right'])
})

describe('how well the bend of a line is known', () => {
	test('on a mudguard from gauge readings, worst where it is nearest to the axis; on closed forms, exactly', () => {
		const points = [
			[0, 0],
			[20, 2],
			[40, 9],
			[55, 20],
			[64, 36],
		] as [number, number][]
		const gauge = good({
			kind: 'revolved',
			front: 0,
			length: 300,
			crown: { radius: 300 },
			profile: { points, half: true, sd: 0.5 },
		})
		const finer = good({
			kind: 'revolved',
			front: 0,
			length: 300,
			crown: { radius: 300 },
			profile: { points, half: true, sd: 0.1 },
		})
		const larger = good({
			kind: 'revolved',
			front: 0,
			length: 300,
			crown: { radius: 600 },
			profile: { points, half: true, sd: 0.5 },
		})
		expect(gauge.curvatureSd).toBeGreaterThan(finer.curvatureSd)
		const edge = (c: Chart, radius: number) => radius * c.metric(0, c.gMax(0)).j
		expect(gauge.curvatureSd / larger.curvatureSd).toBeCloseTo(edge(larger, 600) / edge(gauge, 300), 9)
		expect(good({ kind: 'revolved', front: 0, length: 300, crown: { radius: 300 }, profile: { radius: 80 } }).curvatureSd).toBe(0)
	})
})

test("a rise of more than half the chord cannot be: the two were put in each other's place", () => {
	const crown = { chord: 300, rise: 380 }
	const outcome = chartOf(
		'p',
		'centre',
		{ kind: 'revolved', crown, profile: { radius: 60 }, front: 0, length: 100 } as Capture,
		'/panels/0/found',
	)
	expect(outcome.value).toBeUndefined()
	expect(outcome.problems.map((p) => [p.code, p.path])).toEqual([['CROWN_IMPOSSIBLE', '/panels/0/found/crown/rise']])
})

test('a crown from its chord and rise is known as well as the rise was read', () => {
	// One reading of the rise may be half a millimetre out: the chart of that reading says by how much curvature is.
	const at = (rise: number) =>
		good({ kind: 'revolved', front: 0, length: 300, crown: { chord: 300, rise }, profile: { radius: 60, arc: 140 } })
	const curvature = (rise: number) => {
		const { j, jg } = at(rise).metric(0, 70)
		return -jg / j
	}
	const slipped = Math.abs(curvature(19.25) - curvature(18.75))
	expect(at(19).curvatureSd / slipped).toBeCloseTo(1, 3)
	// Over a guide 150 mm long that is a sagitta of l^2 / 8 times it.
	expect((at(19).curvatureSd * 150 ** 2) / 8).toBeGreaterThan(0.1)
	// A radius that was given is taken as it is.
	const given = good({ kind: 'revolved', front: 0, length: 300, crown: { radius: 600 }, profile: { radius: 60, arc: 140 } })
	expect(given.curvatureSd).toBe(0)
	// With a gauge's uncertainty, in quadrature.
	const points = [
		[0, 0],
		[10, 0.9],
		[20, 3.4],
		[30, 8],
		[40, 15.3],
		[50, 26.8],
	] as [number, number][]
	const profile = { points, half: true }
	const both = good({ kind: 'revolved', front: 0, length: 300, crown: { chord: 300, rise: 19 }, profile })
	const alone = good({
		kind: 'revolved',
		front: 0,
		length: 300,
		crown: { radius: 300 ** 2 / (8 * 19) + 19 / 2 },
		profile,
	})
	expect(both.curvatureSd).toBeGreaterThan(alone.curvatureSd)
	expect(both.curvatureSd).toBeLessThan(alone.curvatureSd + at(19).curvatureSd)
})
