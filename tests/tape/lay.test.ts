/** Tape on flat panels, where what must come out can be worked out by hand. */
import { describe, expect, test } from 'vitest'
import { toPlane } from '../../src/chart/region.ts'
import { areaOf, intersect, subtract, union } from '../../src/plane/region.ts'
import { gapOf } from '../../src/tape/gaps.ts'
import { marked, outlineOf } from '../scheme/jobs.ts'
import { layOf, type Staged, shop, staged } from './bench.ts'

const BOARD = outlineOf([
	[-50, -60],
	[350, -60],
	[350, 60],
	[-50, 60],
])

/** A board with one straight line along it, gold above and green below. */
const halves = (extra: object = {}) =>
	staged(
		{
			outline: BOARD,
			readings: marked([
				['a', 0, 0],
				['b', 300, 0],
			]),
			edges: [{ id: 'break', through: ['a', { mark: 'b', by: 'pulled' }], front: 'runs-off', rear: 'runs-off' }],
			fields: [
				{ id: 'upper', paint: 'gold', between: ['break', 'outline'], seed: { station: 100, girth: 30, side: 'above' } },
				{ id: 'lower', paint: 'green', between: ['break', 'outline'], seed: { station: 100, girth: 30, side: 'below' } },
			],
			...extra,
		},
		['gold', 'green'],
	)

const stripe = (bands: object[], ends: object = {}) =>
	staged(
		{
			outline: BOARD,
			readings: marked([
				['a', 40, 0],
				['b', 260, 0],
			]),
			edges: [{ id: 'line', through: ['a', { mark: 'b', by: 'pulled' }] }],
			stripes: [{ id: 'stripe', edge: 'line', lay: 'centred', bands: bands as never, ...ends }],
			fields: [{ id: 'ground', paint: 'green', between: ['outline'] }],
		},
		['gold', 'green'],
		'local',
	)

const uncovered = ({ seen }: Staged, laid: ReturnType<typeof layOf>) => {
	const covers = [...laid.runs, ...laid.knives].map(({ outline }) => toPlane(outline))
	return gapOf(seen, laid.stage, union(covers), new Map())
}

describe('two colours and the break between them', () => {
	const both = halves()
	const laid = layOf(both, 'green')

	test('are two parts with one border as long as the board', () => {
		expect(both.seen.parts.map(({ coats }) => coats)).toEqual([['gold'], ['green']])
		expect(both.seen.borders).toHaveLength(1)
		expect(both.seen.borders[0]?.lengthMm).toBeCloseTo(400, 3)
	})

	test('the first colour goes all over, the second is masked by one run of the widest tape over both rims', () => {
		expect(areaOf(toPlane(both.stages[0]!.open))).toBeCloseTo(400 * 120, 1)
		expect(laid.runs).toHaveLength(1)
		const [run] = laid.runs
		expect(run).toMatchObject({ kind: 'edge', tape: { width: 25 }, front: { kind: 'rim' }, rear: { kind: 'rim' } })
		expect(run?.lengthMm).toBeCloseTo(400 + 2 * shop.taping.overrun, 3)
		// its body on gold, which must not be painted, its inner side on the line
		const g = run!.outline.flat().map((p) => p.g)
		expect(Math.min(...g)).toBeCloseTo(0, 3)
		expect(Math.max(...g)).toBeCloseTo(25, 3)
	})

	test('leave nothing bare beside the line, and a run that is short of it does', () => {
		expect(uncovered(both, laid)).toMatchObject({ openMm2: 0, widestMm: 0, overMm2: 0 })
		const short = laid.runs.map((run) => ({
			...run,
			outline: run.outline.map((loop) => loop.map((p) => ({ ...p, g: p.g + 0.05 }))),
		}))
		const gap = uncovered(both, { ...laid, runs: short })
		expect(gap.widestMm).toBeCloseTo(0.05, 2)
		expect(gap.openMm2).toBeCloseTo(400 * 0.05, 0)
	})
})

describe('a stripe of its own colour, laid first', () => {
	test('is covered by one tape of its own width', () => {
		const laid = layOf(stripe([{ paint: 'gold', width: 3 }]), 'green')
		expect(laid.knives).toHaveLength(0)
		expect(laid.runs).toHaveLength(1)
		expect(laid.runs[0]).toMatchObject({
			kind: 'stripe',
			tape: { width: 3 },
			offWidthMm: 0,
			front: { kind: 'cut' },
			rear: { kind: 'cut' },
		})
	})

	test('of a width that is not in stock is covered by tape along both edges and across its ends', () => {
		const laid = layOf(stripe([{ paint: 'gold', width: 7 }]), 'green')
		expect(laid.runs.every(({ kind }) => kind === 'edge')).toBe(true)
		expect(laid.runs).toHaveLength(4)
		for (const { tape } of laid.runs.filter(({ lengthMm }) => lengthMm > 200)) expect(tape.width).toBe(6)
		expect(uncovered(stripe([{ paint: 'gold', width: 7 }]), laid)).toMatchObject({ openMm2: 0, overMm2: 0 })
	})

	test('with a round end that bends tighter than any tape gets a knife mask there, which laps the tape that goes on', () => {
		const round = stripe([{ paint: 'gold', width: 8 }], { front: { shape: 'rounded' } })
		const laid = layOf(round, 'green')
		const mask = laid.knives.find(({ why }) => why === 'bends')
		// Half a circle of radius 4 inside a tape of 1.5 mm: its middle at radius 3.25 needs 0.75 / 3.25 of its length.
		expect(mask?.strain).toBeCloseTo(0.75 / 3.25, 2)
		expect(laid.knives).toHaveLength(1)
		for (const run of laid.runs.filter(({ lengthMm }) => lengthMm > 200)) {
			expect(areaOf(intersect(toPlane(run.outline), toPlane(mask!.outline)))).toBeGreaterThan(3)
		}
		expect(uncovered(round, laid)).toMatchObject({ openMm2: 0, overMm2: 0 })
	})

	test('that is narrower than any tape is a knife mask as a whole', () => {
		const laid = layOf(stripe([{ paint: 'gold', width: 1 }]), 'green')
		expect(laid.runs.filter(({ kind }) => kind === 'edge' && true).every(({ lengthMm }) => lengthMm < 60)).toBe(true)
		expect(laid.knives.some(({ why }) => why === 'narrow' || why === 'tapers')).toBe(true)
		expect(uncovered(stripe([{ paint: 'gold', width: 1 }]), laid).openMm2).toBe(0)
	})
})

describe('a lap below the neighbour that comes later', () => {
	const both = stripe([{ paint: 'gold', width: 20 }])
	const gold = layOf(both, 'gold')

	test('opens the stripe and 2 mm round it', () => {
		const want = 20 * 220 + 2 * (220 + 20) * 2 + Math.PI * 4
		expect(areaOf(toPlane(gold.stage.open))).toBeCloseTo(want, 0)
	})

	test('is masked outside itself', () => {
		expect(gold.runs.length).toBeGreaterThan(0)
		for (const run of gold.runs) expect(run).toMatchObject({ kind: 'lap', offMm: 2 })
		const over = intersect(union(gold.runs.map(({ outline }) => toPlane(outline))), toPlane(gold.stage.open))
		expect(areaOf(over)).toBeLessThan(0.5)
	})

	test('is hidden: with the stripe covered by tape, green covers the lap and no more of gold than that', () => {
		const green = layOf(both, 'green')
		const shows = subtract(toPlane(gold.stage.open), toPlane(green.stage.open))
		expect(areaOf(shows)).toBeCloseTo(20 * 220, 0)
	})
})
