/**
 * Films, ridges and places where edges meet, against another library's booleans (clipper2-ts), lengths of the scheme's own curves,
 * and figures that a ruler gives.
 */
import { Clipper, FillRule, type Path64 } from 'clipper2-ts'
import fc from 'fast-check'
import { expect, test } from 'vitest'
import { area } from '../../src/chart/area.ts'
import { measure } from '../../src/chart/measure.ts'
import type { ChartRegion, Curve } from '../../src/chart/point.ts'
import { polyline, toChart, toPlane } from '../../src/chart/region.ts'
import { filmBudget } from '../../src/paint/budget.ts'
import { type FilmMap, filmMap } from '../../src/paint/films.ts'
import { meetingsOf } from '../../src/paint/meetings.ts'
import { ridgesOf, ridgesUnder } from '../../src/paint/ridges.ts'
import { wherePoint } from '../../src/plane/inside.ts'
import { lengthOf } from '../../src/plane/polyline.ts'
import { clipPolyline, subtract, union } from '../../src/plane/region.ts'
import type { Seen } from '../../src/stages/parts.ts'
import { type Opened, stacksOf } from '../../src/stages/stacks.ts'
import { flat, guard } from '../scheme/bench.ts'
import { demoJob, openedBy, paintsOf, placesOver, randomOf, shownOf, stagesOf, stripedJob } from '../stages/bench.ts'

const UM: Readonly<Record<string, number>> = { ivory: 18, gold: 20, 'lake-green': 22, a: 10, b: 20, c: 40 }
const umOf = (paint: string) => UM[paint] ?? 0

const job = demoJob()
const paints = paintsOf(job)
const demo = shownOf(job).flatMap((shown) => [
	{ ...shown, opened: openedBy(stagesOf(shown.seen, paints, ['ivory', 'gold', 'lake-green'], 'all-over')) },
	{ ...shown, opened: openedBy(stagesOf(shown.seen, paints, ['lake-green', 'ivory', 'gold'], 'local')) },
])
const sum = (values: readonly number[]) => values.reduce((a, b) => a + b, 0)

const box = (s0: number, g0: number, s1: number, g1: number): ChartRegion => [
	[
		{ s: s0, g: g0 },
		{ s: s1, g: g0 },
		{ s: s1, g: g1 },
		{ s: s0, g: g1 },
	],
]
const PER_MM = 1e5
const paths = (region: ChartRegion): Path64[] =>
	region.map((loop) => loop.map((p) => ({ x: Math.round(p.s * PER_MM), y: Math.round(p.g * PER_MM) })) as Path64)
const mm2 = (list: Path64[]) => sum(list.map((p) => Clipper.area(p))) / PER_MM ** 2

const SEED = 20310601

test(`every place of the demo's panels lies in exactly one cell, and cells add up to the panel (seed ${SEED})`, () => {
	const random = randomOf(SEED)
	for (const { seen, opened } of demo) {
		const map = filmMap(seen, opened, umOf)
		// Booleans snap to a ten-thousandth of a millimetre along every outline.
		expect(Math.abs(sum(map.cells.map(({ areaMm2 }) => areaMm2)) - area(seen.chart, seen.area))).toBeLessThan(0.02)
		let judged = 0
		for (const p of placesOver(seen.area, 800, random)) {
			const at = { x: p.s, y: p.g }
			if (wherePoint(at, toPlane(seen.area)) !== 'inside') continue
			const where = map.cells.map(({ region }) => wherePoint(at, toPlane(region), 1e-3))
			if (where.includes('edge')) continue
			judged++
			expect(where.filter((each) => each === 'inside').length, `seed ${SEED}: (${p.s}, ${p.g})`).toBe(1)
		}
		expect(judged).toBeGreaterThan(300)
	}
})

test('rough outlines cost little: areas against those of the outlines as they are', () => {
	for (const { seen, opened } of demo) {
		const map = filmMap(seen, opened, umOf)
		const exact = stacksOf(seen.area, opened)
		for (const { films, region } of exact) {
			const name = films.map((film) => opened[film]?.stage).join()
			const mine = map.cells.find((cell) => cell.films.map(({ stage }) => stage).join() === name)
			const true_ = area(seen.chart, toChart(region))
			// What the outlines alone make: a sliver of a hundredth of a millimetre is no cell.
			if (true_ < 5) continue
			const off = Math.abs((mine?.areaMm2 ?? 0) / true_ - 1)
			expect(off, `${seen.panel} ${name}`).toBeLessThan(true_ > 5000 ? 0.001 : 0.004)
		}
		for (const cell of map.cells) expect(cell.areaMm2, seen.panel).toBeGreaterThan(5)
	}
})

const chartOfBoxes = (opened: readonly Opened[], whole = box(0, -50, 200, 50)): FilmMap =>
	filmMap({ panel: 'p', hand: 'left', chart: flat, area: whole }, opened, umOf)

