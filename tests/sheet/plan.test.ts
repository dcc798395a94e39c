import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { plainGrid } from '../../scripts/plainGrid.ts'
import { boxHeight } from '../../src/drawing/box.ts'
import type { PlanePoint } from '../../src/plane/point.ts'
import { arrangements, type Stock } from '../../src/sheet/arrange.ts'
import { layoutSheets } from '../../src/sheet/layout.ts'
import { findPaper } from '../../src/sheet/paper.ts'
import { planPiece, planTiles, roomOf, turnedShape } from '../../src/sheet/plan.ts'
import { NO_CORRECTION } from '../../src/sheet/printer.ts'
import { shapeOf } from '../../src/sheet/shape.ts'
import { gridAt, joinsAt, joinsThrough, OVERLAP_MM } from '../../src/sheet/tile.ts'
import type { Piece } from '../../src/template/piece.ts'
import { demoPieces } from './demo.ts'
import { bentGuide, longStrip, piece, wavySquare } from './pieces.ts'

const margins = { left: 10, right: 10, top: 10, bottom: 10 }
const job = { title: 'Tarn 350 roadster, 1959', revision: 'k7f3a2', unit: 'mm' } as const
const stockOf = (name: string): Stock => {
	const { value } = findPaper(name)
	if (!value) throw new Error(name)
	return { paper: value, margins, correction: NO_CORRECTION }
}

const loop = (points: readonly (readonly [number, number])[]): PlanePoint[] => points.map(([x, y]) => ({ x, y }))
/** A shape whose left side is its working edge, if it has one. */
const shaped = (points: readonly (readonly [number, number])[], working: readonly (readonly [number, number])[] = []): Piece =>
	piece({
		number: 1,
		kind: 'strip',
		title: 'shape',
		knife: [loop(points)],
		working: working.length > 0 ? [loop(working)] : [],
		items: [],
	})

/** A T whose upright edge is the working one: 130 mm of head, a body to the right of the edge. */
const tee = (height: number, body = 50) =>
	shaped(
		[
			[0, -height / 2],
			[body, -height / 2],
			[body, -11],
			[65, -11],
			[65, 11],
			[body, 11],
			[body, height / 2],
			[0, height / 2],
			[0, 11],
			[-65, 11],
			[-65, -11],
			[0, -11],
		],
		[
			[0, -height / 2],
			[0, height / 2],
		],
	)
const ell = shaped(
	[
		[0, 0],
		[330, 0],
		[330, 40],
		[40, 40],
		[40, 330],
		[0, 330],
	],
	[
		[0, 330],
		[0, 0],
		[330, 0],
	],
)
const SMALL: readonly (readonly [string, Piece])[] = [
	['a strip of 30 x 350', longStrip(1, 30, 350)],
	['a T of 300', tee(300)],
	['a T of 420', tee(420)],
	['an L of 330', ell],
	['a field of 250', wavySquare(1, 250)],
	[
		'a bent guide of 380',
		{
			...bentGuide(1, 380, 700),
			items: bentGuide(1, 380, 700).items.filter((item) => item.kind !== 'path' || item.role !== 'bar'),
		},
	],
]

/** Every turn by 5 degrees, every way of sharing out the sheet, every place of the grid by 4 mm. */
function exhaustive(one: Piece, stock: Stock): { readonly joins: number; readonly sheets: number } {
	const shape = shapeOf(one)
	let best = { joins: Infinity, sheets: Infinity }
	for (let degrees = -85; degrees <= 90; degrees += 5) {
		const turned = turnedShape(shape, (degrees * Math.PI) / 180)
		for (const { live } of arrangements(stock.paper, margins, stock.correction, boxHeight(turned.box)).value ?? []) {
			const room = roomOf(live)
			const [stepX, stepY] = [room.widthMm - OVERLAP_MM, room.heightMm - OVERLAP_MM]
			const starts = (from: number, to: number, step: number) => {
				const list = [{ at: from, count: Math.max(1, Math.ceil((to - from - OVERLAP_MM - 1e-6) / step)) }]
				for (let at = from - step; at < from; at += 4)
					list.push({ at, count: Math.max(1, Math.ceil((to - at - OVERLAP_MM) / step)) })
				return list
			}
			for (const x of starts(turned.box.minX, turned.box.maxX, stepX)) {
				for (const y of starts(-turned.box.maxY, -turned.box.minY, stepY)) {
					const place = { left: x.at, top: -y.at, columns: x.count, rows: y.count }
					const cuts = gridAt([], place, room).cuts
					const joins = joinsThrough(turned.working, { cuts })
					if (joins > best.joins) continue
					const sheets = gridAt(turned.ink, place, room).tiles.length
					if (joins < best.joins || sheets < best.sheets) best = { joins, sheets }
				}
			}
		}
	}
	return best
}

