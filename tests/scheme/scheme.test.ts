import { describe, expect, test } from 'vitest'
import { area } from '../../src/chart/area.ts'
import type { ChartRegion } from '../../src/chart/point.ts'
import type { JobInput } from '../../src/job/schema.ts'
import { openArea } from '../../src/scheme/areas.ts'
import type { Band, PlacedField } from '../../src/scheme/scheme.ts'
import { holds } from './bench.ts'
import { chartOf, jobOf, marked, mm2, outlineOf, schemeOf } from './jobs.ts'

type PanelInput = Partial<JobInput['panels'][number]>

const bandsOf = (panels: PanelInput[], more: Partial<JobInput> = {}) => {
	const result = schemeOf(jobOf(panels, more))
	const schemes = result.panels.flatMap((p) => p.schemes ?? [])
	return {
		bands: schemes.flatMap((s) => s.scheme.bands),
		fields: schemes.flatMap((s) => s.scheme.fields),
		problems: result.problems,
		result,
	}
}
const girths = (b: Band | undefined) => {
	const g = b?.region.flat().map((p) => p.g) ?? []
	return [Math.min(...g), Math.max(...g)].map((x) => Math.round(x * 1000) / 1000)
}
const straight = marked([
	['a', 0, 20],
	['b', 200, 20],
])
const line = { id: 'line', through: ['a', 'b'] }
const gold = (width: number) => ({ paint: 'gold', width })

