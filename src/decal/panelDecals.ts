/** All decals of one panel, laid. */
import type { PlacedDecal } from './decal.ts'
import type { Clearance } from './neighbours.ts'
import type { SidesOfDecal } from './sides.ts'

export interface PanelDecal extends PlacedDecal {
	/** of the chart that it lies on */
	readonly hand: 'centre' | 'left' | 'right'
	/** what it lies over first, then the nearest */
	readonly clearances: readonly Clearance[]
}

export interface PanelDecals {
	readonly placed: readonly PanelDecal[]
	/** those that were measured on both sides */
	readonly sides: readonly SidesOfDecal[]
}
