import { describe, expect, test } from 'vitest'
import type { Drawing, Item, TextItem } from '../../src/drawing/drawing.ts'
import { printable } from '../../src/drawing/metrics.ts'
import { line } from '../../src/drawing/path.ts'
import { flatten } from '../../src/drawing/place.ts'
import { layoutSheets } from '../../src/sheet/layout.ts'
import type { Sheet } from '../../src/sheet/sheets.ts'
import { demoPieces } from '../sheet/demo.ts'
import { folder, pdfOf, saved } from '../sheet/files.ts'
import { picture, separated, touches } from './wordInk.ts'

// The ink of every word as poppler draws it at 300 dots per inch, held beside all other ink of the same page.

/** Ink nearer than this to other ink runs into it: a toner line spreads by about half of it to each side (common practice, no source). */
const MARGIN_MM = 0.15

const textsOf = ({ items }: Drawing): readonly TextItem[] =>
	flatten(items).flatMap(({ item }) => (item.kind === 'text' && printable(item.text).text.trim() !== '' ? [item] : []))

/** Of each page: what its words touch, in words, and the words that have ink on it. */
async function pagesOf(drawings: readonly Drawing[]) {
	const { words, rest, counts } = await separated(await pdfOf(drawings))
	const into = folder()
	const files = [saved('words.pdf', words, into), saved('rest.pdf', rest, into)] as const
	return drawings.map((drawing, index) => {
		const texts = textsOf(drawing)
		expect(counts[index]).toBe(texts.length)
		const name = (n: number) => `"${texts[n - 1]?.text}"`
		const found = touches(picture(files[0], index + 1), picture(files[1], index + 1), MARGIN_MM)
		const faults = found.touches.map(({ word, on, at: [x, y] }) => {
			const other = on === 'line' ? 'a line or a fill' : name(on)
			return `${name(word)} touches ${other} ${x.toFixed(1)} mm from the left, ${y.toFixed(1)} mm from the top`
		})
		return { faults, seen: found.seen, words: texts.length }
	})
}

const word = (text: string, x: number, y: number, angle = 0): TextItem => ({
	kind: 'text',
	role: 'label',
	at: { x, y },
	text,
	sizeMm: 3,
	anchor: 'start',
	angle,
	colour: '#707070',
})
const stroke = (x0: number, y0: number, x1: number, y1: number, colour = '#000000'): Item => ({
	kind: 'path',
	role: 'tick',
	segments: line({ x: x0, y: y0 }, { x: x1, y: y1 }),
	stroke: { widthMm: 0.1, colour },
})

describe('the check itself', () => {
	const faultsOf = async (items: readonly Item[]) =>
		(await pagesOf([{ widthMm: 60, heightMm: 40, title: 'check', items }]))[0]?.faults.length
	test.each<[string, number, readonly Item[]]>([
		['words apart', 0, [word('girth 120', 5, 20), word('130', 5, 24)]],
		['a word on a word: each touches the other', 2, [word('girth 120', 5, 20), word('130', 9, 21)]],
		['a word nearly hidden by the same word', 2, [word('130', 5, 20), word('130', 5.1, 20), word('far', 5, 30)]],
		['a tick through a word', 1, [word('girth 120', 5, 20), stroke(8, 15, 8, 25)]],
		['a pale tick under a word', 1, [stroke(8, 15, 8, 25, '#f3ead2'), word('girth 120', 5, 20)]],
		// the foot of a capital stands on the line at y = 20
		['a tick 0.1 mm under a word', 1, [word('HHH', 5, 20), stroke(5, 19.85, 15, 19.85)]],
		['a tick 0.4 mm under a word', 0, [word('HHH', 5, 20), stroke(5, 19.55, 15, 19.55)]],
		['leaning words whose upright boxes overlap', 0, [word('girth 120', 5, 10, Math.PI / 4), word('130', 12, 10)]],
	])('%s', async (_, faults, items) => {
		expect(await faultsOf(items)).toBe(faults)
	})
})

describe('the demo, as it is printed', () => {
	const demo = demoPieces()
	const wordsOn = new Map(
		demo.map((piece) => [piece.id, textsOf({ widthMm: 0, heightMm: 0, title: '', items: piece.items }).length]),
	)
	const margins = { left: 10, right: 10, top: 10, bottom: 10 }
	const sheetsOf = (paper: string): readonly Sheet[] => {
		const job = { title: 'Tarn 350 roadster, 1959', revision: 'k7f3a2', unit: 'mm' } as const
		return layoutSheets(demo, { paper, margins, job, version: '1' }).value?.sheets ?? []
	}

	test('on A4: no word touches another, a line or a fill, and each is to be seen', async () => {
		const sheets = sheetsOf('A4')
		const pages = await pagesOf(sheets.map(({ drawing }) => drawing))
		expect(sheets.flatMap(({ name }, i) => pages[i]?.faults.map((fault) => `sheet ${name}: ${fault}`))).toEqual([])
		// of a piece over several sheets each word on one of them; its words are the first of each sheet, in one order
		const seen = new Map<string, Set<number>>()
		for (const [i, { pieceIds, joins, name }] of sheets.entries()) {
			const page = pages[i] as (typeof pages)[number]
			const [id] = pieceIds
			if (id === undefined || joins.length === 0) expect(page.seen.size, `sheet ${name}`).toBe(page.words)
			else seen.set(id, new Set([...(seen.get(id) ?? []), ...page.seen]))
		}
		for (const [id, numbers] of seen) {
			const count = wordsOn.get(id) as number
			expect([...numbers].filter((n) => n <= count).length, id).toBe(count)
		}
		expect(seen.size).toBeGreaterThan(0)
	})

	// every third sheet: the pieces are the same, how they lie on the sheet is not
	test.each(['A3', 'Letter', 'roll-610'])(
		'on %s, every third sheet: no word touches another, a line or a fill',
		async (paper) => {
			const sheets = sheetsOf(paper).filter((_, i) => i % 3 === 1)
			expect(sheets.length).toBeGreaterThan(1)
			const pages = await pagesOf(sheets.map(({ drawing }) => drawing))
			expect(sheets.flatMap(({ name }, i) => pages[i]?.faults.map((fault) => `sheet ${name}: ${fault}`))).toEqual([])
		},
	)

	test('in inches, on A4: figures are longer, and still no word touches another, a line or a fill', async () => {
		const job = { title: 'Tarn 350 roadster, 1959', revision: 'k7f3a2', unit: 'in' } as const
		const sheets = layoutSheets(demoPieces('in'), { paper: 'A4', margins, job, version: '1' }).value?.sheets ?? []
		expect(sheets.length).toBeGreaterThan(20)
		const pages = await pagesOf(sheets.map(({ drawing }) => drawing))
		expect(sheets.flatMap(({ name }, k) => pages[k]?.faults.map((fault) => `sheet ${name}: ${fault}`))).toEqual([])
	})
})
