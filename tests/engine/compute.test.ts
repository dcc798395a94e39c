import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import type { Cache } from '../../src/engine/cache.ts'
import { compute, type Result } from '../../src/engine/compute.ts'
import { loadJob } from '../../src/job/load.ts'
import type { Job, JobInput } from '../../src/job/schema.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import { jobOf, marked, outlineOf } from '../scheme/jobs.ts'

const file = new URL('../../fixtures/tarn-350/job.jsonc', import.meta.url)
const demo = loadJob(readFileSync(file, 'utf8'), 'job.jsonc').value?.job as Job
const shop = defaultShop()
/** Everything that is data; functions of charts fall out. */
const bytes = (r: unknown) => JSON.stringify(r)

type PanelInput = JobInput['panels'][number]
const cover = (id: string, more: Partial<PanelInput> = {}): Partial<PanelInput> => ({
	id,
	outline: outlineOf([
		[-30, -40],
		[230, -40],
		[230, 60],
		[-30, 60],
	]),
	readings: marked([
		['a', 0, 10],
		['b', 70, 18],
		['c', 140, 19],
		['d', 200, 12],
	]),
	edges: [{ id: 'line', through: ['a', 'b', 'c', 'd'] }],
	stripes: [{ id: 'st', edge: 'line', lay: 'outboard', bands: [{ paint: 'gold', width: 8 }] }],
	...more,
})

/** A cache that counts what is made anew. */
function counting(): { cache: Cache; made: () => number } {
	const cache: Cache = new Map()
	let sets = 0
	// What is asked for again enters again: only a key not seen before is something made.
	const seen = new Set<string>()
	const set = cache.set.bind(cache)
	cache.set = (key, value) => {
		if (!seen.has(key)) sets++
		seen.add(key)
		return set(key, value)
	}
	return {
		cache,
		made: () => {
			const n = sets
			sets = 0
			return n
		},
	}
}

test('the same job gives the same bytes', () => {
	expect(bytes(compute(demo, shop))).toBe(bytes(compute(demo, shop)))
})

describe('a cache', () => {
	const job = jobOf([cover('one'), cover('two')])
	const plain = bytes(compute(job, shop))

	test('changes nothing of the result, filled or empty', () => {
		const { cache, made } = counting()
		expect(bytes(compute(job, shop, { cache }))).toBe(plain)
		// five stages and the stations of each panel, the sheets, and the plans of pieces
		expect(made()).toBe(2 * 6 + 2)
		expect(bytes(compute(job, shop, { cache }))).toBe(plain)
		expect(made()).toBe(0)
	})

	test('only what a change touches is made again, and rightly', () => {
		const changes: readonly (readonly [string, Job, number])[] = [
			// shape, survey, edges, scheme, stations and pieces of one panel, and what the new code is printed on: pieces and sheets
			['a profile', jobOf([cover('one'), cover('two', { found: { kind: 'flat', length: 300, width: 100 } })]), 8],
			[
				'a reading',
				jobOf([
					cover('one'),
					cover('two', {
						readings: marked([
							['a', 0, 11],
							['b', 70, 18],
							['c', 140, 19],
							['d', 200, 12],
						]),
					}),
				]),
				7,
			],
			[
				'a tolerance',
				jobOf([cover('one'), cover('two', { edges: [{ id: 'line', through: ['a', { mark: 'b', tolerance: 2 }, 'c', 'd'] }] })]),
				7,
			],
			[
				'a width',
				jobOf([
					cover('one'),
					cover('two', { stripes: [{ id: 'st', edge: 'line', lay: 'outboard', bands: [{ paint: 'gold', width: 9 }] }] }),
				]),
				5,
			],
			['a title', jobOf([cover('one'), cover('two', { title: 'Cover' })]), 3],
		]
		for (const [what, changed, count] of changes) {
			const { cache, made } = counting()
			compute(job, shop, { cache })
			made()
			const result = bytes(compute(changed, shop, { cache }))
			expect(made(), what).toBeLessThanOrEqual(count)
			expect(result, what).toBe(bytes(compute(changed, shop)))
			expect(result, what).not.toBe(plain)
		}
	})

	test('a change of the shop comes through to the sheets', () => {
		const cache: Cache = new Map()
		const guards = jobOf([
			cover('one', {
				found: { kind: 'revolved', crown: { radius: 310 }, profile: { radius: 62, arc: 160 }, length: 260 },
				outline: undefined,
			}),
		])
		compute(guards, shop, { cache })
		const wider = { ...shop, guideWidth: 10 }
		expect(bytes(compute(guards, wider, { cache }))).toBe(bytes(compute(guards, wider)))
	})
})

