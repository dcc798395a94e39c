/** A piece that is larger than the room on a sheet, cut into a grid of overlapping windows. */
import { boxHeight, boxWidth, grown } from '../drawing/box.ts'
import type { Box } from '../drawing/drawing.ts'
import type { PlanePoint } from '../plane/point.ts'
import { hasInk, type InkShape } from './ink.ts'

/** Neighbours print this strip both: enough for glue, and for marks that can be read. */
export const OVERLAP_MM = 10
/** Ink this close outside a tile's own part keeps the tile, so that pieces of line are never joined by a corner alone. */
export const CORNER_MM = 1
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

export interface Room {
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

/** Where a grid stands: the upper left corner of its first window, and how many windows there are each way. */
export interface GridPlace {
	readonly left: number
	readonly top: number
	readonly columns: number
	readonly rows: number
}

/** The windows with their own parts, row by row, blank or not. */
export function windowsOf({ left, top, columns, rows }: GridPlace, room: Room): readonly Tile[] {
	const step = { x: room.widthMm - OVERLAP_MM, y: room.heightMm - OVERLAP_MM }
	const half = OVERLAP_MM / 2
	return Array.from({ length: rows * columns }, (_, index) => {
		const [row, column] = [Math.floor(index / columns), index % columns]
		const minX = left + column * step.x
		const maxY = top - row * step.y
		const window = { minX, minY: maxY - room.heightMm, maxX: minX + room.widthMm, maxY }
		const own = {
			minX: window.minX + (column > 0 ? half : 0),
			minY: window.minY + (row < rows - 1 ? half : 0),
			maxX: window.maxX - (column < columns - 1 ? half : 0),
			maxY: window.maxY - (row > 0 ? half : 0),
		}
		return { row, column, window, own }
	})
}

/** Mating lines of a row of `count` windows that starts at `start` and goes on by `step` (which may be negative). */
export const cutsFrom = (start: number, count: number, step: number): readonly number[] =>
	Array.from({ length: count - 1 }, (_, i) => start + (i + 1) * step + (Math.sign(step) * OVERLAP_MM) / 2)

/** The grid at that place; windows without ink are left out. */
export function gridAt(ink: readonly InkShape[], place: GridPlace, room: Room): Grid {
	const { left, top, columns, rows } = place
	const all = windowsOf(place, room)
	const inked = all.length === 1 ? all : all.filter(({ own }) => hasInk(ink, grown(own, CORNER_MM)))
	// named from the first row and column that print something
	const least = (of: (tile: Tile) => number) => inked.reduce((low, tile) => Math.min(low, of(tile)), Infinity)
	const [first, start] = [least(({ row }) => row), least(({ column }) => column)]
	const tiles = inked.map((tile) => ({ ...tile, row: tile.row - first, column: tile.column - start }))
	const cuts = { x: cutsFrom(left, columns, room.widthMm - OVERLAP_MM), y: cutsFrom(top, rows, OVERLAP_MM - room.heightMm) }
	return { rows, columns, cuts, tiles }
}

/** The grid of windows of the room's size over the box, the box in its middle. Undefined where it would take more than 400. */
export function gridOver(ink: readonly InkShape[], box: Box, room: Room): Grid | undefined {
	const { rows, columns } = gridSize(box, room)
	if (rows * columns > MOST_TILES) return undefined
	const step = { x: room.widthMm - OVERLAP_MM, y: room.heightMm - OVERLAP_MM }
	const left = (box.minX + box.maxX - columns * step.x - OVERLAP_MM) / 2
	const top = (box.minY + box.maxY + rows * step.y + OVERLAP_MM) / 2
	return gridAt(ink, { left, top, columns, rows }, room)
}

/**
 * How often a mating line at `axis` = `cut` joins through the lines: once for each crossing, and where a line runs along inside the
 * overlap, once for every 10 mm of it: nothing is worse than an edge that lies on a join.
 */
export const joinsAt = (lines: readonly (readonly PlanePoint[])[], axis: 'x' | 'y', cut: number): number =>
	joinCounter(lines, axis)(cut)

/** As many stretches of a line are passed over at once where they are all far from a cut. */
const STRETCHES = 16

/** As `joinsAt`, for very many cuts. */
export function joinCounter(lines: readonly (readonly PlanePoint[])[], axis: 'x' | 'y'): (cut: number) => number {
	const all = lines.map((points) => {
		const ats = Float64Array.from(points, (p) => p[axis])
		const lengths = Float64Array.from(points, (q, i) => {
			const p = points[i - 1]
			return p ? Math.hypot(q.x - p.x, q.y - p.y) : 0
		})
		const reaches = new Float64Array(2 * Math.ceil(points.length / STRETCHES))
		for (let first = 1; first < points.length; first += STRETCHES) {
			const own = ats.subarray(first - 1, first + STRETCHES)
			reaches.set([Math.min(...own), Math.max(...own)], (2 * (first - 1)) / STRETCHES)
		}
		return { ats, lengths, reaches }
	})
	return (cut) => {
		const [low, high] = [cut - OVERLAP_MM / 2, cut + OVERLAP_MM / 2]
		let joins = 0
		for (const { ats, lengths, reaches } of all) {
			const count = ats.length
			let [run, crossings] = [0, 0]
			for (let first = 1; first < count; first += STRETCHES) {
				const reach = (2 * (first - 1)) / STRETCHES
				if (run === 0 && ((reaches[reach + 1] as number) <= low || (reaches[reach] as number) >= high)) continue
				for (let i = first; i < count && i < first + STRETCHES; i++) {
					const a = ats[i - 1] as number
					const b = ats[i] as number
					const near = (a > low || b > low) && (a < high || b < high)
					if (near) {
						const inside = Math.min(high, Math.max(a, b)) - Math.max(low, Math.min(a, b))
						const length = lengths[i] as number
						run += a === b ? length : (length * inside) / Math.abs(b - a)
						if (a < cut !== b < cut) crossings++
					}
					// the line leaves the overlap, or ends in it
					if (run > 0 && (!near || b <= low || b >= high || i === count - 1)) {
						joins += Math.max(crossings, Math.round(run / OVERLAP_MM))
						run = 0
						crossings = 0
					}
				}
			}
		}
		return joins
	}
}

/** Joins through the lines of the whole grid, as `joinsAt` counts them. */
export const joinsThrough = (lines: readonly (readonly PlanePoint[])[], { cuts }: Pick<Grid, 'cuts'>): number =>
	cuts.x.reduce((sum, cut) => sum + joinsAt(lines, 'x', cut), 0) + cuts.y.reduce((sum, cut) => sum + joinsAt(lines, 'y', cut), 0)

/** Rows by letter from the top (A to Z, then AA), columns by number from the left: B2. */
export function tileName({ row, column }: Pick<Tile, 'row' | 'column'>): string {
	let letters = ''
	for (let n = row; n >= 0; n = Math.floor(n / 26) - 1) letters = String.fromCharCode(65 + (n % 26)) + letters
	return `${letters}${column + 1}`
}
