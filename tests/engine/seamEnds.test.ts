import { describe, expect, test } from 'vitest'
import { polyline } from '../../src/chart/region.ts'
import type { PathItem } from '../../src/drawing/drawing.ts'
import { compute } from '../../src/engine/compute.ts'
import type { PanelResult } from '../../src/engine/panel.ts'
import { chartedSchemes } from '../../src/engine/panelResult.ts'
import type { JobInput } from '../../src/job/schema.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import type { PlanePoint } from '../../src/plane/point.ts'
import { bandLength } from '../../src/scheme/areas.ts'
import type { Band } from '../../src/scheme/scheme.ts'
import type { Piece } from '../../src/template/piece.ts'
import { jobOf, marked, mm2 } from '../scheme/jobs.ts'
import { crossed, sum, turnX, turnZ, type Vector } from './ball.ts'

type PanelInput = JobInput['panels'][number]
type Pair = readonly [number, number]

const DEG = Math.PI / 180
const run = (panels: readonly Partial<PanelInput>[], until: 'pieces' | 'scheme' = 'pieces') =>
	compute(jobOf(panels), defaultShop(), { until })
/** how many dots a guide has is another matter */
const codes = (result: ReturnType<typeof run>) =>
	result.problems.map(({ code }) => code).filter((code) => code !== 'GUIDE_FEW_DOTS')
const panelOf = (result: ReturnType<typeof run>, id: string) => result.panels.find((p) => p.id === id) as PanelResult
/** Of the longer edge of its first band, mm. */
const lengthMm = (panel: PanelResult) =>
	chartedSchemes(panel).map(({ chart, scheme }) => bandLength(chart, scheme.bands[0] as Band))[0]
const lengthOf = (line: readonly PlanePoint[]) =>
	line.slice(1).reduce((sum, q, i) => sum + Math.hypot(q.x - (line[i] as PlanePoint).x, q.y - (line[i] as PlanePoint).y), 0)

/** A panel with these datums and one line pulled between marks, by (station, girth); a stripe of two bands lies about it. */
function measured(id: string, datums: readonly Pair[], line: readonly Pair[], more: Partial<PanelInput>): Partial<PanelInput> {
	const side = (g: number) => (g < 0 ? ('below' as const) : ('above' as const))
	return {
		id,
		datums: datums.map(([station, g], i) => ({ id: `d${i + 1}`, station, girth: Math.abs(g), side: side(g) })),
		readings: marked(line.map(([s, g], i) => [`m${i + 1}`, s, g] as const)),
		edges: [{ id: 'line', what: 'line', through: line.map((_, i) => ({ mark: `m${i + 1}`, by: 'pulled' as const })) }],
		stripes: coach(),
		...more,
	}
}

const coach = (templates?: 'guides' | 'piece'): NonNullable<PanelInput['stripes']> => [
	{
		...{ id: 'coach', edge: 'line', lay: 'centred', ...(templates ? { templates } : {}) },
		bands: [{ paint: 'gold', width: 8 }, { gap: 5 }, { paint: 'green', width: 8 }],
	},
]

const SEAM = {
	datums: [
		['d1', 'd1'],
		['d2', 'd2'],
	] as [string, string][],
	lines: [['line', 'line'] as [string, string]],
}

/** The ticks of a piece on seams: name, and its two ends on paper. */
const ticksOf = (piece: Piece) =>
	piece.items.flatMap((item) => {
		if (item.kind !== 'path' || !item.title?.startsWith('seam tick ')) return []
		const points = (item as PathItem).segments.flatMap((segment) => ('p' in segment ? [segment.p] : []))
		return [{ name: item.title.slice(10), from: points[0] as PlanePoint, to: points[1] as PlanePoint }]
	})

