import { Resvg } from '@resvg/resvg-js'
import { describe, expect, test } from 'vitest'
import type { Drawing } from '../../src/drawing/drawing.ts'
import { rect } from '../../src/drawing/path.ts'
import { toCutterSvg, toSvg } from '../../src/drawing/svg.ts'
import { pieceDrawing } from '../../src/sheet/pieceDrawing.ts'
import { wavySquare } from '../sheet/pieces.ts'

// Read back by resvg. CSS Values: 1 in = 25.4 mm = 96 px.
const PX_PER_MM = 96 / 25.4

const square: Drawing = {
	// 576 x 768 px: resvg draws whole pixels, and stretches to them
	widthMm: 152.4,
	heightMm: 203.2,
	title: 'square',
	items: [
		{
			kind: 'path',
			role: 'knife',
			segments: rect({ minX: 20, minY: 30, maxX: 120, maxY: 130 }),
			fill: '#000000',
			stroke: { widthMm: 0.1, colour: '#000000' },
		},
	],
}

/** Where the ink begins and ends along the middle row and column, in mm from the upper left, by how far pixels are covered. */
function inkSpans(svg: string, zoom: number) {
	const picture = new Resvg(svg, { fitTo: { mode: 'zoom', value: zoom }, background: '#ffffff' }).render()
	const { width, height, pixels } = picture
	const dark = (x: number, y: number) => 1 - (pixels[4 * (y * width + x)] as number) / 255
	const covered = (length: number, at: (i: number) => number) => {
		let [sum, first] = [0, length]
		for (let i = 0; i < length; i++) {
			sum += at(i)
			if (at(i) > 0.01) first = Math.min(first, i + 1 - at(i))
		}
		return { from: first / zoom / PX_PER_MM, length: sum / zoom / PX_PER_MM }
	}
	const middle = { x: Math.round(70 * PX_PER_MM * zoom), y: Math.round(130 * PX_PER_MM * zoom) }
	return { across: covered(width, (i) => dark(i, middle.y)), along: covered(height, (i) => dark(middle.x, i)) }
}

describe('SVG, read by another program', () => {
	test.each([
		['toSvg', toSvg],
		['toCutterSvg', toCutterSvg],
	])('%s says its size in mm', (_, write) => {
		const { width, height } = new Resvg(write(square))
		expect(width / PX_PER_MM).toBeCloseTo(152.4, 6)
		expect(height / PX_PER_MM).toBeCloseTo(203.2, 6)
	})

	test('a square of 100 mm is drawn 100 mm, at its place, with y turned down', () => {
		const { across, along } = inkSpans(toSvg(square), 8)
		// 0.1 mm of line, half of it outside on each side
		expect(Math.abs(across.length - 100.1)).toBeLessThan(0.01)
		expect(Math.abs(along.length - 100.1)).toBeLessThan(0.01)
		expect(Math.abs(across.from - 19.95)).toBeLessThan(0.01)
		expect(Math.abs(along.from - (203.2 - 130.05))).toBeLessThan(0.01)
	})

	test('a piece has the size of its outline and its margin', () => {
		const drawing = pieceDrawing(wavySquare(3), 5)
		const { width, height } = new Resvg(toCutterSvg(drawing))
		// outline of 250 mm, half a knife line and 5 mm on each side; resvg rounds to whole pixels
		expect(Math.abs(width - (250 + 0.2 + 10) * PX_PER_MM)).toBeLessThanOrEqual(0.5)
		expect(Math.abs(height - (250 + 0.2 + 10) * PX_PER_MM)).toBeLessThanOrEqual(0.5)
	})
})