test('until a stage stops there', () => {
	const stages = ['shape', 'survey', 'edges', 'scheme', 'pieces', 'sheets'] as const
	const has = (r: Result) => {
		const p = r.panels[0]
		return [p?.shape, p?.survey, p?.lines, p?.schemes, p?.pieces, r.sheets].map((x) => x !== undefined)
	}
	stages.forEach((until, i) => {
		expect(has(compute(jobOf([cover('one')]), shop, { until }))).toEqual(stages.map((_, k) => k <= i))
	})
})

test('each panel is told of when it is done, as it will stand in the result, and before the sheets', () => {
	const told: unknown[] = []
	const job = jobOf([cover('one'), cover('two')])
	const { panels } = compute(job, shop, { done: (panel) => told.push(panel), progress: (_, doing) => told.push(doing) })
	const [one, two] = panels
	expect(panels.map(({ pieces = [] }) => pieces.length).every((count) => count > 0)).toBe(true)
	expect(told.map((each) => (each === one ? 1 : each === two ? 2 : each))).toEqual(['one', 1, 'two', 2, 'sheets'])
})

describe('one panel of several', () => {
	const strip = (r: Result, id: string) => {
		const panel = r.panels.find((p) => p.id === id)
		// Piece numbers and pointers into the job tell the order of the panels; nothing else may.
		const plain = bytes({
			...panel,
			problems: [],
			pieces: panel?.pieces?.map((p) => ({ ...p, number: 0, items: p.items.length, bounds: 0 })),
		})
		return plain.replace(/\/panels\/\d+\//g, '/panels/n/')
	}

	test('that fails leaves the rest as they were', () => {
		const whole = compute(jobOf([cover('one'), cover('two')]), shop)
		const broken = [
			cover('one', { found: { kind: 'rolled', round: { cone: { frontDiameter: 50, rearDiameter: 50, slant: 200 } } } }),
			cover('one', { edges: [{ id: 'line', through: ['a', 'nowhere'] }] }),
			cover('one', { readings: [{ kind: 'tape', from: 'a', to: 'b', length: 20 }] }),
		]
		for (const bad of broken) {
			const result = compute(jobOf([bad, cover('two')]), shop)
			expect(result.problems.some((p) => p.severity === 'error' && p.path.startsWith('/panels/0'))).toBe(true)
			expect(result.problems.some((p) => p.path.startsWith('/panels/1'))).toBe(false)
			expect(strip(result, 'two')).toBe(strip(whole, 'two'))
			// The hundred of a piece's number tells its panel's place in the job.
			expect(result.panels[1]?.pieces?.[0]?.number).toBe(201)
			expect(result.sheets?.sheets.length).toBeGreaterThan(0)
		}
	})

	test('is the same wherever it stands in the job', () => {
		const other = cover('two', {
			readings: marked([
				['a', 0, 0],
				['b', 70, 5],
				['c', 140, 6],
				['d', 200, 3],
			]),
		})
		const [ab, ba] = [compute(jobOf([cover('one'), other]), shop), compute(jobOf([other, cover('one')]), shop)]
		for (const id of ['one', 'two']) expect(strip(ab, id)).toBe(strip(ba, id))
	})
})

test('a job in inches gives the same panel as the same job in millimetres', () => {
	const inches = (x: number) => x / 25.4
	const panel = (f: (x: number) => number): Partial<PanelInput> => ({
		id: 'one',
		found: { kind: 'revolved', crown: { radius: f(310) }, profile: { radius: f(62), arc: f(160) }, length: f(260) },
		readings: [
			['a', 0, 10],
			['b', 70, 18],
			['c', 140, 19],
			['d', 200, 12],
		].map(([mark, s, g]) => ({
			kind: 'square' as const,
			mark: mark as string,
			station: f(s as number),
			girth: f(g as number),
			side: 'above' as const,
		})),
		edges: [{ id: 'line', through: ['a', 'b', 'c', 'd'] }],
		stripes: [{ id: 'st', edge: 'line', lay: 'outboard', bands: [{ paint: 'gold', width: f(8) }] }],
	})
	const [mm, inch] = [compute(jobOf([panel((x) => x)]), shop), compute(jobOf([panel(inches)], { unit: 'in' }), shop)]
	const shapes = (r: Result) =>
		(r.panels[0]?.schemes ?? []).flatMap((s) =>
			s.scheme.bands.flatMap((b) => [...b.near, ...b.far].flatMap((c) => c.cubics.flat())),
		)
	const [a, b] = [shapes(mm), shapes(inch)]
	expect(a.length).toBeGreaterThan(8)
	expect(a.length).toBe(b.length)
	a.forEach((p, i) => {
		expect(p.s).toBeCloseTo(b[i]?.s as number, 6)
		expect(p.g).toBeCloseTo(b[i]?.g as number, 6)
	})
	expect(mm.panels[0]?.pieces?.map((p) => p.working.length)).toEqual(inch.panels[0]?.pieces?.map((p) => p.working.length))
})

test('the revision changes with the job and only with it', () => {
	const revision = (job: Job) => compute(job, shop, { until: 'shape' }).revision
	const job = jobOf([cover('one')])
	expect(revision(job)).toBe(revision(jobOf([cover('one')])))
	expect(revision(job)).toMatch(/^[0-9A-F]{6}$/)
	expect(revision(jobOf([cover('one', { title: 'x' })]))).not.toBe(revision(job))
	expect(revision(jobOf([cover('one')], { limits: { gap: 0.6 } }))).not.toBe(revision(job))
})

describe('the code on the sheets', () => {
	const job = jobOf([cover('one')])

	test('follows the job and what of the shop shapes the pieces, not what they are printed on', () => {
		const code = (more: Partial<typeof shop>) => compute(job, { ...shop, ...more }, { until: 'shape' }).revision
		expect(code({})).toMatch(/^[0-9A-F]{6}$/)
		expect(code({ guideWidth: 9 })).not.toBe(code({}))
		expect(code({ stripEvery: 90 })).not.toBe(code({}))
		expect(code({ tapes: [] })).not.toBe(code({}))
		expect(code({ instruments: shop.instruments.map((i) => ({ ...i, sd: 2 * i.sd })) })).not.toBe(code({}))
		expect(code({ paper: 'A3', notes: 'moved' })).toBe(code({}))
	})
})

describe('a printer', () => {
	const job = jobOf([cover('one')])
	const margins = { left: 5, right: 5, top: 5, bottom: 5 }
	const printers = [
		{ id: 'office', margins, measured: { across: 198, along: 198 } },
		{ id: 'attic', margins },
	]

	test('that the shop does not have prints nothing, and the nearest name is told', () => {
		const asked = compute(job, { ...shop, printers }, { printer: 'atic' })
		expect(asked.sheets).toBeUndefined()
		expect(asked.panels[0]?.pieces?.length).toBeGreaterThan(0)
		expect(asked.problems).toMatchObject([{ code: 'UNKNOWN_PRINTER', severity: 'error', fix: 'write "attic"' }])
		expect(compute(job, { ...shop, printers, printer: 'cellar' }).problems).toMatchObject([
			{ code: 'UNKNOWN_PRINTER', path: '/printer' },
		])
	})

	test('that it has, or the first where none is named', () => {
		for (const options of [{}, { printer: 'attic' }]) {
			const result = compute(job, { ...shop, printers }, options)
			expect(result.problems.filter((p) => p.code === 'UNKNOWN_PRINTER')).toEqual([])
			expect(result.sheets?.sheets.length).toBeGreaterThan(0)
		}
	})
})

describe('one slip on the demo tank', () => {
	const text = readFileSync(file, 'utf8')
	const codes = (from: string, to: string) => {
		expect(text).toContain(from)
		const job = loadJob(text.replace(from, to), 'job.jsonc').value?.job as Job
		return compute(job, shop, { until: 'edges' }).problems.map((p) => p.code)
	}
	test('a station that only the other side checks is told of once', () => {
		expect(codes('"t3", "station": 134.5, "side": "right"', '"t3", "station": 143.5, "side": "right"')).toEqual(['SIDES_DIFFER'])
	})
	test('a girth that other readings check is told of once', () => {
		expect(codes('"station": 265, "side": "right", "girth": 75.5', '"station": 265, "side": "right", "girth": 57.5')).toEqual([
			'READINGS_CONTRADICT',
		])
	})
})
