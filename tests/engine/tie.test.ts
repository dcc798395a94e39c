import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { ChartCubic, Curve } from '../../src/chart/point.ts'
import { compute, type Result } from '../../src/engine/compute.ts'
import type { JobInput } from '../../src/job/schema.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import { jobOf, marked } from '../scheme/jobs.ts'
import { crossed, sum, turnX, turnZ, type Vector } from './ball.ts'

type PanelInput = JobInput['panels'][number]
type SeamInput = NonNullable<PanelInput['seams']>[number]
type Pair = readonly [number, number]

const DEG = Math.PI / 180
const run = (panels: readonly Partial<PanelInput>[], until: 'edges' | 'scheme' | 'pieces' = 'edges') =>
	compute(jobOf(panels), defaultShop(), { until })
const codes = (result: Result) => result.problems.map(({ code }) => code).filter((code) => code !== 'GUIDE_FEW_DOTS')
const panelOf = (result: Result, id: string) => result.panels.find((panel) => panel.id === id)
const only = <T>(list: readonly T[] | undefined): T => {
	expect(list).toHaveLength(1)
	return list?.[0] as T
}

/** A panel on a card: where its own (s, g) lie on it, and which way round it is read. */
interface Laid {
	readonly turn: number
	readonly shift: Pair
	readonly hand: 'left' | 'right'
}
const OWN: Laid = { turn: 0.3, shift: [40, -25], hand: 'left' }
const THEIRS: Laid = { turn: -1.1, shift: [260, 70], hand: 'left' }
const onPanel =
	({ turn, shift, hand }: Laid) =>
	([x, y]: Pair): Pair => {
		const [s, g] = [x * Math.cos(turn) - y * Math.sin(turn) + shift[0], x * Math.sin(turn) + y * Math.cos(turn) + shift[1]]
		return [s, hand === 'right' ? -g : g]
	}
const onCard =
	({ turn, shift, hand }: Laid) =>
	([s, g]: Pair): Pair => {
		const [x, y] = [s - shift[0], (hand === 'right' ? -g : g) - shift[1]]
		return [x * Math.cos(turn) + y * Math.sin(turn), -x * Math.sin(turn) + y * Math.cos(turn)]
	}

interface Cut {
	readonly own?: Laid
	readonly theirs?: Laid
	/** where each line comes to its rim, and under what angle: the own panel lies below the seam, the other one above */
	readonly along?: Pair
	readonly angleDeg?: Pair
	readonly gap?: number
	/** from the rim to the mark nearest it, negative short of it */
	readonly reach?: Pair
	readonly length?: Pair
	/** of the line on either side, mm */
	readonly long?: number
	readonly seam?: Partial<SeamInput>
	readonly more?: readonly [Partial<PanelInput>, Partial<PanelInput>]
	readonly until?: 'edges' | 'scheme' | 'pieces'
}

/** A card cut in two along y = 0, the other half moved up by the gap; one line on each half, pulled between two marks. */
function cut({
	own = OWN,
	theirs = THEIRS,
	along = [120, 120],
	angleDeg = [70, 70],
	gap,
	reach = [-12, 9],
	length = [300, 300],
	long = 400,
	seam = { tie: {} },
	more = [{}, {}],
	until = 'edges',
}: Cut) {
	const half = (i: 0 | 1, place: Laid): Partial<PanelInput> => {
		const to = onPanel(place)
		const a = angleDeg[i] * DEG
		const away = i === 0 ? -1 : 1
		const at = (d: number): Pair => to([along[i] + away * d * Math.cos(a), away * d * Math.sin(a)])
		const side = (g: number) => (g < 0 ? ('below' as const) : ('above' as const))
		const spot = ([station, g]: Pair) => ({ station, girth: Math.abs(g), side: side(g) })
		return {
			...{ id: i === 0 ? 'tank' : 'seat', hand: place.hand },
			datums: [to([0, 0]), to([length[i], 0])].map((p, k) => ({ id: `d${k + 1}`, ...spot(p) })),
			readings: marked([at(long), at(-reach[i])].map(([s, g], k) => [`m${k + 1}`, s, g] as const)),
			edges: [
				{ id: 'line', what: 'gold line', through: ['m1', 'm2'].map((mark) => ({ mark, by: 'pulled' as const, tolerance: 1.5 })) },
			],
			...more[i],
		}
	}
	const seams: SeamInput[] = [
		{
			with: 'seat',
			datums: [
				['d1', 'd1'],
				['d2', 'd2'],
			],
			lines: [['line', 'line']],
			...(gap === undefined ? {} : { gap }),
			...seam,
		},
	]
	return run([{ ...half(0, own), seams }, half(1, theirs)], until)
}

