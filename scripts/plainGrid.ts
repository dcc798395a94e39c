// What the sheets of a set are held beside: every piece as it is drawn, by itself, on an upright sheet under a plain grid of rows and
// columns that starts at the piece's corner.
import { boxHeight } from '../src/drawing/box.ts'
import { type Arrangement, arrangements, type Stock } from '../src/sheet/arrange.ts'
import { roomOf } from '../src/sheet/plan.ts'
import { shapeOf, turnedBox } from '../src/sheet/shape.ts'
import { gridAt, gridSize, joinsThrough } from '../src/sheet/tile.ts'
import type { Piece } from '../src/template/piece.ts'

/** Joins through working edges (along an edge: one for each 10 mm) and sheets of the plain grid over the pieces. */
export function plainGrid(
	pieces: readonly Piece[],
	{ paper, margins, correction }: Stock,
): { readonly joins: number; readonly sheets: number } {
	let [joins, sheets] = [0, 0]
	for (const piece of pieces) {
		const shape = shapeOf(piece)
		const box = turnedBox(shape, 0)
		const way = arrangements(paper, margins, correction, boxHeight(box)).value?.[0] as Arrangement
		const room = roomOf(way.live)
		const { rows, columns } = gridSize(box, room)
		const grid = gridAt(shape.detail().ink, { left: box.minX, top: box.maxY, rows, columns }, room)
		joins += joinsThrough(piece.working, grid)
		sheets += grid.tiles.length
	}
	return { joins, sheets }
}
