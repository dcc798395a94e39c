/**
 * Templates keep off patches. What is looked at is the paper that is laid: its knife lines and its edges to tape along, brought
 * back onto the panel by something that knows nothing of how they were made, against the rim as a plain polygon.
 */
import { describe, expect, test } from 'vitest'
import { area } from '../../src/chart/area.ts'
import { mirrored } from '../../src/chart/curve.ts'
import type { ChartPoint } from '../../src/chart/point.ts'
import { compute, type Result } from '../../src/engine/compute.ts'
import { loadJob } from '../../src/job/load.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import type { PlanePoint } from '../../src/plane/point.ts'
import { edgeGuides } from '../../src/template/guide.ts'
import { keepOffOf } from '../../src/template/keepOff.ts'
import { overCrown } from '../../src/template/overCrown.ts'
import type { Piece } from '../../src/template/piece.ts'
import { bow, lineThrough, sphere } from '../scheme/bench.ts'
import { chartOf } from '../scheme/jobs.ts'
import { foldBack } from './fold.ts'

/** Even-odd, by crossings of a ray. */
function within(p: PlanePoint, rim: readonly PlanePoint[]): boolean {
	let odd = false
	rim.forEach((a, i) => {
		const b = rim[(i + 1) % rim.length] as PlanePoint
		if (a.y > p.y !== b.y > p.y && p.x < a.x + ((p.y - a.y) / (b.y - a.y)) * (b.x - a.x)) odd = !odd
	})
	return odd
}

/** Places along a closed line, half a millimetre apart. */
const along = (loop: readonly PlanePoint[], closed = true): PlanePoint[] =>
	loop.slice(closed ? 0 : 1).flatMap((q, i) => {
		const p = (closed ? loop[(i + loop.length - 1) % loop.length] : loop[i]) as PlanePoint
		const n = Math.max(1, Math.ceil(Math.hypot(q.x - p.x, q.y - p.y) / 0.5))
		return Array.from({ length: n }, (_, k) => ({ x: p.x + ((q.x - p.x) * k) / n, y: p.y + ((q.y - p.y) * k) / n }))
	})

/** Whether any of a piece's paper lies inside a rim: its edge, or all of the rim within it. */
function liesOn(knife: readonly (readonly PlanePoint[])[], rim: readonly PlanePoint[]): boolean {
	if (knife.some((loop) => along(loop).some((p) => within(p, rim)))) return true
	// None of its edges is inside: then the rim's places are all in the paper or none is.
	const p = rim[0] as PlanePoint
	return knife.filter((loop) => within(p, loop)).length % 2 === 1
}

const RIM: readonly (readonly [number, number])[] = [
	[110, 44],
	[190, 38],
	[205, 70],
	[160, 96],
	[115, 80],
]
const places = (rim: typeof RIM, side: string) => rim.map(([station, girth]) => ({ station, girth, side }))
const RIGHT = RIM.map(([x, y]): PlanePoint => ({ x, y }))
const LEFT = RIM.map(([x, y]): PlanePoint => ({ x, y: -y }))

/** A panel that lies flat, so that paper and panel are one plane: a line at a girth of 50 to 62, and a field outside of it. */
const job = (more: object = {}, panel: object = {}) => ({
	format: 1,
	title: 'patches',
	unit: 'mm',
	paints: [
		{ id: 'gold', name: 'Gold', colour: '#c9a227' },
		{ id: 'green', name: 'Green', colour: '#2f6f5e' },
	],
	panels: [
		{
			id: 'tank',
			hand: 'centre',
			found: { kind: 'flat', length: 320, width: 140 },
			readings: [
				[0, 50],
				[100, 58],
				[200, 60],
				[300, 54],
				[10, 24],
				[280, 28],
			].map(([station, girth], i) => ({ kind: 'square', mark: `m${i}`, station, girth, side: 'left' })),
			edges: [
				{ id: 'line', through: ['m0', 'm1', 'm2', 'm3'] },
				{ id: 'inner', through: ['m4', 'm5'] },
			],
			stripes: [
				{ id: 'pin', edge: 'inner', lay: 'outboard', bands: [{ paint: 'gold', width: 3 }] },
				{
					id: 'coach',
					edge: 'line',
					lay: 'outboard',
					bands: [{ paint: 'gold', width: 3 }, { gap: 6 }, { paint: 'gold', width: 8 }],
				},
			],
			fields: [{ id: 'flank', paint: 'green', between: ['line', 'outline'] }],
			patches: [{ id: 'knee', what: 'knee recess', outline: places(RIM, 'left'), ...more }],
			strips: { stations: [20, 90, 150, 230, 290] },
			...panel,
		},
	],
})

