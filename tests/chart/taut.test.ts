import { describe, expect, test } from 'vitest'
import type { Chart } from '../../src/chart/chart.ts'
import { distance } from '../../src/chart/distance.ts'
import type { ChartPoint, SpacePoint } from '../../src/chart/point.ts'
import { mayBeShort, taut } from '../../src/chart/taut.ts'
import { panelFrame } from '../../src/panel/frame.ts'
import { circleProfile } from '../../src/panel/profile.ts'
import { revolvedChart } from '../../src/panel/revolved.ts'
import { rolledAlong, rolledRound } from '../../src/panel/rolled.ts'
import { arcsProfile, waist } from './hollows.ts'
import { inBox, KINDS } from './panels.ts'
import { stringLength } from './string.ts'

function pulled(chart: Chart, p: ChartPoint, q: ChartPoint) {
	const path = distance(chart, p, q)
	if (!path) throw new Error('there is a path')
	const tape = taut(chart, p, path)
	if (!tape) throw new Error('the place in space is known')
	return { pressed: path.length, ...tape }
}

/** A groove between two flats: edges of radius 20, bottom of radius 40, sides that turn by 0.5. */
const GROOVE = { edge: 20, bottom: 40, turn: 0.5 }
const groove = arcsProfile([
	{ length: 40, bend: 0 },
	{ length: GROOVE.edge * GROOVE.turn, bend: 1 / GROOVE.edge },
	{ length: 2 * GROOVE.bottom * GROOVE.turn, bend: -1 / GROOVE.bottom },
	{ length: GROOVE.edge * GROOVE.turn, bend: 1 / GROOVE.edge },
	{ length: 40, bend: 0 },
])

describe('over a groove of circular arcs between two flats (closed form)', () => {
	const { edge, bottom, turn } = GROOVE
	const saved = 2 * (edge + bottom) * (turn - Math.sin(turn))
	for (const hand of ['centre', 'left', 'right'] as const) {
		const chart = rolledAlong(panelFrame('p', hand), groove, 0, 500)
		test.each([0, 40, 120])(`%d mm along it, seen from the ${hand}`, (along) => {
			const tape = pulled(chart, { s: 100, g: -55 }, { s: 100 + along, g: 55 })
			// It lies on the plane through both flats, which unrolls with the groove taken out.
			expect(tape.length).toBeCloseTo(Math.hypot(110 - saved, along), 4)
			expect(tape.pressed - tape.length).toBeGreaterThan(1.5)
			expect(tape.bridges).toHaveLength(1)
			if (along === 0) expect(tape.bridges[0]?.liftMm).toBeCloseTo((edge + bottom) * (1 - Math.cos(turn)), 6)
			else expect(tape.bridges[0]?.liftMm).toBeCloseTo((edge + bottom) * (1 - Math.cos(turn)), 0)
			expect(Math.abs(tape.bridges[0]?.at.g as number)).toBeLessThan(1)
		})
	}

	test('the same groove across the baseline', () => {
		const chart = rolledRound(panelFrame('p', 'left'), groove, 300)
		const tape = pulled(chart, { s: -55, g: 10 }, { s: 55, g: 90 })
		expect(tape.length).toBeCloseTo(Math.hypot(110 - saved, 80), 4)
	})

	test('turned outward it is a ridge, and the tape lies down on its crest and bridges its feet', () => {
		const ridge = arcsProfile(groove.arcs.map(({ length, bend }) => ({ length, bend: -bend })))
		const chart = rolledAlong(panelFrame('p', 'centre'), ridge, 0, 500)
		const tape = pulled(chart, { s: 100, g: -55 }, { s: 180, g: 55 })
		// From the end of a flat the tangent to the crest's circle, then its arc: all on the unrolled hull.
		const [up, across] = [(edge + bottom) * (1 - Math.cos(turn)), (edge + bottom) * Math.sin(turn) + 55 - (edge + bottom) * turn]
		const [toCentre, gamma] = [Math.hypot(across, up - bottom), Math.atan2(across, bottom - up)]
		const half = bottom * (gamma - Math.acos(bottom / toCentre)) + Math.sqrt(toCentre ** 2 - bottom ** 2)
		expect(tape.length).toBeCloseTo(Math.hypot(2 * half, 80), 2)
		expect(tape.bridges).toHaveLength(2)
		expect(tape.leaves).toBeDefined()
		expect(tape.arrives).toBeDefined()
	})
})

