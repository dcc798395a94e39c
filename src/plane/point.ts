/**
 * A point or vector of a plane, in mm. On paper x runs right and y runs up.
 * `z?: undefined` keeps a point in space from passing for a point on paper.
 */
export interface PlanePoint {
	readonly x: number
	readonly y: number
	readonly z?: undefined
}

/** A cubic Bezier: start, two handles, end. */
export type Cubic = readonly [PlanePoint, PlanePoint, PlanePoint, PlanePoint]

/** Loops of a region: closed polylines, first point not repeated; outer loops anticlockwise, holes clockwise. */
export type Loop = readonly PlanePoint[]
export type Region = readonly Loop[]
