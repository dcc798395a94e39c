// The sheets on the floor: in true proportion, none on another, joined ones together.
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Result } from '../../src/engine/compute.ts'
import type { Sheet } from '../../src/sheet/sheets.ts'
import { layFloor } from '../../src/workbench/floorLayout.ts'
import { type FloorBlock, type FloorSheet, floorOf } from '../../src/workbench/floorView.ts'

const EMPTY = { minX: 0, minY: 0, maxX: 0, maxY: 0 }
const sheetOf = (name: string, widthMm: number, heightMm: number): FloorSheet => ({
	...{ number: 1, name, widthMm, heightMm, live: EMPTY, square: EMPTY, pieces: [], drawn: [] },
})

const blocks = fc.array(
	fc.record({
		columns: fc.integer({ min: 1, max: 4 }),
		rows: fc.integer({ min: 1, max: 3 }),
		width: fc.integer({ min: 150, max: 600 }),
		height: fc.integer({ min: 150, max: 900 }),
	}),
	{ minLength: 1, maxLength: 20 },
)

test('no sheet lies on another nor off the floor, whatever the room', () => {
	fc.assert(
		fc.property(blocks, fc.double({ min: 0.2, max: 5, noNaN: true }), (made, shape) => {
			const all = made.map(({ columns, rows, width, height }, i): FloorBlock => {
				const sheets = Array.from({ length: columns * rows }, (_, k) => ({
					...{ column: k % columns, row: Math.floor(k / columns), sheet: sheetOf(`${i}-${k}`, width, height) },
				}))
				return { columns, rows, sheets }
			})
			const floor = layFloor(all, shape)
			expect(floor.sheets).toHaveLength(all.reduce((sum, { sheets }) => sum + sheets.length, 0))
			const boxes = floor.sheets.map(({ sheet, x, y }) => ({ x0: x, x1: x + sheet.widthMm, y0: y - sheet.heightMm, y1: y }))
			for (const [i, a] of boxes.entries()) {
				expect(Math.min(a.x0, a.y0)).toBeGreaterThanOrEqual(-1e-9)
				expect(a.x1).toBeLessThanOrEqual(floor.widthMm + 1e-6)
				expect(a.y1).toBeLessThanOrEqual(floor.heightMm + 1e-6)
				for (const b of boxes.slice(i + 1)) expect(a.x1 <= b.x0 || b.x1 <= a.x0 || a.y1 <= b.y0 || b.y1 <= a.y0).toBe(true)
			}
		}),
		{ seed: 5, numRuns: 60 },
	)
})

test('a wide room has fewer rows than a high one', () => {
	const all = Array.from(
		{ length: 12 },
		(_, i): FloorBlock => ({ columns: 1, rows: 1, sheets: [{ column: 0, row: 0, sheet: sheetOf(`${i}`, 210, 297) }] }),
	)
	const rows = (shape: number) => new Set(layFloor(all, shape).sheets.map(({ y }) => y)).size
	expect(rows(6)).toBe(1)
	expect(rows(1)).toBe(3)
	expect(rows(0.2)).toBeGreaterThan(5)
})

describe('sheets that are joined', () => {
	const sheet = (number: number, name: string) =>
		({
			number,
			name,
			paper: 'A4',
			pieceIds: [],
			placements: [],
			live: EMPTY,
			checkSquare: EMPTY,
			drawing: { widthMm: 210, heightMm: 297, title: '', items: [] },
		}) as unknown as Sheet
	test('lie as they are joined, the upper ones above, and a window without paper stays empty', () => {
		const places = [
			{ row: 1, column: 2, sheet: '7-B3' },
			{ row: 2, column: 1, sheet: '7-C2' },
			{ row: 2, column: 2, sheet: '7-C3' },
		]
		const result = {
			panels: [],
			sheets: {
				sheets: [sheet(1, '1'), ...places.map((place, i) => sheet(i + 2, place.sheet)), sheet(5, '8')],
				maps: [{ pieceId: 'a', rows: 3, columns: 3, joinsThroughWorking: 0, places }],
			},
		} as unknown as Result
		const floor = floorOf(result, 'A4')
		expect(floor.count).toBe(5)
		expect(floor.blocks.map(({ columns, rows, sheets }) => [columns, rows, sheets.map((one) => one.sheet.name)])).toEqual([
			[1, 1, ['1']],
			[2, 2, ['7-B3', '7-C2', '7-C3']],
			[1, 1, ['8']],
		])
		const laid = new Map(layFloor(floor.blocks, 2).sheets.map((one) => [one.sheet.name, one]))
		const at = (name: string) => laid.get(name) as { readonly x: number; readonly y: number }
		expect(at('7-B3').x).toBe(at('7-C3').x)
		expect(at('7-C2').y).toBe(at('7-C3').y)
		expect(at('7-B3').y).toBeLessThan(at('7-C3').y)
		expect(at('7-C2').x).toBeLessThan(at('7-C3').x)
	})
})

test('the map of all sheets shows what is printed on it: its lines, in the room for pieces, moved and turned as there', () => {
	const square = [
		{ to: 'move', p: { x: 0, y: 0 } },
		{ to: 'line', p: { x: 10, y: 0 } },
		{ to: 'line', p: { x: 10, y: 10 } },
		{ to: 'close' },
	]
	const path = { kind: 'path', role: 'frame', segments: square }
	const live = { minX: 10, minY: 10, maxX: 200, maxY: 280 }
	const map = {
		...{ number: 1, name: '1', paper: 'A4', pieceIds: [], placements: [], live, checkSquare: EMPTY },
		// one in a group, turned by a quarter and shifted; one beside the room, where the sheet says its own things
		drawing: {
			widthMm: 210,
			heightMm: 297,
			title: '',
			items: [{ kind: 'group', at: { x: 50, y: 20 }, angle: Math.PI / 2, items: [path] }, path],
		},
	}
	const floor = floorOf({ panels: [], sheets: { sheets: [map], maps: [] } } as unknown as Result, 'A4')
	expect(floor.blocks[0]?.sheets[0]?.sheet.drawn).toEqual([[50, 20, 50, 30, 40, 30, 50, 20]])
})