/** A polygon round a middle: corners at growing angles. */
const polygon = fc
	.record({
		s: fc.integer({ min: 20, max: 180 }),
		g: fc.integer({ min: -40, max: 40 }),
		radii: fc.array(fc.integer({ min: 8, max: 60 }), { minLength: 3, maxLength: 9 }),
	})
	.map(
		({ s, g, radii }): ChartRegion => [
			radii.map((r, i) => {
				const angle = (2 * Math.PI * i) / radii.length
				return { s: s + r * Math.cos(angle), g: g + r * Math.sin(angle) }
			}),
		],
	)

test('cells of any three films are those of another library, and their films weigh what was sprayed', () => {
	fc.assert(
		fc.property(fc.array(polygon, { minLength: 3, maxLength: 3 }), (regions) => {
			const whole = box(0, -50, 200, 50)
			const opened = regions.map((open, i): Opened => ({ stage: i + 1, paint: ['a', 'b', 'c'][i] as string, open }))
			const { cells, areaMm2 } = chartOfBoxes(opened, whole)
			expect(Math.abs(sum(cells.map((cell) => cell.areaMm2)) - areaMm2)).toBeLessThan(0.05)
			for (let set = 0; set < 8; set++) {
				let left = paths(whole)
				opened.forEach(({ open }, i) => {
					const cut = (set >> i) & 1 ? Clipper.intersect : Clipper.difference
					left = cut(left, paths(open), FillRule.NonZero)
				})
				const name = opened.filter((_, i) => (set >> i) & 1).map(({ stage }) => stage)
				const mine = cells.find(({ films }) => films.map(({ stage }) => stage).join() === name.join())
				// A cell that is a sliver all over is its neighbour's.
				expect(Math.abs((mine?.areaMm2 ?? 0) - mm2(left))).toBeLessThan(4)
			}
			const weight = sum(
				opened.map(({ open, paint }) => umOf(paint) * mm2(Clipper.intersect(paths(open), paths(whole), FillRule.NonZero))),
			)
			expect(sum(cells.map((cell) => cell.areaMm2 * cell.totalUm))).toBeCloseTo(weight, -3)
		}),
		{ numRuns: 60 },
	)
})

const striped = (order: readonly string[], first: 'local' | 'all-over') => {
	const paint = (id: string) => ({ id, name: id, colour: '#445566', sprayed: { as: 'colour' as const } })
	const flatJob = stripedJob([paint('a'), paint('b'), paint('c')], 'a', 'b', 'c')
	const [shown] = shownOf(flatJob)
	if (!shown) throw new Error('no panel')
	const map = filmMap(shown.seen, openedBy(stagesOf(shown.seen, paintsOf(flatJob), order, first)), umOf)
	return { map, ridges: ridgesOf(map) }
}

test('laps of 2 mm below a band of 12 mm: two hidden ridges, two on lines, each as long as the panel', () => {
	// a above 6 mm and on to 4, b below -6 and on to -4, c from -6 to 6 over both.
	const { map, ridges } = striped(['a', 'b', 'c'], 'local')
	const told = ridges.map(({ paint, kind, heightUm, line }) => ({ paint, kind, heightUm, g: Math.round(line[0]?.g ?? 0) }))
	expect(told).toHaveLength(4)
	expect(told).toEqual(
		expect.arrayContaining([
			{ paint: 'a', kind: 'under', heightUm: 10, g: 4 },
			{ paint: 'b', kind: 'under', heightUm: 20, g: -4 },
			{ paint: 'c', kind: 'line', heightUm: 40, g: 6 },
			{ paint: 'c', kind: 'line', heightUm: 40, g: -6 },
		]),
	)
	for (const { lengthMm } of ridges) expect(lengthMm).toBeCloseTo(300, 1)
	const total = (um: number) => map.cells.find(({ totalUm }) => totalUm === um)?.areaMm2
	expect(total(40)).toBeCloseTo(300 * 8, 0)
	expect(total(50)).toBeCloseTo(300 * 2, 0)
	expect(total(60)).toBeCloseTo(300 * 2, 0)
	const budget = filmBudget(map)
	expect([budget.leastUm, budget.mostUm]).toEqual([10, 60])
	expect(budget.meanUm).toBeCloseTo((74 * 10 + 74 * 20 + 8 * 40 + 2 * 50 + 2 * 60) / 160, 1)
})

test('all over first: what is below leaves no ridge, and a decal meets just what it covers', () => {
	const { ridges } = striped(['a', 'b', 'c'], 'all-over')
	expect(ridges.filter(({ paint }) => paint === 'a')).toEqual([])
	expect(ridges.find(({ paint, kind }) => paint === 'b' && kind === 'under')?.lengthMm).toBeCloseTo(300, 1)
	// A round decal of 20 mm radius about (150, 0): chords at the lines' distances from its middle.
	const round: ChartRegion = [
		Array.from({ length: 720 }, (_, i) => ({
			s: 150 + 20 * Math.cos((i * Math.PI) / 360),
			g: 20 * Math.sin((i * Math.PI) / 360),
		})),
	]
	const under = ridgesUnder(flat, ridges, round)
	const chord = (d: number) => 2 * Math.sqrt(400 - d * d)
	const lengths = under.map(({ lengthMm }) => lengthMm).sort((a, b) => a - b)
	expect(lengths).toHaveLength(3)
	for (const [i, d] of [6, 6, 4].entries()) expect(lengths[i]).toBeCloseTo(chord(d), 1)
	expect(ridgesUnder(flat, ridges, box(10, 20, 60, 40))).toEqual([])
})

