import { describe, expect, test } from 'vitest'
import { inkBox, pathBounds } from '../../src/drawing/bounds.ts'
import { boxHeight, boxWidth, overlaps } from '../../src/drawing/box.ts'
import type { Drawing } from '../../src/drawing/drawing.ts'
import { flatten } from '../../src/drawing/place.ts'
import { loadShop } from '../../src/job/loadShop.ts'
import { findPaper, type Paper } from '../../src/sheet/paper.ts'
import { testSheet } from '../../src/sheet/testSheet.ts'

const even = (mm: number) => ({ left: mm, right: mm, top: mm, bottom: mm })
const paper = (name: string) => findPaper(name).value as Paper
const sheet = (name: string, mm: number) => testSheet(paper(name), even(mm)).value as Drawing
const words = ({ items }: Drawing) =>
	flatten(items)
		.flatMap(({ item }) => (item.kind === 'text' ? [item.text] : []))
		.join(' ')

describe('the test sheet of a printer', () => {
	// room across, by hand: A4 210 - 20 = 190 < 200; A4 210 - 10 = 200; Letter 215.9 - 20 = 195.9; Letter 215.9 - 14 = 201.9; A3 297 - 20
	test.each([
		['A4', 10, true],
		['A4', 5, false],
		['letter', 10, true],
		['letter', 7, false],
		['A3', 10, false],
		['legal', 12.7, true],
		['roll-610', 10, false],
		['D', 10, false],
	])('on %s with margins of %d mm fits, its across bar in halves: %s', (name, mm, halves) => {
		const drawing = sheet(name, mm)
		const flat = flatten(drawing.items)
		const text = words(drawing)
		expect(/A _+ \+ B _+ = _+ mm/.test(text)).toBe(halves)
		expect(text.includes('ACROSS A: 100 mm')).toBe(halves)
		expect(text.includes('ACROSS: 200 mm')).toBe(!halves)
		expect(text).toContain('ALONG: 200 mm')
		for (const one of flat) {
			const box = inkBox(one)
			if (!box) continue
			const inside = Math.min(box.minX, box.minY, drawing.widthMm - box.maxX, drawing.heightMm - box.maxY)
			expect(inside, JSON.stringify(one.item).slice(0, 120)).toBeGreaterThanOrEqual(mm - 1e-6)
		}
	})

	test.each(['A4', 'letter', 'A3', 'roll-610'])('on %s no words lie on other words or on a line', (name) => {
		const flat = flatten(sheet(name, 10).items)
		const texts = flat.filter(({ item }) => item.kind === 'text')
		const lines = flat.filter(
			({ item }) => item.kind === 'path' && item.title !== 'check square' && !item.title?.includes('tick'),
		)
		for (const one of texts) {
			for (const other of [...texts, ...lines]) {
				const [a, b] = [inkBox(one), inkBox(other)]
				if (one === other || !a || !b) continue
				expect(overlaps(a, b), `${JSON.stringify(one.item)} and ${JSON.stringify(other.item)}`).toBe(false)
			}
		}
	})

	test('the check square’s line is 100 mm from middle to middle', () => {
		const square = flatten(sheet('A4', 10).items).find(({ item }) => item.kind === 'path' && item.title === 'check square')
		const box = square?.item.kind === 'path' ? pathBounds(square.item.segments) : undefined
		if (!box) throw new Error('no square')
		// the frame is 0.2 mm wide
		expect(boxWidth(box)).toBeCloseTo(100.2, 9)
		expect(boxHeight(box)).toBeCloseTo(100.2, 9)
	})

	test('what it says to type in is what the shop file takes, in either unit', () => {
		const text = words(testSheet(paper('A3'), even(10), { id: 'office' }).value as Drawing)
		const entry = /\{ "id": "office".*?\} \}/.exec(text)?.[0]
		if (!entry) throw new Error('no entry')
		const filled = entry.replace('______', '199.2').replace('______', '200.6')
		for (const unit of ['mm', 'in']) {
			const shop = loadShop(`{ "format": 1, "unit": "${unit}", "printers": [${filled}] }`).value?.shop
			expect(shop?.printers[0]?.measured?.across).toBeCloseTo(199.2, 9)
			expect(shop?.printers[0]?.measured?.along).toBeCloseTo(200.6, 9)
		}
	})

	test('says what the shop file has now, and the printer’s name', () => {
		const text = words(
			testSheet(paper('A4'), even(10), { id: 'office', name: 'Office laser', measured: { across: 199.2, along: 200.6 } })
				.value as Drawing,
		)
		expect(text).toContain('Printer: Office laser.')
		expect(text).toContain('199.2 mm across and 200.6 mm along now')
	})

	test.each([
		['margins wider than the sheet', 'A4', 120],
		['margins that leave 130 mm', 'A4', 40],
		['no margins that make sense', 'A4', Number.NaN],
	])('is refused for %s', (_, name, mm) => {
		const { value, problems } = testSheet(paper(name), even(mm))
		expect(value).toBeUndefined()
		expect(problems.map(({ code }) => code)).toEqual(['PAPER_TOO_SMALL'])
	})

	test('is refused for a small paper', () => {
		const { value, problems } = testSheet({ id: 'a6', name: 'A6', widthMm: 105, heightMm: 148 }, even(5))
		expect(value).toBeUndefined()
		expect(problems[0]?.found).toContain('A6')
	})
})