// One ball measured off two great circles: what is to be seen is known by spherical trigonometry.
describe('a ball measured off two baselines, its lines over the seam', () => {
	const R = 150
	const dot = (a: Vector, b: Vector) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
	const unit = (v: Vector): Vector => sum(v, 1 / Math.hypot(...v), v, 0)
	const measure = ([x, y, z]: Vector): Pair => [R * Math.atan2(y, x), R * Math.asin(z)]
	const place = (lon: number, lat: number): Vector => [
		Math.cos(lat) * Math.cos(lon),
		Math.cos(lat) * Math.sin(lon),
		Math.sin(lat),
	]
	const toNose = (v: Vector) => turnZ(40 * DEG)(turnX(-70 * DEG)(turnZ(-50 * DEG)(v)))
	const fromNose = (v: Vector) => turnZ(50 * DEG)(turnX(70 * DEG)(turnZ(-40 * DEG)(v)))
	const [first, last] = [place(49 * DEG, -24 * DEG), place(55 * DEG, 29 * DEG)]
	const ahead = unit(sum(last, 1, first, -dot(first, last)))
	const ANGLE = 65
	const ALONG = 60
	/** the place so far along the seam, and from there so far in a direction, anticlockwise from outside */
	function from(along: number, angleDeg: number, d: number): Vector {
		const at = sum(first, Math.cos(along / R), ahead, Math.sin(along / R))
		const way = sum(first, -Math.sin(along / R), ahead, Math.cos(along / R))
		const line = sum(way, Math.cos(angleDeg * DEG), crossed(at, way), Math.sin(angleDeg * DEG))
		return sum(at, Math.cos(d / R), line, Math.sin(d / R))
	}
	/** towards the nose, square off the plane of the seam */
	const over = crossed(first, ahead)
	/** what a line so far off the great circle of the line is along the seam: sin w = sin x sin angle */
	const alongOf = (w: number) => ALONG + R * Math.asin(Math.sin(w / R) / Math.sin(ANGLE * DEG))
	const found = { kind: 'revolved' as const, crown: { radius: R }, profile: { radius: R, arc: 340 }, length: 320, front: -60 }

	function ball(right: boolean, gap = 0, templates: 'guides' | 'piece' = 'guides') {
		const flip = ([s, g]: Pair): Pair => [s, right ? -g : g]
		const theirs = (v: Vector) => flip(measure(toNose(v)))
		const end = from(R * Math.acos(dot(first, last)) + gap, 0, 0)
		return run([
			measured(
				'tank',
				[measure(first), measure(last)],
				[110, 60, -20].map((d) => measure(from(ALONG, 180 + ANGLE, d))),
				{
					...{ found, hand: 'left', stripes: coach(templates), seams: [{ ...SEAM, with: 'nose' }] },
				},
			),
			measured(
				'nose',
				[theirs(first), theirs(end)],
				[-20, 40, 90].map((d) => theirs(from(ALONG, ANGLE, d))),
				{
					...{ found, hand: right ? 'right' : 'left', stripes: coach(templates) },
				},
			),
		])
	}

	describe.each([false, true])('the nose seen from the back: %s', (right) => {
		const result = ball(right)
		const panels = [panelOf(result, 'tank'), panelOf(result, 'nose')]
		const spaces = [
			({ s, g }: { s: number; g: number }) => place(s / R, g / R),
			({ s, g }: { s: number; g: number }) => fromNose(place(s / R, (right ? -g : g) / R)),
		]
		const space = (i: number, p: { s: number; g: number }) => (spaces[i] as (typeof spaces)[number])(p)
		const ticks = panels.map(({ seamEnds }) => seamEnds?.[0]?.cut.ticks ?? [])

		test('places of one name are one place in space, where trigonometry puts them', () => {
			expect(codes(result)).toEqual([])
			expect(ticks.map((list) => list.map(({ label }) => label))).toEqual([0, 1].map(() => ['A1a', 'A1b', 'A1c', 'A1d', 'A1e']))
			for (const [k, w] of [-10.5, -2.5, 0, 2.5, 10.5].entries()) {
				const want = from(alongOf(w), 0, 0)
				const at = ticks.map((list, i) => space(i, list[k]?.at as { s: number; g: number }))
				// Lines are fitted to 0.0005 mm each, and lean on the seam.
				for (const p of at) expect(R * Math.hypot(...sum(p, 1, want, -1))).toBeLessThan(3e-3)
				const gapMm = result.seams?.[0]?.gapMm ?? 0
				expect(R * Math.hypot(...sum(at[0] as Vector, 1, at[1] as Vector, -1))).toBeLessThan(gapMm + 3e-3)
			}
		})

		test('nothing that is painted or taped goes over the seam, and all of it goes as far', () => {
			for (const [i, panel] of panels.entries()) {
				const sense = i === 0 ? 1 : -1
				for (const { scheme } of panel.schemes ?? []) {
					expect(scheme.bands).toHaveLength(2)
					for (const { region, near, far } of scheme.bands) {
						const chart = panel.shape?.now[0]?.chart
						if (!chart) throw new Error('no chart')
						const lines = [...near, ...far].map((curve) => polyline(chart, curve, 0.01))
						for (const line of [...region, ...lines]) {
							const past = line.map((p) => sense * R * Math.asin(dot(over, space(i, p))))
							// Regions have chords of 0.001 mm and the seam is one of them.
							expect(Math.max(...past)).toBeLessThan(3e-3)
							expect(Math.max(...past)).toBeGreaterThan(-3e-3)
						}
					}
				}
			}
		})

		test('guides have the tick at the end of their working edge, along the seam, and no paper beyond it', () => {
			for (const [i, panel] of panels.entries()) {
				const guides = (panel.pieces ?? []).filter(({ kind }) => kind === 'guide')
				expect(guides).toHaveLength(4)
				const names = guides.flatMap((guide) => {
					const [tick, ...more] = ticksOf(guide)
					expect(more).toEqual([])
					if (!tick) throw new Error(`no tick on ${guide.title}`)
					const line = guide.working[0] as readonly PlanePoint[]
					const ends = [
						[line[0], line[1]],
						[line[line.length - 1], line[line.length - 2]],
					] as [PlanePoint, PlanePoint][]
					const [end, next] = ends.find(([p]) => Math.hypot(p.x - tick.from.x, p.y - tick.from.y) < 1e-6) ?? []
					if (!end || !next) throw new Error('the tick is not at an end of the working edge')
					const turn = Math.atan2(tick.to.y - end.y, tick.to.x - end.x) - Math.atan2(next.y - end.y, next.x - end.x)
					const angle = Math.acos(Math.cos(turn)) / DEG
					// A parallel at w leans on the seam by its own angle: cos of the line's over cos w.
					const k = 'abcde'.indexOf(tick.name.slice(2))
					const w = [-10.5, -2.5, 0, 2.5, 10.5][k] as number
					const lean = Math.acos(Math.cos(ANGLE * DEG) / Math.cos(w / R)) / DEG
					expect(Math.min(Math.abs(angle - lean), Math.abs(180 - angle - lean))).toBeLessThan(0.3)
					// From the farthest mark's foot on it, by the parallel's own radius.
					const d = i === 0 ? 110 : 90
					const short = R * Math.atan(Math.tan(Math.asin(Math.sin(w / R) / Math.sin(ANGLE * DEG))) * Math.cos(ANGLE * DEG))
					expect(lengthOf(line)).toBeCloseTo((d + (i === 0 ? short : -short)) * Math.cos(w / R), 1)
					const normal = [-(tick.to.y - end.y), tick.to.x - end.x] as const
					const offs = guide.knife
						.flat()
						.map((p) => ((p.x - end.x) * normal[0] + (p.y - end.y) * normal[1]) / Math.hypot(...normal))
					const inward = Math.sign((next.x - end.x) * normal[0] + (next.y - end.y) * normal[1])
					expect(Math.min(...offs.map((off) => off * inward))).toBeGreaterThan(-2e-4)
					expect(guide.notes.join(' ')).toContain(`It ends at the seam: ${tick.name} must meet`)
					return [tick.name]
				})
				expect(names.sort()).toEqual(['A1a', 'A1b', 'A1d', 'A1e'])
			}
		})
	})

	test('a stripe in one piece has a tick in both corners at the seam', () => {
		const { pieces = [] } = panelOf(ball(false, 0, 'piece'), 'tank')
		const stripes = pieces.filter(({ kind }) => kind === 'stripe')
		const names = stripes.map((piece) =>
			ticksOf(piece)
				.map(({ name }) => name)
				.sort()
				.join(' '),
		)
		expect(names.sort()).toEqual(['A1a A1b', 'A1d A1e'])
		for (const piece of stripes) {
			const ends = piece.working.flatMap((line) => [line[0], line[line.length - 1]] as PlanePoint[])
			for (const { from: at } of ticksOf(piece)) {
				expect(Math.min(...ends.map((p) => Math.hypot(p.x - at.x, p.y - at.y)))).toBeLessThan(0.03)
			}
		}
	})

	test('a seam whose lengths differ: places of one name are apart by no more', () => {
		const result = ball(false, 1.5)
		const [tank, nose] = [panelOf(result, 'tank'), panelOf(result, 'nose')]
		const gapMm = result.seams?.[0]?.gapMm as number
		expect(gapMm).toBeCloseTo(1.5, 2)
		const [a, b] = [tank, nose].map(({ seamEnds }) => seamEnds?.[0]?.cut.ticks ?? [])
		for (const [k, tick] of (a ?? []).entries()) {
			const other = b?.[k]
			if (!other) throw new Error('no such tick')
			const apart = sum(place(tick.at.s / R, tick.at.g / R), 1, fromNose(place(other.at.s / R, other.at.g / R)), -1)
			expect(R * Math.hypot(...apart)).toBeLessThan(gapMm)
		}
	})
})

