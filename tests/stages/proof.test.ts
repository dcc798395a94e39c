/**
 * The proof of a plan. What it says is checked against points run through the stages one by one, the scheme's colour there found
 * from its own bands and fields and from distances to its lines, and against areas by another library's booleans (clipper2-ts).
 */
import { Clipper, FillRule, type Path64 } from 'clipper2-ts'
import { expect, test } from 'vitest'
import { area } from '../../src/chart/area.ts'
import { nearest } from '../../src/chart/nearest.ts'
import type { ChartPoint, ChartRegion } from '../../src/chart/point.ts'
import { toChart, toPlane } from '../../src/chart/region.ts'
import type { Paint } from '../../src/job/schema.ts'
import { wherePoint } from '../../src/plane/inside.ts'
import { subtract, union } from '../../src/plane/region.ts'
import type { Part } from '../../src/stages/parts.ts'
import { planProblems, provePlan } from '../../src/stages/proof.ts'
import type { Opened } from '../../src/stages/stacks.ts'
import { demoJob, openedBy, paintsOf, placesOver, randomOf, type Shown, shownOf, stagesOf, stripedJob } from './bench.ts'

const job = demoJob()
const paints = paintsOf(job)
const demo = shownOf(job)
const PLANS = [
	{ order: ['ivory', 'gold', 'lake-green'], first: 'all-over' },
	{ order: ['lake-green', 'ivory', 'gold'], first: 'local' },
] as const
const plansOf = ({ seen }: Shown) => PLANS.map(({ order, first }) => openedBy(stagesOf(seen, paints, order, first)))
const box = (s0: number, g0: number, s1: number, g1: number): ChartRegion => [
	[
		{ s: s0, g: g0 },
		{ s: s1, g: g0 },
		{ s: s1, g: g1 },
		{ s: s0, g: g1 },
	],
]

test('the plan of every panel of the demo holds, and all of each part is accounted for', () => {
	for (const shown of demo) {
		for (const opened of plansOf(shown)) {
			const proof = provePlan(shown.seen, opened, paints)
			expect(proof.holds, `${shown.seen.panel} ${shown.seen.hand}`).toBe(true)
			for (const part of proof.parts) {
				expect(part.rightMm2 + part.bareMm2 + part.wrongMm2).toBeCloseTo(part.areaMm2, 6)
				// Chords of two outlines of one line, a hundredth of a millimetre along every edge of it.
				expect(part.widestMm).toBeLessThan(0.02)
				expect(part.bareMm2 + part.wrongMm2).toBeLessThan(0.005 * part.areaMm2)
			}
		}
	}
})

test('without any one of its stages no plan of the demo holds', () => {
	let count = 0
	for (const shown of demo) {
		for (const opened of plansOf(shown)) {
			for (const left of opened) {
				const rest = opened.filter((each) => each !== left)
				const proof = provePlan(shown.seen, rest, paints)
				expect(proof.holds, `${shown.seen.panel} without ${left.paint}`).toBe(false)
				const problems = planProblems(shown.panel, '/panels/0', shown.seen, proof)
				expect(problems.length).toBe(proof.parts.filter(({ amiss }) => amiss).length)
				// What is missed is what the stage would have shown, all of it.
				const shows = shown.seen.parts.flatMap(({ coats }, i) => (coats.at(-1) === left.paint ? [i] : []))
				for (const i of shows) {
					const part = proof.parts[i]
					expect(part && part.rightMm2 < 0.005 * part.areaMm2).toBe(true)
				}
				count++
			}
		}
	}
	expect(count).toBeGreaterThan(20)
})

test('two stages the wrong way round are found, by the paint that ends on top', () => {
	const shown = demo.find(({ seen }) => seen.panel === 'front-mudguard') as Shown
	const [opened] = plansOf(shown) as [readonly Opened[]]
	const [ivory, gold, green] = opened as [Opened, Opened, Opened]
	const proof = provePlan(shown.seen, [gold, green, ivory], paints)
	expect(proof.holds).toBe(false)
	const [first] = planProblems(shown.panel, '/panels/1', shown.seen, proof)
	expect(first).toMatchObject({ code: 'STAGE_WRONG_PAINT', severity: 'error', path: '/panels/1' })
	expect(first?.fix).toContain('ivory')
	expect(first?.place?.panel).toBe('front-mudguard')
})

const SEED = 20310514

