/** A piece that is larger than the room on a sheet, cut into a grid of overlapping windows. */
import { boxHeight, boxWidth, grown } from '../drawing/box.ts'
import type { Box } from '../drawing/drawing.ts'
import type { PlanePoint } from '../plane/point.ts'
import { hasInk, type InkShape } from './ink.ts'

/** Neighbours print this strip both: enough for glue, and for marks that can be read. */
export const OVERLAP_MM = 10
/** Ink this close outside a tile's own part keeps the tile, so that pieces of line are never joined by a corner alone. */
const CORNER_MM = 1
/** Rounding must not ask for one more sheet. */
const SLACK_MM = 1e-6
/** More sheets than anyone joins; also the limit of the work done here. */
export const MOST_TILES = 400

/** One window of the grid, in the turned piece's coordinates. Rows count from the top, columns from the left. */
export interface Tile {
	readonly row: number
	readonly column: number
	/** all that the sheet shows */
	readonly window: Box
	/** its own part, up to the middle of each overlap: the parts cover the grid once */
	readonly own: Box
}

export interface Grid {
	readonly rows: number
	readonly columns: number
	/** where one tile's own part ends and the next begins */
	readonly cuts: { readonly x: readonly number[]; readonly y: readonly number[] }
	/** only tiles with ink in their own part */
	readonly tiles: readonly Tile[]
}

interface Room {
	readonly widthMm: number
	readonly heightMm: number
}

const count = (length: number, room: number) =>
	length <= room + SLACK_MM ? 1 : Math.ceil((length - OVERLAP_MM - SLACK_MM) / (room - OVERLAP_MM))

/** Windows needed each way for a box of this size. */
export const gridSize = (box: Box, room: Room): { readonly rows: number; readonly columns: number } => ({
	rows: count(boxHeight(box), room.heightMm),
	columns: count(boxWidth(box), room.widthMm),
})

/**
 * The grid of windows of the room's size over the box, the box in its middle; windows without ink are left out.
 * Undefined where it would take more than 400.
 */
export function gridOver(ink: readonly InkShape[], box: Box, room: Room): Grid | undefined {
	const { rows, columns } = gridSize(box, room)
	if (rows * columns > MOST_TILES) return undefined
	const step = { x: room.widthMm - OVERLAP_MM, y: room.heightMm - OVERLAP_MM }
	const left = (box.minX + box.maxX - columns * step.x - OVERLAP_MM) / 2
	const top = (box.minY + box.maxY + rows * step.y + OVERLAP_MM) / 2
	const half = OVERLAP_MM / 2
	const tiles: Tile[] = []
	for (let row = 0; row < rows; row++) {
		for (let column = 0; column < columns; column++) {
			const minX = left + column * step.x
			const maxY = top - row * step.y
			const window = { minX, minY: maxY - room.heightMm, maxX: minX + room.widthMm, maxY }
			const own = {
				minX: window.minX + (column > 0 ? half : 0),
				minY: window.minY + (row < rows - 1 ? half : 0),
				maxX: window.maxX - (column < columns - 1 ? half : 0),
				maxY: window.maxY - (row > 0 ? half : 0),
			}
			if (rows * columns === 1 || hasInk(ink, grown(own, CORNER_MM))) tiles.push({ row, column, window, own })
		}
	}
	const cuts = {
		x: Array.from({ length: columns - 1 }, (_, i) => left + (i + 1) * step.x + half),
		y: Array.from({ length: rows - 1 }, (_, i) => top - (i + 1) * step.y - half),
	}
	return { rows, columns, cuts, tiles }
}

/** How often lines cross the middles of overlaps: joins that lie across a working edge. */
export function joinsThrough(lines: readonly (readonly PlanePoint[])[], { cuts }: Grid): number {
	let crossings = 0
	const between = (a: number, b: number, cut: number) => a < cut !== b < cut
	for (const points of lines) {
		points.forEach((p, i) => {
			const before = points[i - 1]
			if (!before) return
			for (const x of cuts.x) if (between(before.x, p.x, x)) crossings++
			for (const y of cuts.y) if (between(before.y, p.y, y)) crossings++
		})
	}
	return crossings
}

/** Rows by letter from the top (A to Z, then AA), columns by number from the left: B2. */
export function tileName({ row, column }: Pick<Tile, 'row' | 'column'>): string {
	let letters = ''
	for (let n = row; n >= 0; n = Math.floor(n / 26) - 1) letters = String.fromCharCode(65 + (n % 26)) + letters
	return `${letters}${column + 1}`
}
