import type { Chart } from '../chart/chart.ts'
import { toPaper } from '../chart/orient.ts'
import type { ChartPoint } from '../chart/point.ts'
import { curveFromCurvature } from '../plane/develop.ts'
import type { PlanePoint } from '../plane/point.ts'

/**
 * A panel without double curvature (K = 0) laid flat whole: the baseline with its in-surface curvature, girth square off it.
 * An isometry, so that every length on paper is the length on the panel. Printed face outward.
 */
export function unroll(chart: Chart, toleranceMm: number): (p: ChartPoint) => PlanePoint {
	if (!chart.developable) throw new RangeError('only a panel without double curvature lies flat whole')
	if (chart.euclidean) return (p) => toPaper(chart, { x: p.s, y: p.g })
	const line = curveFromCurvature((l) => chart.baselineCurvature(chart.sMin + l), chart.sMax - chart.sMin, { toleranceMm })
	const zero = line.at(-chart.sMin)
	return ({ s, g }) => {
		const p = line.at(s - chart.sMin)
		const x = p.x - g * Math.sin(p.heading) - zero.x
		const y = p.y + g * Math.cos(p.heading) - zero.y
		// Turned so that the baseline leaves station 0 along +x.
		const [c, sn] = [Math.cos(zero.heading), Math.sin(zero.heading)]
		return toPaper(chart, { x: x * c + y * sn, y: -x * sn + y * c })
	}
}
