import type { SpacePoint } from '../chart/point.ts'

/** A place of a surface with its derivatives to second order, mm per parameter. */
export interface SurfaceJet {
	readonly x: SpacePoint
	readonly xu: SpacePoint
	readonly xv: SpacePoint
	readonly xuu: SpacePoint
	readonly xuv: SpacePoint
	readonly xvv: SpacePoint
}

/**
 * A panel in space by two parameters, before it has a chart: a smooth skin over gauge sections, or a closed form.
 * (u, v, outward) is right-handed: outward is xu x xv.
 */
export interface Surface {
	readonly uMin: number
	readonly uMax: number
	readonly vMin: number
	readonly vMax: number
	/** u repeats after this much (closed rings) */
	readonly periodU?: number
	/** v of creases, across which the surface only meets */
	readonly creases?: readonly number[]
	/** `side`: the part between creases that this v lies in is meant, run on where v itself lies beyond it */
	jet(u: number, v: number, side?: number): SurfaceJet
	/** the same jet without objects: x, xu, xv, xuu, xuv, xvv of x, then of y, then of z; walks ask for it very often */
	write?(u: number, v: number, side: number, out: Float64Array): void
}