// A sheet of card: the seam is the line x = 0 of both panels, the tank behind it and the nose ahead of it.
describe('a card cut in two', () => {
	const card = (id: string, from: number, to: number, more: Partial<PanelInput> = {}): Partial<PanelInput> =>
		measured(
			id,
			[
				[0, -100],
				[0, 100],
			],
			[
				[from, 40],
				[to, 40],
			],
			{ found: { kind: 'flat', length: 500, width: 400, front: -250 }, ...more },
		)
	const seams = [{ ...SEAM, with: 'nose' }]

	test('pieces end at it, with a tick in each corner, and strips lie on their own side', () => {
		const [s0, s1] = [-25, 220]
		const result = run([card('tank', s0, s1, { seams }), card('nose', -200, 30)])
		expect(codes(result)).toEqual([])
		for (const [id, reach] of [
			['tank', 220],
			['nose', 200],
		] as const) {
			const { pieces = [] } = panelOf(result, id)
			const bands = pieces.filter(({ kind }) => kind === 'stripe')
			expect(bands).toHaveLength(2)
			for (const piece of bands) {
				const xs = piece.knife.flat().map(({ x }) => x)
				expect(Math.max(...xs) - Math.min(...xs)).toBeCloseTo(reach, 2)
				const ticks = ticksOf(piece)
				// Along the seam from its first datum on, which is the lower one.
				expect(ticks.map(({ name }) => name).sort()).toEqual(piece.id.includes('/1/') ? ['A1a', 'A1b'] : ['A1d', 'A1e'])
				for (const { from } of ticks) {
					const corner = piece.working.flatMap((line) => [line[0], line[line.length - 1]] as PlanePoint[])
					expect(Math.min(...corner.map((p) => Math.hypot(p.x - from.x, p.y - from.y)))).toBeLessThan(0.02)
				}
			}
			const stations = panelOf(result, id).stations ?? []
			expect(stations.length).toBeGreaterThan(0)
			for (const s of stations) expect(id === 'tank' ? s : -s).toBeGreaterThan(0)
		}
	})

	test('a field ends at it too', () => {
		const fields = [
			{ id: 'panel', paint: 'green', between: ['line', 'outline'], seed: { station: 60, girth: 80, side: 'above' as const } },
		]
		const result = run([card('tank', -25, 220, { seams, fields, stripes: [] }), card('nose', -200, 30)], 'scheme')
		const field = panelOf(result, 'tank').schemes?.[0]?.scheme.fields[0]
		const s = field?.region.flat().map((p) => p.s) ?? []
		expect(Math.min(...s)).toBeCloseTo(0, 6)
		// From the seam to the end of the card, from the line at 40 to its edge at 400.
		expect(mm2(field)).toBeCloseTo(250 * 360, 0)
	})

	test('where a panel lies half on either side of a seam nothing is cut, and that is said', () => {
		const result = run([card('tank', -200, 210, { seams }), card('nose', -200, 30)], 'scheme')
		expect(codes(result)).toContain('SEAM_SIDE_UNCLEAR')
		expect(lengthMm(panelOf(result, 'tank'))).toBeCloseTo(410, 3)
		const outline = {
			points: [
				[0, -150],
				[240, -150],
				[240, 150],
				[0, 150],
			].map(([station, g]) => ({
				station: station as number,
				girth: Math.abs(g as number),
				side: (g as number) < 0 ? ('below' as const) : ('above' as const),
			})),
		}
		const told = run([card('tank', -200, 210, { seams, outline }), card('nose', -200, 30)], 'scheme')
		expect(codes(told)).toEqual([])
		expect(lengthMm(panelOf(told, 'tank'))).toBeCloseTo(210, 3)
	})

	test('stripes that are not the same on both are told of: names would not match', () => {
		const stripes = [{ id: 'coach', edge: 'line', lay: 'centred' as const, bands: [{ paint: 'gold', width: 8 }] }]
		const result = run([card('tank', -25, 220, { seams }), card('nose', -200, 30, { stripes })], 'scheme')
		expect(result.problems).toMatchObject([{ code: 'SEAM_TICKS_DIFFER', severity: 'warning', path: '/panels/0/seams/0/lines/0' }])
		expect(result.problems[0]?.found).toContain('in 5 places on tank, but in 3 on nose')
	})
})

