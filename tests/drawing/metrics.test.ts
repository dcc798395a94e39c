import { readFileSync } from 'node:fs'
import fontkit from '@pdf-lib/fontkit'
import fc from 'fast-check'
import { PDFDocument } from 'pdf-lib'
import { describe, expect, test } from 'vitest'
import { fontMetricsText } from '../../scripts/fontMetrics.ts'
import type { TextItem } from '../../src/drawing/drawing.ts'
import { capHeight, lineExtent, printable, textBox, textWidth } from '../../src/drawing/metrics.ts'
import { FONTS } from '../sheet/files.ts'

const text = (over: Partial<TextItem>): TextItem => ({
	kind: 'text',
	role: 'label',
	at: { x: 0, y: 0 },
	text: 'Ag',
	sizeMm: 10,
	anchor: 'start',
	angle: 0,
	...over,
})

test('the table is the one that the fonts give', () => {
	expect(readFileSync(new URL('../../src/drawing/font-metrics.json', import.meta.url), 'utf8')).toBe(fontMetricsText())
})

describe('width of a text', () => {
	test.each(['Edge guide 2 of 3', 'ÅÄÖ åäö ßø', '1 13/16″ × 46.5 mm ± 0.3°', 'Łódź žluťoučký', 'AV To fi ffl WA.'])(
		'is that of pdf-lib for %s',
		async (words) => {
			const doc = await PDFDocument.create()
			doc.registerFontkit(fontkit)
			for (const bold of [false, true]) {
				const font = await doc.embedFont(bold ? FONTS.bold : FONTS.regular, { features: { liga: false } })
				expect(textWidth(words, { sizeMm: 10, bold })).toBeCloseTo(font.widthOfTextAtSize(words, 10), 9)
			}
		},
	)

	test('is known for every printable sign of ASCII, Latin-1 and those of measures', () => {
		const codes = Array.from({ length: 0x100 - 0x20 }, (_, i) => 0x20 + i).filter((code) => code < 0x7f || code >= 0xa0)
		const signs = [...codes.map((code) => String.fromCodePoint(code)), ...'°±–—×½′″Ø→']
		for (const sign of signs) expect(printable(sign).unknown, sign).toEqual([])
	})

	test('of joined texts is the sum, and grows with the size', () => {
		const words = fc.string({ unit: fc.constantFrom(...'abc XYZ 019.,°±½') })
		fc.assert(
			fc.property(words, words, fc.double({ min: 0.5, max: 50, noNaN: true }), (a, b, sizeMm) => {
				const sum = textWidth(a, { sizeMm }) + textWidth(b, { sizeMm })
				expect(textWidth(a + b, { sizeMm })).toBeCloseTo(sum, 9)
				expect(textWidth(a, { sizeMm: 2 * sizeMm })).toBeCloseTo(2 * textWidth(a, { sizeMm }), 9)
			}),
		)
	})
})

describe('signs that the fonts lack', () => {
	test('become a question mark and are named', () => {
		expect(printable('A中B')).toEqual({ text: 'A?B', unknown: ['中'] })
		expect(textWidth('中', { sizeMm: 10 })).toBe(textWidth('?', { sizeMm: 10 }))
	})

	test('have a plain sign where there is one', () => {
		expect(printable('→')).toEqual({ text: '->', unknown: [] })
		// a letter and its accent apart are put together; an accent that the font lacks is left out
		expect(printable('e\u0301').text).toBe('é')
		expect(printable('Ĭ').text).toBe('I')
	})

	test('never stop any text', () => {
		fc.assert(
			fc.property(fc.string({ unit: 'binary' }), (words) => {
				const width = textWidth(words, { sizeMm: 3 })
				expect(Number.isFinite(width)).toBe(true)
				expect(printable(printable(words).text).unknown).toEqual([])
			}),
		)
	})
})

describe('box of a text', () => {
	test('holds the ink above and below the baseline', () => {
		const box = textBox(text({ text: 'H' }))
		// Barlow Semi Condensed: capitals are 700/1000 em high (OS/2 table)
		expect(box?.[2].y).toBeCloseTo(7, 6)
		expect(box?.[0].y).toBeCloseTo(0, 6)
		expect(capHeight({ sizeMm: 10 })).toBeCloseTo(7, 9)
		expect((textBox(text({ text: 'g' })) ?? [])[0]?.y).toBeLessThan(-1)
		expect(lineExtent({ sizeMm: 10 })).toEqual({ ascent: 10, descent: 2 })
	})

	test('turns about the anchor', () => {
		fc.assert(
			fc.property(fc.double({ min: -7, max: 7, noNaN: true }), fc.constantFrom('start', 'middle', 'end'), (angle, anchor) => {
				const at = { x: 20, y: -5 }
				const level = textBox(text({ at, anchor })) ?? []
				const turned = textBox(text({ at, anchor, angle })) ?? []
				expect(level.length).toBe(4)
				level.forEach((p, i) => {
					const q = turned[i] as typeof p
					expect(Math.hypot(q.x - at.x, q.y - at.y)).toBeCloseTo(Math.hypot(p.x - at.x, p.y - at.y), 9)
					const [a, b] = [Math.atan2(p.y - at.y, p.x - at.x), Math.atan2(q.y - at.y, q.x - at.x)]
					expect(Math.cos(b - a - angle)).toBeCloseTo(1, 9)
				})
			}),
		)
	})

	test('of blanks is none', () => {
		expect(textBox(text({ text: '  ' }))).toBeUndefined()
	})
})
