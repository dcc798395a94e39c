import fc from 'fast-check'
import { expect, test } from 'vitest'
import { textWidth } from '../../src/drawing/metrics.ts'
import { wrapText } from '../../src/drawing/wrap.ts'

test('every line fits, and no sign is lost', () => {
	const words = fc.string({ unit: fc.constantFrom(...'abcdefW 1.  -') })
	fc.assert(
		fc.property(words, fc.double({ min: 4, max: 100, noNaN: true }), fc.boolean(), (text, width, bold) => {
			const style = { sizeMm: 3, bold }
			const lines = wrapText(text, width, style)
			for (const line of lines) expect(textWidth(line, style)).toBeLessThanOrEqual(width)
			expect(lines.join('').replace(/\s/g, '')).toBe(text.replace(/\s/g, ''))
		}),
	)
})

test('lines are as full as they can be', () => {
	const style = { sizeMm: 3 }
	const lines = wrapText('one two three four five six seven eight nine ten', 30, style)
	expect(lines.length).toBeGreaterThan(1)
	lines.slice(1).forEach((line, i) => {
		expect(textWidth(`${lines[i]} ${line.split(' ')[0]}`, style)).toBeGreaterThan(30)
	})
})

test('a sign wider than the line stands alone', () => {
	expect(wrapText('WW', 0.1, { sizeMm: 10 })).toEqual(['W', 'W'])
})
