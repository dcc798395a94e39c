import type { Chart } from '../chart/chart.ts'
import type { ChartPoint, SpacePoint } from '../chart/point.ts'

/** Step of the difference that gives a direction on the panel, mm. */
const STEP_MM = 0.5

/**
 * Whether two places can be seen at once by someone who looks half-way between them: the panel turns by less than a right angle
 * from one to the other. Where only lengths along the panel are known they count as seen, which asks more of them.
 */
export function seenAtOnce(chart: Chart, p: ChartPoint, q: ChartPoint): boolean {
	const [a, b] = [outward(chart, p), outward(chart, q)]
	return !a || !b || a.x * b.x + a.y * b.y + a.z * b.z > 0
}

function outward(chart: Chart, { s, g }: ChartPoint): SpacePoint | undefined {
	if (!chart.embed) return undefined
	const [a, b] = [chart.embed({ s: s - STEP_MM, g }), chart.embed({ s: s + STEP_MM, g })]
	const [c, d] = [chart.embed({ s, g: g - STEP_MM }), chart.embed({ s, g: g + STEP_MM })]
	const [u, v] = [
		{ x: b.x - a.x, y: b.y - a.y, z: b.z - a.z },
		{ x: d.x - c.x, y: d.y - c.y, z: d.z - c.z },
	]
	return { x: u.y * v.z - u.z * v.y, y: u.z * v.x - u.x * v.z, z: u.x * v.y - u.y * v.x }
}
