/** The sheets of a job as they lie on the floor: plain numbers, mm, y up, each from its lower left corner. */
import type { Box, Drawing } from '../drawing/drawing.ts'
import { flatten, movePoint } from '../drawing/place.ts'
import { polylinesOf } from '../drawing/polylines.ts'
import type { Result } from '../engine/compute.ts'
import type { Shop } from '../job/shop.ts'
import type { PlanePoint } from '../plane/point.ts'
import { simplify } from '../plane/simplify.ts'
import { PAPERS } from '../sheet/paper.ts'
import type { Placement, Sheet } from '../sheet/sheets.ts'
import type { Piece } from '../template/piece.ts'
import type { Line } from './scene.ts'

export interface LaidPiece {
	readonly number: number
	readonly title: string
	/** on another sheet goes what lies outside */
	readonly clip: Box
	/** where it is cut */
	readonly loops: readonly Line[]
	/** edges to tape along */
	readonly working: readonly Line[]
}

export interface FloorSheet {
	readonly number: number
	readonly name: string
	readonly widthMm: number
	readonly heightMm: number
	/** the room for pieces */
	readonly live: Box
	readonly square: Box
	readonly pieces: readonly LaidPiece[]
	/** of a sheet without pieces, the map of all sheets: what is drawn on it */
	readonly drawn: readonly Line[]
}

/** Sheets that are joined lie together: columns and rows from the upper left one. */
export interface FloorBlock {
	readonly columns: number
	readonly rows: number
	readonly sheets: readonly { readonly column: number; readonly row: number; readonly sheet: FloorSheet }[]
}

export interface PieceEntry {
	readonly id: string
	readonly number: number
	readonly title: string
	readonly panel: string
}

export interface FloorView {
	readonly paper: string
	readonly count: number
	readonly blocks: readonly FloorBlock[]
	readonly pieces: readonly PieceEntry[]
}

/** What a sheet can be printed on: the shop's own papers and the usual ones, and the shop's printers. */
export interface Stock {
	readonly papers: readonly { readonly id: string; readonly name: string }[]
	readonly printers: readonly {
		readonly id: string
		readonly name: string
		readonly measured?: { readonly across: number; readonly along: number }
	}[]
	/** what the shop's file says, or what is used where it says nothing */
	/** a cutter's film, mm */
	readonly film?: { readonly width: number; readonly height: number }
	readonly paper: string
	readonly printer?: string
}

export function stockOf(shop: Shop): Stock {
	const own = shop.papers.map(({ id }) => ({ id, name: id }))
	const taken = new Set(own.map(({ id }) => id.toLowerCase()))
	const usual = PAPERS.filter(({ id }) => !taken.has(id.toLowerCase())).map(({ id, name }) => ({ id, name }))
	const printer = shop.printer ?? shop.printers[0]?.id
	return {
		papers: [...own, ...usual],
		printers: shop.printers.map(({ id, name = id, measured }) => ({ id, name, ...(measured ? { measured } : {}) })),
		paper: shop.paper,
		...(shop.cutter.sheet ? { film: shop.cutter.sheet } : {}),
		...(printer === undefined ? {} : { printer }),
	}
}

/** Lines are seen from afar, mm. */
const ROUGH_MM = 0.3

export function floorOf({ panels, sheets }: Result, paper: string): FloorView {
	const pieces = new Map(panels.flatMap((panel) => (panel.pieces ?? []).map((piece) => [piece.id, piece] as const)))
	const all = (sheets?.sheets ?? []).map((sheet) => floorSheet(sheet, pieces))
	const blocks: FloorBlock[] = []
	const placed = new Set<string>()
	for (const sheet of all) {
		if (placed.has(sheet.name)) continue
		const map = sheets?.maps.find(({ places }) => places.length > 1 && places.some((place) => place.sheet === sheet.name))
		if (!map) {
			blocks.push({ columns: 1, rows: 1, sheets: [{ column: 0, row: 0, sheet }] })
			continue
		}
		const joined = map.places.flatMap(({ row, column, sheet: name }) => {
			const own = all.find((one) => one.name === name)
			placed.add(name)
			return own ? [{ column, row, sheet: own }] : []
		})
		blocks.push(fromCorner(joined))
	}
	const printed = new Set(sheets?.sheets.flatMap(({ pieceIds }) => pieceIds) ?? [])
	return {
		paper: sheets?.sheets[0]?.paper ?? paper,
		count: all.length,
		blocks,
		pieces: [...pieces.values()]
			.filter(({ id }) => printed.has(id))
			.map(({ id, number, title, panel }) => ({ id, number, title, panel })),
	}
}

/** Rows and columns counted from the first that has a sheet. */
function fromCorner(sheets: FloorBlock['sheets']): FloorBlock {
	const [columns, rows] = [sheets.map(({ column }) => column), sheets.map(({ row }) => row)]
	const [left, top] = [Math.min(...columns), Math.min(...rows)]
	return {
		columns: Math.max(...columns) - left + 1,
		rows: Math.max(...rows) - top + 1,
		sheets: sheets.map(({ column, row, sheet }) => ({ column: column - left, row: row - top, sheet })),
	}
}

function floorSheet(
	{ number, name, drawing, live, checkSquare, placements }: Sheet,
	pieces: ReadonlyMap<string, Piece>,
): FloorSheet {
	return {
		...{ number, name, widthMm: drawing.widthMm, heightMm: drawing.heightMm, live, square: checkSquare },
		pieces: placements.flatMap((placement) => {
			const piece = pieces.get(placement.pieceId)
			return piece ? [laid(piece, placement)] : []
		}),
		drawn: placements.length > 0 ? [] : linesIn(drawing, live),
	}
}

/** The lines of a drawing that lie wholly in a box. */
function linesIn({ items }: Drawing, box: Box): readonly Line[] {
	return flatten(items).flatMap(({ item }) => {
		if (item.kind === 'text') return []
		return polylinesOf(item.segments, ROUGH_MM).flatMap(({ points, closed }) => {
			const inside = points.every(({ x, y }) => x >= box.minX && x <= box.maxX && y >= box.minY && y <= box.maxY)
			return inside ? [flat(closed ? [...points, ...points.slice(0, 1)] : points)] : []
		})
	})
}

function laid({ number, title, knife, working }: Piece, placement: Placement): LaidPiece {
	const lines = (all: readonly (readonly PlanePoint[])[], closed: boolean) =>
		all.map((points) => flat(simplify(points, ROUGH_MM, closed).map((p) => movePoint(p, placement))))
	return { number, title, clip: placement.clip, loops: lines(knife, true), working: lines(working, false) }
}

const flat = (points: readonly PlanePoint[]): Line =>
	points.flatMap(({ x, y }) => [Math.round(10 * x) / 10, Math.round(10 * y) / 10])