/** What a place shows by the scheme alone: bands over fields, as the scheme lists them; undefined near any outline. */
function schemeColour({ scheme }: Shown, p: ChartPoint, edgeMm: number): string | 'edge' | undefined {
	let paint: string | undefined
	for (const { region, paint: own } of [...scheme.fields, ...scheme.bands]) {
		const where = wherePoint({ x: p.s, y: p.g }, toPlane(region), edgeMm)
		if (where === 'edge') return 'edge'
		if (where === 'inside') paint = own
	}
	return paint
}

/** The paint on top after every stage, one after the other, by where the place lies. */
const sprayedColour = (opened: readonly Opened[], p: ChartPoint): string | undefined =>
	opened.filter(({ open }) => wherePoint({ x: p.s, y: p.g }, toPlane(open)) !== 'outside').at(-1)?.paint

test(`10,000 places of each panel end with the scheme's colour (seed ${SEED})`, { timeout: 120_000 }, () => {
	const random = randomOf(SEED)
	for (const shown of demo) {
		const places = placesOver(shown.seen.area, 40_000, random)
			.filter((p) => wherePoint({ x: p.s, y: p.g }, toPlane(shown.seen.area), 0.02) === 'inside')
			.slice(0, 10_000)
		expect(places.length).toBe(10_000)
		const plans = plansOf(shown)
		let judged = 0
		for (const p of places) {
			const wanted = schemeColour(shown, p, 0.02)
			if (wanted === 'edge') continue
			judged++
			for (const opened of plans) {
				const got = sprayedColour(opened, p)
				if (got !== wanted) expect.fail(`seed ${SEED}: ${shown.seen.panel} (${p.s}, ${p.g}) is ${got}, not ${wanted}`)
			}
		}
		expect(judged).toBeGreaterThan(9_900)
	}
})

test(`a coach line is gold within its width of the line that it is laid off, by distances alone (seed ${SEED})`, () => {
	const random = randomOf(SEED)
	const shown = demo.find(({ seen }) => seen.panel === 'front-mudguard') as Shown
	const bands = shown.scheme.bands
	expect(bands.length).toBe(2)
	const [opened] = plansOf(shown) as [readonly Opened[]]
	let [gold, other] = [0, 0]
	for (const p of placesOver(shown.seen.area, 900, random)) {
		// Clear of the ends: there the nearest place is an end.
		if (p.s < -20 || p.s > 560) continue
		const offs = bands.map(({ near, far }) =>
			[near, far].map(([curve]) => nearest(shown.seen.chart, curve as (typeof near)[number], p)?.offsetMm ?? Number.NaN),
		)
		if (offs.flat().some((mm) => Math.abs(mm) < 0.02)) continue
		// Between the two edges of a band their plus sides are told apart by sign.
		const inBand = offs.some(([a, b]) => Math.sign(a as number) !== Math.sign(b as number))
		expect(sprayedColour(opened, p) === 'gold', `seed ${SEED}: (${p.s}, ${p.g})`).toBe(inBand)
		if (inBand) gold++
		else other++
	}
	expect(gold).toBeGreaterThan(10)
	expect(other).toBeGreaterThan(500)
})

const PER_MM = 1e5
const paths = (region: ChartRegion): Path64[] =>
	region.map((loop) => loop.map((p) => ({ x: Math.round(p.s * PER_MM), y: Math.round(p.g * PER_MM) })) as Path64)
const mm2 = (list: Path64[]) => list.reduce((sum, p) => sum + Clipper.area(p), 0) / PER_MM ** 2

test('areas right and wrong are those of another library', () => {
	const shown = demo.find(({ seen }) => seen.panel === 'side-cover') as Shown
	expect(shown.seen.chart.euclidean).toBe(true)
	const [opened] = plansOf(shown) as [readonly Opened[]]
	// The last stage slipped: 3 mm rearward of where it belongs.
	const slipped = opened.map((each, i) =>
		i < opened.length - 1 ? each : { ...each, open: each.open.map((loop) => loop.map(({ s, g }) => ({ s: s + 3, g }))) },
	)
	const proof = provePlan(shown.seen, slipped, paints)
	expect(proof.holds).toBe(false)
	for (const { part, rightMm2 } of proof.parts) {
		const { coats, region } = shown.seen.parts[part] as Part
		const on = slipped.findIndex(({ paint }) => paint === coats.at(-1))
		const later = slipped.slice(on + 1).flatMap(({ open }) => paths(open))
		const kept = Clipper.difference(paths((slipped[on] as Opened).open), later, FillRule.NonZero)
		expect(rightMm2).toBeCloseTo(mm2(Clipper.intersect(paths(region), kept, FillRule.NonZero)), 1)
	}
})

