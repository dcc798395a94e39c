import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { pathBounds } from '../../src/drawing/bounds.ts'
import { boxHeight, boxWidth, holds } from '../../src/drawing/box.ts'
import { CUTTER_STROKE } from '../../src/drawing/cutter.ts'
import type { Box, Drawing, GroupItem, PathItem } from '../../src/drawing/drawing.ts'
import { line, polyline } from '../../src/drawing/path.ts'
import { polylinesOf } from '../../src/drawing/polylines.ts'
import { type CutterOptions, cutterSheets } from '../../src/sheet/cutter.ts'
import { roomyPlace } from '../../src/sheet/roomyPlace.ts'
import type { Piece } from '../../src/template/piece.ts'
import { bentGuide, longStrip, piece, wavySquare } from './pieces.ts'

const options: CutterOptions = { widthMm: 600, heightMm: 400, gapMm: 4, weedingBox: true, registerMarks: true }
const sheetsOf = (pieces: readonly Piece[], wanted: Partial<CutterOptions> = {}) => {
	const { value, problems } = cutterSheets(pieces, { ...options, ...wanted })
	expect(problems).toEqual([])
	return value ?? []
}
const group = ({ items }: Drawing, id: string) =>
	items.find((item): item is GroupItem => item.kind === 'group' && item.id === id)?.items ?? []
const paths = (drawing: Drawing, id: string) => group(drawing, id) as readonly PathItem[]
const boxOf = (item: PathItem) => pathBounds(item.segments) as Box

/** How far two boxes are apart: 0 where they touch. */
const apart = (a: Box, b: Box) =>
	Math.hypot(Math.max(0, a.minX - b.maxX, b.minX - a.maxX), Math.max(0, a.minY - b.maxY, b.minY - a.maxY))

const plate = (number: number, w: number, h: number) =>
	piece({
		number,
		kind: 'area',
		title: `plate ${number}`,
		knife: [
			[
				{ x: 0, y: 0 },
				{ x: w, y: 0 },
				{ x: w, y: h },
				{ x: 0, y: h },
			],
		],
		working: [],
		items: [],
	})

