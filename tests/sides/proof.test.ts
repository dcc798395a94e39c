import { describe, expect, test } from 'vitest'
import { crossStation } from '../../src/chart/cross.ts'
import { textBox } from '../../src/drawing/metrics.ts'
import { type ComputeOptions, compute, type Result } from '../../src/engine/compute.ts'
import { loadJob } from '../../src/job/load.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import { pointInLoop, pointInRegion } from '../../src/plane/polyline.ts'
import { proofPages } from '../../src/report/proofTable.ts'
import { findPaper } from '../../src/sheet/paper.ts'

/** Girths of the line's marks, one station every 100 mm. */
const TRUE = [70, 88, 99, 104, 103, 96, 83]
const STATIONS = [60, 130, 210, 290, 370, 450, 530]

function resultOf(girths: readonly number[], proof: object[] = [], options: ComputeOptions = { until: 'scheme' }): Result {
	const readings = girths.flatMap((girth, i) =>
		(['left', 'right'] as const).map((side) => ({ kind: 'square', mark: `m${i + 1}`, station: 100 * i, girth, side })),
	)
	const job = {
		format: 1,
		title: 'Proof',
		unit: 'mm',
		paints: [{ id: 'gold', name: 'Gold', colour: '#c9a227' }],
		panels: [
			{
				id: 'lid',
				hand: 'centre',
				found: { kind: 'flat' },
				datums: [{ id: 'nose', station: 0 }],
				readings,
				edges: [{ id: 'line', through: girths.map((_, i) => `m${i + 1}`) }],
				stripes: [{ id: 'coach', what: 'coach line', edge: 'line', lay: 'outboard', bands: [{ paint: 'gold', width: 8 }] }],
				proof,
			},
		],
	}
	const loaded = loadJob(JSON.stringify(job), 'job.json')
	if (!loaded.value) throw new Error(JSON.stringify(loaded.problems))
	return compute(loaded.value.job, defaultShop(), options)
}

/** Where the edge itself crosses a station on the right. */
function girthAt(result: Result, station: number): number {
	const panel = result.panels[0]
	const sided = panel?.lines?.edges[0]?.sided.find(({ side }) => side === 'right')
	const chart = panel?.shape?.now[0]?.chart
	if (!sided || !chart) throw new Error('no line')
	return crossStation(chart, sided.curve, station)[0]?.at.g ?? Number.NaN
}

/** What a person would type: the true paint against the strips of the job as it is, to half a millimetre. */
function ticksOf(typed: readonly number[], truth: readonly number[], stations = STATIONS) {
	const [job, paint] = [resultOf(typed), resultOf(truth)]
	return stations.map((station) => {
		const off = Math.round(2 * (girthAt(paint, station) - girthAt(job, station))) / 2
		const towards = off < 0 ? 'inboard' : 'outboard'
		return { line: 'coach inner', side: 'right', station, misses: Math.abs(off), ...(off === 0 ? {} : { towards }) }
	})
}

const proofIn = (girths: readonly number[], ticks: object[]) => {
	const result = resultOf(girths, ticks)
	return { line: result.panels[0]?.proof?.[0], problems: result.problems.filter(({ code }) => code.startsWith('PROOF')) }
}

