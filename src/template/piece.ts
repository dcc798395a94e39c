import type { ChartPoint } from '../chart/point.ts'
import type { Box, Item } from '../drawing/drawing.ts'
import type { PlanePoint } from '../plane/point.ts'
import type { Side } from '../scheme/side.ts'

export type PieceKind = 'strip' | 'guide' | 'crown' | 'stripe' | 'area' | 'mask' | 'frame' | 'decal'
export type PieceSide = 'LEFT' | 'RIGHT' | 'BOTH'

/** What laying a piece flat does to its paper, as shares of length. */
export interface PaperStretch {
	/** of any small part of it, in its worst direction */
	readonly most: number
	/** where it is as much as a level, on the piece's own paper */
	readonly lines: readonly { readonly level: number; readonly points: readonly PlanePoint[] }[]
}

/** A tick of a proof piece: where to write what it misses the old paint by. */
export interface PieceBlank {
	/** the line as it is named at the tick */
	readonly line: string
	readonly side: Side
	/** mm */
	readonly station: number
	/** unsigned, mm */
	readonly girth: number
	/** the blank itself is printed at the tick */
	readonly printed: boolean
}

/** An edge to tape along, place by place: on the piece's paper, and on the panel. */
export interface PieceEdge {
	readonly on: readonly PlanePoint[]
	readonly at: readonly ChartPoint[]
}

/**
 * One piece of paper at true size, in its own paper frame (mm, y up, printed face outward:
 * the panel's orientation has been applied). `items` hold all that is printed on it; a sheet only moves and clips them.
 */
export interface Piece {
	/** a path: panel/side/line/guide/2 */
	readonly id: string
	/** the number printed on it and on the plan */
	readonly number: number
	readonly kind: PieceKind
	readonly panel: string
	/** the panel's name for people */
	readonly panelTitle: string
	readonly side: PieceSide
	/** what it is, in the trade's words: "Edge guide 2 of 3, upper coach line, outer edge" */
	readonly title: string
	/** closed cut lines, first point not repeated */
	readonly knife: readonly (readonly PlanePoint[])[]
	/** the lines that must be true: the edges to tape along, as developed */
	readonly working: readonly (readonly PlanePoint[])[]
	/** the same where they lie on the panel, so that what else follows them can be told; of strips none */
	readonly edges?: readonly PieceEdge[]
	readonly items: readonly Item[]
	readonly bounds: Box
	/** of one with the tape that is laid by it marked on it: as it was before, which is what is cut */
	readonly bare?: Piece
	/** largest error of development, mm */
	readonly errorMm: number
	/** how well the line itself is known (1 sd), mm; absent where it does not apply */
	readonly lineSdMm?: number
	/** of a piece that does not lie flat without stretch, where that is known all over it */
	readonly stretch?: PaperStretch
	/** of a piece to be held against the old paint: its ticks */
	readonly blanks?: readonly PieceBlank[]
	/** sentences for the person, printed beside the piece */
	readonly notes: readonly string[]
}
