import type { Chart } from '../chart/chart.ts'
import type { ChartPoint } from '../chart/point.ts'

/** A chord this long leaves a line of curvature 1/50 mm by a hundredth of a millimetre. */
const STEP_MM = 2
/** A chord this short turns so little that the next may be passed over. */
const LEAST_MM = 0.2

/**
 * Points on the same chords of (s, g), none farther apart than 2 mm: what is straight between two points of the chart is an
 * arc on paper. Points nearer than 0.2 mm to the last are passed over where the line goes straight on.
 */
export function closelySet(chart: Chart, points: readonly ChartPoint[], closed = false): ChartPoint[] {
	const first = points[0]
	if (!first) return []
	const out = [first]
	const rest = closed ? [...points.slice(1), first] : points.slice(1)
	rest.forEach((q, i) => {
		const p = out[out.length - 1] as ChartPoint
		const next = rest[i + 1]
		const j = chart.metric((p.s + q.s) / 2, (p.g + q.g) / 2).j
		const length = Math.hypot((q.s - p.s) * j, q.g - p.g)
		if (next && length < LEAST_MM) {
			const turn = Math.atan2(next.g - q.g, (next.s - q.s) * j) - Math.atan2(q.g - p.g, (q.s - p.s) * j)
			if (Math.cos(turn) > 0.999) return
		}
		const n = Math.ceil(length / STEP_MM)
		for (let k = 1; k <= n; k++) out.push({ s: p.s + ((q.s - p.s) * k) / n, g: p.g + ((q.g - p.g) * k) / n })
	})
	return closed ? out.slice(0, -1) : out
}
