import { describe, expect, test } from 'vitest'
import type { Chart } from '../../src/chart/chart.ts'
import type { ChartPoint } from '../../src/chart/point.ts'
import { panelFrame } from '../../src/panel/frame.ts'
import { rolledAlong } from '../../src/panel/rolled.ts'
import { observe } from '../../src/survey/observe.ts'
import { resolveReadings } from '../../src/survey/resolve.ts'
import { arcsProfile, waist } from '../chart/hollows.ts'
import { flatChart, panelOf, sphereChart, sphereDistance } from './bench.ts'

const charts: [string, Chart][] = [
	['flat', flatChart()],
	['sphere', sphereChart(150)],
]
const places: Record<string, ChartPoint> = { p: { s: 70, g: 65 }, a: { s: 10, g: -15 }, b: { s: 160, g: 20 } }
const kinds = [
	{ kind: 'tape', from: 'p', to: 'b', length: 1 },
	{ kind: 'straight', from: 'p', to: 'b', length: 1 },
	{ kind: 'toLine', mark: 'p', line: ['a', 'b'], distance: 1 },
	{ kind: 'toLine', mark: 'a', line: ['p', 'b'], distance: 1 },
]

/** Every gradient against central differences of its own value: the two must agree however the value is found. */
describe('gradients of the readings', () => {
	for (const [name, chart] of charts) {
		for (const reading of kinds) {
			test(`${reading.kind} on a ${name} panel`, () => {
				const resolved = resolveReadings(panelOf({ readings: [reading] }), '/panels/0').readings[0]!
				const [o] = observe(resolved, 1, 0)
				const at = o!.keys.map((key) => places[key]!)
				const { gradient } = o!.predict(chart, at)!
				const h = 1e-3
				at.forEach((place, k) => {
					;(['s', 'g'] as const).forEach((axis, c) => {
						const moved = (by: number) => at.map((q, i) => (i === k ? { ...place, [axis]: place[axis] + by } : q))
						const slope = (o!.predict(chart, moved(h))!.value - o!.predict(chart, moved(-h))!.value) / (2 * h)
						expect(gradient[2 * k + c], `${o!.keys[k]} ${axis}`).toBeCloseTo(slope, 4)
					})
				})
			})
		}
	}
})

/** A tape pulled tight: lying down at both ends, off the panel at one, at both; askew or not. */
describe('gradients of a tape pulled tight over a hollow', () => {
	const groove = arcsProfile([
		{ length: 60, bend: 0.003 },
		{ length: 10, bend: 0.05 },
		{ length: 50, bend: -0.02 },
		{ length: 10, bend: 0.05 },
		{ length: 60, bend: 0.003 },
	])
	const grooved = rolledAlong(panelFrame('p', 'centre'), groove, 0, 500)
	const round = waist(60, 60).chart
	const cases: [string, Chart, ChartPoint, ChartPoint, number][] = [
		['lying down at both ends', grooved, { s: 50, g: -80 }, { s: 50, g: 80 }, 1e-4],
		['so, and askew', grooved, { s: 50, g: -80 }, { s: 120, g: 75 }, 0.02],
		['from the bottom of a groove', grooved, { s: 50, g: 4 }, { s: 60, g: 80 }, 0.005],
		['off the panel all along', round, { s: 0, g: -40 }, { s: 30, g: 45 }, 1e-6],
		['off it at both ends, on it between', round, { s: 0, g: -57 }, { s: 130, g: 57 }, 0.02],
	]
	test.each(cases)('%s', (_, chart, p, q, within) => {
		const reading = { kind: 'tape', from: 'p', to: 'b', length: 1, pull: 'tight' }
		const [o] = observe(resolveReadings(panelOf({ readings: [reading] }), '/panels/0').readings[0]!, 1, 0)
		const { gradient, bridges } = o!.predict(chart, [p, q])!
		expect(bridges!.length).toBeGreaterThan(0)
		const h = 0.05
		;[p, q].forEach((place, k) => {
			;(['s', 'g'] as const).forEach((axis, c) => {
				const moved = (by: number) => [p, q].map((at, i) => (i === k ? { ...place, [axis]: place[axis] + by } : at))
				const slope = (o!.predict(chart, moved(h))!.value - o!.predict(chart, moved(-h))!.value) / (2 * h)
				expect(Math.abs(gradient[2 * k + c]! - slope), `${k} ${axis}`).toBeLessThan(within)
			})
		})
	})
})

describe('values of the readings', () => {
	const predict = (chart: Chart, reading: object) => {
		const resolved = resolveReadings(panelOf({ readings: [reading] }), '/panels/0').readings[0]!
		const [o] = observe(resolved, 1, 0)
		return o!.predict(
			chart,
			o!.keys.map((key) => places[key]!),
		)!.value
	}
	const R = 150
	const chart = sphereChart(R)

	test('a tape on a sphere is the great circle (haversine, closed form)', () => {
		expect(predict(chart, kinds[0]!)).toBeCloseTo(sphereDistance(R, places.p!, places.b!), 6)
	})

	test('straight through the air is the chord of that arc', () => {
		const arc = sphereDistance(R, places.p!, places.b!)
		expect(predict(chart, kinds[1]!)).toBeCloseTo(2 * R * Math.sin(arc / (2 * R)), 9)
	})

	test('distance to a line on a sphere is the distance to the great circle: arcsine of p . (a x b) (closed form)', () => {
		const unit = ({ s, g }: ChartPoint) =>
			[Math.cos(g / R) * Math.cos(s / R), Math.cos(g / R) * Math.sin(s / R), Math.sin(g / R)] as const
		const [a, b, p] = [unit(places.a!), unit(places.b!), unit(places.p!)]
		const n = [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]] as const
		const sine = (n[0] * p[0] + n[1] * p[1] + n[2] * p[2]) / Math.hypot(...n)
		expect(predict(chart, kinds[2]!)).toBeCloseTo(R * Math.asin(Math.abs(sine)), 6)
	})
})