function made(of: object): Result {
	const { value, problems } = loadJob(JSON.stringify(of))
	if (!value) throw new Error(problems.map((p) => p.found).join('; '))
	return compute(value.job, defaultShop())
}
const piecesOf = (result: Result) => result.panels[0]?.pieces ?? []

/** A guide of a flat panel where its working edge begins or ends at a place of the line, there in the line's own direction. */
function anchored(piece: Piece, ends: readonly [PlanePoint, PlanePoint], reversed: boolean): (p: PlanePoint) => PlanePoint {
	const line = piece.working[0] as readonly PlanePoint[]
	const [p, q] = (reversed ? [line.at(-1), line.at(-2)] : [line[0], line[1]]) as [PlanePoint, PlanePoint]
	const [a, b] = ends
	const turn = Math.atan2(b.y - a.y, b.x - a.x) - Math.atan2(q.y - p.y, q.x - p.x)
	const [c, s] = [Math.cos(turn), Math.sin(turn)]
	return ({ x, y }) => ({ x: a.x + (x - p.x) * c - (y - p.y) * s, y: a.y + (x - p.x) * s + (y - p.y) * c })
}

describe('templates of a flat panel with a recess on both sides', () => {
	const result = made(job())
	const pieces = piecesOf(result)
	const [panel] = result.panels

	test('are made without a fault', () => {
		expect(result.problems.filter(({ severity }) => severity === 'error')).toEqual([])
		expect(panel?.lines?.patches.map(({ what }) => what)).toEqual(['knee recess'])
	})

	test('strips and pieces have no paper inside a rim', () => {
		const strips = pieces.filter(({ kind }) => kind === 'strip')
		expect(strips).toHaveLength(5)
		for (const [i, strip] of strips.entries()) {
			const station = panel?.stations?.[i] as number
			const laid = strip.knife.map((loop) => loop.map(({ x, y }) => ({ x: x + station, y })))
			const edges = strip.working.flatMap((line) => along(line, false).map(({ x, y }) => ({ x: x + station, y })))
			for (const rim of [RIGHT, LEFT]) {
				expect(liesOn(laid, rim)).toBe(false)
				expect(edges.some((p) => within(p, rim))).toBe(false)
			}
		}
		const whole = pieces.filter(({ kind }) => kind === 'stripe' || kind === 'area')
		// The wide band falls into two on each side; the field has the recess cut out of its rim.
		expect(whole.map(({ id }) => id)).toEqual([
			...['left', 'right'].flatMap((side) => [1, 2].map((n) => `tank/coach/${side}/2/piece/${n}`)),
			...['left', 'right'].map((side) => `tank/flank/${side}/piece`),
		])
		for (const piece of whole) {
			for (const rim of [RIGHT, LEFT]) {
				expect(liesOn(piece.knife, rim)).toBe(false)
				expect(piece.working.flatMap((line) => along(line, false)).some((p) => within(p, rim))).toBe(false)
			}
			expect(piece.notes.some((note) => note.includes('goes round the knee recess'))).toBe(true)
		}
	})

	test('a strip whose edge meets a rim ends a little before it, and says so; the others go on', () => {
		const strips = pieces.filter(({ kind }) => kind === 'strip')
		const tops = strips.map(({ working }) => Math.max(...working.flat().map((p) => p.y)))
		// The rim over station 150, by its own straight edge from (110, 44) to (190, 38); 14 mm of body lie behind the station.
		const rimAt = (station: number) => 44 - ((station - 110) / 80) * 6
		expect(tops[2]).toBeLessThan(rimAt(164) - 1.5)
		expect(tops[2]).toBeGreaterThan(rimAt(164) - 3.5)
		for (const i of [0, 4]) expect(tops[i]).toBeGreaterThan(60)
		const says = strips.map(({ notes }) => notes.some((note) => note.startsWith('It ends at the rim of the knee recess')))
		expect(says).toEqual([false, false, true, false, false])
	})

	test('guides stop at the rim and go on behind it, numbered on, and cover all of the line but the recess', () => {
		for (const [side, rim] of [
			['left', LEFT],
			['right', RIGHT],
		] as const) {
			const guides = pieces.filter(({ id }) => id.startsWith(`tank/coach/${side}/1/near/guide/`))
			expect(guides).toHaveLength(2)
			expect(guides[1]?.number).toBe((guides[0]?.number ?? 0) + 1)
			const curve = panel?.schemes?.[0]?.scheme.bands.find(({ id }) => id === `coach/${side}/1`)?.near[0]
			const line = (curve?.cubics ?? []).flatMap(([a, b, c, d], k) =>
				Array.from({ length: 400 }, (_, i) => i / 400)
					.concat(k === (curve?.cubics.length ?? 0) - 1 ? [1] : [])
					.map((t): PlanePoint => {
						const w = [(1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t ** 3] as const
						return { x: w[0] * a.s + w[1] * b.s + w[2] * c.s + w[3] * d.s, y: w[0] * a.g + w[1] * b.g + w[2] * c.g + w[3] * d.g }
					}),
			)
			const first = anchored(guides[0] as Piece, [line[0], line[1]] as [PlanePoint, PlanePoint], false)
			const last = anchored(guides[1] as Piece, [line.at(-1), line.at(-2)] as [PlanePoint, PlanePoint], true)
			const laid = [first, last].map((to, i) => ({
				knife: (guides[i] as Piece).knife.map((loop) => loop.map(to)),
				working: (guides[i] as Piece).working.flat().map(to),
			}))
			for (const { knife, working } of laid) {
				expect(liesOn(knife, rim)).toBe(false)
				expect(working.some((p) => within(p, rim))).toBe(false)
			}
			// What of the line no guide covers is the recess and a few millimetres before and behind it.
			const covered = laid.flatMap(({ working }) => working)
			const bare = line.filter((p) => !covered.some((q) => Math.hypot(p.x - q.x, p.y - q.y) < 3))
			expect(bare.length).toBeGreaterThan(0)
			const reach = 8
			for (const p of bare) {
				const near = [-reach, 0, reach].some((dx) => [-reach, 0, reach].some((dy) => within({ x: p.x + dx, y: p.y + dy }, rim)))
				expect(near).toBe(true)
			}
			expect(guides[0]?.notes.join(' ')).toContain(`stops at the rim of the knee recess; ${guides[1]?.number} goes on behind it`)
			expect(guides[1]?.notes.join(' ')).toContain(`begins behind the knee recess, as far as which ${guides[0]?.number} goes`)
		}
	})

	test('both sides are alike', () => {
		expect(result.problems.filter(({ code }) => code.startsWith('PAIR'))).toEqual([])
		const of = (side: string) => pieces.filter(({ id }) => id.includes(`/${side}/`))
		expect(of('left').length).toBe(of('right').length)
		const size = (piece: Piece | undefined) => (piece?.working ?? []).map((line) => along(line, false).length)
		for (const [i, piece] of of('left').entries()) expect(size(piece)).toEqual(size(of('right')[i]))
	})

	test('the scheme is what it is without the patch', () => {
		const without = made(job({}, { patches: undefined })).panels[0]?.schemes?.[0]?.scheme
		expect(panel?.schemes?.[0]?.scheme).toEqual(without)
	})
})

test('a patch that is not painted cuts the scheme at its rim', () => {
	const mm2 = (result: Result) =>
		area(chartOf(result), result.panels[0]?.schemes?.[0]?.scheme.fields.find(({ side }) => side === 'right')?.region ?? [])
	const painted = made(job())
	const bare = made(job({ painted: false }))
	const line = bare.panels[0]?.schemes?.[0]?.scheme
	for (const band of line?.bands.filter(({ stripe }) => stripe === 'coach') ?? []) {
		expect(band.near).toHaveLength(2)
		const inside = band.region.flat().filter((p) => [RIGHT, LEFT].some((rim) => within({ x: p.s, y: p.g }, shrunk(rim))))
		expect(inside).toEqual([])
	}
	// Shoelace of the part of the rim outside of the line, which is a little less than all of it.
	const whole = RIGHT.reduce(
		(sum, p, i) => sum + (p.x * (RIGHT[(i + 1) % 5]?.y ?? 0) - (RIGHT[(i + 1) % 5]?.x ?? 0) * p.y) / 2,
		0,
	)
	const lost = mm2(painted) - mm2(bare)
	expect(lost).toBeGreaterThan(0.4 * whole)
	expect(lost).toBeLessThan(whole)
})

/** A rim brought in by about a hundredth of a millimetre. */
function shrunk(rim: readonly PlanePoint[]): PlanePoint[] {
	const m = { x: rim.reduce((s, p) => s + p.x, 0) / rim.length, y: rim.reduce((s, p) => s + p.y, 0) / rim.length }
	return rim.map((p) => ({ x: m.x + (p.x - m.x) * 0.999, y: m.y + (p.y - m.y) * 0.999 }))
}

test('on one side only the other side is as without it', () => {
	const result = made(job({ hand: 'left' }))
	const without = made(job({}, { patches: undefined }))
	const of = (r: Result, side: string) =>
		piecesOf(r)
			.filter(({ id, kind }) => kind !== 'strip' && id.includes(`/${side}/`))
			.map(({ id, knife }) => ({ id, knife }))
	expect(of(result, 'right')).toEqual(of(without, 'right'))
	expect(of(result, 'left')).not.toEqual(of(without, 'left'))
})

test('a patch over the centreline: heads of strips go round it', () => {
	const rim = [
		{ station: 120, girth: 30, side: 'left' },
		{ station: 200, girth: 30, side: 'left' },
		{ station: 200, girth: 30, side: 'right' },
		{ station: 120, girth: 30, side: 'right' },
	]
	const result = made(job({ outline: rim, hand: 'across' }, { strips: { stations: [90, 160] } }))
	const plain = rim.map(({ station, girth, side }) => ({ x: station, y: side === 'left' ? -girth : girth }))
	for (const [i, strip] of piecesOf(result)
		.filter(({ kind }) => kind === 'strip')
		.entries()) {
		const at = [90, 160][i] as number
		expect(
			liesOn(
				strip.knife.map((loop) => loop.map(({ x, y }) => ({ x: x + at, y }))),
				plain,
			),
		).toBe(false)
		expect(strip.notes.join(' ')).toContain('goes round')
	}
})

test('guides of a sphere, laid back on it, keep off the patch and run up to it', () => {
	const rim: ChartPoint[] = [
		{ s: 150, g: 30 },
		{ s: 230, g: 25 },
		{ s: 240, g: 70 },
		{ s: 160, g: 75 },
	]
	const plain = rim.map(({ s, g }) => ({ x: s, y: g }))
	const far = plain.map(({ x, y }, i) => ({ x: x + (i === 1 || i === 2 ? 3 : -3), y: y + (i < 2 ? -2 : 2) }))
	const keepOff = keepOffOf(sphere, [{ id: 'knee', what: 'knee recess', painted: true, inside: [plain], keepOff: [far] }])
	const curve = lineThrough(sphere, [
		[40, 40],
		[140, 52],
		[250, 55],
		[340, 45],
	])
	for (const open of [1, -1] as const) {
		const edge = { id: 'e', name: 'line', short: 'line', side: 'right' as const, curve, open, colour: '#c9a227' }
		const { value: guides = [] } = edgeGuides({
			...{
				chart: sphere,
				edge,
				keepOff,
				panel: 'p',
				panelTitle: 'P',
				side: 'RIGHT',
				firstNumber: 1,
				stations: [60, 120, 280, 330],
			},
			...{ bodyMm: 7, limitMm: 0.3, toleranceMm: 0.0005, unit: 'mm' },
		})
		const first = guides[0] as Piece
		const start = curve.cubics[0]?.[0] as ChartPoint
		const to = curve.cubics[0]?.[1] as ChartPoint
		const { j } = sphere.metric(start.s, start.g)
		const angle = Math.atan2(to.g - start.g, (to.s - start.s) * j)
		const working = first.working[0] as readonly PlanePoint[]
		const laid = foldBack(sphere, working, start, angle).map(({ s, g }) => ({ x: s, y: g }))
		expect(laid.some((p) => within(p, plain))).toBe(false)
		expect(guides.length).toBeGreaterThan(1)
		// The knife line from the working edge's start round: its own corners, its own way.
		const loop = first.knife[0] as readonly PlanePoint[]
		const at = loop.findIndex((p) => Math.hypot(p.x - (working[0]?.x ?? 0), p.y - (working[0]?.y ?? 0)) < 1e-3)
		expect(at).toBeGreaterThanOrEqual(0)
		const turned = [...loop.slice(at), ...loop.slice(0, at), loop[at] as PlanePoint]
		const own = turned[1] as PlanePoint
		const next = working[1] as PlanePoint
		const a0 = working[0] as PlanePoint
		const off = Math.atan2(own.y - a0.y, own.x - a0.x) - Math.atan2(next.y - a0.y, next.x - a0.x)
		const round = foldBack(sphere, turned, start, angle + off).map(({ s, g }) => ({ x: s, y: g }))
		expect(along(round, false).some((p) => within(p, plain))).toBe(false)
	}
})

test('pieces over the crown are interrupted at a patch of both sides, and no bridge lies on it', () => {
	const rim = [
		[150, 25],
		[230, 25],
		[235, 60],
		[145, 60],
	].map(([x, y]) => ({ x: x as number, y: y as number }))
	const both = [rim, rim.map(({ x, y }) => ({ x, y: -y }))]
	const keepOff = keepOffOf(sphere, [{ id: 'knee', what: 'knee recess', painted: true, inside: both, keepOff: both }])
	const curve = bow(sphere)
	const edge = (side: 'left' | 'right') => ({
		...{ id: `st/${side}/1/near`, name: 'stripe', short: 'st', side, colour: '#c9a227' },
		...{ curve: side === 'right' ? curve : mirrored(curve), open: (side === 'right' ? 1 : -1) as 1 | -1 },
	})
	const result = overCrown({
		...{ chart: sphere, keepOff, panel: 'p', panelTitle: 'P', left: edge('left'), right: edge('right'), firstNumber: 1 },
		...{ stations: [50, 190, 350], interruptions: [], bodyMm: 7, limitMm: 0.3, toleranceMm: 0.0005, unit: 'mm' },
	})
	if (!result.ok) throw new Error(result.why)
	const outside = (s: number) => s < 150 || s > 230
	const bridges = result.pieces.map(({ notes }) => Number(/bridge at station (-?[\d.]+)/.exec(notes[0] ?? '')?.[1]))
	expect(bridges.every((s) => s + 14 < 145 || s > 235)).toBe(true)
	expect(bridges.some((s) => s < 145) && bridges.some((s) => s > 235)).toBe(true)
	// Length of the line outside, by chords on the sphere's own places in space.
	const line = curve.cubics.flatMap(([a, b, c, d]) =>
		Array.from({ length: 200 }, (_, i) => i / 200).map((t) => {
			const w = [(1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t ** 3] as const
			return { s: w[0] * a.s + w[1] * b.s + w[2] * c.s + w[3] * d.s, g: w[0] * a.g + w[1] * b.g + w[2] * c.g + w[3] * d.g }
		}),
	)
	const length = line.slice(1).reduce((sum, q, i) => {
		const [x, y] = [line[i] as ChartPoint, q].map((p) => sphere.embed?.(p))
		return x && y && outside(q.s) ? sum + Math.hypot(x.x - y.x, x.y - y.y, x.z - y.z) : sum
	}, 0)
	const laid = result.pieces.map(({ working }) => lengthAlong(working[0] ?? []))
	const total = laid.reduce((a, b) => a + b, 0)
	// Pieces share 20 mm where one goes on into the next; the two stretches share nothing.
	const shared = 20 * (result.pieces.length - 2)
	expect(total - shared).toBeGreaterThan(length - 25)
	expect(total - shared).toBeLessThan(length + 1)
	expect(
		result.pieces.filter(({ notes }) => notes.some((n) => n.startsWith('It ends at the rim of the knee recess'))),
	).toHaveLength(2)
})

const lengthAlong = (line: readonly PlanePoint[]) =>
	line.slice(1).reduce((sum, q, i) => sum + Math.hypot(q.x - (line[i]?.x ?? 0), q.y - (line[i]?.y ?? 0)), 0)

describe('a patch that cannot be meant so', () => {
	const problemsOf = (of: object) => {
		const { value, problems } = loadJob(JSON.stringify(of))
		return value ? [...problems, ...compute(value.job, defaultShop()).problems] : problems
	}
	const said = (of: object, code: string) => problemsOf(of).filter((p) => p.code === code)

	test.each([
		['crosses itself', { outline: places([RIM[0], RIM[2], RIM[1], RIM[3]] as typeof RIM, 'left') }, 'PATCH_CROSSES_ITSELF'],
		[
			'lies off the panel',
			{
				outline: places(
					RIM.map(([s, g]) => [s + 400, g] as const),
					'left',
				),
			},
			'PATCH_OUTSIDE',
		],
		['has a place twice', { outline: places([...RIM, RIM[0] as (typeof RIM)[number]], 'left') }, 'SAME_MARK'],
		[
			'lies in one line',
			{
				outline: places(
					[
						[10, 20],
						[20, 30],
						[30, 40],
					],
					'left',
				),
			},
			'PATCH_NO_AREA',
		],
		[
			'has places on both sides',
			{ outline: [...places(RIM.slice(0, 2), 'left'), ...places(RIM.slice(2), 'right')] },
			'SIDE_WRONG',
		],
		['names a mark that nobody read', { outline: ['m0', 'm1', 'm9'] }, 'UNKNOWN_MARK'],
		['has a side missing', { outline: [{ station: 1, girth: 3 }, 'm1', 'm2'] }, 'SIDE_MISSING'],
	] as const)('%s', (_, more, code) => {
		const found = said(job(more), code)
		expect(found.length).toBeGreaterThan(0)
		expect(found[0]?.path).toContain('/panels/0/patches/0')
	})

	test('has two places', () => {
		const found = problemsOf(job({ outline: places(RIM.slice(0, 2), 'left') }))
		expect(found.some(({ path, severity }) => severity === 'error' && path === '/panels/0/patches/0/outline')).toBe(true)
	})

	test('one that is half off the panel is said and kept', () => {
		const off = job({
			outline: places(
				RIM.map(([s, g]) => [s + 190, g] as const),
				'left',
			),
		})
		expect(said(off, 'PATCH_OUTSIDE').map(({ severity }) => severity)).toEqual(['warning'])
	})
})

test('on a pair a patch of the right one leaves the left one alone', () => {
	const pair = (hand: string | undefined) => {
		const panel = job({ outline: places(RIM, 'above'), ...(hand ? { hand } : {}) }, {}).panels[0] as Record<string, unknown>
		const readings = (panel.readings as object[]).map((r) => ({ ...r, side: 'above', panel: 'left' }))
		return { ...job(), panels: [{ ...panel, hand: 'pair', readings }] }
	}
	const cut = (hand: string | undefined) =>
		piecesOf(made(pair(hand)))
			.filter(({ notes }) => notes.some((note) => note.includes('knee recess')))
			.map(({ side }) => side)
	expect(new Set(cut('right'))).toEqual(new Set(['RIGHT']))
	expect(new Set(cut(undefined))).toEqual(new Set(['LEFT', 'RIGHT']))
})