describe('on a waist, hollow one way and full the other', () => {
	const tube = 60
	const { chart, outside } = waist(60, tube)

	test('along the hollow it is the chord (closed form)', () => {
		const tape = pulled(chart, { s: 0, g: -40 }, { s: 0, g: 40 })
		expect(tape.length).toBeCloseTo(2 * tube * Math.sin(40 / tube), 9)
		expect(tape.bridges[0]?.liftMm).toBeCloseTo(tube * (1 - Math.cos(40 / tube)), 6)
	})

	// The last two lie down in the middle, and give a little sideways where they leave it.
	test.each([
		[0, -36, 30, 36, 0.001],
		[0, -50, 60, 20, 0.001],
		[0, -36, 60, 36, 0.001],
		[0, -57, 100, 57, 0.006],
		[0, -57, 130, 57, 0.006],
	])('askew it is as long as a string held against the waist (relaxed in space): %d, %d to %d, %d', (s0, g0, s1, g1, within) => {
		const [p, q] = [
			{ s: s0, g: g0 },
			{ s: s1, g: g1 },
		]
		const tape = pulled(chart, p, q)
		const row = Array.from({ length: 9 }, (_, i) =>
			chart.embed?.({ s: s0 + ((s1 - s0) * i) / 8, g: g0 + ((g1 - g0) * i) / 8 }),
		) as SpacePoint[]
		const string = stringLength(outside, row)
		expect(tape.pressed - string).toBeGreaterThan(5 * within)
		expect(Math.abs(tape.length - string)).toBeLessThan(within)
	})

	test('where only lengths were known, what it may be short is that of a circle', () => {
		const path = distance(chart, { s: 0, g: -20 }, { s: 0, g: 20 })
		if (!path) throw new Error('there is a path')
		// K = -cos(g/60) / (60 r): about -1/3600 at the waist; the chord is short by 40^3 / (24 60^2).
		const short = 40 - 2 * tube * Math.sin(20 / tube)
		expect(mayBeShort(chart, { s: 0, g: -20 }, path) / short).toBeGreaterThan(0.8)
		expect(mayBeShort(chart, { s: 0, g: -20 }, path) / short).toBeLessThan(1.2)
	})
})

describe('where a panel is full or flat it lies as if pressed down', () => {
	const full = KINDS.filter(({ name }) => !name.includes('gauge') && !name.includes('waist'))
	test.each(full.map((kind) => [kind.name, kind] as const))('%s', (_, kind) => {
		for (const hand of ['centre', 'right'] as const) {
			const chart = kind.chart(hand)
			for (const [a, b, c, d] of [
				[0.1, 0.2, 0.9, 0.7],
				[0.5, 0.05, 0.5, 0.95],
				[0.1, 0.5, 0.9, 0.5],
			] as const) {
				const tape = pulled(chart, inBox(kind, a, b), inBox(kind, c, d))
				expect(tape.bridges).toEqual([])
				expect(tape.length).toBe(tape.pressed)
			}
		}
	})

	test('half-way round a tube and more, where the panel turns back on itself', () => {
		const chart = revolvedChart(panelFrame('p', 'centre'), 200, circleProfile(40), 0, 1200)
		const tape = pulled(chart, { s: 0, g: 0 }, { s: 1100, g: 0 })
		expect(tape.length).toBe(tape.pressed)
	})
})
