/** Lengths measured on a page that poppler has drawn. */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Box } from '../../src/drawing/drawing.ts'
import { folder, run } from '../sheet/files.ts'

const DPI = 600
const PIXELS_PER_MM = DPI / 25.4

interface Grey {
	readonly width: number
	readonly height: number
	/** how far a pixel is covered with ink, 0 to 1 */
	readonly covered: (x: number, y: number) => number
}

function readPgm(path: string): Grey {
	const bytes = readFileSync(path)
	const head = /^P5\s+(\d+)\s+(\d+)\s+255\s/.exec(bytes.subarray(0, 64).toString('latin1'))
	if (!head) throw new Error('not a grey picture')
	const [start, width, height] = [head[0].length, Number(head[1]), Number(head[2])]
	return { width, height, covered: (x, y) => 1 - (bytes[start + y * width + x] as number) / 255 }
}

/** A window of a page as greys; x and y in pixels from its upper left corner. */
export function drawnPage(pdf: string, page: number, window: { x: number; y: number; width: number; height: number }): Grey {
	const base = join(folder(), 'page')
	const { x, y, width, height } = window
	const crop = ['-x', x, '-y', y, '-W', width, '-H', height].map(String)
	run('pdftoppm', ['-r', `${DPI}`, '-gray', '-singlefile', '-f', `${page}`, '-l', `${page}`, ...crop, pdf, base])
	return readPgm(`${base}.pgm`)
}

/** From the first edge to the last along a row or column of greys, by how far the pixels at the edges are covered. */
function span(length: number, covered: (at: number) => number): number {
	let first = 0
	while (first < length && covered(first) < 0.99) first++
	let last = length - 1
	while (last > first && covered(last) < 0.99) last--
	const before = first > 0 ? covered(first - 1) : 0
	const after = last < length - 1 ? covered(last + 1) : 0
	return (last - first + 1 + before + after) / PIXELS_PER_MM
}

const median = (values: readonly number[]) => {
	const sorted = [...values].sort((a, b) => a - b)
	const half = sorted.length / 2
	return ((sorted[Math.floor(half - 0.5)] as number) + (sorted[Math.floor(half)] as number)) / 2
}

/** The outside length of a square's sides in mm, each the median of four scan lines; the box says where it stands (mm, y up). */
export function outsideToOutside(pdf: string, page: number, pageHeightMm: number, box: Box): { across: number; along: number } {
	const around = 2
	const x = Math.round((box.minX - around) * PIXELS_PER_MM)
	const y = Math.round((pageHeightMm - box.maxY - around) * PIXELS_PER_MM)
	const width = Math.round((box.maxX - box.minX + 2 * around) * PIXELS_PER_MM)
	const height = Math.round((box.maxY - box.minY + 2 * around) * PIXELS_PER_MM)
	const grey = drawnPage(pdf, page, { x, y, width, height })
	// the first and last dark pixels are the lines themselves: nothing else stands within 4 mm of them
	const places = [0.2, 0.4, 0.6, 0.8]
	return {
		across: median(places.map((part) => span(grey.width, (at) => grey.covered(at, Math.round(part * grey.height))))),
		along: median(places.map((part) => span(grey.height, (at) => grey.covered(Math.round(part * grey.width), at)))),
	}
}
