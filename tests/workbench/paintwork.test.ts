// Tape and Paint as the page has them, of a flat lid whose two coach lines (80 to 88 mm off the centreline) can be told by hand.
import { describe, expect, test } from 'vitest'
import { compute } from '../../src/engine/compute.ts'
import { loadJob } from '../../src/job/load.ts'
import type { Problem } from '../../src/job/problem.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import { checksOf } from '../../src/workbench/checkView.ts'
import { lineOf } from '../../src/workbench/page/lines.ts'
import { paintedRows } from '../../src/workbench/paintedRows.ts'
import { paintPicture } from '../../src/workbench/paintPictures.ts'
import { paintworkView } from '../../src/workbench/paintworkView.ts'
import { lid, lidJob } from './lid.ts'

const EIGHT = Array.from({ length: 8 })

type Job = Record<string, unknown> & { readonly paints: object[]; readonly panels: object[] }

/** The lid's paintwork, its job changed before it is read. */
function printOf(change: (job: Job) => object = (job) => job) {
	const { value, problems } = loadJob(JSON.stringify(change(JSON.parse(lidJob()) as Job)))
	if (!value) throw new Error(JSON.stringify(problems))
	const shop = defaultShop()
	const result = compute(value.job, shop, { until: 'pieces', paintwork: true })
	if (!result.paintwork) throw new Error('nothing is painted')
	return { result, shop, paintwork: result.paintwork }
}
const sprayed = (figures: object) => (job: Job) => ({
	...job,
	paints: job.paints.map((paint) => ({ ...paint, sprayed: figures })),
})
const viewOf = (change?: (job: Job) => object) => paintworkView(printOf(change))

describe('the steps', () => {
	test('of a coach line: the edge that is named is the one at its girth, and the body of the tape lies on the other side of it', () => {
		const lay = viewOf().steps.filter(({ kind }) => kind === 'lay')
		const said = lay.map(({ sentence, rows }) => {
			const [, edge, side] = /along the (\w+) edge of coach line, (left|right), from station/.exec(sentence) ?? []
			const [, girth, on] = /girth (\d+) on the (left|right)/.exec(rows?.[0]?.[1] ?? '') ?? []
			return { edge, girth, sides: side === on, body: /its body (\w+)\./.exec(sentence)?.[1] }
		})
		const are = (edge: string) => said.filter((one) => one.edge === edge)
		expect(are('inner')).toEqual([1, 2].map(() => ({ edge: 'inner', girth: '80', sides: true, body: 'inboard' })))
		expect(are('outer')).toEqual([1, 2].map(() => ({ edge: 'outer', girth: '88', sides: true, body: 'outboard' })))
		// square ends, on either side
		expect(are('front').map(({ body }) => body)).toEqual(['front', 'front'])
		expect(are('rear').map(({ body }) => body)).toEqual(['rear', 'rear'])
		expect(said).toHaveLength(8)
		// the line is 450 mm long, straight, and tape is never shorter
		for (const { sentence, length } of lay) {
			if (/inner|outer/.test(sentence)) expect(Number.parseFloat(length ?? '')).toBeGreaterThanOrEqual(450)
		}
	})

	test('each has one sentence, all have names of their own, and none speaks of what the trade does not', () => {
		const { steps } = viewOf()
		expect(new Set(steps.map(({ id }) => id)).size).toBe(steps.length)
		for (const { sentence, note = '' } of steps) {
			expect(sentence).toMatch(/^[A-Z].*[.]$/)
			expect(`${sentence} ${note}`).not.toMatch(/unmask|layer|chart|undefined|NaN/i)
		}
		expect(steps.map(({ kind }) => kind)).toEqual([
			...['wipe', ...EIGHT.map(() => 'lay'), 'back', 'paper', 'check', 'spray', 'uncover', ...EIGHT.map(() => 'lift')],
			// the starter recipe: two coats, flatted, a flow coat, cut and polished
			...['clear', 'rub', 'clear', 'rub', 'rub'],
		])
	})

	test('a run of a step is on the picture of its stage, under its number', () => {
		const print = printOf()
		for (const { stage, number } of paintworkView(print).steps) {
			const svg = paintPicture(print, stage) ?? ''
			if (number !== undefined) expect(svg).toContain(`id="${stage}-run-${number}"`)
			expect(svg).toMatch(/^<svg /)
		}
	})

	test('one that was signed off says when', () => {
		const done = [{ step: 'lid/gold/wipe', on: '2031-05-14', note: 'with a tack rag' }]
		const { steps, problems } = viewOf((job) => ({ ...job, paintwork: { done } }))
		expect(steps.find(({ id }) => id === 'lid/gold/wipe')?.done).toEqual({ on: '2031-05-14', note: 'with a tack rag' })
		expect(problems).toEqual([])
	})
})

