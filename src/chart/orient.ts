import type { PlanePoint } from '../plane/point.ts'
import type { Chart } from './chart.ts'

/**
 * From a development in the chart's own sense (x along +s, y along +g) to paper with its printed face outward.
 * Stations run to the right on centreline and left-hand panels, to the left on right-hand ones; +g is up on both.
 * The one place where the panel's hand meets paper.
 */
export function toPaper(chart: Chart, p: PlanePoint): PlanePoint {
	return { x: chart.orientation * p.x, y: p.y }
}
