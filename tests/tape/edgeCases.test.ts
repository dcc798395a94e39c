/** What once went wrong: ends of stripes of tape, islands beside a run, unlike sides, lines measured again. */
import { describe, expect, test } from 'vitest'
import { toPlane } from '../../src/chart/region.ts'
import { compute } from '../../src/engine/compute.ts'
import type { PanelPaintwork } from '../../src/engine/paintwork.ts'
import type { JobInput } from '../../src/job/schema.ts'
import { areaOf, subtract, union } from '../../src/plane/region.ts'
import { jobOf, marked, outlineOf } from '../scheme/jobs.ts'
import { shop } from './bench.ts'

type PanelInput = Partial<JobInput['panels'][number]>

const work = (panel: PanelInput, more: Partial<JobInput> = {}) => {
	const result = compute(jobOf([panel], { paintwork: { order: ['gold', 'green'] }, ...more }), shop, {
		until: 'pieces',
		paintwork: true,
	})
	return { codes: result.problems.map(({ code }) => code), panels: result.paintwork?.panels ?? [] }
}
const mm2 = (region: Parameters<typeof toPlane>[0]) => areaOf(toPlane(region))

const BOARD = outlineOf([
	[0, -60],
	[400, -60],
	[400, 60],
	[0, 60],
])
const pulled = (id: string, ends: readonly (readonly [number, number])[], more: object = {}) => ({
	readings: marked(ends.map(([s, g], i) => [`${id}-${i}`, s, g] as const)),
	edge: {
		id,
		through: [`${id}-0`, ...ends.slice(1).map((_, i) => ({ mark: `${id}-${i + 1}`, by: 'pulled' as const }))],
		...more,
	},
})
const OFF = { front: 'runs-off', rear: 'runs-off' } as const
/** From rim to rim of the board, straight. */
const across = (id: string, girth: number) =>
	pulled(
		id,
		[
			[0, girth],
			[400, girth],
		],
		OFF,
	)
const GROUND = { id: 'ground', paint: 'green', between: ['outline'] }
const above = (girth: number, station = 100) => ({ station, girth, side: 'above' as const })
const below = (girth: number, station = 100) => ({ station, girth, side: 'below' as const })

test('a stripe with one edge partly hidden below another is taped along both of its own', () => {
	const long = pulled('long', [
		[20, 0],
		[380, 0],
	])
	const short = pulled('short', [
		[20, -8],
		[200, -8],
	])
	const { panels } = work(
		{
			outline: BOARD,
			readings: [...long.readings, ...short.readings],
			edges: [long.edge, short.edge],
			fields: [GROUND],
			stripes: [
				{ id: 's1', edge: 'long', lay: 'outboard', bands: [{ paint: 'gold', width: 12 }] },
				{ id: 's2', edge: 'short', lay: 'centred', bands: [{ paint: 'red', width: 25 }], over: ['s1'] },
			] as never,
		},
		{
			paints: [
				{ id: 'gold', name: 'Gold', colour: '#c9a227' },
				{ id: 'green', name: 'Green', colour: '#2f6f5e' },
				{ id: 'red', name: 'Red', colour: '#a02020' },
			],
			paintwork: { order: ['gold', 'green', 'red'], first: 'local' },
		},
	)
	expect(panels.map(({ proof }) => proof.holds)).toEqual([true])
})

describe('a stripe covered by tape of its own width', () => {
	const line = pulled('line', [
		[90, 0],
		[310, 0],
	])
	const stripe = (width: number, end: object) =>
		work({
			outline: BOARD,
			readings: line.readings,
			edges: [line.edge],
			fields: [GROUND],
			stripes: [{ id: 's', edge: 'line', lay: 'centred', bands: [{ paint: 'gold', width }], front: end, rear: end } as never],
		})

	test.each([
		[25, { shape: 'rounded' }],
		[25, { shape: 'raked', angleDeg: 30 }],
		[12, { shape: 'raked', angleDeg: 150 }],
		[3, { shape: 'pointed', length: 60 }],
	])('of %d mm with ends %j is covered all over', (width, end) => {
		const { panels } = stripe(width, end)
		const [{ seen, tape, proof }] = panels as [PanelPaintwork]
		const part = seen.parts.find(({ band }) => band)
		const green = tape.find(({ paint }) => paint === 'green')
		const cover = union([...(green?.runs ?? []), ...(green?.knives ?? [])].map(({ outline }) => toPlane(outline)))
		// Outlines follow arcs with chords a hundredth of a millimetre off.
		expect(areaOf(subtract(toPlane(part!.region), cover))).toBeLessThan(0.2)
		expect(green?.gap).toMatchObject({ openMm2: 0, overMm2: 0 })
		expect(proof.holds).toBe(true)
	})

	test('may be as much wider as the shop lets pass', () => {
		const { codes } = stripe(6.25, { shape: 'runs-off' })
		expect(codes).toEqual([])
	})
})

