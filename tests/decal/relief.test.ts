/** Relief cuts of a film that takes less than the panel asks, against closed forms on a ball. */
import { expect, test } from 'vitest'
import { giveOf, takes } from '../../src/decal/give.ts'
import { layRound } from '../../src/decal/lay.ts'
import { MOST_CUTS, reliefCuts } from '../../src/decal/relief.ts'
import { sphere } from '../chart/panels.ts'

const R = 150
const r = 50
const disc = [
	Array.from({ length: 720 }, (_, i) => ({ x: r * Math.cos((Math.PI * i) / 360), y: r * Math.sin((Math.PI * i) / 360) })),
]
const laying = layRound(sphere(R), { at: { s: 10, g: -12 }, angle: 0.3, turn: 1 })
const give = giveOf(sphere(R), laying, disc)
/** A disc on a ball is too long by 1 - sin(x) / x at x = distance / R (do Carmo 4-6). */
const tooLong = (distance: number) => 1 - Math.sin(distance / R) / (distance / R)

test('a film that takes it is not cut', () => {
	const limits = { stretch: 0.01, pucker: tooLong(r) + 1e-4 }
	expect(takes(give, limits)).toBe(true)
	expect(reliefCuts(give, limits, [], laying.place)).toEqual([])
})

test('cuts take up what is over, and go in as far as the film does not take it', () => {
	const limits = { stretch: 0.01, pucker: 0.01 }
	expect(takes(give, limits)).toBe(false)
	const cuts = reliefCuts(give, limits, [], laying.place)
	const over = 2 * Math.PI * r * (tooLong(r) - limits.pucker)
	expect(cuts?.reduce((sum, { lapsMm }) => sum + lapsMm, 0)).toBeCloseTo(over, 1)
	for (const { from, to, lapsMm, opensMm } of cuts ?? []) {
		expect(opensMm).toBe(0)
		expect(lapsMm).toBeLessThanOrEqual(0.5)
		expect(Math.hypot(from.x, from.y)).toBeCloseTo(r, 1)
		// 1 - sin(x) / x is 1 % at this distance.
		expect(tooLong(Math.hypot(to.x, to.y))).toBeCloseTo(limits.pucker, 5)
	}
	// Evenly round the rim: no gap is twice another.
	const ways = (cuts ?? []).map(({ from }) => Math.atan2(from.y, from.x)).sort((a, b) => a - b)
	const gaps = ways.map((a, i) => (i === 0 ? a + 2 * Math.PI - (ways.at(-1) ?? 0) : a - (ways[i - 1] ?? 0)))
	expect(Math.max(...gaps)).toBeLessThan(2 * Math.min(...gaps))
})

test('a cut keeps off what is printed where it can', () => {
	// Printed is a bar from the middle to the front edge: the cut that would fall on it is moved aside.
	const bar = [
		[
			{ x: -50, y: -2 },
			{ x: 0, y: -2 },
			{ x: 0, y: 2 },
			{ x: -50, y: 2 },
		],
	]
	const cuts = reliefCuts(give, { stretch: 0.01, pucker: 0.01 }, bar, laying.place) ?? []
	expect(cuts.length).toBeGreaterThan(2)
	expect(cuts.every(({ throughInkMm }) => throughInkMm < 0.05)).toBe(true)
})

test('more cuts than a film bears are none', () => {
	const wide = [
		Array.from({ length: 720 }, (_, i) => ({ x: 130 * Math.cos((Math.PI * i) / 360), y: 130 * Math.sin((Math.PI * i) / 360) })),
	]
	const much = giveOf(sphere(R), laying, wide)
	expect(2 * Math.PI * 130 * tooLong(130)).toBeGreaterThan(0.5 * MOST_CUTS)
	expect(reliefCuts(much, { stretch: 0.001, pucker: 0.001 }, [], laying.place)).toBeUndefined()
})
