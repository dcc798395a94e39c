import { describe, expect, test } from 'vitest'
import { boxHeight, boxWidth, holds, overlaps } from '../../src/drawing/box.ts'
import { arrangements, printableBox } from '../../src/sheet/arrange.ts'
import { findPaper, PAPERS } from '../../src/sheet/paper.ts'
import { correctionOf, correctionText, NO_CORRECTION, pageScale } from '../../src/sheet/printer.ts'

const even = (mm: number) => ({ left: mm, right: mm, top: mm, bottom: mm })
const paper = (name: string) => {
	const { value } = findPaper(name)
	if (!value) throw new Error(`no paper ${name}`)
	return value
}

describe('papers', () => {
	// ISO 216: A0 is one square metre with sides as 1 to the root of 2; each next size halves the longer side, rounded down to a mm
	test('A sizes are those of ISO 216', () => {
		let [width, height] = [Math.round(1000 / 2 ** 0.25), Math.round(1000 * 2 ** 0.25)]
		for (const name of ['A0', 'A1', 'A2', 'A3', 'A4']) {
			expect([name, paper(name).widthMm, paper(name).heightMm]).toEqual([name, width, height])
			;[width, height] = [Math.floor(height / 2), width]
		}
	})

	test('inch sizes are inches', () => {
		// ASME Y14.1 and office sizes, from memory
		for (const [name, width, height] of [
			['Letter', 8.5, 11],
			['Legal', 8.5, 14],
			['Tabloid', 11, 17],
			['C', 17, 22],
			['D', 22, 34],
		] as const) {
			expect(paper(name).widthMm / 25.4).toBeCloseTo(width, 12)
			expect((paper(name).heightMm ?? 0) / 25.4).toBeCloseTo(height, 12)
		}
	})

	test('rolls of any width, by mm and by inch', () => {
		expect(paper('roll-610')).toEqual({ id: 'roll-610', name: 'Roll 610 mm', widthMm: 610 })
		expect(paper('Roll 24in').widthMm).toBeCloseTo(609.6, 9)
		expect(findPaper('roll-5').value).toBeUndefined()
	})

	test('the shop its own, before the common ones', () => {
		const own = [
			{ id: 'a4', width: 300, height: 200 },
			{ id: 'long', width: 700 },
		]
		expect(findPaper('A4', own).value).toMatchObject({ widthMm: 200, heightMm: 300 })
		expect(findPaper('long', own).value?.heightMm).toBeUndefined()
	})

	test.each([
		['A44', 'a4'],
		['leter', 'letter'],
		['tabliod', 'tabloid'],
		['roll-61x', 'roll-610'],
	])('%s is unknown; nearest is %s', (wrong, near) => {
		const { value, problems } = findPaper(wrong)
		expect(value).toBeUndefined()
		expect(problems).toMatchObject([{ code: 'UNKNOWN_PAPER', severity: 'error' }])
		expect(problems[0]?.fix).toContain(`"${near}"`)
	})
})

describe('room on a sheet', () => {
	test.each(PAPERS.map(({ id }) => id))('%s: square, block and pieces keep apart inside the margins', (id) => {
		const margins = { left: 8, right: 6, top: 5, bottom: 12 }
		const { value = [] } = arrangements(paper(id), margins, NO_CORRECTION, 200)
		expect(value.length).toBeGreaterThan(0)
		for (const { live, square, block, widthMm, heightMm, orientation } of value) {
			expect(boxWidth(square)).toBeCloseTo(100, 9)
			expect(boxHeight(square)).toBeCloseTo(100, 9)
			const printable = printableBox({ widthMm, heightMm }, margins, orientation, { x: 1, y: 1 })
			const around = { minX: square.minX - 0.1, minY: square.minY - 0.1, maxX: square.maxX + 0.1, maxY: square.maxY + 0.1 }
			const clear = { minX: around.minX - 4, minY: around.minY - 4, maxX: around.maxX + 4, maxY: around.maxY + 4 }
			for (const box of [live, block, around]) expect(holds(printable, box, 1e-9)).toBe(true)
			expect(overlaps(clear, live)).toBe(false)
			expect(overlaps(clear, block)).toBe(false)
			expect(overlaps(live, block)).toBe(false)
		}
	})

	test('on its side a sheet keeps the wider of opposite margins on both, for it may be fed either way', () => {
		const margins = { left: 1, right: 2, top: 3, bottom: 4 }
		expect(printableBox({ widthMm: 297, heightMm: 210 }, margins, 'landscape', { x: 1, y: 1 })).toEqual({
			minX: 4,
			minY: 2,
			maxX: 293,
			maxY: 208,
		})
	})

	test('enlarged by a correction, ink stays inside the margins', () => {
		const scale = { x: 1.02, y: 0.98 }
		const box = printableBox({ widthMm: 200, heightMm: 300 }, even(10), 'portrait', scale)
		expect(100 + (box.maxX - 100) * scale.x).toBeCloseTo(190, 9)
		expect(box.maxY).toBe(290)
	})

	test.each([60, 105, 400])('margins of %s mm on A4 are a problem', (mm) => {
		const { value, problems } = arrangements(paper('A4'), even(mm), NO_CORRECTION, 100)
		expect(value).toBeUndefined()
		expect(problems).toMatchObject([{ code: 'PAPER_TOO_SMALL', severity: 'error' }])
	})
})

describe('printer', () => {
	const measured = (across: number, along: number) => correctionOf({ id: 'office', measured: { across, along } })

	test('what it takes away is given back', () => {
		// 199.2 for 200: a length of 100 must be sent as 100.40
		const { value } = measured(199.2, 200)
		expect(100 * (value?.across ?? 0)).toBeCloseTo(100.4016, 4)
		expect(pageScale({ across: 1.1, along: 0.9 }, 'landscape')).toEqual({ x: 0.9, y: 1.1 })
	})

	test.each([
		[0, 200],
		[20, 200],
		[200, 2000],
		[Number.NaN, 200],
		[-200, 200],
	])('%s x %s for 200 cannot be', (across, along) => {
		const { value, problems } = measured(across, along)
		expect(value).toBeUndefined()
		expect(problems).toMatchObject([{ code: 'PRINTER_MEASURE', severity: 'error' }])
	})

	test.each([
		[195, 195],
		[200, 201.2],
	])('%s x %s is worth a warning', (across, along) => {
		const { value, problems } = measured(across, along)
		expect(value).toBeDefined()
		expect(problems).toMatchObject([{ code: 'PRINTER_MEASURE', severity: 'warning' }])
	})

	test('none measured, none corrected', () => {
		expect(correctionOf(undefined)).toEqual({ value: NO_CORRECTION, problems: [] })
		expect(correctionText(undefined, NO_CORRECTION)).toContain('none')
		expect(correctionText({ id: 'office' }, { across: 1.004, along: 1 })).toContain('100.40 % across, 100.00 % along')
	})
})