/** Points along a curve by de Casteljau, on the card. */
function walked(curve: Curve, place: Laid): Pair[] {
	const point = ([a, b, c, d]: ChartCubic, t: number): Pair => {
		const mix = (p: Pair, q: Pair): Pair => [p[0] + (q[0] - p[0]) * t, p[1] + (q[1] - p[1]) * t]
		const [p, q, r, s] = [a, b, c, d].map((each): Pair => [each.s, each.g]) as [Pair, Pair, Pair, Pair]
		const [u, v, w] = [mix(p, q), mix(q, r), mix(r, s)]
		return mix(mix(u, v), mix(v, w))
	}
	return curve.cubics.flatMap((cubic) => Array.from({ length: 400 }, (_, k) => onCard(place)(point(cubic, k / 400))))
}

/** Where a polyline crosses y = 0 and the direction of its chord there, in degrees from +x, 0 to 180. */
function crossing(points: readonly Pair[]): { readonly x: number; readonly deg: number } {
	const hits = points.slice(1).flatMap((q, i) => {
		const p = points[i] as Pair
		if (p[1] < 0 === q[1] < 0) return []
		const deg = Math.atan2(q[1] - p[1], q[0] - p[0]) / DEG
		return [{ x: p[0] + ((q[0] - p[0]) * p[1]) / (p[1] - q[1]), deg: (deg + 360) % 180 }]
	})
	return only(hits)
}

const lineOf = (result: Result, id: string) => panelOf(result, id)?.lines?.edges[0]?.sided[0]?.curve as Curve
const crossings = (result: Result, own = OWN, theirs = THEIRS) =>
	[
		['tank', own],
		['seat', theirs],
	].map(([id, place]) => crossing(walked(lineOf(result, id as string), place as Laid))) as [
		ReturnType<typeof crossing>,
		ReturnType<typeof crossing>,
	]

