/** Where blocks of sheets lie on the floor, in rows, all at one scale. */
import type { FloorBlock, FloorSheet } from './floorView.ts'

export interface LaidSheet {
	readonly sheet: FloorSheet
	/** lower left corner; y down from the top of the floor, mm */
	readonly x: number
	readonly y: number
}

export interface Floor {
	readonly widthMm: number
	readonly heightMm: number
	readonly sheets: readonly LaidSheet[]
}

/** Between blocks, and between sheets that are joined, mm: these lie close. */
const APART_MM = 40
const JOINED_MM = 4
/** Room for its name below each sheet, mm. */
const NAME_MM = 26

interface Sized {
	readonly block: FloorBlock
	readonly width: number
	readonly height: number
}

/** Rows that fill a room of a shape (width to height) as large as they can: the width is tried in steps, the largest scale wins. */
export function layFloor(blocks: readonly FloorBlock[], shape: number): Floor {
	const sized = blocks.map(sizeOf)
	const widest = Math.max(1, ...sized.map(({ width }) => width))
	const whole = sized.reduce((sum, { width }) => sum + width + APART_MM, 0)
	const tries = Array.from({ length: 40 }, (_, i) => Math.max(widest, whole / (i + 1)))
	return tries
		.map((width) => rowsOf(sized, width))
		.reduce((best, one) => (scaleOf(one, shape) > scaleOf(best, shape) + 1e-9 ? one : best))
}

const scaleOf = ({ widthMm, heightMm }: Floor, shape: number) => Math.min(shape / widthMm, 1 / heightMm)

function sizeOf(block: FloorBlock): Sized {
	const { columns, rows, sheets } = block
	const [w, h] = [Math.max(...sheets.map(({ sheet }) => sheet.widthMm)), Math.max(...sheets.map(({ sheet }) => sheet.heightMm))]
	return { block, width: columns * (w + JOINED_MM) - JOINED_MM, height: rows * (h + JOINED_MM) - JOINED_MM }
}

function rowsOf(sized: readonly Sized[], mostWidth: number): Floor {
	const sheets: LaidSheet[] = []
	let [x, top, high, widthMm] = [0, 0, 0, 1]
	for (const { block, width, height } of sized) {
		if (x > 0 && x + width > mostWidth + 1e-6) {
			top += high + NAME_MM + APART_MM
			x = 0
			high = 0
		}
		const [w, h] = [
			Math.max(...block.sheets.map(({ sheet }) => sheet.widthMm)),
			Math.max(...block.sheets.map(({ sheet }) => sheet.heightMm)),
		]
		for (const { column, row, sheet } of block.sheets)
			sheets.push({ sheet, x: x + column * (w + JOINED_MM), y: top + (row + 1) * (h + JOINED_MM) - JOINED_MM })
		x += width + APART_MM
		high = Math.max(high, height)
		widthMm = Math.max(widthMm, x - APART_MM)
	}
	return { widthMm, heightMm: Math.max(1, top + high + NAME_MM), sheets }
}
