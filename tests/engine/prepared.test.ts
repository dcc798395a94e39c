import { describe, expect, test } from 'vitest'
import { compute } from '../../src/engine/compute.ts'
import type { JobInput } from '../../src/job/schema.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import { carryOver, movedPairs } from '../../src/survey/carry.ts'
import { jobOf, marked, outlineOf } from '../scheme/jobs.ts'

type PanelInput = JobInput['panels'][number]

const panel: Partial<PanelInput> = {
	datums: [
		{ id: 'front', station: 0 },
		{ id: 'rear', station: 200 },
	],
	outline: outlineOf([
		[-20, -40],
		[220, -40],
		[220, 60],
		[-20, 60],
	]),
	holes: [{ id: 'hole', station: 150, girth: 40, side: 'above', diameter: 10 }],
	baseline: { interruptions: [{ from: 60, to: 80, what: 'a badge' }] },
	strips: { stations: [20, 120] },
	readings: marked([
		['a', 10, 10],
		['b', 90, 18],
		['c', 190, 19],
	]),
	edges: [{ id: 'line', through: ['a', 'b', 'c'] }],
	stripes: [{ id: 'st', edge: 'line', lay: 'outboard', bands: [{ paint: 'gold', width: 8 }] }],
	fields: [{ id: 'up', paint: 'green', between: ['line', 'outline'], seed: { station: 100, girth: 50, side: 'above' } }],
}
const measuredAgain = (front: number, rear: number) =>
	compute(
		jobOf([
			{
				...panel,
				prepared: {
					shape: { kind: 'flat' },
					datums: [
						{ id: 'front', station: front },
						{ id: 'rear', station: rear },
					],
				},
			},
		]),
		defaultShop(),
		{ until: 'pieces' },
	)

test('a slip of the pen in a datum measured again is an error that names the pair', () => {
	for (const rear of [2000, 20, 203]) {
		const moved = measuredAgain(0, rear).problems.filter((p) => p.code === 'DATUMS_MOVED')
		expect(moved).toMatchObject([{ severity: 'error', path: '/panels/0/prepared/datums/1' }])
		expect(moved[0]?.found).toMatch(/front and rear/)
	}
	for (const rear of [200, 201.5, 198.5]) {
		expect(measuredAgain(0, rear).problems.filter((p) => p.code === 'DATUMS_MOVED')).toEqual([])
	}
})

describe('of datums', () => {
	const pair = (id: string, s: number, to: number, g = 0, toG = g) => ({ id, found: { s, g }, prepared: { s: to, g: toG } })

	test('each pair of neighbours is judged by itself', () => {
		const moved = movedPairs([pair('c', 400, 410), pair('a', 0, 10), pair('b', 200, 215)])
		expect(moved.map((m) => [m.from, m.to, m.changeMm])).toEqual([
			['a', 'b', 5],
			['b', 'c', 5],
		])
	})

	test('a wrong side shows, readings do not', () => {
		expect(movedPairs([pair('a', 0, 0), pair('b', 200, 200, 30, -30)])).toHaveLength(1)
		// 1 % of 40 mm is less than two readings leave.
		expect(movedPairs([pair('a', 0, 0), pair('b', 40, 40.9)])).toEqual([])
		expect(movedPairs([pair('a', 0, 0), pair('b', 100, 101.2)])).toHaveLength(1)
	})

	test('two never miss the fit through them', () => {
		expect(carryOver([pair('a', 0, 0), pair('b', 200, 2000)]).missMm).toBeLessThan(1e-6)
	})
})

