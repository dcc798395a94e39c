/** Which cells of a fine grid a piece covers, and how many of them lie in any box: for looking at very many places quickly. */
import type { Box } from '../drawing/drawing.ts'
import type { PlanePoint } from '../plane/point.ts'
import type { InkShape } from './ink.ts'

export interface Raster {
	/** covered cells that the box touches */
	readonly covered: (box: Box) => number
}

/** More cells than this each way cost more than they tell. */
const MOST_CELLS = 512

/**
 * Cells of `cellMm` over the box (coarser for a box of more than 512 of them) that lines run through or filled shapes and the insides
 * of `loops` cover. A cell that is touched counts as covered. Sums over boxes by a summed-area table: Crow, SIGGRAPH 84.
 */
export function rasterOf(
	ink: readonly InkShape[],
	loops: readonly (readonly PlanePoint[])[],
	box: Box,
	wantedMm: number,
): Raster {
	const cell = Math.max(wantedMm, (box.maxX - box.minX) / MOST_CELLS, (box.maxY - box.minY) / MOST_CELLS)
	const columns = Math.max(1, Math.ceil((box.maxX - box.minX) / cell))
	const rows = Math.max(1, Math.ceil((box.maxY - box.minY) / cell))
	const on = new Uint8Array(columns * rows)
	const set = (x: number, y: number) => {
		const i = Math.min(columns - 1, Math.max(0, Math.floor((x - box.minX) / cell)))
		const j = Math.min(rows - 1, Math.max(0, Math.floor((y - box.minY) / cell)))
		on[j * columns + i] = 1
	}
	for (const { lines, filled } of ink) {
		for (const line of lines) trace(line, cell / 2, set)
		if (filled) fill(lines, box, cell, columns, rows, on)
	}
	if (loops.length > 0) fill(loops, box, cell, columns, rows, on)

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

/** Points along the line, no further apart than the step. */
function trace(line: readonly PlanePoint[], step: number, set: (x: number, y: number) => void): void {
	line.forEach((p, index) => {
		const before = line[index - 1]
		set(p.x, p.y)
		const parts = before ? Math.ceil(Math.hypot(p.x - before.x, p.y - before.y) / step) : 0
		for (let k = 1; before && k < parts; k++) {
			set(before.x + ((p.x - before.x) * k) / parts, before.y + ((p.y - before.y) * k) / parts)
		}
	})
}

/** Cells whose middle the loops go round (non-zero winding), row by row. */
function fill(
	loops: readonly (readonly PlanePoint[])[],
	box: Box,
	cell: number,
	columns: number,
	rows: number,
	on: Uint8Array,
): void {
	const crossings: { x: number; way: number }[][] = Array.from({ length: rows }, () => [])
	for (const loop of loops) {
		loop.forEach((b, index) => {
			const a = loop.at(index - 1) as PlanePoint
			if (a.y === b.y) return
			const [low, high, way] = a.y < b.y ? [a, b, 1] : [b, a, -1]
			const from = Math.max(0, Math.ceil((low.y - box.minY) / cell - 0.5))
			for (let j = from; j < rows; j++) {
				const y = box.minY + (j + 0.5) * cell
				if (y >= high.y) break
				crossings[j]?.push({ x: low.x + ((high.x - low.x) * (y - low.y)) / (high.y - low.y), way })
			}
		})
	}
	crossings.forEach((row, j) => {
		row.sort((a, b) => a.x - b.x)
		let winding = 0
		row.forEach(({ x, way }, index) => {
			winding += way
			const next = row[index + 1]
			if (winding === 0 || !next) return
			const from = Math.max(0, Math.floor((x - box.minX) / cell))
			const to = Math.min(columns, Math.ceil((next.x - box.minX) / cell))
			if (to > from) on.fill(1, j * columns + from, j * columns + to)
		})
	})
}