test('in inches every length is one', () => {
	const inches = JSON.parse(lidJob({ unit: 'in' })) as Job
	const { steps, stages, films } = viewOf(() => inches)
	for (const { length, rows } of steps) {
		if (length !== undefined) expect(length).toMatch(/ in$/)
		expect(JSON.stringify(rows ?? [])).not.toMatch(/\d mm/)
	}
	expect(JSON.stringify([stages, films])).not.toMatch(/\d mm\b/)
	// 80 mm are 3 5/32 in
	expect(JSON.stringify(steps)).toContain('3 5/32')
})

test('what is to be mixed goes with the coats, and a figure that is given is no usual one', () => {
	const of = (coats: number) => viewOf(sprayed({ coats, filmUm: 20, volumeSolids: 40, transfer: 0.5, allowance: 0 })).sessions[0]
	const one = of(1)
	// 10 x 40 / 20 = 20 m2 a litre; two bands of 450 x 8 mm are 0.0072 m2: 0.36 ml stay on the panel, twice that is sprayed
	expect(one).toMatchObject({ coats: '1', film: '20 um (0.8 mils)', ml: '1 ml', cups: 'one cup a coat' })
	expect(of(10)).toMatchObject({ coats: '10', ml: '8 ml' })
	expect(one?.assumed).toEqual(expect.not.arrayContaining(['coats', 'volume solids']))
	expect(viewOf().sessions[0]?.assumed).toEqual(expect.arrayContaining(['coats', 'volume solids']))
})

test('films say how thick they are where, and where a ridge is', () => {
	const { films } = viewOf(sprayed({ coats: 2, filmUm: 10 }))
	expect(films[0]?.films.map(({ says, paints }) => [says, paints])).toEqual([
		['0 um (0.0 mils)', 'nothing'],
		['20 um (0.8 mils)', 'Gold'],
	])
	// both long sides of two bands
	const mm = Number(/: ([\d.]+) mm$/.exec(films[0]?.ridges[0]?.says ?? '')?.[1])
	expect(mm).toBeGreaterThan(4 * 450 - 1)
	expect(mm).toBeLessThan(4 * 450 + 4 * 8 + 1)
	expect(paintPicture(printOf(), 'films/lid')).toContain('um')
})

describe('as it came out of the paint', () => {
	const checks = checksOf(lid().panels[0] as NonNullable<ReturnType<typeof lid>['panels'][0]>, 'mm')
	const first = checks.find(({ line, side }) => line === 'coach inner' && side === 'left')

	test('has the rows of the check sheet, and says by how much an edge is off', () => {
		const read = (girth: unknown) =>
			paintedRows(checks, [{ line: 'Coach inner', side: 'left', station: first?.station, girth }], 'mm').find(
				({ off }) => off !== undefined,
			)?.off
		expect(paintedRows(checks, [], 'mm').map(({ line, station }) => [line, station])).toEqual(
			checks.map(({ line, station }) => [line, station]),
		)
		expect(read(80)).toBe('as planned')
		expect(read(80.6)).toBe('0.6 mm more than planned')
		expect(read(79.2)).toBe('0.8 mm less than planned')
	})

	test('a place that no row asks for has one of its own', () => {
		const rows = paintedRows(checks, [{ line: 'coach outer', side: 'right', station: 333, girth: 88 }], 'mm')
		expect(rows).toHaveLength(checks.length + 1)
		expect(rows.at(-1)).toMatchObject({ line: 'coach outer', side: 'right', stationMm: 333 })
	})
})

test('problems of tape and paint lead to their lines', () => {
	const at = (code: string, path: string) => lineOf({ code, path } as Problem)
	expect(at('PAINT_ORDER_COSTS', '/paintwork/order')).toBe('tape')
	expect(at('FIELDS_OVERLAP', '/panels/0/fields/1')).toBe('tape')
	expect(at('PAINTED_FAR_OFF', '/panels/0/painted/2')).toBe('tape')
	expect(at('STEP_UNKNOWN', '/paintwork/done/0/step')).toBe('tape')
	expect(at('UNDERLAP_TOO_WIDE', '/paintwork/underlap')).toBe('tape')
	expect(at('CLEAR_THIN', '/panels/0/clear')).toBe('paint')
	expect(at('UNKNOWN_PAINT', '/paintwork/log/0/paint')).toBe('paint')
	expect(at('OUT_OF_RANGE', '/paints/0/sprayed/coats')).toBe('paint')
	// and all others to theirs
	expect(at('OUT_OF_RANGE', '/panels/0/fields/1/paint')).toBe('scheme')
	expect(at('OUT_OF_RANGE', '/panels/0/readings/1/girth')).toBe('measure')
})
