import { Resvg } from '@resvg/resvg-js'
import { describe, expect, test } from 'vitest'
import { toSvg } from '../../src/drawing/svg.ts'
import { cutterSheets } from '../../src/sheet/cutter.ts'
import type { Piece } from '../../src/template/piece.ts'
import { bentGuide, longStrip, wavySquare } from '../sheet/pieces.ts'

// Read back by resvg. CSS Values: 1 in = 25.4 mm = 96 px.
const PX_PER_MM = 96 / 25.4

// 609.6 x 406.4 mm are 2304 x 1536 px: resvg draws whole pixels, and stretches to them
const film = { widthMm: 609.6, heightMm: 406.4, gapMm: 4, weedingBox: true, registerMarks: true }
const pieces: readonly Piece[] = [bentGuide(1), wavySquare(2), longStrip(3, 30, 300)]
const sheets = cutterSheets(pieces, film).value ?? []
const svg = toSvg(sheets[0] as (typeof sheets)[number])
const head = svg.slice(0, svg.indexOf('>') + 1)
const groupOf = (id: string) => new RegExp(`<g id="${id}">.*?</g>`, 's').exec(svg)?.[0] ?? ''
const pathsIn = (text: string) => [...text.matchAll(/<path d="([^"]*)"[^>]*?(?:\/>|>(?:<title>([^<]*)<\/title>)?<\/path>)/g)]
const only = (content: string) => `${head}${content}</svg>`

/** The box round what a file draws, in its own units, mm, as resvg has it. */
function boxOf(content: string) {
	const box = new Resvg(only(content)).getBBox()
	if (!box) throw new Error('nothing drawn')
	return box
}

/** Black area of a picture, square mm. */
function areaOf(content: string, zoom: number): number {
	const { pixels } = new Resvg(only(content), { fitTo: { mode: 'zoom', value: zoom }, background: '#ffffff' }).render()
	let dark = 0
	for (let i = 0; i < pixels.length; i += 4) dark += 1 - (pixels[i] as number) / 255
	return dark / (zoom * PX_PER_MM) ** 2
}

const shoelace = (loop: Piece['knife'][number]) =>
	Math.abs(
		loop.reduce((sum, p, i) => {
			const q = loop[(i + 1) % loop.length] as { x: number; y: number }
			return sum + p.x * q.y - q.x * p.y
		}, 0) / 2,
	)

describe('a cutter’s sheet, read by another program', () => {
	test('is the size of the film', () => {
		expect(sheets.length).toBe(1)
		const { width, height } = new Resvg(svg)
		expect(width / PX_PER_MM).toBeCloseTo(film.widthMm, 6)
		expect(height / PX_PER_MM).toBeCloseTo(film.heightMm, 6)
	})

	test('has each piece true to size', () => {
		const knife = pathsIn(groupOf('knife'))
		// each outline, and the hole of the second piece
		expect(knife.length).toBe(4)
		const strip = boxOf(`<path d="${knife.find(([, , title]) => title === '3')?.[1]}"/>`)
		expect([strip.width, strip.height].sort((a, b) => a - b)[0]).toBeCloseTo(30, 3)
		expect([strip.width, strip.height].sort((a, b) => a - b)[1]).toBeCloseTo(300, 3)
		const hole = boxOf(`<path d="${knife.find(([, data, title]) => title === '2' && data?.includes('C'))?.[1]}"/>`)
		// a circle of 40 mm
		expect(hole.width).toBeCloseTo(40, 2)
		expect(hole.height).toBeCloseTo(40, 2)
	})

	test('has each piece’s area, as filled pixels', () => {
		const knife = pathsIn(groupOf('knife'))
		const expected = [
			...pieces.map((piece) => ({ title: `${piece.number}`, area: shoelace(piece.knife[0] ?? []), curved: false })),
			{ title: '2', area: Math.PI * 20 ** 2, curved: true },
		]
		for (const { title, area, curved } of expected) {
			const data = knife.find((one) => one[2] === title && one[1]?.includes('C') === curved)?.[1]
			const measured = areaOf(`<path d="${data}"/>`, 2)
			// pixels of 0.13 mm, their cover in steps of 1/255
			expect(Math.abs(measured / area - 1), `${title}: ${measured} for ${area}`).toBeLessThan(1e-3)
		}
	})

	test('keeps everything on the film, weeding boxes round the pieces, marks in the corners', () => {
		for (const id of ['knife', 'weeding', 'register']) {
			const box = boxOf(groupOf(id))
			expect(box.x).toBeGreaterThanOrEqual(0)
			expect(box.y).toBeGreaterThanOrEqual(0)
			expect(box.x + box.width).toBeLessThanOrEqual(film.widthMm)
			expect(box.y + box.height).toBeLessThanOrEqual(film.heightMm)
		}
		const [knife, weeding, register] = [boxOf(groupOf('knife')), boxOf(groupOf('weeding')), boxOf(groupOf('register'))]
		// 3 mm on the outside
		expect(knife.x - weeding.x).toBeCloseTo(3, 2)
		expect(weeding.height - knife.height).toBeCloseTo(6, 2)
		// arms of 5 mm about points 6 mm inside the corners, and half a line of 0.1 mm
		expect(register.x).toBeCloseTo(0.95, 2)
		expect(register.width).toBeCloseTo(film.widthMm - 1.9, 2)
		expect(register.height).toBeCloseTo(film.heightMm - 1.9, 2)
	})

	test('has one stroke style for all lines, and no words among them', () => {
		const styles = [...svg.matchAll(/<path [^>]*?(fill="[^>]*?)\s*\/?>/g)].map((match) => match[1])
		expect(new Set(styles)).toEqual(new Set(['fill="none" stroke="#000000" stroke-width="0.1"']))
		for (const id of ['knife', 'weeding', 'register']) expect(groupOf(id)).not.toContain('<text')
		expect(groupOf('numbers').match(/<text /g)?.length).toBe(3)
		expect(svg).not.toContain('transform="matrix')
	})
})