// Plane geometry: all figures in closed form, the bent lines measured on sampled polylines.
describe('a card cut in two', () => {
	test('each panel gives half of the step and half of the turn', () => {
		const result = cut({ along: [120, 120.9], angleDeg: [70, 70.6] })
		expect(codes(result)).toEqual([])
		for (const { x, deg } of crossings(result)) {
			expect(Math.abs(x - 120.45)).toBeLessThan(0.01)
			expect(Math.abs(deg - 70.3)).toBeLessThan(0.01)
		}
		const { tied, stepMm, kinkDeg } = only(only(result.seams).meetings)
		expect(stepMm).toBeLessThan(1e-3)
		expect(kinkDeg).toBeLessThan(1e-3)
		expect(tied?.stepMm).toBeCloseTo(0.9, 3)
		expect(tied?.kinkDeg).toBeCloseTo(0.6, 3)
		expect(tied?.gave.map(({ alongMm }) => alongMm)).toEqual([expect.closeTo(0.45, 3), expect.closeTo(-0.45, 3)])
		expect(tied?.gave.map(({ turnDeg }) => turnDeg)).toEqual([expect.closeTo(0.3, 3), expect.closeTo(-0.3, 3)])
		for (const { movedMm } of tied?.gave ?? []) expect(movedMm).toBeCloseTo(0.45 * Math.sin(70 * DEG), 2)
	})

	test('where one panel keeps its lines the other gives all of it', () => {
		const keeps = (panel: string) =>
			crossings(cut({ along: [120, 120.9], angleDeg: [70, 70.6], seam: { tie: { keeps: panel } } }))
		for (const { x, deg } of keeps('tank')) {
			expect(Math.abs(x - 120)).toBeLessThan(0.01)
			expect(Math.abs(deg - 70)).toBeLessThan(0.01)
		}
		for (const { x, deg } of keeps('seat')) {
			expect(Math.abs(x - 120.9)).toBeLessThan(0.01)
			expect(Math.abs(deg - 70.6)).toBeLessThan(0.01)
		}
	})

	test('over a gap a line goes on straight: what leans on the seam arrives farther along it', () => {
		for (const angle of [50, 125]) {
			const over = 6 / Math.tan(angle * DEG)
			// A line that is straight over the gap misses nothing.
			const flows = cut({ along: [120, 120 + over], angleDeg: [angle, angle], gap: 6 })
			expect(codes(flows)).toEqual([])
			expect(only(only(flows.seams).meetings).stepMm).toBeLessThan(1e-3)
			expect(only(only(flows.seams).meetings).tied?.stepMm).toBeLessThan(1e-3)
			const result = cut({ along: [120, 120 + over - 0.7], angleDeg: [angle, angle], gap: 6, seam: { tie: { keeps: 'tank' } } })
			const [a, b] = crossings(result)
			expect(Math.abs(a.x - 120)).toBeLessThan(0.01)
			expect(Math.abs(b.x - 120 - over)).toBeLessThan(0.01)
			// Without a tie the step is counted over the gap too.
			const bare = cut({ along: [120, 120 + over - 0.7], angleDeg: [angle, angle], gap: 6, seam: {} })
			expect(only(only(bare.seams).meetings).stepMm).toBeCloseTo(0.7, 3)
		}
	})

	test('wherever the halves lie, whichever hand they are, whether a line stops short or crosses', () => {
		const place = fc.record({
			turn: fc.double({ min: -3, max: 3, noNaN: true }),
			shift: fc.tuple(fc.double({ min: -200, max: 200, noNaN: true }), fc.double({ min: -200, max: 200, noNaN: true })),
			hand: fc.constantFrom('left' as const, 'right' as const),
		})
		const reach = fc.double({ min: -25, max: 25, noNaN: true })
		const whole = fc.record({
			own: place,
			theirs: place,
			off: fc.double({ min: -0.8, max: 0.8, noNaN: true }),
			angle: fc.double({ min: 30, max: 150, noNaN: true }),
			bend: fc.double({ min: -0.6, max: 0.6, noNaN: true }),
			gap: fc.double({ min: 0, max: 8, noNaN: true }),
			reach: fc.tuple(reach, reach),
		})
		fc.assert(
			fc.property(whole, ({ own, theirs, off, angle, bend, gap, reach }) => {
				const over = gap / Math.tan((angle + bend / 2) * DEG)
				const result = cut({ own, theirs, along: [150, 150 + over + off], angleDeg: [angle, angle + bend], gap, reach })
				expect(codes(result).filter((code) => code !== 'SEAM_TIE_SEEN')).toEqual([])
				const [a, b] = crossings(result, own, theirs)
				expect(Math.abs(a.x - 150 - off / 2)).toBeLessThan(0.01)
				expect(Math.abs(b.x - 150 - over - off / 2)).toBeLessThan(0.01)
				for (const { deg } of [a, b]) expect(Math.abs(deg - angle - bend / 2)).toBeLessThan(0.01)
			}),
			{ numRuns: 20, seed: 7 },
		)
	})

	test('the bend dies away smoothly: place, direction and curvature are the old ones at its end, and no kink is seen', () => {
		const before = walked(lineOf(cut({ along: [150, 151.2], angleDeg: [80, 80], seam: {} }), 'tank'), OWN)
		const result = cut({ along: [150, 151.2], angleDeg: [80, 80] })
		const after = walked(lineOf(result, 'tank'), OWN)
		const over = only(only(result.seams).meetings).tied?.gave[0]?.overMm as number
		// 0.6 mm over 150 mm and more: the smooth step's steepest chord is 1.875 times the mean.
		expect(over).toBeGreaterThanOrEqual(150)
		const [p, q] = [before[0] as Pair, before[before.length - 1] as Pair]
		const way = Math.hypot(q[0] - p[0], q[1] - p[1])
		const off = ([x, y]: Pair) => ((x - p[0]) * (q[1] - p[1]) - (y - p[1]) * (q[0] - p[0])) / way
		const far = ([x, y]: Pair) => Math.hypot(x - 150, y)
		const inside = after.filter(([, y]) => y < 0)
		for (const point of inside) {
			const t = far(point) / over
			// The quintic smooth step, written down here on its own.
			const want = t >= 1 ? 0 : 0.6 * Math.sin(80 * DEG) * (1 - t ** 3 * (10 - 15 * t + 6 * t * t))
			expect(Math.abs(Math.abs(off(point)) - want)).toBeLessThan(0.005)
		}
		// Second differences over 10 mm, by length from the seam, change by little from one to the next: no jump of curvature.
		const sorted = [...inside].sort((a, b) => far(a) - far(b))
		const at = (l: number) => {
			const i = sorted.findIndex((point) => far(point) > l)
			const [a, b] = [sorted[i - 1] as Pair, sorted[i] as Pair]
			return off(a) + ((off(b) - off(a)) * (l - far(a))) / (far(b) - far(a))
		}
		const bends = Array.from({ length: 30 }, (_, k) => 12 + 8 * k).map((l) => (at(l + 10) - 2 * at(l) + at(l - 10)) / 100)
		const most = Math.max(...bends.map(Math.abs))
		expect(most).toBeLessThan((5.8 * 0.6) / over ** 2)
		for (const [i, bend] of bends.entries()) if (i > 0) expect(Math.abs(bend - (bends[i - 1] as number))).toBeLessThan(most / 2)
		const seen = (h: number) => Math.max(...[1.2, 1.6, 2].map((f) => Math.abs(at(h * f + h) - 2 * at(h * f) + at(h * f - h)) / h))
		for (const h of [15, 30, 60, 100]) expect(seen(h) / DEG).toBeLessThan(0.4)
	})

	test('the length asked for is kept to', () => {
		const gave = only(only(cut({ along: [150, 150.5], seam: { tie: { over: 90 } } }).seams).meetings).tied?.gave
		expect(gave?.map(({ overMm }) => overMm)).toEqual([90, 90])
	})

	test('stripes laid off the lines follow them to the seam, also where the lines stop short of it', () => {
		const stripes: PanelInput['stripes'] = [
			{
				...{ id: 'coach', edge: 'line', lay: 'centred' },
				bands: [{ paint: 'gold', width: 8 }, { gap: 5 }, { paint: 'green', width: 8 }],
			},
		]
		const result = cut({
			...{ along: [150, 151], angleDeg: [60, 60.4], reach: [-14, -20], more: [{ stripes }, { stripes }], until: 'pieces' },
		})
		expect(codes(result)).toEqual([])
		const places = [
			['tank', OWN],
			['seat', THEIRS],
		].map(([id, place]) =>
			(panelOf(result, id as string)?.seamEnds?.[0]?.cut.ticks ?? []).map(({ label, at }) => ({
				label,
				x: onCard(place as Laid)([at.s, at.g])[0],
			})),
		) as [{ label: string; x: number }[], { label: string; x: number }[]]
		expect(places[0].map(({ label }) => label)).toEqual(['A1a', 'A1b', 'A1c', 'A1d', 'A1e'])
		for (const [i, w] of [-10.5, -2.5, 0, 2.5, 10.5].entries()) {
			for (const half of places) {
				expect(half[i]?.label).toBe(places[0][i]?.label)
				// Straight at the seam: bands come to it as far apart as their widths lean on it.
				expect(Math.abs((half[i]?.x as number) - 150.5 - w / Math.sin(60.2 * DEG))).toBeLessThan(0.03)
			}
		}
		for (const id of ['tank', 'seat']) expect(panelOf(result, id)?.pieces?.length).toBeGreaterThan(1)
	})

	test('strips for the old paint show the lines as they were read', () => {
		const read = cut({ along: [120, 120.9], seam: {} })
		const job = cut({ along: [120, 120.9] }).job
		const proof = compute(job, defaultShop(), { until: 'edges', proof: true })
		expect(lineOf(proof, 'tank')).toEqual(lineOf(read, 'tank'))
	})

	test('with a cache, what does not hang on a tie is worked out once', () => {
		const { job } = cut({ along: [120, 120.9] })
		const cache = new Map()
		const first = compute(job, defaultShop(), { until: 'scheme', cache })
		const again = compute(job, defaultShop(), { until: 'scheme', cache })
		expect(lineOf(again, 'tank')).toEqual(lineOf(first, 'tank'))
		expect(panelOf(again, 'tank')?.schemes).toBe(panelOf(first, 'tank')?.schemes)
		// Another reading on the seat moves the line of the tank, and so its scheme.
		const seat = job.panels[1] as (typeof job.panels)[number]
		const readings = seat.readings.map((reading) =>
			reading.kind === 'square' ? { ...reading, station: reading.station + 0.3 } : reading,
		)
		const other = compute({ ...job, panels: [job.panels[0]!, { ...seat, readings }] }, defaultShop(), { until: 'scheme', cache })
		expect(panelOf(other, 'tank')?.survey).toBe(panelOf(first, 'tank')?.survey)
		expect(panelOf(other, 'tank')?.schemes).not.toBe(panelOf(first, 'tank')?.schemes)
		expect(other.panels[0]?.code).toBe(first.panels[0]?.code)
	})
})