test('everything shifts with a baseline that starts elsewhere', () => {
	const found = compute(jobOf([panel]), defaultShop(), { until: 'pieces' })
	const now = measuredAgain(300, 500)
	expect(now.problems.map((p) => p.code)).toEqual(found.problems.map((p) => p.code))
	const [a, b] = [found.panels[0], now.panels[0]]
	expect(b?.stations?.map((s) => s - 300)).toEqual(a?.stations?.map((s) => expect.closeTo(s, 6)))
	const shifted = a?.lines?.area?.region.map((loop) => loop.map((p) => ({ s: p.s + 300, g: p.g }))) ?? []
	expect(b?.lines?.area?.region.length).toBe(shifted.length)
	for (const [i, loop] of shifted.entries()) {
		for (const [k, p] of loop.entries()) {
			expect(b?.lines?.area?.region[i]?.[k]?.s).toBeCloseTo(p.s, 6)
			expect(b?.lines?.area?.region[i]?.[k]?.g).toBeCloseTo(p.g, 6)
		}
	}
	const scheme = (r: typeof a) => r?.schemes?.[0]?.scheme
	expect(scheme(b)?.fields[0]?.areaMm2).toBeCloseTo(scheme(a)?.fields[0]?.areaMm2 ?? 0, 3)
	expect(scheme(b)?.bands[0]?.areaMm2).toBeCloseTo(scheme(a)?.bands[0]?.areaMm2 ?? 0, 3)
})

describe('a few lengths taken again', () => {
	/** A tank-like lid on the centreline with seams left and right, 200 mm out by girth. */
	const lid = (readings: object[]) =>
		compute(
			jobOf([
				{
					hand: 'centre',
					datums: [
						{ id: 'nose', station: 0 },
						{ id: 'tail', station: 400 },
						{ id: 'left-seam', station: 200, girth: 200, side: 'left' },
						{ id: 'right-seam', station: 200, girth: 200, side: 'right' },
					],
					readings: (['left', 'right'] as const).flatMap((side) =>
						[
							['a', 50, 100],
							['b', 200, 120],
							['c', 350, 100],
						].map(([mark, station, girth]) => ({ kind: 'square', mark, station, girth, side })),
					),
					edges: [{ id: 'line', through: ['a', 'b', 'c'] }],
					prepared: { readings },
				} as Partial<PanelInput>,
			]),
			defaultShop(),
			{ until: 'edges' },
		)
	const since = (readings: object[]) => lid(readings).panels[0]?.lines?.since
	const tapes = (grown: number) => [
		{ kind: 'tape', from: 'nose', to: 'tail', length: 400 },
		// 200 mm back and 200 + grown out: by Pythagoras on the flat.
		...(['left', 'right'] as const).flatMap((side) =>
			['nose', 'tail'].map((from) => ({ kind: 'tape', from, to: `${side}-seam`, length: Math.hypot(200, 200 + grown) })),
		),
	]

	test('as before: nothing moved, and the templates hold', () => {
		const result = since(tapes(0))
		expect(result?.datums.map(({ proven }) => proven)).toEqual([false, false, false])
		expect(result?.lines).toEqual([{ id: 'line', offMm: expect.closeTo(0, 6), holds: true }])
	})

	test('filler that makes the crown 5 mm longer to each seam moves lines in proportion to their girth', () => {
		const result = since(tapes(5))
		const seams = result?.datums.filter(({ id }) => id.endsWith('seam')) ?? []
		for (const { proven, movedMm } of seams) {
			expect(proven).toBe(true)
			// The lengths say 5; that a datum is expected where it was pulls by a few hundredths.
			expect(movedMm).toBeGreaterThan(4.8)
			expect(movedMm).toBeLessThan(5.01)
		}
		expect(result?.by).toBe('both')
		// The mark at girth 120 of 200 moves by 3/5 of it.
		expect(result?.lines[0]?.offMm).toBeGreaterThan(0.6 * 4.8)
		expect(result?.lines[0]?.offMm).toBeLessThan(0.6 * 5.01)
		expect(result?.lines[0]?.holds).toBe(false)
	})

	test('a length from a mark that is gone is refused by name', () => {
		const { problems } = lid([{ kind: 'tape', from: 'nose', to: 'left/a', length: 110 }])
		expect(problems.filter(({ path }) => path.startsWith('/panels/0/prepared/readings/0'))).toMatchObject([
			{ severity: 'error', found: expect.stringContaining('a') },
		])
	})
})