describe('where a stripe lies', () => {
	const both: PanelInput = {
		hand: 'centre',
		readings: [
			...marked(
				[
					['a', 0, 20],
					['b', 200, 20],
				],
				true,
			),
			...marked(
				[
					['a', 0, -20],
					['b', 200, -20],
				],
				true,
			),
		],
		edges: [line],
	}
	test.each([
		['inboard', [15, 20]],
		['outboard', [20, 25]],
		['centred', [17.5, 22.5]],
	] as const)('%s of a line on both sides', (lay, [lo, hi]) => {
		const { bands } = bandsOf([{ ...both, stripes: [{ id: 'st', edge: 'line', lay, bands: [gold(5)] }] }])
		expect(bands.map((b) => b.id)).toEqual(['st/left/1', 'st/right/1'])
		expect(girths(bands[0])).toEqual([-hi, -lo])
		expect(girths(bands[1])).toEqual([lo, hi])
	})

	test('bands, gaps and offset in order away from the line', () => {
		const { bands } = bandsOf([
			{
				...both,
				stripes: [
					{ id: 'st', edge: 'line', lay: 'outboard', offset: 4, bands: [gold(3), { gap: 2 }, gold(10), { gap: 1 }, gold(1)] },
				],
			},
		])
		const right = bands.filter((b) => b.side === 'right')
		expect(right.map(girths)).toEqual([
			[24, 27],
			[29, 39],
			[40, 41],
		])
		expect(right.map((b) => b.id)).toEqual(['st/right/1', 'st/right/2', 'st/right/3'])
	})

	test('to the front and to the rear of a line across the centreline', () => {
		for (const [lay, lo, hi] of [
			['front', 95, 100],
			['rear', 100, 105],
			['centred', 97.5, 102.5],
		] as const) {
			const { bands } = bandsOf([
				{
					hand: 'centre',
					readings: marked(
						[
							['a', 100, -40],
							['b', 100, 40],
						],
						true,
					),
					edges: [{ id: 'line', through: ['left/a', 'right/b'], hand: 'across' }],
					stripes: [{ id: 'st', edge: 'line', lay, bands: [gold(5)] }],
				},
			])
			const s = bands[0]?.region.flat().map((p) => p.s) ?? []
			expect(Math.min(...s)).toBeCloseTo(lo, 3)
			expect(Math.max(...s)).toBeCloseTo(hi, 3)
		}
	})

	test('inboard of a closed line is inside it, whichever way round its marks go', () => {
		const ring = Array.from({ length: 12 }, (_, i) => {
			const a = (2 * Math.PI * i) / 12
			return [`m${i}`, 200 + 50 * Math.cos(a), 100 + 50 * Math.sin(a)] as const
		})
		const names = ring.map(([name]) => name)
		for (const through of [names, [...names].reverse(), [...names.slice(5), ...names.slice(0, 5)]]) {
			const areas = (['inboard', 'outboard'] as const).map(
				(lay) =>
					bandsOf([
						{
							readings: marked(ring),
							edges: [{ id: 'line', through, closed: true }],
							stripes: [{ id: 'st', edge: 'line', lay, bands: [gold(6)] }],
						},
					]).bands[0],
			)
			expect(mm2(areas[0])).toBeCloseTo(Math.PI * (50 ** 2 - 44 ** 2), -2)
			expect(mm2(areas[1])).toBeCloseTo(Math.PI * (56 ** 2 - 50 ** 2), -2)
		}
	})

	test('left is the mirror image of right to the last digits on a panel given by half', () => {
		const { bands } = bandsOf([
			{
				hand: 'centre',
				found: {
					kind: 'revolved',
					crown: { radius: 310 },
					profile: {
						half: true,
						points: [
							[0, 0],
							[20, 2],
							[40, 9],
							[55, 20],
							[64, 36],
							[66, 52],
						],
					},
					length: 400,
				},
				readings: [
					...marked(
						[
							['a', 20, 30],
							['b', 120, 45],
							['c', 240, 44],
							['d', 360, 26],
						],
						true,
					),
					...marked(
						[
							['a', 21, -31],
							['b', 121, -44],
							['c', 239, -45],
							['d', 360, -27],
						],
						true,
					),
				],
				edges: [{ id: 'line', through: ['a', 'b', 'c', 'd'] }],
				stripes: [
					{
						id: 'st',
						edge: 'line',
						lay: 'centred',
						bands: [gold(3), { gap: 2 }, gold(12), { gap: 2 }, gold(3)],
						front: { shape: 'raked', angleDeg: 50 },
						rear: { shape: 'pointed', length: 60 },
					},
				],
			},
		])
		const [left, right] = ['left', 'right'].map((side) => bands.filter((b) => b.side === side))
		expect(left).toHaveLength(3)
		left?.forEach((l, i) => {
			const r = right?.[i] as Band
			expect(mm2(l)).toBeCloseTo(mm2(r), 3)
			const points = (b: Band) => [...b.near, ...b.far].flatMap((c) => c.cubics.flat())
			const [pl, pr] = [points(l), points(r)]
			expect(pl).toHaveLength(pr.length)
			pl.forEach((p, k) => {
				expect(p.s).toBeCloseTo(pr[k]?.s as number, 9)
				expect(p.g).toBeCloseTo(-(pr[k]?.g as number), 9)
			})
		})
	})

	test('the panels of a pair share station and girth', () => {
		const { bands } = bandsOf([
			{
				hand: 'pair',
				readings: straight.map((r) => ({ ...r, panel: 'left' as const })),
				edges: [line],
				stripes: [{ id: 'st', edge: 'line', lay: 'outboard', bands: [gold(5)] }],
			},
		])
		expect(bands.map((b) => b.side)).toEqual(['left', 'right'])
		expect(bands[0]?.region).toEqual(bands[1]?.region)
	})
})