test('a ring narrower than its tape is deep has film over all of its middle', () => {
	const places = [
		['p0', 192, 0],
		['p1', 200, 8],
		['p2', 208, 0],
		['p3', 200, -8],
	] as const
	const { panels } = work(
		{
			outline: BOARD,
			readings: marked(places),
			edges: [{ id: 'ring', through: places.map(([id]) => id), closed: true }],
			fields: [GROUND],
			stripes: [{ id: 's', edge: 'ring', lay: 'inboard', bands: [{ paint: 'gold', width: 3 }] }],
		},
		{ paintwork: { order: ['green', 'gold'] } },
	)
	for (const { gap } of panels[0]!.tape) expect(gap).toMatchObject({ openMm2: 0, overMm2: 0 })
	expect(panels[0]!.proof.holds).toBe(true)
})

/** A tube of radius 60: laid flat it is a plane, wherever round it stations begin. */
describe('a field on a ring', () => {
	const [R, r] = [60, 20]
	const round = 2 * Math.PI * R
	const section = (along: number) => ({
		along,
		points: Array.from({ length: 25 }, (_, k): [number, number] => {
			const turn = (2 * Math.PI * (k % 24)) / 24
			return [R * Math.sin(turn), R - R * Math.cos(turn)]
		}),
	})
	const sections = [0, 30, 60, 90, 120, 150].map(section)
	test.each([0, 8, 190])('over station %d is as large, and has as much of a line, as anywhere', (middle) => {
		const places = Array.from({ length: 8 }, (_, k) => {
			const turn = (2 * Math.PI * k) / 8
			return [`p${k}`, (middle + r * Math.cos(turn) + round) % round, r * Math.sin(turn)] as const
		})
		const { panels } = work({
			found: { kind: 'sections', closed: true, sd: 0.01, sections } as never,
			readings: marked(places).map((reading) => ({ ...reading, sd: 0.01 })),
			edges: [{ id: 'dot', through: places.map(([id]) => id), closed: true }],
			fields: [GROUND, { id: 'spot', paint: 'gold', between: ['dot'], over: ['ground'] }],
		})
		const [{ seen, tape, proof }] = panels as [PanelPaintwork]
		const spot = seen.parts.find(({ id }) => id.startsWith('spot'))
		// A smooth line through eight places of a circle leaves it by some hundredths of a millimetre.
		expect(Math.abs(Math.sqrt(mm2(spot!.region) / Math.PI) - r)).toBeLessThan(0.1)
		expect(Math.abs(seen.borders.reduce((sum, { lengthMm }) => sum + lengthMm, 0) / (2 * Math.PI) - r)).toBeLessThan(0.1)
		for (const { gap } of tape) expect(gap).toMatchObject({ openMm2: 0, overMm2: 0 })
		expect(proof.holds).toBe(true)
	})
})

test('what is to be painted beside the slanted end of a run stays open', () => {
	const [back, off] = [2.9, 12]
	const [c, s] = [400 / Math.hypot(400, 120), 120 / Math.hypot(400, 120)]
	const [ds, dg] = [400 - back * c - off * s, 20 - back * s + off * c]
	const line = pulled(
		'line',
		[
			[0, -100],
			[400, 20],
		],
		OFF,
	)
	const dot = [
		['d0', ds - 3.5, dg],
		['d1', ds, dg + 3.5],
		['d2', ds + 3.5, dg],
		['d3', ds, dg - 3.5],
	] as const
	const { panels, codes } = work({
		outline: outlineOf([
			[0, -120],
			[400, -120],
			[400, 80],
			[0, 80],
		]),
		readings: [...line.readings, ...marked(dot)],
		edges: [line.edge, { id: 'dot', through: dot.map(([id]) => id), closed: true }],
		fields: [
			{ id: 'top', paint: 'gold', between: ['line', 'outline'], seed: above(50) },
			{ id: 'low', paint: 'green', between: ['line', 'outline'], seed: below(110) },
			{ id: 'spot', paint: 'green', between: ['dot'], over: ['top'] },
		],
	})
	expect(codes).toEqual([])
	for (const { gap } of panels[0]!.tape) expect(gap.overMm2).toBe(0)
})

