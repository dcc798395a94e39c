import type { Chart } from './chart.ts'
import { shoot } from './geodesic.ts'
import type { ChartPoint } from './point.ts'

export interface Path {
	/** length of the shortest path, mm */
	readonly length: number
	/** its direction at the start and at the end, from +s towards +g */
	readonly startAngle: number
	readonly endAngle: number
	/** how far the path ends from its goal, mm */
	readonly errorMm: number
}

/** Newton gains a doubling of digits a step; a path that needs more than this does not converge at all. */
const MAX_NEWTON = 40

/** How exact the first path is, and each later one by how far the one before missed: Newton squares what is missing. */
const FIRST_MM = 1e-3
const LOOSE = 1e-4
/** The spread only says how far to turn next: Newton hardly slows down where it is right to a thousandth. */
const SPREAD_SHARE = 1e-3

/**
 * The line a taut tape takes from p to q, or undefined where none was found (beyond the chart's limit).
 * Shooting with (direction, length); the Jacobi field with j(0) = 0, j'(0) = 1 is the derivative across the path.
 * Starts from the flat guess at the mean girth.
 */
export function distance(chart: Chart, p: ChartPoint, q: ChartPoint, toleranceMm = 1e-7): Path | undefined {
	const mean = chart.metric((p.s + q.s) / 2, (p.g + q.g) / 2).j
	const dx = (q.s - p.s) * mean
	const dy = q.g - p.g
	let length = Math.hypot(dx, dy)
	if (length < toleranceMm) return { length: 0, startAngle: 0, endAngle: 0, errorMm: length }
	let angle = Math.atan2(dy, dx)
	let reach = Number.POSITIVE_INFINITY
	for (let i = 0; i < MAX_NEWTON; i++) {
		// Far from the goal a path need be no more exact than the next step will be.
		const exact = Math.max(toleranceMm / 10, Math.min(FIRST_MM, LOOSE * reach))
		const shot = shoot(chart, p, angle, length, {
			spread: 0,
			spreadRate: 1,
			toleranceMm: exact,
			spreadShare: SPREAD_SHARE,
		})
		if (!shot.reached || !Number.isFinite(shot.at.s + shot.at.g)) return undefined
		const j = chart.metric(q.s, q.g).j
		const ex = (q.s - shot.at.s) * j
		const ey = q.g - shot.at.g
		const miss = Math.hypot(ex, ey)
		const fine = exact <= toleranceMm / 10
		if (fine && (miss <= toleranceMm || (miss < 100 * toleranceMm && miss >= reach))) {
			return { length, startAngle: angle, endAngle: shot.angle, errorMm: miss + shot.errorMm }
		}
		reach = fine ? miss : Math.max(miss, toleranceMm)
		const along = ex * Math.cos(shot.angle) + ey * Math.sin(shot.angle)
		const across = -ex * Math.sin(shot.angle) + ey * Math.cos(shot.angle)
		// A conjugate point (spread 0) has no derivative; a long step is cut so that the path stays near.
		const m = Math.abs(shot.spread) > 1e-3 * length ? shot.spread : length
		angle += Math.max(-0.5, Math.min(0.5, across / m))
		length = Math.max(length * 0.5, Math.min(length * 2, length + along))
	}
	return undefined
}
