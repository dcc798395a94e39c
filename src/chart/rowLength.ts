import { type Chart, metricRoom } from './chart.ts'
import type { ChartPoint } from './point.ts'

const room = metricRoom()

/** Length along the panel of a row of places, mm: chords with the metric half-way. `closed` adds the one back to the first. */
export function rowLength(chart: Chart, row: readonly ChartPoint[], closed = false): number {
	let sum = 0
	for (let i = closed ? 0 : 1; i < row.length; i++) {
		const [a, b] = [row[(i + row.length - 1) % row.length] as ChartPoint, row[i] as ChartPoint]
		sum += Math.hypot((b.s - a.s) * chart.metric((a.s + b.s) / 2, (a.g + b.g) / 2, room).j, b.g - a.g)
	}
	return sum
}
