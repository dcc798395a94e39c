/** The set of sheets that a job is printed on. */
import type { Box, Drawing } from '../drawing/drawing.ts'
import type { PageScale } from '../drawing/pdf.ts'
import type { PlanePoint } from '../plane/point.ts'
import type { Orientation } from './printer.ts'

/** Where a piece lies on a sheet: its own coordinates turned anticlockwise by `angle` (radians), then shifted to `at`. */
export interface Placement {
	readonly pieceId: string
	readonly at: PlanePoint
	readonly angle: number
	/** in sheet coordinates: what lies outside is on another sheet */
	readonly clip: Box
}

/** A neighbour: the sheet on which the piece goes on. */
export interface SheetJoin {
	readonly at: 'left' | 'right' | 'above' | 'below'
	readonly sheet: string
	/** this sheet is cut on the mating line and laid on the other, or stays whole */
	readonly cutHere: boolean
	/** the mating line, sheet coordinates */
	readonly line: readonly [PlanePoint, PlanePoint]
	/** middles of the register marks, sheet coordinates, in the same order on both sheets */
	readonly marks: readonly PlanePoint[]
}

export interface Sheet {
	/** from 1 */
	readonly number: number
	/** the piece's number, and row and column where it takes several: 7-B2 */
	readonly name: string
	readonly paper: string
	readonly orientation: Orientation
	readonly pieceIds: readonly string[]
	readonly placements: readonly Placement[]
	readonly joins: readonly SheetJoin[]
	/** the room for pieces */
	readonly live: Box
	/** middle of its line: 100.00 mm each way */
	readonly checkSquare: Box
	/** the printer's correction for this page, for the PDF writer alone; the drawing is true */
	readonly scale: PageScale
	readonly drawing: Drawing
}

/** How a piece of several sheets lies on them. */
export interface SheetMap {
	readonly pieceId: string
	readonly rows: number
	readonly columns: number
	/** joins that pass through an edge to tape along */
	readonly joinsThroughWorking: number
	readonly places: readonly { readonly row: number; readonly column: number; readonly sheet: string }[]
}

export interface Sheets {
	readonly sheets: readonly Sheet[]
	readonly maps: readonly SheetMap[]
}