describe('pieces nested for a cutter', () => {
	const many = [bentGuide(1), wavySquare(2), longStrip(3, 30, 300), bentGuide(4), wavySquare(5, 180)]

	test('every piece is cut once, its lines as long and as far apart as before', () => {
		const found = sheetsOf(many).flatMap((sheet) => paths(sheet, 'knife'))
		const length = ({ segments }: { segments: PathItem['segments'] }) =>
			polylinesOf(segments, 0.001).reduce((sum, { points, closed }) => {
				const all = closed && points[0] ? [...points, points[0]] : points
				return (
					sum +
					all.reduce((part, p, i) => {
						const before = all[i - 1]
						return before ? part + Math.hypot(p.x - before.x, p.y - before.y) : part
					}, 0)
				)
			}, 0)
		for (const { number, items } of many) {
			const own = items.filter((item): item is PathItem => item.kind === 'path' && item.role === 'knife')
			const cut = found.filter(({ title }) => title === `${number}` || title?.startsWith(`${number}:`))
			expect(cut.length).toBe(own.length)
			const sum = (list: readonly PathItem[]) => list.reduce((total, one) => total + length(one), 0)
			expect(sum(cut)).toBeCloseTo(sum(own), 6)
		}
		expect(found.length).toBe(7)
	})

	test('knife lines are closed, in one stroke, and without words; numbers are a group of their own', () => {
		for (const sheet of sheetsOf(many)) {
			for (const item of paths(sheet, 'knife')) {
				expect([item.kind, item.role]).toEqual(['path', 'knife'])
				expect(item.segments.filter(({ to }) => to === 'move').length).toBe(1)
				expect(item.segments.at(-1)?.to).toBe('close')
			}
			for (const id of ['knife', 'weeding', 'register']) {
				for (const item of paths(sheet, id)) {
					expect(item.stroke).toEqual(CUTTER_STROKE)
					expect(item.fill).toBeUndefined()
				}
			}
			const numbers = group(sheet, 'numbers')
			expect(numbers.every(({ kind }) => kind === 'text')).toBe(true)
			expect(numbers.length).toBe(paths(sheet, 'weeding').length)
		}
	})

	test('a window is cut before the outline round it', () => {
		const [sheet] = sheetsOf([wavySquare(2)])
		const sizes = paths(sheet as Drawing, 'knife').map((item) => boxWidth(boxOf(item)))
		// the hole is 40 mm wide, the outline 235 to 250
		expect(sizes[0]).toBeCloseTo(40, 2)
		expect(sizes[1]).toBeGreaterThan(230)
	})

	test('open slits keep their own group', () => {
		const slit: PathItem = {
			kind: 'path',
			role: 'knife',
			segments: line({ x: 10, y: 0 }, { x: 10, y: 6 }),
			stroke: { widthMm: 0.3, colour: '#ff0000' },
		}
		// closed by running back to its start, and not said to be
		const ring: PathItem = {
			...slit,
			segments: polyline([
				{ x: 4, y: 4 },
				{ x: 6, y: 4 },
				{ x: 5, y: 6 },
				{ x: 4, y: 4 },
			]),
		}
		const base = plate(7, 40, 10)
		const [sheet] = sheetsOf([{ ...base, items: [...base.items, slit, ring] }])
		expect(paths(sheet as Drawing, 'slits').length).toBe(1)
		expect(paths(sheet as Drawing, 'slits')[0]?.stroke).toEqual(CUTTER_STROKE)
		expect(paths(sheet as Drawing, 'knife').length).toBe(2)
	})

	test('weeding boxes lie on the sheet, each round its piece, and never nearer than the gap', () => {
		fc.assert(
			fc.property(
				fc.array(fc.tuple(fc.integer({ min: 5, max: 330 }), fc.integer({ min: 5, max: 180 })), { minLength: 1, maxLength: 25 }),
				fc.integer({ min: 0, max: 12 }),
				fc.boolean(),
				(sizes, gapMm, registerMarks) => {
					const plates = sizes.map(([w, h], i) => plate(i + 1, w, h))
					const sheets = sheetsOf(plates, { gapMm, registerMarks })
					expect(sheets.flatMap((sheet) => paths(sheet, 'knife')).length).toBe(plates.length)
					for (const sheet of sheets) {
						const boxes = paths(sheet, 'weeding').map(boxOf)
						expect(boxes.length).toBe(paths(sheet, 'knife').length)
						const inside = { minX: gapMm, minY: gapMm, maxX: 600 - gapMm, maxY: 400 - gapMm }
						const marks = paths(sheet, 'register').map(boxOf)
						expect(marks.length).toBe(registerMarks ? 5 : 0)
						boxes.forEach((box, i) => {
							expect(holds(inside, box, 1e-5)).toBe(true)
							for (const other of boxes.slice(i + 1)) expect(apart(box, other)).toBeGreaterThanOrEqual(gapMm - 1e-5)
							for (const mark of marks) expect(apart(box, mark)).toBeGreaterThan(0.9)
						})
						// each piece 3 mm inside its own box
						for (const item of paths(sheet, 'knife')) {
							const own = boxOf(item)
							const around = boxes.filter((box) => holds(box, own))
							expect(around.length).toBe(1)
							expect(boxWidth(around[0] as Box) - boxWidth(own)).toBeCloseTo(6, 6)
							expect(boxHeight(around[0] as Box) - boxHeight(own)).toBeCloseTo(6, 6)
						}
					}
				},
			),
			{ numRuns: 40 },
		)
	})

	test('a piece that is larger than the sheet is named, with the size that it needs, and the others are nested', () => {
		const { value, problems } = cutterSheets([bentGuide(1), longStrip(2), plate(3, 570, 370)], options)
		expect(problems.map(({ code, severity }) => [code, severity])).toEqual([['PIECE_TOO_LARGE', 'error']])
		expect(problems[0]?.found).toContain('piece 2 (Girth strip at station 320, both sides in one)')
		// 700 x 30, 3 mm of weeding box and 12 mm of register marks on each side
		expect(problems[0]?.expected).toContain('730 x 60 mm')
		expect(value?.flatMap((sheet) => paths(sheet, 'weeding')).length).toBe(2)
		expect(cutterSheets([longStrip(2)], { ...options, widthMm: 60, heightMm: 730 }).problems).toEqual([])
		expect(cutterSheets([longStrip(2)], { ...options, widthMm: 59, heightMm: 730 }).problems.length).toBe(1)
	})

	test.each([
		['no width', { widthMm: 0 }],
		['no number', { heightMm: Number.NaN }],
		['endless', { widthMm: Number.POSITIVE_INFINITY }],
		['a gap below nothing', { gapMm: -1 }],
		['all gap', { gapMm: 250, registerMarks: false }],
	])('a sheet of %s is refused', (_, wrong) => {
		const { value, problems } = cutterSheets([bentGuide(1)], { ...options, ...wrong })
		expect(value).toBeUndefined()
		expect(problems.map(({ code }) => code)).toEqual(['CUTTER_SHEET'])
	})

	test('nothing to cut gives no sheet', () => {
		expect(cutterSheets([], options).value).toEqual([])
		expect(cutterSheets([{ ...bentGuide(1), items: [] }], options).value).toEqual([])
	})
})

describe('the place of a number', () => {
	test('is the middle of a disc, and of the wider part beside a hole', () => {
		const disc = (cx: number, r: number) =>
			Array.from({ length: 200 }, (_, i) => ({ x: cx + r * Math.cos((i * Math.PI) / 100), y: r * Math.sin((i * Math.PI) / 100) }))
		const { at, radiusMm } = roomyPlace([disc(0, 50)])
		expect(Math.hypot(at.x, at.y)).toBeLessThan(2)
		expect(radiusMm).toBeGreaterThan(48)
		// a hole of 10 about (30, 0): the largest disc touches rim and hole, radius (50 + 20) / 2 on the far side
		const beside = roomyPlace([disc(0, 50), disc(30, 10)])
		expect(beside.radiusMm).toBeGreaterThan(34)
		expect(beside.radiusMm).toBeLessThan(35.5)
		expect(Math.hypot(beside.at.x + 15, beside.at.y)).toBeLessThan(2)
	})
})