describe('what cannot be tied is said, and left as it is', () => {
	test('lines too far apart, with the marks to read again', () => {
		for (const off of [{ along: [120, 123.2] as Pair }, { angleDeg: [70, 73.2] as Pair }]) {
			const result = cut(off)
			expect(codes(result)[0]).toBe('SEAM_TIE_FAR')
			expect(result.problems[0]).toMatchObject({ severity: 'error', path: '/panels/0/seams/0/lines/0' })
			expect(result.problems[0]?.found).toContain('gold line misses gold line of seat at the seam by')
			expect(result.problems[0]?.fix).toBe('read m2 of tank and m2 of seat again, the marks nearest the seam')
			expect(only(only(result.seams).meetings).tied).toBeUndefined()
		}
		expect(codes(cut({ along: [120, 122.9], reach: [-12, -9] }))).toEqual([])
	})

	test('a line that would pass a mark by more than its tolerance', () => {
		const edges = [
			{ id: 'line', what: 'gold line', through: ['m1', 'm2'].map((mark) => ({ mark, by: 'pulled' as const, tolerance: 0.3 })) },
		]
		const result = cut({ along: [120, 121], more: [{ edges }, {}] })
		expect(codes(result)).toEqual(['SEAM_TIE_MARK'])
		expect(result.problems[0]?.found).toMatch(
			/^gold line on tank, which would have to move 0\.5 mm at the seam with seat and then passes 0\.\d mm from mark m2: it is not tied$/,
		)
		expect(lineOf(result, 'tank')).toEqual(lineOf(cut({ along: [120, 121], seam: {} }), 'tank'))
		// The other panel may give all of it: its mark lets it.
		expect(codes(cut({ along: [120, 121], more: [{ edges }, {}], seam: { tie: { keeps: 'tank' } } }))).toEqual([])
	})

	test('a bend that no tape follows', () => {
		const result = cut({ along: [120, 122], seam: { tie: { over: 4 } }, reach: [-12, -12] })
		expect(codes(result)).toContain('SEAM_TIE_TIGHT')
	})

	test('a corner beside the seam', () => {
		const edges = [
			{
				id: 'line',
				what: 'gold line',
				through: ['m1', { mark: 'm3', by: 'pulled' as const, corner: true }, { mark: 'm2', by: 'pulled' as const }],
			},
		]
		const corner = onPanel(OWN)([117.07, -9.567])
		const bare = cut({ along: [120, 121], reach: [5, 9] }).job.panels[0]?.readings ?? []
		const readings = [...bare, ...marked([['m3', corner[0], corner[1]]])] as PanelInput['readings']
		const result = cut({ along: [120, 121], reach: [5, 9], more: [{ edges, readings: readings ?? [] }, {}] })
		expect(codes(result)).toContain('SEAM_TIE_CORNER')
	})

	test('panels on one side of their seam, and a line along it', () => {
		// The datums of the other panel in the other order: seen so, both lie below the seam.
		const turned = cut({
			seam: {
				tie: {},
				datums: [
					['d1', 'd2'],
					['d2', 'd1'],
				],
			},
			along: [150, 150],
			angleDeg: [90, 90],
		})
		expect(codes(turned)).toContain('SEAM_TIE_SIDES')
		const shallow = cut({ along: [150, 150], angleDeg: [8, 8], reach: [-4, -4], long: 100 })
		expect(codes(shallow).filter((code) => code.startsWith('SEAM_TIE'))).toEqual(['SEAM_TIE_ALONG'])
	})

	test('a line that does not come to the seam is told of as without a tie', () => {
		expect(codes(cut({ reach: [-32, -8] }))).toEqual(['SEAM_LINE_SHORT'])
	})

	test('names and lengths that make no sense', () => {
		const told = (seam: Partial<SeamInput>) => cut({ seam }).problems[0]
		expect(told({ tie: { keeps: 'wing' } })).toMatchObject({ code: 'SEAM_OTHER_PANEL', path: '/panels/0/seams/0/tie/keeps' })
		expect(told({ proud: { panel: 'wing', by: 1 } })).toMatchObject({
			code: 'SEAM_OTHER_PANEL',
			path: '/panels/0/seams/0/proud/panel',
		})
		expect(told({ tie: {}, lines: [] })).toMatchObject({ code: 'SEAM_TIE_EMPTY', path: '/panels/0/seams/0/tie' })
		expect(told({ tie: {}, lines: [['line', 'lime']] })).toMatchObject({
			code: 'UNKNOWN_EDGE',
			path: '/panels/0/seams/0/lines/0/1',
		})
		expect(() => cut({ seam: { tie: {} }, gap: -1 })).toThrow(/of 0 or more/)
		expect(() => cut({ seam: { tie: { over: 0 } } })).toThrow(/greater than 0/)
	})
})

