import { describe, expect, test } from 'vitest'
import { layoutSheets } from '../../src/sheet/layout.ts'
import type { Sheet } from '../../src/sheet/sheets.ts'
import { folder, pdfOf, run, saved } from '../sheet/files.ts'
import { bentGuide, longStrip, wavySquare } from '../sheet/pieces.ts'
import { outsideToOutside } from './raster.ts'
import { strokedPaths } from './vectors.ts'

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

/** Lengths of the piece's own bars as they are printed, however the piece is turned. */
function barsOn(path: string, sheet: Sheet, prints: { readonly x: number; readonly y: number }): readonly number[] {
	return strokedPaths(path, sheet.number, sheet.drawing.heightMm).flatMap(({ strokeWidth, lines }) => {
		const [a, b] = lines[0] ?? []
		if (!a || !b || lines.length !== 1 || lines[0]?.length !== 2 || Math.abs(strokeWidth - 0.15) > 0.01) return []
		const length = Math.hypot((a.x - b.x) * prints.x, (a.y - b.y) * prints.y)
		return Math.abs(length - 100) < 3 ? [length] : []
	})
}

/** ISO 216; ASME Y14.1 and office sizes (from memory), an inch being 25.4 mm. */
const SIZES: Readonly<Record<string, readonly [number, number]>> = {
	A4: [210, 297],
	A3: [297, 420],
	A2: [420, 594],
	Letter: [8.5 * 25.4, 11 * 25.4],
	Legal: [8.5 * 25.4, 14 * 25.4],
	Tabloid: [11 * 25.4, 17 * 25.4],
	C: [17 * 25.4, 22 * 25.4],
	D: [22 * 25.4, 34 * 25.4],
	'roll-610': [610, 0],
}
const POINT_MM = 25.4 / 72
const MEASURED = { across: 199.2, along: 200.6 }

describe.each(Object.keys(SIZES))('every sheet of %s as printed', (paper) => {
	// 200 mm came out as 199.2 across and 200.6 along: the file's square must be 100 / 0.996 and 100 / 1.003
	test.each([
		['true to size', undefined],
		['measured at 199.2 x 200.6', MEASURED],
	])('by a printer %s has a square and bars of 100 mm', async (_, measured) => {
		const { sheets, path } = await sheetsOf(paper, measured)
		expect(sheets.length).toBeGreaterThan(0)
		let bars = 0
		for (const sheet of sheets) {
			const [across, along] = measured ? [measured.across / 200, measured.along / 200] : [1, 1]
			const prints = sheet.orientation === 'portrait' ? { x: across, y: along } : { x: along, y: across }
			const found = squareOn(path, sheet, { x: 1 / prints.x, y: 1 / prints.y })
			const line = 0.2
			expect(Math.abs(found.across * prints.x - line - 100), `${sheet.name} across`).toBeLessThanOrEqual(0.02)
			expect(Math.abs(found.along * prints.y - line - 100), `${sheet.name} along`).toBeLessThanOrEqual(0.02)
			const own = barsOn(path, sheet, prints)
			for (const length of own) expect(Math.abs(length - 100), `${sheet.name} bar`).toBeLessThanOrEqual(0.02)
			bars += own.length
		}
		// the field's two bars, on each sheet that it is on
		expect(bars).toBeGreaterThanOrEqual(2)
	})

	test('has pages of its size, in a file without fault', async () => {
		const { sheets, path } = await sheetsOf(paper)
		run('qpdf', ['--check', path])
		const boxes = [
			...run('pdfinfo', ['-box', '-f', '1', '-l', `${sheets.length}`, path]).matchAll(
				/MediaBox:\s+([\d.]+)\s+([\d.]+)\s+([\d.]+)\s+([\d.]+)/g,
			),
		]
		expect(boxes.length).toBe(sheets.length)
		boxes.forEach((box, i) => {
			const [left, bottom, right, top] = box.slice(1).map(Number) as [number, number, number, number]
			const size = [(right - left) * POINT_MM, (top - bottom) * POINT_MM]
			const [width, height] = SIZES[paper] as readonly [number, number]
			const wanted = sheets[i]?.orientation === 'portrait' ? [width, height] : [height, width]
			size.forEach((length, axis) => {
				if (wanted[axis] !== 0) expect(Math.abs(length - (wanted[axis] as number)), `sheet ${i + 1}`).toBeLessThanOrEqual(0.01)
			})
		})
	})
})