/** How much of a line is on the panel: tape goes over bolt holes, films do not. */
function onPanel(seen: Seen, curve: Curve): number {
	const line = polyline(seen.chart, curve, 1e-3).map(({ s, g }) => ({ x: s, y: g }))
	return sum(clipPolyline(line, toPlane(seen.area)).map(({ points }) => lengthOf(points))) / lengthOf(line)
}

test('ridges on lines are as long as the stretches of line that two paints meet at', () => {
	let looked = 0
	for (const { seen, opened } of demo) {
		// Gold is over ivory and goes on below green: its edge is seen against ivory, green's against gold and ivory.
		if (opened.at(-1)?.paint !== 'lake-green') continue
		const ridges = ridgesOf(filmMap(seen, opened, umOf))
		const onLines = (paint: string) =>
			sum(ridges.filter((r) => r.paint === paint && r.kind === 'line').map(({ lengthMm }) => lengthMm))
		const meeting = (a: string, others: readonly string[]) =>
			seen.borders.filter(({ plus, minus }) => {
				const [one, two] = [seen.parts[plus]?.coats.at(-1), seen.parts[minus]?.coats.at(-1)] as [string, string]
				return (one === a && others.includes(two)) || (two === a && others.includes(one))
			})
		for (const [paint, others] of [
			['gold', ['ivory']],
			['lake-green', ['gold', 'ivory']],
		] as const) {
			const lines = meeting(paint, others)
			// On the tank green runs between gold and ivory: gold's lap ends where ivory begins.
			if (lines.length === 0) continue
			const mm = sum(lines.map(({ curve }) => measure(seen.chart, curve).length * onPanel(seen, curve)))
			// Each stretch ends at a rim or at another line, found to a tenth of a millimetre; corners are taken straight.
			expect(Math.abs(onLines(paint) - mm), `${seen.panel} ${paint}`).toBeLessThan(0.002 * mm + 2)
			looked++
		}
		for (const { kind, paint } of ridges) if (kind === 'under') expect(paint).toBe('gold')
	}
	expect(looked).toBe(7)
})

test('lengths are along the panel, not on its plan', () => {
	// A line square to the baseline keeps its length, one along it at 40 mm of girth is shorter than its stations say.
	const whole = box(20, -60, 220, 60)
	const map = filmMap(
		{ panel: 'p', hand: 'centre', chart: guard, area: whole },
		[{ stage: 1, paint: 'a', open: box(0, -80, 120, 40) }],
		umOf,
	)
	const [ridge] = ridgesOf(map)
	const { j } = guard.metric(100, 40)
	expect(j).toBeLessThan(0.97)
	expect(ridge?.lengthMm).toBeCloseTo(100 + 100 * j, 1)
})

test('slits and slivers that tape leaves by its chords alone are no edges of films', () => {
	const half = box(-10, -60, 100, 60)
	const slits = [box(40, 20, 90, 20.006), box(60, -30, 120, -29.994), box(99.998, -20, 100.004, 10)]
	const open = toChart(subtract(toPlane(half), union(slits.map(toPlane))))
	const stray = toChart(union([toPlane(open), toPlane(box(130, 5, 180, 5.006))]))
	expect(stray.length).toBeGreaterThan(half.length)
	const map = chartOfBoxes([{ stage: 1, paint: 'a', open: stray }])
	expect(map.cells).toHaveLength(2)
	expect(map.cells[0]?.areaMm2).toBeCloseTo(10_000, 0)
	const ridges = ridgesOf(map)
	expect(ridges).toHaveLength(1)
	expect(ridges[0]?.lengthMm).toBeCloseTo(100, 1)
	expect(meetingsOf(map)).toEqual([])
})

test('edges that meet are counted', () => {
	const half: Opened = { stage: 1, paint: 'a', open: box(-10, -60, 100, 60) }
	const top: Opened = { stage: 2, paint: 'b', open: box(-10, 0, 210, 60) }
	// Two edges that cross: four arms, all four totals round it.
	expect(meetingsOf(chartOfBoxes([half, top]))).toEqual([{ at: { s: 100, g: 0 }, edges: 4, stages: [1, 2], stepUm: 30 }])
	// A film that ends on another's edge: three arms.
	const beyond: Opened = { stage: 2, paint: 'b', open: box(100, 0, 210, 60) }
	expect(meetingsOf(chartOfBoxes([half, beyond]))).toEqual([{ at: { s: 100, g: 0 }, edges: 3, stages: [1, 2], stepUm: 20 }])
	// A corner of one film alone is no meeting, nor is an edge that runs off the panel.
	expect(meetingsOf(chartOfBoxes([{ stage: 1, paint: 'a', open: box(50, -20, 100, 20) }]))).toEqual([])
	expect(meetingsOf(chartOfBoxes([half]))).toEqual([])
})
