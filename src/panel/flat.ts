import type { Chart } from '../chart/chart.ts'
import { LEAST_J, MOST_J } from '../chart/limits.ts'
import type { PanelFrame } from './frame.ts'

/** Where a panel gives no length, the baseline is taken to run this far: more than any vehicle. */
export const FAR_MM = 6000
/** The baseline runs on past the panel's ends, so that lines square off it still cover the corners. */
export const RUN_ON_MM = 80

export interface FlatShape {
	readonly front: number
	readonly length?: number
	readonly width?: number
	/** in-surface curvature of the baseline, positive towards +g, 1/mm */
	readonly bend: number
}

/**
 * A flat panel about a straight baseline (J = 1) or one bent at a constant radius (J = 1 - k g). Exact.
 * Off a bent baseline, feet of perpendiculars overlap on the far side of its centre: the limit on J keeps short of it.
 */
export function flatChart(frame: PanelFrame, shape: FlatShape): Chart {
	const k = shape.bend
	const reach = shape.width ?? FAR_MM
	// Once round, a bent baseline comes back to where it was.
	const far = k === 0 ? FAR_MM : Math.min(FAR_MM, Math.PI / Math.abs(k))
	const sMin = shape.length === undefined ? -far : shape.front - RUN_ON_MM
	const sMax = shape.length === undefined ? far : shape.front + shape.length + RUN_ON_MM
	const inner = k === 0 ? Number.POSITIVE_INFINITY : (1 - LEAST_J) / Math.abs(k)
	const outer = k === 0 ? Number.POSITIVE_INFINITY : (MOST_J - 1) / Math.abs(k)
	const gMax = Math.min(reach, k > 0 ? inner : outer)
	const gMin = -Math.min(reach, k > 0 ? outer : inner)
	const metric = { j: 1, jg: 0, js: 0, k: 0 }
	return {
		id: frame.id,
		sMin,
		sMax,
		gMin: () => gMin,
		gMax: () => gMax,
		limitReason:
			k === 0 ? 'the panel was given as ending there' : 'the baseline bends so tightly that readings square off it overlap',
		orientation: frame.orientation,
		euclidean: k === 0,
		symmetric: k === 0,
		developable: true,
		metric: k === 0 ? () => metric : (_, g) => ({ j: Math.max(0.02, 1 - k * g), jg: -k, js: 0, k: 0 }),
		girthIntegral: (_, g) => g - (k * g * g) / 2,
		baselineCurvature: () => k,
		embed({ s, g }) {
			if (k === 0) return frame.place(s, g, 0)
			const r = 1 / k
			return frame.place((r - g) * Math.sin(s * k), r - (r - g) * Math.cos(s * k), 0)
		},
		errorMm: 0,
		curvatureSd: 0,
	}
}
