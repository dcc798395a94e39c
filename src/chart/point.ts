/**
 * The two of the three worlds of points that belong to the panel (the third, paper, is `PlanePoint`).
 * All lengths in mm.
 */

/** A place on the panel: station s along the baseline, girth g square off it. */
export interface ChartPoint {
	readonly s: number
	readonly g: number
}

/** A place in space in the vehicle's frame: x rearward, y to the right, z up. */
export interface SpacePoint {
	readonly x: number
	readonly y: number
	readonly z: number
}

/** A cubic Bezier in (s, g). */
export type ChartCubic = readonly [ChartPoint, ChartPoint, ChartPoint, ChartPoint]

/** A directed curve on the panel, front to rear (or left to right where it crosses the centreline). */
export interface Curve {
	readonly id: string
	readonly cubics: readonly ChartCubic[]
	readonly closed: boolean
	/** largest distance on the panel between this curve and the one it stands for */
	readonly maxErrorMm: number
}

/** Loops in (s, g): closed, first point not repeated, outer anticlockwise, holes clockwise, non-zero fill. */
export type ChartRegion = readonly (readonly ChartPoint[])[]