describe('lines that are alike on both sides stay so', () => {
	/** On the centreline, read on both sides alike; the seam runs from ear to ear at a station. */
	const across = (id: string, stations: Pair, girths: Pair, more: Partial<PanelInput> = {}): Partial<PanelInput> => ({
		...{ id, hand: 'centre' },
		datums: (['left', 'right'] as const).map((side) => ({ id: `${side}-ear`, station: 200, girth: 80, side })),
		readings: marked(
			stations.map((station, i) => [`m${i + 1}`, station, girths[i] as number] as const),
			true,
		),
		edges: [{ id: 'line', through: ['m1', 'm2'].map((mark) => ({ mark, tolerance: 1.5 })) }],
		...more,
	})
	const ears: SeamInput = {
		with: 'nose',
		datums: [
			['left-ear', 'left-ear'],
			['right-ear', 'right-ear'],
		],
		lines: [['line', 'line']],
		tie: {},
	}
	const sidesOf = (result: Result, id: string) => panelOf(result, id)?.lines?.edges[0]?.sided ?? []
	/** girth and slope where a curve comes to station 200, from its chords */
	const atSeam = (curve: Curve) => {
		const { x, deg } = crossing(walked(curve, { turn: -Math.PI / 2, shift: [200, 0], hand: 'left' }))
		return { girth: x, deg }
	}

	test('over a seam across the centreline both flow, each the mirror image of the other to the last digit', () => {
		// Outward on its way back on the tank: at station 200 it is at 45; on the nose at 45.6, running 0.2 degrees less outward.
		const slope = Math.tan(5 * DEG)
		const other = Math.tan(4.8 * DEG)
		const result = run([
			across('tank', [520, 192], [45 + 320 * slope, 45 - 8 * slope], { seams: [ears] }),
			across('nose', [-120, 210], [45.6 - 320 * other, 45.6 + 10 * other]),
		])
		expect(codes(result)).toEqual([])
		expect(result.seams?.[0]?.meetings).toHaveLength(2)
		for (const { stepMm, kinkDeg } of result.seams?.[0]?.meetings ?? []) {
			expect(stepMm).toBeLessThan(0.01)
			expect(kinkDeg).toBeLessThan(0.01)
		}
		for (const id of ['tank', 'nose']) {
			const [left, right] = sidesOf(result, id)
			expect(left?.curve.cubics).toEqual(right?.curve.cubics.map((c) => c.map(({ s, g }) => ({ s, g: -g }))))
			const { girth, deg } = atSeam(right?.curve as Curve)
			expect(Math.abs(Math.abs(girth) - 45.3)).toBeLessThan(0.01)
			expect(Math.abs(Math.abs(90 - deg) - 4.9)).toBeLessThan(0.01)
		}
	})

	test('a tank between a pair of covers: each side has a seam of its own, and all four lines flow', () => {
		const bolts = (side: 'left' | 'right') =>
			([20, 120] as const).map((girth) => ({ id: `${side}-${girth}`, station: 200, girth, side }))
		const seams = (['left', 'right'] as const).map(
			(side): SeamInput => ({
				...{ with: 'cover', tie: {}, lines: [['line', 'line']] },
				datums: [
					[`${side}-20`, `${side}/a`],
					[`${side}-120`, `${side}/b`],
				],
			}),
		)
		const tank = across('tank', [-120, 190], [60, 60], { seams, datums: [...bolts('left'), ...bolts('right')] })
		// Seen from outside the covers begin at the rear rim of the tank; 100 of their girth lies where the tank has 20.
		const both = (['left', 'right'] as const).flatMap((panel) =>
			marked([
				['m1', 10, 59],
				['m2', 330, 59],
			]).map((reading) => ({ ...reading, panel })),
		)
		const cover: Partial<PanelInput> = {
			...{ id: 'cover', hand: 'pair', readings: both },
			datums: (['left', 'right'] as const).flatMap((panel) => [
				{ id: 'a', station: 0, girth: 100, side: 'above' as const, panel },
				{ id: 'b', station: 0, panel },
			]),
			edges: [{ id: 'line', through: ['m1', 'm2'].map((mark) => ({ mark, tolerance: 1.5 })) }],
		}
		const result = run([tank, cover])
		expect(codes(result)).toEqual([])
		expect(result.seams?.flatMap(({ meetings }) => meetings.map(({ sides }) => sides[0]))).toEqual(['left', 'right'])
		for (const { stepMm, kinkDeg } of result.seams?.flatMap(({ meetings }) => meetings) ?? []) {
			expect(stepMm).toBeLessThan(1e-3)
			expect(kinkDeg).toBeLessThan(1e-3)
		}
		const girthAt = (curve: Curve, station: number) =>
			Math.abs(crossing(walked(curve, { turn: -Math.PI / 2, shift: [station, 0], hand: 'left' })).x)
		for (const { curve } of sidesOf(result, 'tank')) expect(girthAt(curve, 200)).toBeCloseTo(60.5, 2)
		const [left, right] = sidesOf(result, 'cover')
		expect(left?.curve.cubics).toEqual(right?.curve.cubics)
		expect(girthAt(left?.curve as Curve, 0)).toBeCloseTo(59.5, 2)
	})

	test('where only one side has a seam the other side is bent alike; what is read on each side takes the rest', () => {
		const left = { ...ears, datums: [['left-ear', 'left-ear'] as [string, string], ['mid', 'mid'] as [string, string]] }
		const mid = { id: 'mid', station: 200 }
		const datums = [...(across('x', [0, 1], [1, 1]).datums ?? []), mid]
		const tank = across('tank', [520, 192], [45, 45], { seams: [left], datums })
		const result = run([tank, across('nose', [-120, 210], [46, 46], { datums })])
		expect(codes(result)).toEqual([])
		expect(result.seams?.[0]?.meetings).toHaveLength(1)
		for (const id of ['tank', 'nose']) {
			const [a, b] = sidesOf(result, id)
			expect(a?.curve.cubics).toEqual(b?.curve.cubics.map((c) => c.map(({ s, g }) => ({ s, g: -g }))))
			expect(Math.abs(Math.abs(atSeam(b?.curve as Curve).girth) - 45.5)).toBeLessThan(0.01)
		}
		// The nose keeps each side as it was: 45.8 on the left and 46.6 on the right. The tank goes to the mean of both halves.
		const each = across('nose', [-120, 210], [0, 0], {
			readings: (['left', 'right'] as const).flatMap((side) =>
				([-120, 210] as const).map((station, i) => ({
					...{ kind: 'square' as const, mark: `m${i + 1}`, station, girth: side === 'left' ? 45.8 : 46.6, side },
				})),
			),
			edges: [{ id: 'line', sides: 'each', through: ['m1', 'm2'].map((mark) => ({ mark, tolerance: 2 })) }],
		})
		const uneven = run([across('tank', [520, 192], [45, 45], { seams: [ears] }), each])
		expect(codes(uneven).filter((code) => code.startsWith('SEAM'))).toEqual([])
		const [l, r] = sidesOf(uneven, 'tank')
		expect(l?.curve.cubics).toEqual(r?.curve.cubics.map((c) => c.map(({ s, g }) => ({ s, g: -g }))))
		expect(Math.abs(atSeam(r?.curve as Curve).girth)).toBeCloseTo(45.6, 2)
		for (const { stepMm } of uneven.seams?.[0]?.meetings ?? []) expect(stepMm).toBeLessThan(0.01)
	})
})