test('a first paint all over goes over all that comes later, alike parts beside each other too', () => {
	const [low, high] = [across('low', 0), across('high', 30)] as const
	const { panels } = work(
		{
			outline: BOARD,
			readings: [...low.readings, ...high.readings],
			edges: [low.edge, high.edge],
			fields: [
				{ id: 'top', paint: 'gold', between: ['high', 'outline'], seed: above(50) },
				{ id: 'middle', paint: 'green', between: ['low', 'high'] },
				{ id: 'bottom', paint: 'green', between: ['low', 'outline'], seed: below(30) },
			],
		},
		{ paintwork: { order: ['gold', 'green'], first: 'all-over' } },
	)
	expect(mm2(panels[0]!.stages[0]!.open)).toBeCloseTo(400 * 120, 1)
})

test.each([
	[30, 1],
	[80, 2],
])('over a hole of %d mm on the line tape is laid in %d lengths', (diameter, lengths) => {
	const line = across('line', 0)
	const { panels } = work({
		outline: BOARD,
		readings: line.readings,
		edges: [line.edge],
		holes: [{ id: 'hole', station: 200, girth: 0, side: 'above', diameter } as never],
		fields: [
			{ id: 'top', paint: 'gold', between: ['line', 'outline'], seed: above(50) },
			{ id: 'low', paint: 'green', between: ['line', 'outline'], seed: below(30) },
		],
	})
	const green = panels[0]!.tape.find(({ paint }) => paint === 'green')!
	expect(green.runs).toHaveLength(lengths)
	expect(green.gap.lineMm).toBeCloseTo(lengths === 1 ? 400 : 400 - diameter, 1)
	expect(green.gap.openMm2).toBe(0)
})

test('a lap that would come out over what is closed has no tape of its own', () => {
	const [low, high] = [across('low', 0), across('high', 1.5)] as const
	const { panels } = work(
		{
			outline: BOARD,
			readings: [...low.readings, ...high.readings],
			edges: [low.edge, high.edge],
			fields: [
				{ id: 'top', paint: 'gold', between: ['high', 'outline'], seed: above(50) },
				{ id: 'middle', paint: 'red', between: ['low', 'high'] },
				{ id: 'bottom', paint: 'green', between: ['low', 'outline'], seed: below(30) },
			],
		},
		{
			paints: ['gold', 'green', 'red'].map((id) => ({ id, name: id, colour: '#445566' })),
			paintwork: { order: ['gold', 'green', 'red'], first: 'local' },
		},
	)
	const green = panels[0]!.stages.find(({ paint }) => paint === 'green')
	expect(green?.edges.map(({ kind, lines }) => [kind, ...lines])).toEqual([['line', 'high/left']])
	expect(panels[0]!.proof.holds).toBe(true)
})

test('each side of a panel whose sides differ has tape of its own', () => {
	const both = (id: string, left: number, right: number) =>
		marked(
			[
				[`${id}-0`, 0, -left],
				[`${id}-1`, 400, -left],
				[`${id}-0`, 0, right],
				[`${id}-1`, 400, right],
			],
			true,
		)
	const through = (id: string) => [`${id}-0`, { mark: `${id}-1`, by: 'pulled' as const }]
	const { panels, codes } = work({
		hand: 'centre',
		outline: outlineOf(
			[
				[0, -120],
				[400, -120],
				[400, 120],
				[0, 120],
			],
			true,
		),
		readings: [...both('rim', 40, 40), ...both('x', 70, 50)],
		edges: [
			{ id: 'rim', through: through('rim'), hand: 'mirrored', ...OFF },
			{ id: 'x', through: through('x'), hand: 'mirrored', sides: 'each', ...OFF },
		],
		stripes: [{ id: 's', edge: 'x', lay: 'centred', bands: [{ paint: 'green', width: 8 }] }],
		fields: [
			{ id: 'middle', paint: 'green', between: ['rim'], hand: 'across' },
			{ id: 'side', paint: 'gold', between: ['rim', 'outline'], seed: { station: 100, girth: 100, side: 'left' } },
		],
	})
	expect(codes.filter((code) => code.startsWith('STAGE_'))).toEqual([])
	const runs = panels[0]!.tape.find(({ paint }) => paint === 'green')!.runs
	const width = (name: string) => runs.find(({ follows }) => follows.includes(name))?.tape.width
	// 26 mm of room on the left, 6 on the right
	expect([width('rim/left'), width('rim/right')]).toEqual([25, 6])
})