describe('proof on the old paint', () => {
	test('a line whose ticks all meet is safe to strip', () => {
		const { line, problems } = proofIn(TRUE, ticksOf(TRUE, TRUE))
		expect(line).toMatchObject({ verdict: 'safe', side: 'right', worstMm: 0 })
		expect(problems).toEqual([])
	})

	test.each([1, 2, 3, 4, 5])('mark %i read 6 mm wrong is the one to take again', (wrong) => {
		const typed = TRUE.map((g, i) => (i === wrong ? g + 6 : g))
		const { line, problems } = proofIn(typed, ticksOf(typed, TRUE))
		expect(line).toMatchObject({ verdict: 'mark', mark: { key: `m${wrong + 1}` } })
		// The paint lies inboard of a mark that was read too far out.
		expect(line?.mark?.offMm).toBeLessThan(-1)
		expect(problems).toHaveLength(1)
		expect(problems[0]?.fix).toContain(`station and girth of m${wrong + 1} again`)
		expect(problems[0]?.fix).toContain('inboard')
	})

	test('all marks 2 mm wrong the same way: the strips or the baseline are off, not a reading', () => {
		const typed = TRUE.map((g) => g - 2)
		const { line } = proofIn(typed, ticksOf(typed, TRUE))
		expect(line).toMatchObject({ verdict: 'shifted' })
		expect(line?.shiftMm).toBeCloseTo(2, 1)
	})

	test('misses are read along the strip and count square off the line', () => {
		// A line at 45 degrees: 2 mm along the strip is 1.41 mm across.
		const steep = [60, 160, 260, 360]
		const { line } = proofIn(
			steep,
			[50, 150, 250].map((station) => ({ line: 'line', side: 'left', station, misses: 2, towards: 'outboard' })),
		)
		expect(line?.misses.map(({ acrossMm }) => acrossMm)).toEqual([1, 2, 3].map(() => expect.closeTo(Math.SQRT2, 2)))
	})

	test('two ticks are too few to strip by', () => {
		expect(proofIn(TRUE, ticksOf(TRUE, TRUE, [100, 200])).line?.verdict).toBe('more')
	})

	test.each([
		['PROOF_LINE_UNKNOWN', { line: 'coach iner', side: 'left', station: 100, misses: 0 }, 'coach inner'],
		['PROOF_SIDE_NOT_SAID', { line: 'coach inner', station: 100, misses: 0 }, 'left or right'],
		['PROOF_WAY_NOT_SAID', { line: 'coach inner', side: 'left', station: 100, misses: 1 }, 'inboard'],
		['PROOF_NOT_THERE', { line: 'coach inner', side: 'left', station: 900, misses: 0 }, 'station of a strip'],
	])('%s is told', (code, tick, expected) => {
		const { problems } = proofIn(TRUE, [tick])
		expect(problems).toMatchObject([{ code, path: expect.stringContaining('/panels/0/proof/0') }])
		expect(problems[0]?.expected).toContain(expected)
	})

	test('is printed as strips with a blank at each tick, and guides', () => {
		const result = resultOf(TRUE, [], { proof: true })
		const pieces = result.panels[0]?.pieces ?? []
		expect(new Set(pieces.map(({ kind }) => kind))).toEqual(new Set(['strip', 'guide']))
		const strips = pieces.filter(({ kind }) => kind === 'strip')
		expect(strips.length).toBeGreaterThan(2)
		for (const strip of strips) {
			const words = strip.items.flatMap((item) => (item.kind === 'text' ? [item] : []))
			const blanks = words.filter(({ text }) => /coach (inner|outer) .*misses _+ inb \/ outb/.test(text))
			// Both edges on both sides, far enough apart to be written at by hand.
			expect(blanks).toHaveLength(4)
			const heights = blanks.map(({ at }) => at.y).sort((a, b) => a - b)
			expect(Math.min(...heights.slice(1).map((y, i) => y - (heights[i] as number)))).toBeGreaterThan(6)
		}
		expect(result.sheets?.sheets.length).toBeGreaterThan(0)
	})

	test('guides carry a blank near a tick where there is room, clear of the knife line and of other words; pages carry every tick', () => {
		const result = resultOf(TRUE, [], { proof: true })
		const guides = (result.panels[0]?.pieces ?? []).filter(({ kind }) => kind === 'guide')
		let printed = 0
		for (const { items, knife, blanks = [] } of guides) {
			expect(blanks.length).toBeGreaterThan(0)
			const texts = items.flatMap((item) => (item.kind === 'text' ? [item] : []))
			const own = texts.filter(({ text }) => text.includes('inb/outb'))
			expect(own.map(({ text }) => text.split(':')[0])).toEqual(
				blanks.flatMap((blank) => (blank.printed ? [String(blank.station)] : [])),
			)
			printed += own.length
			for (const item of own) {
				const box = textBox(item)!
				for (const corner of box) expect(pointInRegion(corner, knife)).toBe(true)
				// where other words stand on the body none of their corners is in it
				const others = texts.filter((other) => other !== item).flatMap((other) => textBox(other) ?? [])
				for (const corner of others) expect(pointInLoop(corner, [...box])).toBe(false)
			}
			for (const { line } of blanks) expect(line).toMatch(/^coach (inner|outer)$/)
		}
		expect(printed).toBeGreaterThan(guides.length / 2)

		const pages = proofPages(result, findPaper('A4').value!, { left: 10, right: 10, top: 10, bottom: 10 })
		const words = pages.flatMap(({ items }) => items.flatMap((item) => (item.kind === 'text' ? [item.text] : [])))
		const ticks = (result.panels[0]?.pieces ?? []).flatMap(({ blanks = [] }) => blanks)
		for (const { line, station } of ticks) expect(words).toEqual(expect.arrayContaining([line, String(station)]))
		// a place for left and one for right in each row
		const rows = new Set(ticks.map(({ line, station }) => `${line} ${station}`))
		expect(words.filter((text) => text === 'inb / outb')).toHaveLength(2 * rows.size)
	})
})
