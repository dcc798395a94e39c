/** What a panel shows, and what is open and covered for each paint, where it can be worked out by hand. */
import { describe, expect, test } from 'vitest'
import { toPlane } from '../../src/chart/region.ts'
import { seenOf } from '../../src/engine/seen.ts'
import type { Problem } from '../../src/job/problem.ts'
import { areaOf, intersect, subtract, union } from '../../src/plane/region.ts'
import { asPainted } from '../../src/stages/asPainted.ts'
import type { Seen } from '../../src/stages/parts.ts'
import { stageOf, standings } from '../../src/stages/stage.ts'
import { jobOf, marked, outlineOf, schemeOf } from '../scheme/jobs.ts'
import { staged } from '../tape/bench.ts'

const BOARD = outlineOf([
	[0, -50],
	[200, -50],
	[200, 50],
	[0, 50],
])
const MARKS = marked([
	['a', 0, 0],
	['b', 200, 0],
	['c', 0, 20],
	['d', 200, 20],
])
const EDGES = [
	{ id: 'low', through: ['a', { mark: 'b', by: 'pulled' as const }], front: 'runs-off' as const, rear: 'runs-off' as const },
	{ id: 'high', through: ['c', { mark: 'd', by: 'pulled' as const }], front: 'runs-off' as const, rear: 'runs-off' as const },
]
const mm2 = (region: Parameters<typeof toPlane>[0]) => areaOf(toPlane(region))

const seen = (
	fields: object[],
	stripes: object[] = [],
	paints: object[] = [],
): { seen: Seen; codes: string[]; problems: readonly Problem[]; paints: Parameters<typeof seenOf>[2] } => {
	const job = jobOf([{ outline: BOARD, readings: MARKS, edges: EDGES, fields: fields as never, stripes: stripes as never }], {
		paints: [
			{ id: 'gold', name: 'Gold', colour: '#c9a227' },
			{ id: 'green', name: 'Green', colour: '#2f6f5e' },
			...(paints as never[]),
		],
	})
	const all = new Map(job.paints.map((p) => [p.id, p]))
	const panel = schemeOf(job).panels[0]!
	const { seen: list, problems } = seenOf(panel, '/panels/0', all)
	return { seen: list[0]!, codes: problems.map(({ code }) => code), problems, paints: all }
}

const UPPER = { id: 'upper', paint: 'gold', between: ['low', 'outline'], seed: { station: 100, girth: 40, side: 'above' } }
const LOWER = { id: 'lower', paint: 'green', between: ['low', 'outline'], seed: { station: 100, girth: 40, side: 'below' } }

describe('what a panel shows', () => {
	test('is in parts that share no place and leave none', () => {
		const { seen: one } = seen(
			[UPPER, LOWER],
			[{ id: 'line', edge: 'low', lay: 'centred', bands: [{ paint: 'gold', width: 6 }] }],
		)
		const regions = one.parts.map(({ region }) => toPlane(region))
		expect(areaOf(union(regions))).toBeCloseTo(200 * 100, 1)
		expect(regions.reduce((sum, region) => sum + areaOf(region), 0)).toBeCloseTo(200 * 100, 1)
		regions.forEach((a, i) => {
			for (const b of regions.slice(i + 1)) expect(areaOf(intersect(a, b))).toBeLessThan(0.01)
		})
	})

	test('two of one paint beside each other have no border; the colour break below a stripe has none', () => {
		const { seen: one } = seen(
			[UPPER, LOWER],
			[{ id: 'line', edge: 'low', lay: 'centred', bands: [{ paint: 'gold', width: 6 }] }],
		)
		// Gold stripe on gold: only its far side is seen.
		expect(one.borders).toHaveLength(1)
		expect(one.borders[0]?.line).toMatch(/^line\/.*\/(near|far)$/)
		expect(one.borders[0]?.lengthMm).toBeCloseTo(200, 3)
	})

	test('what no field claims is left as it is, and is a neighbour like any other', () => {
		const { seen: one } = seen([UPPER])
		expect(one.parts.map(({ id, coats }) => [id, coats.length])).toEqual([
			['upper/left', 1],
			['rest', 0],
		])
		expect(one.borders).toHaveLength(1)
	})

	test('two fields on one place, and nothing that says which is seen, are a problem with its place', () => {
		const wide = { id: 'wide', paint: 'green', between: ['high', 'outline'], seed: { station: 100, girth: 40, side: 'below' } }
		expect(seen([UPPER, wide]).codes).toEqual(['FIELDS_OVERLAP'])
		const said = seen([UPPER, { ...wide, over: ['upper'] }])
		expect(said.codes).toEqual([])
		const [upper, lower] = said.seen.parts
		expect(mm2(upper!.region)).toBeCloseTo(200 * 30, 1)
		expect(mm2(lower!.region)).toBeCloseTo(200 * 70, 1)
		// Listed after it, but said to be over: the order of the list does not count.
		const turned = seen([{ ...wide, over: ['upper'] }, UPPER])
		expect(turned.seen.parts.map(({ region }) => Math.round(mm2(region))).sort()).toEqual([14000, 6000])
	})
})

