// Drawings as they are read against how resvg draws them: area, box, and each pixel.
import { Resvg } from '@resvg/resvg-js'
import fc from 'fast-check'
import { expect, test } from 'vitest'
import { readDrawing } from '../../src/artwork/svg/read.ts'
import type { Region } from '../../src/plane/point.ts'
import { boxOf, perimeter } from '../../src/plane/polyline.ts'
import { areaOf, union } from '../../src/plane/region.ts'
import { drawings, type RandomDrawing } from '../artwork/drawings.ts'

const SEED = 20311
const RUNS = 220
const PX_PER_MM = 6
const TOLERANCE = 0.008

interface Picture {
	readonly width: number
	readonly height: number
	/** how far each pixel is covered, 0 to 1 */
	readonly covered: Float64Array
}

function rendered(svg: string, widthPx: number, heightPx: number): Picture {
	// its own size taken away: the page is as many pixels as it is mm times the scale
	const sized = svg.replace(
		/^<svg ([^>]*?) (?:width="[^"]*")? ?(?:height="[^"]*")? ?viewBox/,
		`<svg $1 width="${widthPx}" height="${heightPx}" viewBox`,
	)
	const picture = new Resvg(sized, { shapeRendering: 2 }).render()
	const { width, height, pixels } = picture
	return { width, height, covered: Float64Array.from({ length: width * height }, (_, i) => (pixels[4 * i + 3] as number) / 255) }
}

const sum = (values: Float64Array) => values.reduce((a, b) => a + b, 0)

const asPath = (region: Region) => region.map((loop) => `M${loop.map((p) => `${p.x} ${-p.y}`).join('L')}z`).join('')

function check({ svg, widthMm, heightMm }: RandomDrawing): void {
	const [w, h] = [Math.round(widthMm * PX_PER_MM), Math.round(heightMm * PX_PER_MM)]
	const theirs = rendered(svg, w, h)
	const { value, problems } = readDrawing(
		new TextEncoder().encode(svg),
		{ kind: 'drawing', file: 'a.svg' },
		TOLERANCE,
		'/artwork/0/shape',
	)
	const ink = sum(theirs.covered) / PX_PER_MM ** 2
	if (!value) {
		expect(problems.flatMap(({ code, severity }) => (severity === 'error' ? [code] : []))).toEqual(['DRAWING_EMPTY'])
		// what is thinner than the grid is still a shade of grey
		expect(ink).toBeLessThan(0.05)
		return
	}
	expect(value.inks.map(({ colour }) => colour)).toEqual(['#000000'])
	const region = union(value.inks.map(({ region }) => region))
	// the whole page, seen in pixels: rounding of its size to whole pixels is part of the scale
	const [sx, sy] = [w / widthMm, h / heightMm]
	const length = region.reduce((total, loop) => total + perimeter(loop), 0)
	// a renderer's pixels at an edge are good to some hundredths, and edges over edges are darkened twice
	expect(Math.abs(areaOf(region) - ink)).toBeLessThan(0.02 + 0.015 * length)

	const box = boxOf(region.flat())!
	const rows: number[] = []
	const columns: number[] = []
	theirs.covered.forEach((c, i) => {
		if (c < 0.5) return
		columns.push(i % w)
		rows.push(Math.floor(i / w))
	})
	if (columns.length > 0) {
		const [minX, maxX] = [columns.reduce((a, b) => Math.min(a, b)), columns.reduce((a, b) => Math.max(a, b)) + 1]
		const [minY, maxY] = [rows.reduce((a, b) => Math.min(a, b)), rows.reduce((a, b) => Math.max(a, b)) + 1]
		expect(box.minX * sx).toBeLessThan(minX + 1)
		expect(box.maxX * sx).toBeGreaterThan(maxX - 1)
		expect(-box.maxY * sy).toBeLessThan(minY + 1)
		expect(-box.minY * sy).toBeGreaterThan(maxY - 1)
	}

	const names = 'xmlns="http://www.w3.org/2000/svg"'
	const again = `<svg ${names} width="${w}" height="${h}" viewBox="0 0 ${widthMm} ${heightMm}" preserveAspectRatio="none"><path d="${asPath(region)}"/></svg>`
	const ours = new Resvg(again, { shapeRendering: 2 }).render()
	let wrong = 0
	ours.pixels.forEach((value, i) => {
		if (i % 4 === 3 && Math.abs(value / 255 - (theirs.covered[(i - 3) / 4] as number)) > 0.5) wrong++
	})
	expect(wrong, 'pixels that are ink in one and none in the other').toBeLessThan(2 + 0.01 * length * PX_PER_MM)
}

test(`${RUNS} random drawings cover what resvg covers (seed ${SEED})`, () => {
	fc.assert(fc.property(drawings, check), { seed: SEED, numRuns: RUNS })
})