describe('a piece over several sheets', () => {
	test.each(SMALL)(
		'%s takes no more joins, and of as few joins no more sheets, than any place and turn that were tried',
		(_, one) => {
			const stock = stockOf('A4')
			const plan = planTiles(shapeOf(one), (need) => arrangements(stock.paper, margins, stock.correction, need).value ?? [])
			const best = exhaustive(one, stock)
			expect([plan?.joins, plan?.grid.tiles.length]).toEqual([best.joins, best.sheets])
		},
	)

	test('a T that must be joined is joined through its head alone', () => {
		// too wide for the room beside the square with its head, and A5 has none around it
		const stock: Stock = { ...stockOf('A4'), margins: { left: 25, right: 25, top: 8, bottom: 8 } }
		const plan = planPiece(tee(262), stock).value
		expect(plan?.how).toBe('tiled')
		if (plan?.how !== 'tiled') return
		expect(plan.tiled.joins).toBe(0)
		expect(plan.tiled.grid.cuts.x.length + plan.tiled.grid.cuts.y.length).toBeGreaterThan(0)
	})

	test('a girth strip of 259 mm with a head of 130 mm goes on one sheet of A4, round the square', () => {
		const plan = planPiece(tee(259), stockOf('A4')).value
		expect(plan?.how).toBe('around')
	})

	test('a join along an edge counts by its length, across it once', () => {
		const edge = loop([
			[0, 0],
			[0, 250],
		])
		expect(joinsAt([edge], 'x', 0)).toBe(25)
		expect(joinsAt([edge], 'x', 4)).toBe(25)
		expect(joinsAt([edge], 'x', 6)).toBe(0)
		expect(joinsAt([edge], 'y', 100)).toBe(1)
	})

	test('a join runs between ticks and words where it can', () => {
		const strip = longStrip(1, 30, 350)
		const plan = planTiles(shapeOf(strip), (need) => arrangements(stockOf('A4').paper, margins, NO_CORRECTION, need).value ?? [])
		expect(plan?.marks).toBe(0)
	})
})

describe('against a plain grid of rows and columns', () => {
	const ours = (pieces: readonly Piece[], paper: string) => {
		const { value } = layoutSheets(pieces, { paper, margins, job })
		const joins = value?.maps.reduce((sum, map) => sum + map.joinsThroughWorking, 0) ?? 0
		return { joins, sheets: value?.sheets.filter(({ pieceIds }) => pieceIds.length > 0).length ?? 0 }
	}
	const demo = demoPieces()

	test.each(['A4', 'A3', 'A2', 'Letter', 'Legal', 'Tabloid', 'roll-610'])(
		'the demo on %s takes fewer joins, or as many and no more sheets',
		(paper) => {
			const [own, plain] = [ours(demo, paper), plainGrid(demo, stockOf(paper))]
			expect(own.joins).toBeLessThanOrEqual(plain.joins)
			if (own.joins === plain.joins) expect(own.sheets).toBeLessThanOrEqual(plain.sheets)
		},
	)

	test('so does any one piece', () => {
		const size = fc.integer({ min: 20, max: 600 })
		fc.assert(
			fc.property(size, size, fc.double({ min: 0, max: 1, noNaN: true }), (width, height, part) => {
				const one = shaped(
					[
						[0, 0],
						[width, 0],
						[width, height * part],
						[width * part, height],
						[0, height],
					],
					[
						[width, 0],
						[width, height * part],
						[width * part, height],
					],
				)
				const [own, plain] = [ours([one], 'A4'), plainGrid([one], stockOf('A4'))]
				expect(own.joins).toBeLessThanOrEqual(plain.joins)
				if (own.joins === plain.joins) expect(own.sheets).toBeLessThanOrEqual(plain.sheets)
			}),
			{ numRuns: 40 },
		)
	})
})

test('a cache gives the same sheets, and plans each piece once', () => {
	const pieces = [bentGuide(1), longStrip(2), wavySquare(3)]
	const cache = new WeakMap()
	const first = layoutSheets(pieces, { paper: 'A4', margins, job, cache })
	const stock = stockOf('A4')
	const plan = planPiece(pieces[2] as Piece, stock, cache)
	expect(planPiece(pieces[2] as Piece, stock, cache)).toBe(plan)
	expect(JSON.stringify(layoutSheets(pieces, { paper: 'A4', margins, job, cache }))).toBe(JSON.stringify(first))
	expect(JSON.stringify(layoutSheets(pieces, { paper: 'A4', margins, job }))).toBe(JSON.stringify(first))
})