test('the advice leaves both of two fields to be seen; a field that is nowhere seen is told of', () => {
	const all = { id: 'all', paint: 'green', between: ['outline'] }
	const [overlap] = seen([UPPER, all]).problems
	expect(overlap?.fix).toContain('"over": ["all"] to upper')
	expect(seen([{ ...UPPER, over: ['all'] }, all]).problems).toEqual([])
	expect(seen([UPPER, { ...all, over: ['upper'] }]).problems).toMatchObject([
		{ code: 'FIELD_HIDDEN', severity: 'warning', path: '/panels/0/fields/0', place: { panel: 'panel-0' } },
	])
})

describe('standing of the parts of a panel', () => {
	const candy = [
		{ id: 'silver', name: 'Silver', colour: '#c0c0c0', sprayed: { as: 'ground-coat' } },
		{ id: 'ruby', name: 'Ruby', colour: '#7d1128', sprayed: { as: 'mid-coat', over: 'silver' } },
	]

	test('a candy has its base below it, and neither lies below what is open for the other', () => {
		const { seen: one, paints } = seen([{ ...UPPER, paint: 'ruby' }, LOWER], [], candy)
		expect(one.parts.map(({ coats }) => coats)).toEqual([['silver', 'ruby'], ['green']])
		const order = ['silver', 'ruby', 'green']
		expect(standings(one.parts, 'silver', order, paints)).toEqual(['painted', 'later'])
		expect(standings(one.parts, 'ruby', order, paints)).toEqual(['painted', 'later'])
		expect(standings(one.parts, 'green', order, paints)).toEqual(['closed', 'painted'])
		// A paint between base and candy must not fall on the base.
		const between = ['silver', 'green', 'ruby']
		expect(standings(one.parts, 'green', between, paints)).toEqual(['closed', 'painted'])
	})

	test('base and candy end on one line: what is open for them is the same', () => {
		const { seen: one, paints } = seen([{ ...UPPER, paint: 'ruby' }, LOWER], [], candy)
		const order = ['green', 'silver', 'ruby']
		const stage = (paint: string) => stageOf({ seen: one, paints, order, paint, mode: 'local', underlap: () => 2 })!
		const [base, candyStage] = [stage('silver'), stage('ruby')]
		expect(areaOf(subtract(toPlane(base.open), toPlane(candyStage.open)))).toBeLessThan(0.01)
		expect(areaOf(subtract(toPlane(candyStage.open), toPlane(base.open)))).toBeLessThan(0.01)
		expect(mm2(base.open)).toBeCloseTo(200 * 50, 1)
	})

	test('no lap lies below what does not hide', () => {
		// Ruby straight on the primer, with nothing below it that hides: green stops at the line.
		const clear = [{ id: 'ruby', name: 'Ruby', colour: '#7d1128', sprayed: { as: 'mid-coat' } }]
		const { seen: one, paints } = seen([{ ...UPPER, paint: 'ruby' }, LOWER], [], clear)
		const order = ['green', 'ruby']
		const green = stageOf({ seen: one, paints, order, paint: 'green', mode: 'local', underlap: () => 2 })!
		expect(mm2(green.open)).toBeCloseTo(200 * 50, 1)
		expect(green.edges.map(({ kind }) => kind)).toEqual(['line'])
	})
})

describe('a stage', () => {
	const stripe = [
		{
			id: 'line',
			edge: 'low',
			lay: 'centred' as const,
			bands: [{ paint: 'gold', width: 4 }, { gap: 1 }, { paint: 'gold', width: 4 }],
		},
	]
	const panel = {
		outline: BOARD,
		readings: MARKS,
		edges: EDGES,
		stripes: stripe as never,
		fields: [{ id: 'ground', paint: 'green', between: ['outline'] }],
	}

	test('paints over a gap too narrow to be masked by itself, where what comes later hides it', () => {
		const { stages } = staged(panel, ['gold', 'green'], 'local')
		// 4 + 1 + 4 and a lap of 2 on both sides
		expect(mm2(stages[0]!.open)).toBeCloseTo(200 * 13, 0)
	})

	test('open and covered are the whole panel', () => {
		const { seen: one, stages } = staged(panel, ['gold', 'green'], 'local')
		for (const { open, covered } of stages) {
			expect(mm2(open) + mm2(covered)).toBeCloseTo(mm2(one.area), 0)
			expect(areaOf(intersect(toPlane(open), toPlane(covered)))).toBeLessThan(0.01)
		}
	})
})

describe('an edge as it came out of the paint', () => {
	test('moves what lies on both of its sides, straight between the places that were measured', () => {
		const { seen: one } = seen([UPPER, LOWER])
		const [border] = one.borders
		const places = [
			{ line: border!.curve, at: { s: 50, g: 1 } },
			{ line: border!.curve, at: { s: 150, g: -1 } },
		]
		const { seen: after, moved } = asPainted(one, places)
		expect(moved).toHaveLength(1)
		expect(Math.abs(moved[0]!.worstMm)).toBeCloseTo(1, 3)
		// up by 1 over the first quarter, down by 1 over the last, and straight between: as much is given as taken
		const [upper, lower] = after.parts
		expect(mm2(upper!.region)).toBeCloseTo(10_000, 0)
		expect(areaOf(subtract(toPlane(one.parts[0]!.region), toPlane(upper!.region)))).toBeCloseTo(50 + 25, 0)
		expect(areaOf(union([toPlane(upper!.region), toPlane(lower!.region)]))).toBeCloseTo(20_000, 0)
	})
})
