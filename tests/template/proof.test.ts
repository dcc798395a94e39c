/** That pieces can be placed and proved: dots, strips, ticks and figures. */
import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { measure } from '../../src/chart/measure.ts'
import type { Curve } from '../../src/chart/point.ts'
import { compute } from '../../src/engine/compute.ts'
import { loadJob } from '../../src/job/load.ts'
import type { Job } from '../../src/job/schema.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import { lengthOf } from '../../src/plane/polyline.ts'
import { edgeGuides } from '../../src/template/guide.ts'
import { cutRun, dotsOn, type GuideRun, guideRuns } from '../../src/template/guideCuts.ts'
import { checkPairs } from '../../src/template/pairs.ts'
import type { Piece } from '../../src/template/piece.ts'
import { bow, guard } from '../scheme/bench.ts'
import { paths, pointsOf, texts, words } from './printed.ts'

const file = new URL('../../fixtures/tarn-350/job.jsonc', import.meta.url)
const job = loadJob(readFileSync(file, 'utf8'), 'job.jsonc').value?.job as Job
const shop = defaultShop()
const result = compute(job, shop, { until: 'pieces' })
const pieces = result.panels.flatMap((p) => p.pieces ?? [])
const of = (panel: string, kind: Piece['kind']) => pieces.filter((p) => p.panel === panel && p.kind === kind)
const guides = pieces.filter((p) => p.kind === 'guide')
/** Ticks of dots are solid, those of overlaps dashed. */
const dotTicks = (p: Piece) => paths(p.items).filter((i) => i.role === 'tick' && !i.stroke?.dashMm)
const figures = (p: Piece) => texts(p.items).filter((t) => t.text.includes('|'))

/** Guides of its own for every line, where the tool would lay both sides over the crown at once. */
const withGuides = (panel: Job['panels'][number]): Job['panels'][number] => ({
	...panel,
	stripes: panel.stripes.map((s) => ({ ...s, templates: 'guides' as const })),
	fields: panel.fields.map((f) => ({ ...f, templates: 'guides' as const })),
})

describe('the strips of the roadster', () => {
	test('are few enough to lay, and all that were planned are there', () => {
		expect(of('tank', 'strip').length).toBeLessThanOrEqual(7)
		expect(of('front-mudguard', 'strip').length).toBeLessThanOrEqual(12)
		for (const panel of result.panels) {
			const hands = panel.hand === 'pair' ? 2 : 1
			expect(of(panel.id, 'strip')).toHaveLength((panel.stations?.length ?? 0) * hands)
		}
		expect(of('chain-case', 'strip').length).toBeGreaterThanOrEqual(3)
	})

	test('give every guide three dots: two set it, and one that it was not placed by proves it', () => {
		expect(result.problems.filter(({ code }) => code === 'GUIDE_FEW_DOTS')).toEqual([])
		for (const p of guides) {
			expect(dotTicks(p).length, p.id).toBeGreaterThanOrEqual(3)
			expect(p.notes.join(' ')).toMatch(/Dry fit: by tape on the panel its first dot is \d+\.\d mm from its last/)
		}
	})

	test('leave guides with fewer dots to a taped length, and that is said', () => {
		const panels = job.panels.map((p) => (p.id === 'front-mudguard' ? { ...withGuides(p), strips: { every: 100 } } : p))
		const sparse = compute({ ...job, panels }, shop, { until: 'pieces' })
		const two = sparse.panels.flatMap((p) => (p.pieces ?? []).filter((g) => g.kind === 'guide' && dotTicks(g).length === 2))
		expect(two.length).toBeGreaterThan(0)
		for (const p of two) {
			expect(p.notes.join(' ')).toMatch(/on its two dots and check the length between them: \d+\.\d mm by tape on the panel/)
			expect(p.notes.join(' ')).not.toContain('end dots')
			const said = sparse.problems.some((q) => q.code === 'GUIDE_FEW_DOTS' && new RegExp(`\\b${p.number}\\b`).test(q.found))
			expect(said).toBe(true)
		}
	})

	test('tell the way from a datum ahead of the first of them', () => {
		expect(of('front-mudguard', 'strip')[0]?.notes[0]).toMatch(/ahead of front-bolt/)
	})

	test('that were asked for where no line is are named', () => {
		const panels = job.panels.map((p) => (p.id === 'tank' ? { ...p, strips: { stations: [100, 200, 900] } } : p))
		const asked = compute({ ...job, panels }, shop, { until: 'pieces' })
		const found = asked.problems.filter((p) => p.code === 'STRIP_CROSSES_NOTHING')
		expect(found.map((p) => [p.severity, p.path])).toEqual([['warning', '/panels/0/strips/stations/2']])
		expect(found[0]?.found).toContain('900')
	})
})