describe('a line measured again as it came out of the paint', () => {
	const line = across('line', 20)
	const post = pulled(
		'post',
		[
			[200, 20],
			[200, 60],
		],
		OFF,
	)
	const tee = (painted: PanelInput['painted'], more: PanelInput = {}) =>
		work(
			{
				outline: BOARD,
				readings: [...line.readings, ...post.readings],
				edges: [line.edge, post.edge],
				fields: [
					{ id: 'low', paint: 'green', between: ['line', 'outline'], seed: below(30) },
					{ id: 'front', paint: 'gold', between: ['line', 'post', 'outline'], seed: above(40) },
					{ id: 'rear', paint: 'red', between: ['line', 'post', 'outline'], seed: above(40, 300) },
				],
				painted,
				...more,
			},
			{
				paints: ['gold', 'green', 'red'].map((id) => ({ id, name: id, colour: '#445566' })),
				paintwork: { order: ['green', 'gold', 'red'] },
			},
		)
	const areaOfPart = ({ panels }: ReturnType<typeof work>, id: string) =>
		mm2(panels[0]!.seen.parts.find((part) => part.id.startsWith(id))!.region)

	test('at one place moves all of it, on both sides of where another line meets it', () => {
		const one = tee([{ line: 'line', station: 100, girth: 22 }])
		expect(one.codes).toEqual([])
		expect(areaOfPart(one, 'low')).toBeCloseTo(400 * 82, 0)
	})

	test('twice at one place counts with its mean', () => {
		const twice = tee([
			{ line: 'line', station: 100, girth: 21 },
			{ line: 'line', station: 100, girth: 22 },
		])
		expect(areaOfPart(twice, 'low')).toBeCloseTo(400 * 81.5, 0)
		for (const { gap } of twice.panels[0]!.tape) expect(gap.openMm2).toBe(0)
	})

	test('is straight between places on both sides of where another line meets it', () => {
		const two = tee([
			{ line: 'line', station: 100, girth: 18 },
			{ line: 'line', station: 300, girth: 22 },
		])
		const s = [100, 200, 100] as const
		expect(areaOfPart(two, 'front')).toBeCloseTo(200 * 40 + s[0] * 2 + (s[0] * 2) / 2, 0)
		expect(areaOfPart(two, 'rear')).toBeCloseTo(200 * 40 - s[0] * 2 - (s[0] * 2) / 2, 0)
	})

	test('on one of a pair asks which, and moves that one alone', () => {
		const pair = { hand: 'pair' as const }
		expect(tee([{ line: 'line', station: 100, girth: 22 }], pair).codes).toEqual(['PAINTED_SIDE_NOT_SAID'])
		const left = tee([{ line: 'line', side: 'left', station: 100, girth: 22 }], pair)
		expect(left.codes).toEqual([])
		expect(left.panels.map(({ hand, moved }) => [hand, moved.length])).toEqual([
			['left', 1],
			['right', 0],
		])
	})

	test('past its end, or where no two paints meet, is a problem', () => {
		const short = pulled('short', [
			[100, -30],
			[200, -30],
		])
		const more = (painted: PanelInput['painted'], paint: string) =>
			tee(painted, {
				readings: [...line.readings, ...post.readings, ...short.readings],
				edges: [line.edge, post.edge, short.edge],
				stripes: [{ id: 's', edge: 'short', lay: 'outboard', bands: [{ paint, width: 10 }] }],
			})
		expect(more([{ line: 'short', station: 150, girth: 31 }], 'red').codes).toEqual([])
		expect(more([{ line: 'short', station: 210, girth: 31 }], 'red').codes).toEqual(['PAINTED_FAR_OFF'])
		expect(more([{ line: 'short', station: 150, girth: 31 }], 'green').codes).toEqual(['PAINTED_NOT_SEEN'])
	})
})