// One ball measured off two great circles: what is to be seen is known by spherical trigonometry.
describe('a ball measured off two baselines', () => {
	const R = 150
	const dot = (a: Vector, b: Vector) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
	const unit = (v: Vector): Vector => sum(v, 1 / Math.hypot(...v), v, 0)
	const measured = ([x, y, z]: Vector): Pair => [R * Math.atan2(y, x), R * Math.asin(z)]
	const place = ([s, g]: Pair): Vector => [Math.cos(g / R) * Math.cos(s / R), Math.cos(g / R) * Math.sin(s / R), Math.sin(g / R)]
	const toNose = (v: Vector) => turnZ(40 * DEG)(turnX(-70 * DEG)(turnZ(-50 * DEG)(v)))
	const fromNose = (v: Vector) => turnZ(50 * DEG)(turnX(70 * DEG)(turnZ(-40 * DEG)(v)))
	const [first, last] = [place([49 * DEG * R, -24 * DEG * R]), place([55 * DEG * R, 29 * DEG * R])]
	const ahead = unit(sum(last, 1, first, -dot(first, last)))
	const pole = crossed(first, ahead)
	function from(along: number, angleDeg: number, d: number): Vector {
		const at = sum(first, Math.cos(along / R), ahead, Math.sin(along / R))
		const way = sum(first, -Math.sin(along / R), ahead, Math.cos(along / R))
		const line = sum(way, Math.cos(angleDeg * DEG), crossed(at, way), Math.sin(angleDeg * DEG))
		return sum(at, Math.cos(d / R), line, Math.sin(d / R))
	}
	const found = { kind: 'revolved' as const, crown: { radius: R }, profile: { radius: R, arc: 340 }, length: 320, front: -60 }
	const panel = (id: string, datums: readonly Pair[], line: readonly Pair[], more: Partial<PanelInput>): Partial<PanelInput> => {
		const side = (g: number) => (g < 0 ? ('below' as const) : ('above' as const))
		return {
			...{ id, found },
			datums: datums.map(([station, g], i) => ({ id: `d${i + 1}`, station, girth: Math.abs(g), side: side(g) })),
			readings: marked(line.map(([s, g], i) => [`m${i + 1}`, s, g] as const)),
			edges: [{ id: 'line', through: line.map((_, i) => ({ mark: `m${i + 1}`, by: 'pulled' as const, tolerance: 2 })) }],
			...more,
		}
	}
	/** where a curve crosses the plane of the seam, along it, and under what angle, by chords in space */
	function crossingOf(curve: Curve, space: (p: Pair) => Vector) {
		const points = walked(curve, { turn: 0, shift: [0, 0], hand: 'left' }).map(space)
		const hits = points.slice(1).flatMap((q, i) => {
			const p = points[i] as Vector
			const [a, b] = [dot(p, pole), dot(q, pole)]
			if (a < 0 === b < 0) return []
			const at = unit(sum(p, b / (b - a), q, -a / (b - a)))
			const chord = sum(q, 1, p, -1)
			const way = sum(first, -dot(at, ahead), ahead, dot(at, first))
			const deg = Math.atan2(dot(chord, pole), dot(chord, way)) / DEG
			return [{ along: R * Math.atan2(dot(at, ahead), dot(at, first)), deg: (deg + 360) % 180 }]
		})
		return only(hits)
	}

	test.each([false, true])(
		'both lines come to one place of the seam under one angle (the nose seen from the back: %s)',
		(right) => {
			const flip = ([s, g]: Pair): Pair => [s, right ? -g : g]
			const seams = [
				{
					...{ with: 'nose', tie: {} },
					datums: [
						['d1', 'd1'],
						['d2', 'd2'],
					] as [string, string][],
					lines: [['line', 'line']] as [string, string][],
				},
			]
			const result = run([
				panel(
					'tank',
					[first, last].map(measured),
					[140, 14].map((d) => measured(from(60, 245, d))),
					{ seams, hand: 'left' },
				),
				panel(
					'nose',
					[first, last].map((v) => flip(measured(toNose(v)))),
					[-10, 130].map((d) => flip(measured(toNose(from(60.8, 65.5, d))))),
					{ hand: right ? 'right' : 'left' },
				),
			])
			expect(codes(result).filter((code) => code !== 'SEAM_TIE_SEEN')).toEqual([])
			for (const at of [
				crossingOf(lineOf(result, 'tank'), place),
				crossingOf(lineOf(result, 'nose'), (p) => fromNose(place(flip(p)))),
			]) {
				expect(Math.abs(at.along - 60.4)).toBeLessThan(0.01)
				expect(Math.abs(at.deg - 65.25)).toBeLessThan(0.01)
			}
		},
	)
})