describe('fields', () => {
	const outline = outlineOf([
		[-50, -60],
		[250, -60],
		[250, 80],
		[-50, 80],
	])
	const base: PanelInput = {
		outline,
		readings: straight,
		edges: [{ ...line, front: 'runs-off', rear: 'runs-off' }],
	}

	test('above and below a line, each by its seed, make up the panel', () => {
		const { fields } = bandsOf([
			{
				...base,
				fields: [
					{ id: 'up', paint: 'gold', between: ['line', 'outline'], seed: { station: 100, girth: 70, side: 'above' } },
					{ id: 'down', paint: 'green', between: ['line', 'outline'], seed: { station: 100, girth: 50, side: 'below' } },
				],
			},
		])
		expect(mm2(fields[0])).toBeCloseTo(300 * 60, 0)
		expect(mm2(fields[1])).toBeCloseTo(300 * 80, 0)
	})

	test('with no seed a field between line and outline is the one away from the baseline', () => {
		const { fields } = bandsOf([{ ...base, fields: [{ id: 'up', paint: 'gold', between: ['line', 'outline'] }] }])
		expect(mm2(fields[0])).toBeCloseTo(300 * 60, 0)
	})

	test('open areas, stripes and holes add up to the panel', () => {
		const { fields, bands, result } = bandsOf([
			{
				...base,
				holes: [{ id: 'hole', station: 50, girth: 50, side: 'above', diameter: 30 }],
				stripes: [{ id: 'st', edge: 'line', lay: 'centred', bands: [gold(10)] }],
				fields: [
					{ id: 'up', paint: 'gold', between: ['line', 'outline'], seed: { station: 100, girth: 70, side: 'above' } },
					{ id: 'down', paint: 'green', between: ['line', 'outline'], seed: { station: 100, girth: 50, side: 'below' } },
				],
			},
		])
		const open = fields.reduce((a, f) => a + openArea(chartOf(result), f, bands), 0)
		const hole = Math.PI * 15 ** 2
		expect(open + mm2(bands[0])).toBeCloseTo(300 * 140 - hole, 0)
		expect(mm2(bands[0])).toBeCloseTo(3000, 0)
		const panel = result.panels[0]?.lines?.area?.region as ChartRegion
		expect(holds(panel, { s: 50, g: 50 })).toBe(false)
	})

	test('on a revolved panel: crown and sides make up the captured surface', () => {
		const [R, a, arc, length] = [300, 50, 140, 400]
		const { fields, result } = bandsOf([
			{
				hand: 'centre',
				found: { kind: 'revolved', crown: { radius: R }, profile: { radius: a, arc }, length },
				readings: [
					...marked(
						[
							['a', 10, 30],
							['b', 200, 34],
							['c', 390, 30],
						],
						true,
					),
					...marked(
						[
							['a', 10, -30],
							['b', 200, -34],
							['c', 390, -30],
						],
						true,
					),
				],
				edges: [{ id: 'line', through: ['a', 'b', 'c'], front: 'runs-off', rear: 'runs-off' }],
				fields: [
					{ id: 'crown', paint: 'gold', between: ['line'], hand: 'across' },
					{ id: 'side', paint: 'green', between: ['line', 'outline'] },
				],
			},
		])
		expect(fields.map((f) => f.id)).toEqual(['crown/both', 'side/left', 'side/right'])
		// Pappus: the area swept by an arc is its length times the path of its centroid, for the part length / R of a turn.
		const half = arc / 2 / a
		const centroid = R - a + (a * Math.sin(half)) / half
		const areas = fields.map(({ region }) => area(chartOf(result), region))
		expect(areas.reduce((a, b) => a + b, 0)).toBeCloseTo(arc * centroid * (length / R), -1)
		expect(areas[1]).toBeCloseTo(areas[2] as number, 3)
	})

	test('a mirrored field between line and centreline keeps to its own half', () => {
		const { fields } = bandsOf([
			{
				hand: 'centre',
				outline: outlineOf(
					[
						[0, -50],
						[200, -50],
						[200, 50],
						[0, 50],
					],
					true,
				),
				readings: [
					...marked(
						[
							['a', 0, 20],
							['b', 200, 20],
						],
						true,
					),
					...marked(
						[
							['a', 0, -20],
							['b', 200, -20],
						],
						true,
					),
				],
				edges: [{ ...line, front: 'runs-off', rear: 'runs-off' }],
				fields: [{ id: 'inner', paint: 'gold', between: ['centreline', 'line'] }],
			},
		])
		expect(fields.map((f) => f.side)).toEqual(['left', 'right'])
		for (const f of fields) expect(mm2(f)).toBeCloseTo(200 * 20, 0)
		expect(Math.max(...(fields[0] as PlacedField).region.flat().map((p) => p.g))).toBeLessThan(1e-6)
	})

	test('of closed lines: inside one, between two, outside one, and by seed', () => {
		const ring = (name: string, r: number) =>
			Array.from({ length: 16 }, (_, i) => {
				const a = (2 * Math.PI * i) / 16
				return [`${name}${i}`, 100 + r * Math.cos(a), 10 + r * Math.sin(a)] as const
			})
		const [small, large] = [ring('k', 20), ring('l', 45)]
		const edge = (id: string, marks: typeof small) => ({ id, through: marks.map(([name]) => name), closed: true })
		const { fields } = bandsOf([
			{
				outline,
				readings: marked([...small, ...large]),
				edges: [edge('small', small), edge('large', large)],
				fields: [
					{ id: 'disc', paint: 'gold', between: ['small'] },
					{ id: 'ring', paint: 'gold', between: ['small', 'large'] },
					{ id: 'rest', paint: 'gold', between: ['large', 'outline'] },
					{ id: 'seeded', paint: 'gold', between: ['small', 'outline'], seed: { station: 100, girth: 10, side: 'above' } },
				],
			},
		])
		const [disc, between, rest, seeded] = fields.map(mm2) as [number, number, number, number]
		// Smoothing by what a tape is known to draws so small a circle in by up to 0.2 mm.
		expect(disc).toBeLessThan(Math.PI * 20 ** 2)
		expect(disc).toBeGreaterThan(Math.PI * 19.8 ** 2)
		expect(between).toBeGreaterThan(Math.PI * (44.8 ** 2 - 20 ** 2))
		expect(between).toBeLessThan(Math.PI * (45 ** 2 - 19.8 ** 2))
		expect(disc + between + rest).toBeCloseTo(300 * 140, 0)
		expect(seeded).toBeCloseTo(disc, 3)
	})

	test('an outline of curves all round has no corner', () => {
		const ring = Array.from({ length: 12 }, (_, i) => {
			const a = (2 * Math.PI * i) / 12
			return {
				station: 100 + 80 * Math.cos(a),
				girth: Math.abs(80 * Math.sin(a)),
				side: Math.sin(a) < 0 ? ('below' as const) : ('above' as const),
				smooth: true,
			}
		})
		const { result } = bandsOf([{ outline: { points: ring } }])
		const region = result.panels[0]?.lines?.area?.region as ChartRegion
		const chart = result.panels[0]?.shape?.now[0]?.chart
		if (!chart) throw new Error('no chart')
		expect(area(chart, region)).toBeCloseTo(Math.PI * 80 ** 2, -2)
		const loop = region[0] ?? []
		loop.forEach((p, i) => {
			const [a, b] = [loop[(i + loop.length - 1) % loop.length], loop[(i + 1) % loop.length]] as [typeof p, typeof p]
			const turn = Math.atan2(b.g - p.g, b.s - p.s) - Math.atan2(p.g - a.g, p.s - a.s)
			expect(Math.abs(Math.sin(turn))).toBeLessThan(0.15)
		})
	})
})

