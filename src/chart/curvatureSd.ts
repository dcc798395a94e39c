import type { Chart } from './chart.ts'
import { evaluate } from './curve.ts'
import type { Curve } from './point.ts'

/** Places along a line at which what is known of the panel is asked for. */
const LOOKS = 12

/** Standard deviation of the in-surface curvature of one line by the panel's capture, at its worst along the line, 1/mm. */
export function curvatureSdOf(chart: Chart, curve: Curve): number {
	const { curvatureSdAt } = chart
	if (!curvatureSdAt) return chart.curvatureSd
	const at = (i: number) => curvatureSdAt(evaluate(curve, (curve.cubics.length * i) / LOOKS).at)
	return Math.max(...Array.from({ length: LOOKS + 1 }, (_, i) => at(i)))
}