describe('the figures of a guide', () => {
	test('stand at their ticks, one each', () => {
		for (const p of guides) {
			const ticks = dotTicks(p).map(pointsOf)
			expect(figures(p)).toHaveLength(ticks.length)
			const leaders = paths(p.items).filter((i) => i.role === 'label')
			for (const f of figures(p)) {
				const near = Math.min(...ticks.flat().map((q) => Math.hypot(q.x - f.at.x, q.y - f.at.y)))
				const led = leaders.some((i) => {
					const [from, to] = pointsOf(i)
					if (!from || !to) return false
					const atTick = ticks.some(([, end]) => end && Math.hypot(end.x - from.x, end.y - from.y) < 1e-6)
					return atTick && Math.hypot(to.x - f.at.x, to.y - f.at.y) < 16
				})
				// Half of the longest figure, and the height of the body that a tick leans over.
				expect(led || near < 11, `${p.number} "${f.text}" ${near}`).toBe(true)
			}
		}
	})

	test('and all other words lie within the bounds', () => {
		for (const p of pieces) {
			for (const t of texts(p.items)) {
				expect(t.at.x).toBeGreaterThanOrEqual(p.bounds.minX)
				expect(t.at.x).toBeLessThanOrEqual(p.bounds.maxX)
				expect(t.at.y).toBeGreaterThanOrEqual(p.bounds.minY)
				expect(t.at.y).toBeLessThanOrEqual(p.bounds.maxY)
			}
		}
	})
})

test('a colour break on both sides has guides of its own on both', () => {
	// Under the demo's coach line, 3 mm wide about it, the break is hidden and needs none.
	expect(of('front-mudguard', 'guide').filter((p) => p.id.includes('/flank/'))).toEqual([])
	const bare = {
		...job,
		panels: job.panels.filter((p) => p.id === 'front-mudguard').map((p) => ({ ...withGuides(p), stripes: [] })),
	}
	const made = compute(bare, shop, { until: 'pieces' }).panels[0]?.pieces ?? []
	const breaks = made.filter((p) => p.kind === 'guide' && p.id.includes('/flank/'))
	for (const side of ['LEFT', 'RIGHT'] as const) {
		const own = breaks.filter((p) => p.side === side)
		expect(own.length).toBeGreaterThan(0)
		for (const p of own) {
			expect(p.id).toContain(`/${side.toLowerCase()}/`)
			expect(p.title).toContain(side.toLowerCase())
		}
		const labels = made
			.filter((p) => p.kind === 'strip')
			.map(words)
			.join(' ')
		expect(labels).toContain('flank')
	}
})

test('a field piece has its colour break as a working edge', () => {
	for (const p of of('side-cover', 'area')) {
		expect(p.working.length, p.id).toBeGreaterThan(0)
		expect(lengthOf(p.working[0] ?? [])).toBeGreaterThan(100)
	}
})

const STATIONS = [50, 150, 250, 350]
const input = (curve: Curve, limitMm: number, chart = guard) => ({
	chart,
	edge: { id: 'st', name: 'stripe', short: 'st', side: 'left' as const, curve, open: 1 as const, colour: '#c9a227' },
	panel: 'panel',
	panelTitle: 'Panel',
	side: 'LEFT' as const,
	firstNumber: 101,
	stations: STATIONS,
	bodyMm: 7,
	limitMm,
	toleranceMm: 0.0005,
	unit: 'mm' as const,
})

