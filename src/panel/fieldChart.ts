import type { Chart, Metric } from '../chart/chart.ts'
import type { ChartPoint, SpacePoint } from '../chart/point.ts'
import type { PanelFrame } from './frame.ts'
import type { ScaleField } from './scaleField.ts'

/** How far the panel can be measured off its baseline, and why no further. */
export interface FieldLimits {
	readonly sMin: number
	readonly sMax: number
	gMin(s: number): number
	gMax(s: number): number
	/** in the user's words */
	readonly reason: string
}

export interface FieldExtras {
	/** in-surface curvature of the baseline, positive towards +g, 1/mm; 0 (a geodesic) where absent */
	baselineCurvature?(s: number): number
	/** place in the vehicle's frame; absent where only lengths along the panel are known */
	embed?(p: ChartPoint): SpacePoint
	/** one standard deviation of a place by its capture, mm */
	readonly errorMm: number
	/** standard deviation of in-surface curvature by its capture, 1/mm */
	readonly curvatureSd: number
	curvatureSdAt?(p: ChartPoint): number
	readonly periodS?: number
	/** one side was made from the other */
	readonly symmetric?: boolean
	/** rim of the captured surface in (s, g) */
	rim?(): readonly ChartPoint[] | undefined
}

/** Beyond the chart's limits J may fall through 0; paths that stray there must still have a metric. */
const FLOOR_J = 0.02
const FLOOR: Metric = { j: FLOOR_J, jg: 0, js: 0, k: 0 }

/**
 * The chart of a doubly curved panel from its scale field. Where J is as small as the floor it stays there, and K with it
 * tends to 0: such places lie well beyond the chart's limits.
 */
export function fieldChart(frame: PanelFrame, field: ScaleField, limits: FieldLimits, extras: FieldExtras): Chart {
	const curvature = extras.baselineCurvature
	return {
		id: frame.id,
		sMin: limits.sMin,
		sMax: limits.sMax,
		gMin: limits.gMin,
		gMax: limits.gMax,
		limitReason: limits.reason,
		orientation: frame.orientation,
		euclidean: false,
		developable: false,
		metric(s, g, into) {
			const metric = field.jet(s, g, into)
			return metric.j > FLOOR_J ? metric : FLOOR
		},
		girthIntegral: (s, g) => field.integral(s, g),
		baselineCurvature: (s) => (curvature ? curvature(s) : 0),
		...(extras.embed ? { embed: extras.embed } : {}),
		...(extras.periodS === undefined ? {} : { periodS: extras.periodS }),
		...(extras.rim ? { rim: extras.rim } : {}),
		...(extras.symmetric ? { symmetric: true } : {}),
		errorMm: extras.errorMm,
		curvatureSd: extras.curvatureSd,
		...(extras.curvatureSdAt ? { curvatureSdAt: extras.curvatureSdAt } : {}),
	}
}
