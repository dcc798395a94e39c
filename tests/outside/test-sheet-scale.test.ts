import { describe, expect, test } from 'vitest'
import { pathBounds } from '../../src/drawing/bounds.ts'
import type { Box, Drawing } from '../../src/drawing/drawing.ts'
import { flatten } from '../../src/drawing/place.ts'
import { findPaper, type Paper } from '../../src/sheet/paper.ts'
import { correctionOf } from '../../src/sheet/printer.ts'
import { testSheet } from '../../src/sheet/testSheet.ts'
import { pdfOf, run, saved } from '../sheet/files.ts'
import { outsideToOutside } from './raster.ts'

// Lengths read back by poppler's pdftoppm at 600 dots per inch, edges by grey coverage. A PDF unit is 1/72 inch (ISO 32000-1, 8.3.2.3).

const even = (mm: number) => ({ left: mm, right: mm, top: mm, bottom: mm })

/** The box round a path of that title. */
function boxNamed(drawing: Drawing, title: string): Box {
	const found = flatten(drawing.items).find(({ item }) => item.kind === 'path' && item.title === title)
	const box = found?.item.kind === 'path' ? pathBounds(found.item.segments) : undefined
	if (!box) throw new Error(`no ${title}`)
	return box
}
const ticksOf = (drawing: Drawing, name: string) => boxNamed(drawing, `${name}: end ticks`)
const squareOf = (drawing: Drawing) => boxNamed(drawing, 'check square')

async function printed(name: string, mm: number, prints?: { x: number; y: number }) {
	const drawing = testSheet(findPaper(name).value as Paper, even(mm)).value as Drawing
	const path = saved('test-sheet.pdf', await pdfOf([drawing], prints))
	const about = (at: number, size: number, by = 1) => size / 2 + (at - size / 2) * by
	const { widthMm: w, heightMm: h } = drawing
	const measure = (box: Box) =>
		outsideToOutside(path, 1, h, {
			minX: about(box.minX, w, prints?.x),
			maxX: about(box.maxX, w, prints?.x),
			minY: about(box.minY, h, prints?.y),
			maxY: about(box.maxY, h, prints?.y),
		})
	return { drawing, path, measure }
}

describe('the test sheet as printed', () => {
	test.each([
		['A4', 10],
		['A4', 5],
		['letter', 10],
		['A3', 10],
	])('on %s with margins of %d mm has bars of 200 mm across and along, outside to outside', async (name, mm) => {
		const { drawing, path, measure } = await printed(name, mm)
		expect(run('qpdf', ['--check', path])).toContain('No syntax or stream encoding errors found')
		const whole = flatten(drawing.items).some(({ item }) => item.kind === 'path' && item.title === 'ACROSS: end ticks')
		const across = whole
			? measure(ticksOf(drawing, 'ACROSS')).across
			: measure(ticksOf(drawing, 'ACROSS A')).across + measure(ticksOf(drawing, 'ACROSS B')).across
		expect(Math.abs(across - 200), `across ${across}`).toBeLessThanOrEqual(0.02)
		const { along } = measure(ticksOf(drawing, 'ALONG'))
		expect(Math.abs(along - 200), `along ${along}`).toBeLessThanOrEqual(0.02)
		const square = measure(squareOf(drawing))
		// the line is 0.2 mm wide
		expect(Math.abs(square.across - 100.2)).toBeLessThanOrEqual(0.02)
		expect(Math.abs(square.along - 100.2)).toBeLessThanOrEqual(0.02)
	})

	test('what it measures on a printer that is out makes that printer good', async () => {
		// a printer that prints 0.996 of a length across and 1.003 along: the sheet as it would come out of it
		const prints = { x: 0.996, y: 1.003 }
		const { drawing, measure } = await printed('A4', 10, prints)
		const across = measure(ticksOf(drawing, 'ACROSS A')).across + measure(ticksOf(drawing, 'ACROSS B')).across
		const { along } = measure(ticksOf(drawing, 'ALONG'))
		expect(Math.abs(across - 199.2)).toBeLessThanOrEqual(0.02)
		expect(Math.abs(along - 200.6)).toBeLessThanOrEqual(0.02)
		const correction = correctionOf({ id: 'office', measured: { across, along } }).value
		// 0.02 mm in 200 are 1e-4
		expect(Math.abs((correction?.across ?? 0) * prints.x - 1)).toBeLessThan(1.1e-4)
		expect(Math.abs((correction?.along ?? 0) * prints.y - 1)).toBeLessThan(1.1e-4)
	})
})