const paint = (id: string, more: Partial<NonNullable<Paint['sprayed']>> = {}): Paint => ({
	...{ id, name: id, colour: '#445566', sprayed: { as: 'colour', ...more } },
})

test('a candy is right over its own ground alone', () => {
	const list = [paint('black'), paint('silver', { as: 'ground-coat' }), paint('candy', { as: 'mid-coat', over: 'silver' })]
	const striped = stripedJob(list, 'black', 'candy', 'candy')
	const known = paintsOf(striped)
	const [shown] = shownOf(striped) as [Shown]
	const opened = openedBy(stagesOf(shown.seen, known, ['black', 'silver', 'candy']))
	expect(opened.map(({ paint }) => paint)).toEqual(['black', 'silver', 'candy'])
	expect(provePlan(shown.seen, opened, known).holds).toBe(true)
	for (const left of opened) {
		expect(
			provePlan(
				shown.seen,
				opened.filter((each) => each !== left),
				known,
			).holds,
			left.paint,
		).toBe(false)
	}
	const [black, silver, candy] = opened as [Opened, Opened, Opened]
	const upside = provePlan(shown.seen, [black, candy, silver], known)
	expect(planProblems(shown.panel, '/panels/0', shown.seen, upside).map(({ code }) => code)).toContain('STAGE_WRONG_PAINT')
	// A lap of black below candy and silver does no harm, one between them shows.
	const lap = toChart(union([toPlane(black.open), toPlane(box(0, -30, 300, 0))]))
	expect(provePlan(shown.seen, [{ ...black, open: lap }, silver, candy], known).holds).toBe(true)
	const strip = { stage: 4, paint: 'black', open: box(0, -40, 300, -30) }
	const shows = provePlan(shown.seen, [black, silver, strip, candy], known)
	expect(shows.holds).toBe(false)
	const wrong = shows.parts.reduce((sum, { wrongMm2 }) => sum + wrongMm2, 0)
	expect(wrong).toBeCloseTo(3000, 0)
})

test('what is to be left as it is may not be sprayed', () => {
	const shown = demo.find(({ seen }) => seen.panel === 'chain-case') as Shown
	const rest = shown.seen.parts.findIndex(({ coats }) => coats.length === 0)
	expect(rest).toBeGreaterThanOrEqual(0)
	const opened = [...plansOf(shown)[0]!, { stage: 9, paint: 'lake-green', open: box(100, -3, 110, 3) }]
	const proof = provePlan(shown.seen, opened, paints)
	expect(proof.parts[rest]?.amiss).toBeDefined()
	const [problem] = planProblems(shown.panel, '/panels/3', shown.seen, proof).filter(({ found }) =>
		found.includes('left as it is'),
	)
	expect(problem?.fix).toContain('Cover')
})

test('a fault is found from a tenth of a millimetre, also at the end of a long thin one', () => {
	const list = [paint('black'), paint('white'), paint('red')]
	const striped = stripedJob(list, 'black', 'white', 'red')
	const known = paintsOf(striped)
	const [shown] = shownOf(striped) as [Shown]
	const opened = openedBy(stagesOf(shown.seen, known, ['black', 'white', 'red'], 'all-over'))
	expect(provePlan(shown.seen, opened, known).holds).toBe(true)
	const last = opened.at(-1) as Opened
	const less = (region: ChartRegion) => [
		...opened.slice(0, -1),
		{ ...last, open: toChart(subtract(toPlane(last.open), toPlane(region))) },
	]
	// The band lies from -6 to 6 mm: a strip of it beside its edge that stays covered.
	const beside = (mm: number) => provePlan(shown.seen, less(box(-1, 6 - mm, 301, 7)), known)
	expect(beside(0.09).holds).toBe(true)
	expect(beside(0.09).parts.some(({ widestMm }) => Math.abs(widestMm - 0.09) < 0.005)).toBe(true)
	expect(beside(0.12).holds).toBe(false)
	// A blot of 2 by 2 mm on a sliver of 300 by 0.02 mm: the mean width of both together is a tenth of a millimetre or less.
	const both = toChart(union([toPlane(box(-1, 5.98, 301, 7)), toPlane(box(148, 4, 150, 6.5))]))
	const blot = provePlan(shown.seen, less(both), known)
	const amiss = blot.parts.find((each) => each.amiss)
	expect(amiss?.widestMm).toBeGreaterThan(0.8)
	expect(amiss?.amiss?.at.s).toBeGreaterThan(147.9)
	expect(amiss?.amiss?.at.s).toBeLessThan(150.1)
	expect(area(shown.seen.chart, both)).toBeGreaterThan(0)
})
