/** The paintwork of the demo and of small jobs, from readings to steps. */
import { readFileSync } from 'node:fs'
import { beforeAll, describe, expect, test } from 'vitest'
import { compute, type Result } from '../../src/engine/compute.ts'
import type { Paintwork } from '../../src/engine/paintwork.ts'
import { loadJob } from '../../src/job/load.ts'
import type { Job } from '../../src/job/schema.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import { resultData } from '../../src/report/resultJson.ts'
import { resultSchema } from '../../src/report/resultSchema.ts'
import { jobOf, marked, outlineOf } from '../scheme/jobs.ts'

const demo = (): Job => {
	const file = 'fixtures/tarn-350/job.jsonc'
	const { value, problems } = loadJob(readFileSync(file, 'utf8'), file)
	if (!value) throw new Error(problems.map((p) => p.found).join('; '))
	return value.job
}

const BOARD = outlineOf([
	[0, -50],
	[300, -50],
	[300, 50],
	[0, 50],
])
const halves = (more: object = {}, panel: object = {}) =>
	jobOf(
		[
			{
				outline: BOARD,
				readings: marked([
					['a', 0, 0],
					['b', 300, 0],
				]),
				edges: [{ id: 'low', through: ['a', { mark: 'b', by: 'pulled' }], front: 'runs-off', rear: 'runs-off' }],
				fields: [
					{ id: 'upper', paint: 'gold', between: ['low', 'outline'], seed: { station: 100, girth: 40, side: 'above' } },
					{ id: 'lower', paint: 'green', between: ['low', 'outline'], seed: { station: 100, girth: 40, side: 'below' } },
				],
				...panel,
			},
		],
		more,
	)
const run = (job: Job): Result => compute(job, defaultShop(), { until: 'pieces', paintwork: true })
const codes = (result: Result) => result.problems.map(({ code }) => code)

describe('the demo', () => {
	let result: Result
	let work: Paintwork
	beforeAll(() => {
		result = run(demo())
		work = result.paintwork as Paintwork
	})

	test('ends with its own paints everywhere: no bare gap, nothing sprayed by accident', () => {
		for (const { prefix, proof } of work.panels) expect([prefix, proof.holds]).toEqual([prefix, true])
		expect(codes(result).filter((code) => code.startsWith('STAGE_'))).toEqual([])
	})

	test('has no gap beside any painted line, and no tape on what is to be painted', () => {
		const gaps = work.panels.flatMap(({ tape }) => tape.map(({ gap }) => gap))
		expect(gaps.reduce((sum, { lineMm }) => sum + lineMm, 0)).toBeGreaterThan(10_000)
		for (const gap of gaps) expect(gap).toMatchObject({ openMm2: 0, widestMm: 0, overMm2: 0 })
	})

	test('no tape is asked to stretch more than its stock does', () => {
		for (const { runs } of work.panels.flatMap(({ tape }) => tape)) {
			for (const { kind, strain, tape } of runs) if (kind !== 'lap') expect(strain).toBeLessThanOrEqual(tape.edgeStrain + 1e-9)
		}
	})

	test('covers its 3 mm lines with 3 mm tape, once for both paints that come after, and their points with knife masks', () => {
		const tank = work.panels.find(({ prefix }) => prefix === 'tank')
		// the points, where one side of a line is covered anyway, may have a short run of their own
		const long = ({ kind, lengthMm }: { kind: string; lengthMm: number }) => kind === 'stripe' && lengthMm > 200
		const stripes = tank?.tape.flatMap(({ runs }) => runs.filter(long)) ?? []
		expect(new Set(stripes.map(({ id }) => id)).size).toBe(4)
		for (const { tape, offWidthMm, laid, until } of stripes) {
			expect({ width: tape.width, offWidthMm, stages: until - laid }).toEqual({ width: 3, offWidthMm: 0, stages: 1 })
		}
		const pieces = result.panels.flatMap(({ pieces = [] }) => pieces.filter(({ kind }) => kind === 'mask'))
		const masks = new Set(work.panels.flatMap(({ tape }) => tape.flatMap(({ knives }) => knives.map(({ id }) => `${id}/piece`))))
		expect(new Set(pieces.map(({ id }) => id))).toEqual(masks)
		for (const { errorMm } of pieces) expect(errorMm).toBeLessThan(0.05)
	})

	test('both sides are taped alike', () => {
		for (const { runs } of work.panels.filter(({ prefix }) => prefix === 'tank').flatMap(({ tape }) => tape)) {
			const of = (side: string) =>
				runs
					.filter(({ follows }) => follows.some((line) => line.includes(`/${side}/`)))
					.map(({ tape, kind, lengthMm }) => `${kind} ${tape.id} ${lengthMm.toFixed(1)}`)
					.sort()
			expect(of('left')).toEqual(of('right'))
		}
	})

	test('every step has a name of its own, and each run is laid once and lifted once', () => {
		const ids = work.steps.map(({ id }) => id)
		expect(new Set(ids).size).toBe(ids.length)
		const laid = work.steps.flatMap((step) => (step.kind === 'lay' || step.kind === 'mask' ? step.runs : []))
		const lifted = work.steps.flatMap((step) => (step.kind === 'lift' ? step.runs : []))
		expect(new Set(laid).size).toBe(laid.length)
		expect([...lifted].sort()).toEqual([...laid].sort())
	})

	test('is written down in the form that result.json has', () => {
		const data = resultData(result)
		expect(resultSchema.safeParse(data).error?.message).toBeUndefined()
		expect(data.paintwork?.panels.every(({ holds }) => holds)).toBe(true)
	})
})