test('guides that are past the limit at their shortest say so', () => {
	const { problems } = edgeGuides(input(bow(guard), 0.3, { ...guard, curvatureSd: 0.001 }))
	const found = problems.filter((p) => p.code === 'GUIDE_PAST_LIMIT')
	expect(found).toHaveLength(1)
	// dk L^2 / 8 for guides of 70 to 90 mm: 0.61 to 1.01 mm.
	const mm = Number(/up to (\d+\.\d+) mm/.exec(found[0]?.found ?? '')?.[1])
	expect(mm).toBeGreaterThan(0.6)
	expect(mm).toBeLessThan(1.02)
	expect(edgeGuides(input(bow(guard), 50)).problems.filter((p) => p.code === 'GUIDE_PAST_LIMIT')).toEqual([])
})

/** A ring round (200, 30) of about 60 by 20 mm: four arcs, each by one cubic. */
const K = 0.5523
const ring: Curve = {
	id: 'ring',
	closed: true,
	maxErrorMm: 0,
	cubics: [0, 1, 2, 3].map((i) => {
		const at = (x: number, y: number) => {
			const [c, s] = [
				[1, 0],
				[0, 1],
				[-1, 0],
				[0, -1],
			][i] as [number, number]
			return { s: 200 + 120 * (x * c - y * s), g: 30 + 20 * (x * s + y * c) }
		}
		return [at(1, 0), at(1, K), at(K, 1), at(0, 1)] as const
	}),
}

test('guides of a closed line overlap at its seam too, with ticks there', () => {
	const all = edgeGuides(input(ring, 50)).value ?? []
	const runs = guideRuns({ chart: guard, curve: ring, open: 1, bodyMm: 7, limitMm: 50 })
	const length = measure(guard, ring).length
	expect(runs).toHaveLength(1)
	const cuts = cutRun(runs[0] as GuideRun, dotsOn(guard, runs[0] as GuideRun, STATIONS))
	expect((cuts.at(-1)?.to as number) - length).toBeCloseTo(20, 3)
	const [first, last] = [all[0] as Piece, all.at(-1) as Piece]
	expect(words(first)).toContain(`joins ${last.number}`)
	expect(words(last)).toContain(`joins ${first.number}`)
	for (const p of [first, last]) expect(paths(p.items).some((i) => i.role === 'tick' && i.stroke?.dashMm)).toBe(true)
})

test('twins of a pair that are copies of each other are found', () => {
	const pair = job.panels.find((p) => p.hand === 'pair') as Job['panels'][number]
	const own = pieces.filter((p) => p.panel === pair.id)
	expect(checkPairs(own, pair, '/panels/2')).toEqual([])
	const copied = own.map((p) => {
		const left = own.find((q) => q.side === 'LEFT' && q.id === p.id.replace('right', 'left'))
		return p.side === 'RIGHT' && left ? { ...p, working: left.working } : p
	})
	const wrong = checkPairs(copied, pair, '/panels/2').filter((p) => p.code === 'PIECES_NOT_MIRRORED')
	expect(wrong.length).toBeGreaterThan(0)
	expect(wrong.some((p) => p.severity === 'error')).toBe(true)
	// a line that keeps each side as it was has no mirror image to be
	const each = { ...pair, edges: pair.edges.map((edge) => ({ ...edge, sides: 'each' as const })) }
	expect(checkPairs(copied, each, '/panels/2')).toEqual([])
})

test('pieces carry the code of the state of their panel', () => {
	for (const p of pieces) expect(words(p), p.id).toContain(`r${result.panels.find((panel) => panel.id === p.panel)?.code}`)
	const without = edgeGuides(input(bow(guard), 50)).value?.[0]
	expect(words(without as Piece)).not.toMatch(/LEFT r/)
})