describe('what is said', () => {
	const two = (gap: number, more: PanelInput = {}): PanelInput => ({
		readings: [
			...marked([
				['a', 0, 0],
				['b', 200, 0],
				['c', 0, 10 + gap],
				['d', 200, 10 + gap],
			]),
		],
		edges: [line, { id: 'other', through: ['c', 'd'] }],
		stripes: [
			{ id: 'one', edge: 'line', lay: 'outboard', bands: [gold(10)] },
			{ id: 'two', edge: 'other', lay: 'outboard', bands: [gold(5)] },
		],
		...more,
	})
	const codes = (problems: readonly { code: string }[]) => problems.map((p) => p.code)
	const limits = { limits: { gap: 2 } }

	test('a gap under the limit, with its width', () => {
		const { problems } = bandsOf([two(1.25)], limits)
		const told = problems.find((p) => p.code === 'GAP_TOO_NARROW')
		expect(told?.found).toContain('1.25 mm between one/left/1 and two/left/1')
		expect(told?.path).toBe('/panels/0/stripes/1')
		expect(told?.place?.g).toBeGreaterThan(9.9)
		expect(told?.place?.g).toBeLessThan(11.3)
		expect(codes(bandsOf([two(2.5)], limits).problems)).not.toContain('GAP_TOO_NARROW')
	})

	test('a gap on a revolved panel is measured along it', () => {
		const { problems } = bandsOf(
			[
				{
					...two(1),
					found: { kind: 'revolved', crown: { radius: 300 }, profile: { radius: 60, arc: 160 }, length: 300 },
					hand: 'left',
				},
			],
			limits,
		)
		const told = problems.find((p) => p.code === 'GAP_TOO_NARROW')
		expect(Number(/([\d.]+) mm between/.exec(told?.found ?? '')?.[1])).toBeLessThan(1.02)
	})

	test('stripes that cross, unless one is said to lie over the other', () => {
		const crossing: PanelInput = {
			...two(0),
			readings: marked([
				['a', 0, 0],
				['b', 200, 0],
				['c', 90, -40],
				['d', 110, 40],
			]),
		}
		const told = bandsOf([crossing]).problems.find((p) => p.code === 'STRIPES_CROSS')
		expect(told?.place?.s).toBeGreaterThan(90)
		expect(told?.place?.s).toBeLessThan(115)
		expect(told?.fix).toContain('"over": ["one"]')
		const over = { ...crossing, stripes: crossing.stripes?.map((s) => (s.id === 'two' ? { ...s, over: ['one'] } : s)) }
		expect(codes(bandsOf([over]).problems)).not.toContain('STRIPES_CROSS')
	})

	test('a band outside the outline, unless it runs off', () => {
		const outline = outlineOf([
			[20, -20],
			[150, -20],
			[150, 8],
			[20, 8],
		])
		const told = bandsOf([two(5, { outline })]).problems.filter((p) => p.code === 'BAND_OUTSIDE')
		expect(told.map((p) => p.path)).toEqual(['/panels/0/stripes/0', '/panels/0/stripes/1'])
		// 10 x 200 less the 130 x 8 that lie on the panel.
		expect(told[0]?.found).toContain('by 960 mm2')
		expect(told[0]?.place?.s).toBeDefined()
	})

	test('a band past the end of a captured length', () => {
		const found = { kind: 'rolled' as const, round: { baseline: 'along-axis' as const, profile: { radius: 80 } }, length: 150 }
		const told = bandsOf([two(5, { found })]).problems.filter((p) => p.code === 'BAND_OUTSIDE')
		expect(told).toHaveLength(2)
	})

	test('a band beyond what the profile reaches', () => {
		const found = {
			kind: 'rolled' as const,
			round: { baseline: 'along-axis' as const, profile: { radius: 80, arc: 24 } },
			length: 250,
		}
		const told = bandsOf([two(0.5, { found })]).problems.find((p) => p.code === 'CHART_LIMIT' && p.path === '/panels/0/stripes/1')
		expect(told?.found).toContain('two/left/1 reaches 3.5 mm beyond')
		expect(told?.place?.g).toBeCloseTo(15.5, 3)
	})

	test('an edge trimmed at a bend, a band that vanishes', () => {
		const bend: PanelInput = {
			readings: marked([
				['a', 0, 0],
				['b', 60, 0],
				['c', 84, 12],
				['d', 84, 40],
				['e', 60, 52],
				['f', 0, 52],
			]),
			edges: [{ id: 'line', through: ['a', 'b', 'c', 'd', 'e', 'f'] }],
		}
		const trimmed = bandsOf([{ ...bend, stripes: [{ id: 'st', edge: 'line', lay: 'centred', bands: [gold(60)] }] }])
		const told = trimmed.problems.filter((p) => p.code.startsWith('BAND_'))
		expect(told.length).toBeGreaterThan(0)
		expect(told[0]?.place?.s).toBeDefined()
		const ring = Array.from({ length: 10 }, (_, i) => {
			const a = (2 * Math.PI * i) / 10
			return [`m${i}`, 100 + 15 * Math.cos(a), 50 + 15 * Math.sin(a)] as const
		})
		const gone = bandsOf([
			{
				readings: marked(ring),
				edges: [{ id: 'line', through: ring.map(([name]) => name), closed: true }],
				stripes: [{ id: 'st', edge: 'line', lay: 'inboard', offset: 20, bands: [gold(5)] }],
			},
		])
		const vanished = gone.problems.find((p) => p.code === 'BAND_VANISHES')
		expect(vanished).toMatchObject({ severity: 'error', path: '/panels/0/stripes/0/bands/0' })
		expect(gone.bands).toEqual([])
	})

	test('a band with nothing on the panel, a field with nothing in it', () => {
		const off: PanelInput = {
			outline: outlineOf([
				[0, -20],
				[200, -20],
				[200, 20],
				[0, 20],
			]),
			readings: marked([
				['a', 20, 30],
				['b', 180, 30],
			]),
			edges: [{ ...line, front: 'runs-off', rear: 'runs-off' }],
			stripes: [{ id: 'st', edge: 'line', lay: 'outboard', bands: [gold(5)] }],
			fields: [{ id: 'up', paint: 'green', between: ['line', 'outline'] }],
		}
		const { problems, bands, fields } = bandsOf([off])
		expect(codes(problems)).toEqual(expect.arrayContaining(['BAND_EMPTY', 'FIELD_EMPTY']))
		expect(problems.find((p) => p.code === 'FIELD_EMPTY')?.path).toBe('/panels/0/fields/0')
		expect([bands, fields]).toEqual([[], []])
	})
})
