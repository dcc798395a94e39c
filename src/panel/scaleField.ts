import type { Metric, MetricRoom } from '../chart/chart.ts'

/**
 * J over (s, g), "how much shorter or longer than its foot on the baseline is 1 mm of panel out here", with what the chart
 * needs of it. J(s, 0) = 1 and twice continuously differentiable; K = -Jgg / J (Jacobi's equation, do Carmo 5-4).
 */
export interface ScaleField {
	readonly sMin: number
	readonly sMax: number
	readonly gMin: number
	readonly gMax: number
	/** J with its derivatives, and K by them */
	jet(s: number, g: number, into?: MetricRoom): Metric
	/** integral of J over girth from 0 to g, mm */
	integral(s: number, g: number): number
}