describe('what the job says', () => {
	test('the same job gives the same plan, with a cache and without', () => {
		const cache = new Map()
		const plain = JSON.stringify(resultData(run(halves())).paintwork)
		for (let k = 0; k < 2; k++) {
			const cached = compute(halves(), defaultShop(), { until: 'pieces', paintwork: true, cache })
			expect(JSON.stringify(resultData(cached).paintwork)).toBe(plain)
		}
	})

	test('an order of its own is kept, and what it costs more is said', () => {
		const given = run(halves({ paintwork: { order: ['green', 'gold'] } }))
		expect(given.paintwork?.order).toEqual(['green', 'gold'])
		expect(run(halves()).paintwork?.order).toHaveLength(2)
	})

	test('a cycle is named, and the plan comes out all the same', () => {
		const after = [
			{ paint: 'gold', after: ['green'] },
			{ paint: 'green', after: ['gold'] },
		]
		const result = run(halves({ paintwork: { after } }))
		const problem = result.problems.find(({ code }) => code === 'PAINT_ORDER_CYCLE')
		expect(problem?.path).toMatch(/^\/paintwork\/after\/\d/)
		expect(problem?.found).toMatch(/Green before Gold before Green/)
		expect(result.paintwork?.panels[0]?.proof.holds).toBe(true)
	})

	test('a paint that no stage lays is told of', () => {
		const spare = { id: 'spare', name: 'Spare', colour: '#123456' }
		const paints = [...halves().paints, spare]
		expect(codes(run(halves({ paints, paintwork: { order: ['spare', 'gold'] } })))).toContain('PAINT_NOT_LAID')
	})

	test('an unknown paint in an order is refused with the nearest name', () => {
		const result = run(halves({ paintwork: { order: ['golf'] } }))
		const problem = result.problems.find(({ code }) => code === 'UNKNOWN_PAINT')
		expect(problem).toMatchObject({ path: '/paintwork/order/0', fix: expect.stringContaining('"gold"') })
	})

	test('a paint over itself is an error that names the ring', () => {
		const paints = [
			{ id: 'gold', name: 'Gold', colour: '#c9a227', sprayed: { over: 'green' } },
			{ id: 'green', name: 'Green', colour: '#2f6f5e', sprayed: { over: 'gold' } },
		]
		const found = run(halves({ paints: paints as never })).problems.find(({ code }) => code === 'PAINT_OVER_ITSELF')
		expect(found?.found).toBe('gold over green over gold')
	})

	test('an underlap wider than the stripe that is to hide it is told of with its place', () => {
		const stripes = [{ id: 'line', edge: 'low', lay: 'centred', bands: [{ paint: 'gold', width: 3 }] }]
		const fields = [{ id: 'ground', paint: 'green', between: ['outline'] }]
		const job = halves({ paintwork: { order: ['green', 'gold'], underlap: 5, first: 'local' } }, { stripes, fields })
		const problem = run(job).problems.find(({ code }) => code === 'UNDERLAP_TOO_WIDE')
		expect(problem?.path).toBe('/paintwork/underlap')
		expect(problem?.place?.panel).toBe('panel-0')
	})

	test('clear beyond its limits is told of in um and mils', () => {
		const thick = run(halves({}, { clear: { elsewhere: 6, filmUm: 30, takenOff: [] } }))
		const problem = thick.problems.find(({ code }) => code === 'CLEAR_THICK')
		expect(problem?.found).toMatch(/um \(.* mils\)/)
		expect(problem?.severity).toBe('warning')
	})

	test('an edge measured again as painted moves the masks of later paints, and how far is said', () => {
		const painted = [
			{ line: 'low', station: 100, girth: 0.8 },
			{ line: 'low', station: 200, girth: 0.8 },
		]
		const result = run(halves({ paintwork: { order: ['gold', 'green'] } }, { painted }))
		const work = result.paintwork?.panels[0]
		expect(work?.moved).toHaveLength(1)
		expect(Math.abs(work?.moved[0]?.worstMm ?? 0)).toBeCloseTo(0.8, 2)
		const green = work?.tape.find(({ paint }) => paint === 'green')
		const near = green?.runs[0]?.outline.flat().map(({ g }) => g) ?? []
		expect(Math.min(...near)).toBeCloseTo(0.8, 2)
		expect(work?.proof.holds).toBe(true)
	})
})
