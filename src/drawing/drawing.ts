import type { PlanePoint } from '../plane/point.ts'

/** What a mark on paper is for; becomes a class, a group or an optional-content group in the files. */
export type Role =
	| 'knife' // cut here
	| 'working' // the edge to tape against
	| 'guide' // a line to look at: centreline, station line, datum line
	| 'tick'
	| 'label'
	| 'register'
	| 'bar' // scale bars, check squares
	| 'fill' // swatches, filled waste
	| 'frame' // sheet furniture

export type Segment =
	| { readonly to: 'move'; readonly p: PlanePoint }
	| { readonly to: 'line'; readonly p: PlanePoint }
	| { readonly to: 'cubic'; readonly a: PlanePoint; readonly b: PlanePoint; readonly p: PlanePoint }
	| { readonly to: 'close' }

export interface Stroke {
	readonly widthMm: number
	/** #rrggbb */
	readonly colour: string
	/** on, off, on, off ... in mm */
	readonly dashMm?: readonly number[]
}

/** Words that are to be seen on the panel, drawn as text or as outlines; not words about a piece. Never mirrored. */
interface Lettering {
	readonly lettering?: boolean
}

export interface PathItem extends Lettering {
	readonly kind: 'path'
	readonly role: Role
	readonly segments: readonly Segment[]
	readonly stroke?: Stroke
	/** #rrggbb; non-zero fill rule */
	readonly fill?: string
	readonly title?: string
}

export interface TextItem extends Lettering {
	readonly kind: 'text'
	readonly role: Role
	/** the anchor point, on the baseline of the text */
	readonly at: PlanePoint
	readonly text: string
	/** em size, mm */
	readonly sizeMm: number
	readonly anchor: 'start' | 'middle' | 'end'
	/** anticlockwise, radians */
	readonly angle: number
	readonly bold?: boolean
	readonly colour?: string
}

/** Items moved as one: first turned anticlockwise by `angle` about the origin, then shifted to `at`. */
export interface GroupItem extends Lettering {
	readonly kind: 'group'
	readonly id?: string
	readonly title?: string
	readonly at?: PlanePoint
	readonly angle?: number
	/** in the group's own coordinates, before placing */
	readonly clip?: Box
	readonly items: readonly Item[]
}

export type Item = PathItem | TextItem | GroupItem

export interface Box {
	readonly minX: number
	readonly minY: number
	readonly maxX: number
	readonly maxY: number
}

/** A page or picture in paper mm, y up, origin at the lower left corner. Nothing here knows a device. */
export interface Drawing {
	readonly widthMm: number
	readonly heightMm: number
	readonly title: string
	readonly items: readonly Item[]
}
