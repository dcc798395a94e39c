import type { ArtworkShape } from '../job/artworkSchema.ts'
import type { Region } from '../plane/point.ts'

/** An area of one flat colour, '#rrggbb'. */
export interface Ink {
	/** mm, y up; outer loops anticlockwise, holes clockwise, non-zero */
	readonly region: Region
	readonly colour: string
}

/** What an artwork's shape comes to before it is put in its place: inks in painting order, wherever it was drawn. */
export interface Drawn {
	readonly inks: readonly Ink[]
	/** largest distance between the inks and what was drawn, mm */
	readonly maxErrorMm: number
}

/** A shape that was read from its file or set from its font, with what came of it: none where it could not be. */
export type ReadShape = ArtworkShape & { readonly drawn?: Drawn | 'none' }

/** Parts of an artwork's tolerance: what curves are drawn by, and what points are left out by; the rest is for the grid. */
export const CURVE_SHARE = 0.4
export const SIMPLIFY_SHARE = 0.5
