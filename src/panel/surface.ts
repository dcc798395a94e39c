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
	jet(u: number, v: number): SurfaceJet
}
