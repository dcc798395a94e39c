import type { Chart } from './chart.ts'
import type { ChartPoint } from './point.ts'

/** Out here 1 mm of baseline is less than a quarter or more than four: readings off the baseline no longer fix a place. */
export const LEAST_J = 0.25
export const MOST_J = 4

/** By how much (mm of girth or station) a place lies beyond what was captured or can be measured off this baseline; 0 inside. */
export function beyond(chart: Chart, p: ChartPoint): number {
	// Stations of a ring go on round it.
	const s = chart.periodS === undefined ? Math.min(chart.sMax, Math.max(chart.sMin, p.s)) : p.s
	return Math.max(0, Math.abs(p.s - s), p.g - chart.gMax(s), chart.gMin(s) - p.g)
}
