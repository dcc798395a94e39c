import { describe, expect, test } from 'vitest'
import { compute } from '../../src/engine/compute.ts'
import type { JobInput } from '../../src/job/schema.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import { summary } from '../../src/report/summary.ts'
import { carryOver, movedPairs } from '../../src/survey/carry.ts'
import { jobOf, marked, mm2, outlineOf } from '../scheme/jobs.ts'

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
	expect(mm2(scheme(b)?.fields[0])).toBeCloseTo(mm2(scheme(a)?.fields[0]), 3)
	expect(mm2(scheme(b)?.bands[0])).toBeCloseTo(mm2(scheme(a)?.bands[0]), 3)
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

describe('a part of another shape', () => {
	/** A revolved lid with a crown of 300 mm, and one of 200. */
	const revolved = (radius: number) => ({ kind: 'revolved', crown: { radius }, profile: { radius: 150, arc: 400 }, length: 400 })
	const square = (mark: string, station: number, girth: number, side: string) => ({ kind: 'square', mark, station, girth, side })
	const part = (radius: number, carry?: string, datums: readonly (readonly [string, number, number])[] = [['nose', 0, 0]]) =>
		compute(
			jobOf([
				{
					...{ hand: 'centre', found: revolved(300) },
					datums: [
						{ id: 'nose', station: 0 },
						{ id: 'tail', station: 300 },
						{ id: 'seam', station: 150, girth: 120, side: 'right' },
					],
					readings: ['left', 'right'].flatMap((side) => [square('a', 50, 100, side), square('b', 250, 110, side)]),
					edges: [{ id: 'line', through: ['a', 'b'] }],
					prepared: {
						shape: revolved(radius),
						datums: datums.map(([id, station, girth]) => ({ id, station, girth, ...(girth > 0 ? { side: 'right' } : {}) })),
						...(carry ? { carry } : {}),
					},
				} as unknown as Partial<PanelInput>,
			]),
			defaultShop(),
			{ until: 'edges' },
		)
	const told = (result: ReturnType<typeof part>) =>
		result.problems.filter(({ code }) => /^(PREPARED_|DATUMS_|CARRY_)/.test(code)).map(({ code }) => code)
	const all = (stretch: number, out = 1) =>
		[
			['nose', 0, 0],
			['tail', 300 * stretch, 0],
			['seam', 150 * stretch, 120 * out],
		] as const

	test('is asked about where nothing was chosen, with how much longer or shorter it is', () => {
		expect(told(part(300))).toEqual([])
		const result = part(200)
		expect(told(result)).toEqual(['PREPARED_OTHER_SHAPE'])
		const { found, fix } = result.problems.find(({ code }) => code === 'PREPARED_OTHER_SHAPE')!
		// 105 mm out on a section of radius 150 a circle round the axis lies 150 (1 - cos(105 / 150)) below the crown; along the panel it
		// bends by k, so that the shortest way is shorter than a stretch L of it by k^2 L^3 / 24
		const length = (radius: number) => {
			const round = radius - 150 * (1 - Math.cos(105 / 150))
			const along = Math.hypot((200 * round) / radius, 10)
			return along - ((Math.sin(105 / 150) / round) ** 2 * along ** 3) / 24
		}
		const shorter = length(300) - length(200)
		const said = Number(/is (\d+\.\d) mm shorter/.exec(found)?.[1])
		expect(shorter).toBeGreaterThan(10)
		expect(Math.abs(said - shorter)).toBeLessThan(0.02 * shorter)
		expect(found).toMatch(/from (left|right)\/a to (left|right)\/b, \d+\.\d mm as found, is \d+\.\d mm shorter/)
		expect(fix).toContain('"shift", "stations" or "proportion"')
		for (const carry of ['shift', 'stations', 'proportion']) expect(told(part(200, carry, all(1.2, 1.1)))).toEqual([])
		// datums far from where they were ask for it too
		expect(told(part(200, undefined, all(1.2)))).toContain('DATUMS_MOVED')
	})

	test.each([
		['shift', 'shift', [30, 0], 'shifted alike'],
		['stations', 'stations', [60, 0], 'stations in proportion between them, girths as they were'],
		['proportion', 'both', [60, 12], 'stations and girths in proportion'],
	] as const)('%s does what it says, and the summary says it', (carry, by, [along, out], words) => {
		// stretched by a fifth along and a tenth across about the nose
		const result = part(200, carry, all(1.2, 1.1))
		const { since, carry: to } = result.panels[0]!.lines!
		expect(since).toMatchObject({ by, chosen: true })
		const tail = to({ s: 300, g: 0 })
		const seam = to({ s: 300, g: 120 })
		if (carry === 'proportion') expect(tail.s).toBeCloseTo(360, 6)
		expect(seam.g - tail.g - 120).toBeCloseTo(out, 6)
		// a shift is the mean of what datums moved by: 0, 60 and 30
		if (carry === 'shift') expect(tail.s - 300).toBeCloseTo(along, 6)
		if (carry === 'stations') expect(to({ s: 300, g: 0 }).s - to({ s: 0, g: 0 }).s - 300).toBeCloseTo(along, 6)
		expect(summary(result)).toContain(words)
		expect(summary(result)).toContain('as its "carry" says')
	})

	test('a way that the datums do not tell is said', () => {
		expect(told(part(200, 'proportion', all(1.2).slice(0, 2)))).toEqual(['CARRY_NEEDS_DATUMS'])
		expect(told(part(200, 'stations', all(1.2).slice(0, 1)))).toEqual(['CARRY_NEEDS_DATUMS'])
	})
})
