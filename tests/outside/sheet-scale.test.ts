import { describe, expect, test } from 'vitest'
import { layoutSheets } from '../../src/sheet/layout.ts'
import type { Sheet } from '../../src/sheet/sheets.ts'
import { folder, pdfOf, saved } from '../sheet/files.ts'
import { bentGuide, longStrip, wavySquare } from '../sheet/pieces.ts'
import { outsideToOutside } from './raster.ts'

// Printed scale, read back by another program: poppler's pdftoppm at 600 dots per inch, edges by grey coverage.
// A PDF unit is 1/72 inch (ISO 32000-1, 8.3.2.3), an inch 25.4 mm. Line 0.2 mm: 100.2 mm outside to outside.

const margins = { left: 10, right: 10, top: 10, bottom: 10 }
const job = { title: 'Tarn 350 roadster, 1959', revision: 'k7f3a2', unit: 'mm' } as const

async function sheetsOf(paper: string, measured?: { across: number; along: number }) {
	const printer = measured ? { printer: { id: 'office', measured } } : {}
	const { value, problems } = layoutSheets([bentGuide(1), longStrip(2), wavySquare(3)], {
		paper,
		margins,
		job,
		version: '1',
		...printer,
	})
	expect(problems.filter(({ severity }) => severity === 'error')).toEqual([])
	const sheets = value?.sheets ?? []
	const pdf = await pdfOf(
		sheets.map((sheet) => sheet.drawing),
		sheets.map((sheet) => sheet.scale),
	)
	return { sheets, path: saved('sheets.pdf', pdf, folder()) }
}

const squareOn = (path: string, sheet: Sheet, grow = { x: 1, y: 1 }) => {
	const { checkSquare: box, drawing } = sheet
	const about = (at: number, size: number, by: number) => size / 2 + (at - size / 2) * by
	return outsideToOutside(path, sheet.number, drawing.heightMm, {
		minX: about(box.minX, drawing.widthMm, grow.x),
		maxX: about(box.maxX, drawing.widthMm, grow.x),
		minY: about(box.minY, drawing.heightMm, grow.y),
		maxY: about(box.maxY, drawing.heightMm, grow.y),
	})
}

describe('the check square as printed', () => {
	test.each(['A4', 'A3', 'Letter', 'Tabloid', 'roll-610'])(
		'measures 100.2 mm outside to outside on every sheet of %s',
		async (paper) => {
			const { sheets, path } = await sheetsOf(paper)
			expect(sheets.length).toBeGreaterThan(2)
			for (const sheet of sheets) {
				const { across, along } = squareOn(path, sheet)
				expect(Math.abs(across - 100.2), `${sheet.name} across ${across}`).toBeLessThanOrEqual(0.02)
				expect(Math.abs(along - 100.2), `${sheet.name} along ${along}`).toBeLessThanOrEqual(0.02)
			}
		},
	)

	test('is larger in the file by just what the printer takes away', async () => {
		// 200 mm came out as 199.2 across and 200.6 along: the file's square must be 100 / 0.996 and 100 / 1.003
		const { sheets, path } = await sheetsOf('A4', { across: 199.2, along: 200.6 })
		for (const sheet of sheets) {
			const portrait = sheet.orientation === 'portrait'
			const prints = portrait ? { x: 199.2 / 200, y: 200.6 / 200 } : { x: 200.6 / 200, y: 199.2 / 200 }
			const found = squareOn(path, sheet, { x: 1 / prints.x, y: 1 / prints.y })
			expect(Math.abs(found.across * prints.x - 100.2), sheet.name).toBeLessThanOrEqual(0.02)
			expect(Math.abs(found.along * prints.y - 100.2), sheet.name).toBeLessThanOrEqual(0.02)
		}
	})
})
