import type { ChartPoint, SpacePoint } from './point.ts'

/** The metric at a place: dl^2 = J^2 ds^2 + dg^2. */
export interface Metric {
	/** length on the panel of 1 mm of baseline, out here */
	readonly j: number
	/** dJ/dg, 1/mm */
	readonly jg: number
	/** dJ/ds, 1/mm */
	readonly js: number
	/** Gaussian curvature, 1/mm^2 */
	readonly k: number
}

/** Room for a metric, to be used again. */
export type MetricRoom = { -readonly [K in keyof Metric]: Metric[K] }

export const metricRoom = (): MetricRoom => ({ j: Number.NaN, jg: Number.NaN, js: Number.NaN, k: Number.NaN })

/**
 * One panel as the person measures it: station s along a baseline, girth g square off it
 * (semi-geodesic coordinates; do Carmo, Differential Geometry of Curves and Surfaces, 4-6).
 * Every kind of panel becomes this, and nothing that uses it asks which kind it was.
 */
export interface Chart {
	readonly id: string
	/** the captured range of stations; the baseline runs on past the outline */
	readonly sMin: number
	readonly sMax: number
	/** limits of girth at a station: end of the captured surface, or where the chart stops being valid */
	gMin(s: number): number
	gMax(s: number): number
	/** rim of the captured surface, where that is not simply from girth to girth; nothing of the panel is known beyond it */
	rim?(): readonly ChartPoint[] | undefined
	/** why the chart ends there, in the user's words */
	readonly limitReason: string
	/** station repeats after this many mm (closed rings) */
	readonly periodS?: number
	/** +1 if (s, g, outward) is right-handed; applied to paper and embedding by `orient` alone */
	readonly orientation: 1 | -1
	/** J is 1 and flat everywhere: geodesics are straight lines in (s, g) */
	readonly euclidean: boolean
	/** J(s, -g) = J(s, g) and gMin = -gMax to rounding: what holds on one side of the baseline holds mirrored on the other; absent if not known */
	readonly symmetric?: boolean
	/** K is 0 everywhere: any piece lies flat without stretch */
	readonly developable: boolean
	/** `into` may be filled and returned in place of a new object: for those who ask thousands of times and keep nothing */
	metric(s: number, g: number, into?: MetricRoom): Metric
	/** S(s, g) = integral of J from 0 to g, mm: for areas */
	girthIntegral(s: number, g: number): number
	/** in-surface curvature of the baseline, positive towards +g, 1/mm */
	baselineCurvature(s: number): number
	/** place in the vehicle's frame; absent when only lengths along the panel are known */
	embed?(p: ChartPoint): SpacePoint
	/** one standard deviation of a place by its capture, mm */
	readonly errorMm: number
	/** standard deviation of in-surface curvature of lines on this panel, from its capture, 1/mm */
	readonly curvatureSd: number
	/** the same at a place, where it differs much from place to place */
	curvatureSdAt?(p: ChartPoint): number
}
