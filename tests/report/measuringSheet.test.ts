// Pages are measured as they are drawn, and their words read back by poppler.
import { execFileSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import Papa from 'papaparse'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { inkBox, pathBounds } from '../../src/drawing/bounds.ts'
import { overlaps } from '../../src/drawing/box.ts'
import type { Drawing } from '../../src/drawing/drawing.ts'
import { toPdf } from '../../src/drawing/pdf.ts'
import { flatten } from '../../src/drawing/place.ts'
import { fonts } from '../../src/files/package.ts'
import { loadJob } from '../../src/job/load.ts'
import type { Job } from '../../src/job/schema.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import { measuringSheet } from '../../src/report/measuringSheet.ts'
import { findPaper } from '../../src/sheet/paper.ts'

const demo = loadJob(readFileSync(fileURLToPath(new URL('../../fixtures/tarn-350/job.jsonc', import.meta.url)), 'utf8')).value!
	.job

const many = Array.from({ length: 70 }, (_, i) => `"n${i + 1}"`).join(', ')
/** Datums and a rough scheme; nothing measured, in inches. */
const ROUGH = `{
	"format": 1, "title": "Tarn 350, found in a barn: ${'a long title '.repeat(12)}", "unit": "in",
	"paints": [{ "id": "gold", "name": "Gold", "colour": "#c9a227" }],
	"panels": [
		{ "id": "tank", "title": "Fuel tank", "hand": "centre", "found": { "kind": "flat" },
			"datums": [{ "id": "seam", "station": 0 }, { "id": "bolt", "station": "16 1/8 in" }],
			"baseline": { "from": "seam", "to": "bolt", "interruptions": [{ "from": 5, "to": 8, "what": "filler" }] },
			"edges": [
				{ "id": "upper", "through": ["u1", "u2", "u3", "u4", "u5"] },
				{ "id": "lower", "through": ["l1", "l2", "l3"], "hand": "left" },
				{ "id": "hoop", "through": ["h1", "h2", "h3"], "hand": "across" },
				{ "id": "border", "what": "bordered panel", "through": ["p1", "p2", "p3", "p4"], "closed": true }
			],
			"stripes": [{ "id": "coach", "edge": "upper", "lay": "inboard", "offset": "1/4 in",
				"bands": [{ "paint": "gold", "width": "3/16 in" }, { "gap": 0.1 }, { "paint": "gold", "width": [{ "along": 0, "width": 0.5 }, { "along": 10, "width": 0.1 }] }] }] },
		{ "id": "cover", "hand": "pair", "found": { "kind": "flat" },
			"datums": [{ "id": "front", "station": 0 }, { "id": "rear", "station": 8 }],
			"edges": [{ "id": "sweep", "through": ["c1", "c2", "c3"] }] },
		{ "id": "case", "hand": "right", "found": { "kind": "flat" }, "edges": [{ "id": "line", "through": [${many}] }] },
		{ "id": "${'long-'.repeat(30)}name", "hand": "left", "found": { "kind": "flat" },
			"edges": [{ "id": "line", "through": ["${'mark-'.repeat(30)}1", "b"] }] }
	]
}`
const rough = loadJob(ROUGH).value!.job

const sheetOf = (job: Job, paper = 'A4', mm = 10, panel?: string) => {
	const margins = { left: mm, right: mm, top: mm, bottom: mm }
	return measuringSheet(job, defaultShop(), { paper: findPaper(paper).value!, margins, ...(panel ? { panel } : {}) })
}
const wordsOf = ({ items }: Drawing) => flatten(items).flatMap(({ item }) => (item.kind === 'text' ? [item.text] : []))

describe.each([
	['A4', 10, { 'the demo': demo, 'a rough job': rough }],
	['letter', 10, { 'the demo': demo, 'a rough job': rough }],
	['letter', 15, { 'a rough job': rough }],
] as const)('on %s with margins of %d mm', (paper, mm, jobs) => {
	test.each(Object.entries(jobs) as [string, Job][])(
		'%s: all within the margins, no words on words, rows to write in',
		(_, job) => {
			const { value, problems } = sheetOf(job, paper, mm)
			expect(problems).toEqual([])
			for (const page of value!.pages) {
				expect([page.widthMm, page.heightMm]).toEqual([findPaper(paper).value!.widthMm, findPaper(paper).value!.heightMm])
				const flat = flatten(page.items)
				const texts: { text: string; box: NonNullable<ReturnType<typeof inkBox>> }[] = []
				for (const each of flat) {
					const box = inkBox(each)
					if (!box) continue
					const inside = Math.min(box.minX, box.minY, page.widthMm - box.maxX, page.heightMm - box.maxY)
					expect(inside, `${page.title}: ${JSON.stringify(each.item).slice(0, 150)}`).toBeGreaterThan(mm - 0.3)
					if (each.item.kind === 'text') texts.push({ text: each.item.text, box })
				}
				for (const [i, one] of texts.entries()) {
					for (const other of texts.slice(i + 1)) {
						expect(overlaps(one.box, other.box), `${page.title}: ${one.text} on ${other.text}`).toBe(false)
					}
				}
				// the sides of cells are upright lines as high as their rows
				const heights = flat.flatMap(({ item }) => {
					const box = item.kind === 'path' && item.role === 'frame' ? pathBounds(item.segments) : undefined
					return box && box.maxX - box.minX < 1e-9 && item.kind === 'path' && item.stroke!.widthMm < 0.2
						? [box.maxY - box.minY]
						: []
				})
				expect(heights.length, page.title).toBeGreaterThan(0)
				expect(Math.min(...heights)).toBeGreaterThanOrEqual(7)
			}
		},
	)
})

test('a table goes on over pages with its heading; every page says what it is of and where it stands', () => {
	const { pages } = sheetOf(rough).value!
	const own = pages.filter((page) =>
		wordsOf(page).some((text) => /^n\d+$/.test(text) || text.startsWith('Measuring sheet: case')),
	)
	expect(own.length).toBeGreaterThan(3)
	for (const [i, page] of pages.entries()) {
		const words = wordsOf(page)
		expect(words).toContain(`page ${i + 1} of ${pages.length}`)
		expect(words.some((text) => text.startsWith('Measuring sheet: '))).toBe(true)
		expect(words).toContain('Date')
		expect(words.some((text) => text.includes('figures in inches') || text.endsWith('...'))).toBe(true)
		if (words.some((text) => /^n\d+$/.test(text)) && words.some((text) => text.startsWith('Marks')))
			expect(words).toContain('station, in')
	}
	expect(own.slice(1, 3).every((page) => wordsOf(page).includes('Marks (continued)'))).toBe(true)
	const cautions = wordsOf(pages[0]!).join(' ')
	for (const word of ['lead', 'Cut away from the hand', 'Fuel tank:']) expect(cautions).toContain(word)
})

test('marks that are not measured yet are asked for on each side that their line has', () => {
	const { csv, marks } = sheetOf(rough, 'A4', 10, 'tank').value!
	const { data } = Papa.parse<Record<string, string>>(csv.replace(/^\ufeff?#.*\r\n/, ''), { header: true, skipEmptyLines: true })
	const sides = (mark: string) => data.filter((row) => row.kind === 'square' && row.mark === mark).map(({ side }) => side)
	expect(sides('u3')).toEqual(['left', 'right'])
	expect(sides('l2')).toEqual(['left'])
	// on a line across either side may be meant
	expect(sides('h1')).toEqual([''])
	expect(new Set(data.filter(({ kind }) => kind === 'square').map(({ mark }) => mark)).size).toBe(marks)
	// a tape over the filler does not lie down: u3 stands over it, u1 does not
	const across = data.filter(({ kind }) => kind === 'width').map(({ from }) => from)
	expect(across).toContain('left/u1')
	for (const row of data) expect([row['station (in)'], row['girth (in)'], row['length (in)'], row.note]).toEqual(['', '', '', ''])
})

test('a picture has its front, its sides, its datums and each mark where it was measured: right of the baseline above it', () => {
	const { pages } = sheetOf(demo, 'A4', 10, 'tank').value!
	const texts = flatten(pages[0]!.items).flatMap(({ item }) => (item.kind === 'text' && item.sizeMm >= 3 ? [item] : []))
	const of = (text: string) => texts.filter((item) => item.text === text)
	const inPicture = (text: string) => of(text).filter(({ at }) => at.y > 170)
	expect(inPicture('FRONT')).toHaveLength(1)
	const front = inPicture('FRONT')[0]!.at
	const [t1, t7] = [inPicture('t1'), inPicture('t7')].map((list) => list.toSorted((a, b) => b.at.y - a.at.y))
	expect([t1!.length, t7!.length]).toEqual([2, 2])
	// front to the left, the right side above
	expect(front.x).toBeLessThan(t1![0]!.at.x)
	expect(t1![0]!.at.x).toBeLessThan(t7![0]!.at.x)
	const [right, left] = ['RIGHT', 'LEFT'].map((side) => inPicture(side)[0]!.at.y)
	expect(right!).toBeGreaterThan(front.y)
	expect(left!).toBeLessThan(front.y)
	for (const datum of demo.panels[0]!.datums) expect(inPicture(datum.id)).toHaveLength(1)
})

test('readings that do not hold together, and a shape that cannot be had, do not stop a sheet', () => {
	const wrong = structuredClone(demo) as { -readonly [K in keyof Job]: Job[K] }
	const [tank, guard] = wrong.panels as [Job['panels'][number], Job['panels'][number]]
	for (const reading of tank.readings) if (reading.kind === 'square') reading.side = 'above'
	guard.found = { kind: 'scan', file: 'gone.stl' } as never
	const { value, problems } = sheetOf(wrong)
	expect(problems).toEqual([])
	// 25 of its lines, and the two ends of a decal
	expect(value!.marks).toBe(27)
	expect(wordsOf(value!.pages[0]!)).toContain('t4')
})

test('paper without room is a problem with what to take instead', () => {
	for (const paper of ['roll-610']) {
		const { value, problems } = sheetOf(demo, paper)
		expect(value).toBeUndefined()
		expect(problems[0]).toMatchObject({ code: 'MEASURING_PAPER', severity: 'error' })
	}
	expect(sheetOf(demo, 'A4', 25).problems[0]?.code).toBe('MEASURING_PAPER')
})

describe('read back by poppler', () => {
	const folder = mkdtempSync(join(tmpdir(), 'stripewright-sheet-'))
	afterAll(() => rmSync(folder, { recursive: true, force: true }))
	let layout = ''
	beforeAll(async () => {
		const { pages, revision } = sheetOf(demo).value!
		const bytes = await toPdf(pages, { title: 'sheet', fonts: fonts(), revision })
		const again = await toPdf(sheetOf(demo).value!.pages, { title: 'sheet', fonts: fonts(), revision })
		expect(Buffer.from(again).equals(Buffer.from(bytes))).toBe(true)
		writeFileSync(join(folder, 'sheet.pdf'), bytes)
		layout = execFileSync('pdftotext', ['-layout', join(folder, 'sheet.pdf'), '-'], { encoding: 'utf8' })
	})
	test('each mark has its row, with the figures of before on both sides', () => {
		const lines = layout.split('\n').map((line) => line.trim().split(/\s+/))
		// written out from the job by hand
		expect(layout.replace(/\s+/g, ' ')).toMatch(/t3 134\.5 76 134\.5 75\.5/)
		expect(layout.replace(/\s+/g, ' ')).toMatch(/c6 (above \/ below ){2}222 2\.5 below 222 2 below|c6 222 2\.5 below 222 2 below/)
		for (const heading of ['LEFT', 'RIGHT', 'instrument', 'remark']) expect(lines.flat()).toContain(heading)
		expect(layout).toContain('Photographs')
		expect(layout).toContain('angle, °')
	})
})

describe('widths of a stripe between two lines', () => {
	const square = (mark: string, station: number, girth: number) => ({ kind: 'square', mark, station, girth, side: 'left' })
	const jobWith = (readings: object[]) => {
		const edges = ['inner', 'outer', 'rim'].map((id) => ({ id, through: [`${id[0]}1`, `${id[0]}2`] }))
		const stripes = [{ id: 'coach', edge: 'inner', lay: 'outboard', bands: [{ paint: 'gold', width: 12 }] }]
		const panel = { id: 'lid', hand: 'centre', found: { kind: 'flat' }, datums: [{ id: 'nose', station: 0 }], readings, edges }
		const paints = [{ id: 'gold', name: 'Gold', colour: '#c9a227' }]
		return loadJob(JSON.stringify({ format: 1, title: 'Lid', unit: 'mm', paints, panels: [{ ...panel, stripes }] })).value!.job
	}
	const widths = (job: Job) => {
		const { data } = Papa.parse<Record<string, string>>(sheetOf(job).value!.csv.split('\r\n').slice(1).join('\n'), {
			header: true,
		})
		const rows = data.filter(({ kind }) => kind === 'between')
		return rows.map((row) => [row.from, row.to, row.side, row['station (mm)'], row['length (mm)']].join(' '))
	}
	test('are asked for in its table, front and rear, left and right; not of lines that have no stripe', () => {
		const lines = [
			...[square('i1', 12, 40), square('i2', 333, 46), square('o1', 20, 52), square('o2', 300, 58)],
			...[square('r1', 12, 90), square('r2', 333, 99)],
		]
		expect(widths(jobWith(lines))).toEqual([
			...['inner outer left 30 ', 'inner outer right 30 ', 'inner outer left 290 ', 'inner outer right 290 '],
		])
	})
	test('before anything is measured the station is left to be filled in', () => {
		expect(widths(jobWith([]))).toEqual(['inner outer left  ', 'inner outer right  '])
	})
})