// Two mudguard halves that meet in a seam along the girth: a strip comes to it on its way out.
test('a girth strip ends at a seam that it comes to, with its tick there', () => {
	const upper = measured(
		'upper',
		[
			[0, 80],
			[300, 80],
		],
		[
			[20, 50],
			[280, 60],
		],
		{ found: { kind: 'flat', length: 400, width: 400, front: -50 }, seams: [{ ...SEAM, with: 'lower', lines: [] }] },
	)
	const lower = measured(
		'lower',
		[
			[0, -60],
			[300, -60],
		],
		[
			[20, 20],
			[280, 20],
		],
		{ found: { kind: 'flat', length: 400, width: 400, front: -50 } },
	)
	const result = run([upper, lower])
	expect(codes(result)).toEqual([])
	const strips = (panelOf(result, 'upper').pieces ?? []).filter(({ kind }) => kind === 'strip')
	expect(strips.length).toBeGreaterThan(0)
	for (const strip of strips) {
		expect(Math.max(...strip.knife.flat().map(({ y }) => y))).toBeCloseTo(80, 3)
		expect(Math.max(...strip.working.flat().map(({ y }) => y))).toBeCloseTo(80, 3)
		const words = strip.items.flatMap((item) => (item.kind === 'text' ? [item] : []))
		expect(words.map(({ text }) => text)).toContain('seam A 80 ±0.5')
		for (const { at } of words) expect(at.y).toBeLessThan(79)
	}
})
