/** Which cells of a fine grid a piece covers, and how many of them lie in any box: for looking at very many places quickly. */
import type { Box } from '../drawing/drawing.ts'
import { turnOf } from '../drawing/place.ts'
import type { PlanePoint } from '../plane/point.ts'
import type { InkShape } from './ink.ts'

export interface Raster {
	/** covered cells that the box touches */
	readonly covered: (box: Box) => number
}

/** More cells than this each way cost more than they tell. */
const MOST_CELLS = 512

/**
 * Cells of `wantedMm` over the box (coarser for a box of more than 512 of them) that lines run through or filled shapes and the insides
 * of `loops` cover, once they are turned by `angle`. A cell that is touched counts as covered. Sums over boxes by a summed-area table: Crow, SIGGRAPH 84.
 */
export function rasterOf(
	ink: readonly InkShape[],
	loops: readonly (readonly PlanePoint[])[],
	box: Box,
	wantedMm: number,
	angle = 0,
): Raster {
	const cell = Math.max(wantedMm, (box.maxX - box.minX) / MOST_CELLS, (box.maxY - box.minY) / MOST_CELLS)
	const columns = Math.max(1, Math.ceil((box.maxX - box.minX) / cell))
	const rows = Math.max(1, Math.ceil((box.maxY - box.minY) / cell))
	const on = new Uint8Array(columns * rows)
	const grid = { box, cell, columns, rows, on, turn: turnOf(angle) }
	for (const { lines, filled } of ink) {
		for (const line of lines) trace(line, grid)
		if (filled) fill(lines, grid)
	}
	if (loops.length > 0) fill(loops, grid)

	const width = columns + 1
	const sums = new Uint32Array(width * (rows + 1))
	for (let j = 0; j < rows; j++) {
		let row = 0
		for (let i = 0; i < columns; i++) {
			row += on[j * columns + i] as number
			sums[(j + 1) * width + i + 1] = (sums[j * width + i + 1] as number) + row
		}
	}
	const clamp = (value: number, most: number) => Math.min(most, Math.max(0, value))
	return {
		covered: ({ minX, minY, maxX, maxY }) => {
			const i0 = clamp(Math.floor((minX - box.minX) / cell), columns)
			const i1 = clamp(Math.ceil((maxX - box.minX) / cell), columns)
			const j0 = clamp(Math.floor((minY - box.minY) / cell), rows)
			const j1 = clamp(Math.ceil((maxY - box.minY) / cell), rows)
			if (i1 <= i0 || j1 <= j0) return 0
			const [low, high] = [j0 * width, j1 * width]
			return (sums[high + i1] as number) - (sums[high + i0] as number) - (sums[low + i1] as number) + (sums[low + i0] as number)
		},
	}
}

interface Cells {
	readonly box: Box
	readonly cell: number
	readonly columns: number
	readonly rows: number
	readonly on: Uint8Array
	readonly turn: { readonly cos: number; readonly sin: number }
}

/** Cells at points along the line that are no further apart than half a cell. */
function trace(line: readonly PlanePoint[], { box, cell, columns, rows, on, turn: { cos, sin } }: Cells): void {
	const step = cell / 2
	let [beforeX, beforeY] = [0, 0]
	for (let index = 0; index < line.length; index++) {
		const p = line[index] as PlanePoint
		const px = p.x * cos - p.y * sin
		const py = p.x * sin + p.y * cos
		const parts = index > 0 ? Math.ceil(Math.hypot(px - beforeX, py - beforeY) / step) : 0
		// the point itself, and those before it
		for (let k = 0; k === 0 || k < parts; k++) {
			const x = k === 0 ? px : beforeX + ((px - beforeX) * k) / parts
			const y = k === 0 ? py : beforeY + ((py - beforeY) * k) / parts
			const i = Math.min(columns - 1, Math.max(0, Math.floor((x - box.minX) / cell)))
			const j = Math.min(rows - 1, Math.max(0, Math.floor((y - box.minY) / cell)))
			on[j * columns + i] = 1
		}
		beforeX = px
		beforeY = py
	}
}

/** Where loops cross the heights of the rows' middles: row, x and way (+1 up, -1 down) of each; room that is used again. */
let rowsMet = new Int32Array(4096)
let xsMet = new Float64Array(4096)
let waysMet = new Int8Array(4096)

function grow(): void {
	const [rows, xs, ways] = [
		new Int32Array(2 * rowsMet.length),
		new Float64Array(2 * xsMet.length),
		new Int8Array(2 * waysMet.length),
	]
	rows.set(rowsMet)
	xs.set(xsMet)
	ways.set(waysMet)
	rowsMet = rows
	xsMet = xs
	waysMet = ways
}

/** Cells whose middle the loops go round (non-zero winding), row by row, and those that their edges touch at that height. */
function fill(loops: readonly (readonly PlanePoint[])[], { box, cell, columns, rows, on, turn: { cos, sin } }: Cells): void {
	let count = 0
	for (const loop of loops) {
		const last = loop[loop.length - 1]
		if (!last) continue
		let ax = last.x * cos - last.y * sin
		let ay = last.x * sin + last.y * cos
		for (const b of loop) {
			const bx = b.x * cos - b.y * sin
			const by = b.x * sin + b.y * cos
			const up = ay < by
			const highY = up ? by : ay
			const lowY = up ? ay : by
			const lowX = up ? ax : bx
			const slope = ay === by ? 0 : (bx - ax) / (by - ay)
			for (let j = Math.max(0, Math.ceil((lowY - box.minY) / cell - 0.5)); ay !== by && j < rows; j++) {
				const y = box.minY + (j + 0.5) * cell
				if (y >= highY) break
				if (count === rowsMet.length) grow()
				rowsMet[count] = j
				xsMet[count] = lowX + slope * (y - lowY)
				waysMet[count] = up ? 1 : -1
				count++
			}
			ax = bx
			ay = by
		}
	}
	// Sorted by row, then by x: few cross a row, so each finds its place among those before it.
	const starts = new Int32Array(rows + 1)
	for (let k = 0; k < count; k++) starts[(rowsMet[k] as number) + 1] = (starts[(rowsMet[k] as number) + 1] as number) + 1
	for (let j = 0; j < rows; j++) starts[j + 1] = (starts[j + 1] as number) + (starts[j] as number)
	const order = new Int32Array(count)
	const filled = starts.slice()
	for (let k = 0; k < count; k++) {
		const j = rowsMet[k] as number
		let at = filled[j] as number
		filled[j] = at + 1
		const x = xsMet[k] as number
		for (; at > (starts[j] as number) && (xsMet[order[at - 1] as number] as number) > x; at--) order[at] = order[at - 1] as number
		order[at] = k
	}
	for (let j = 0; j < rows; j++) {
		let winding = 0
		for (let at = starts[j] as number; at + 1 < (starts[j + 1] as number); at++) {
			winding += waysMet[order[at] as number] as number
			if (winding === 0) continue
			const from = Math.max(0, Math.floor(((xsMet[order[at] as number] as number) - box.minX) / cell))
			const to = Math.min(columns, Math.ceil(((xsMet[order[at + 1] as number] as number) - box.minX) / cell))
			if (to > from) on.fill(1, j * columns + from, j * columns + to)
		}
	}
}
