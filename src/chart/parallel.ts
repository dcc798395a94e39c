import type { Chart } from './chart.ts'
import type { Frame } from './curve.ts'
import { shoot } from './geodesic.ts'
import type { ChartPoint } from './point.ts'

/** A point at a distance square off a line, and how it moves as one goes along the line. */
export interface ParallelPoint {
	readonly at: ChartPoint
	/** derivative by the line's parameter */
	readonly ds: number
	readonly dg: number
	/** mm of the parallel per mm of the line; 0 at a focal point, negative beyond it */
	readonly spread: number
	/** in-surface curvature of the parallel, positive to its plus side, 1/mm; unbounded at a focal point */
	readonly curvature: number
	/** direction of the parallel, from +s towards +g */
	readonly ahead: number
	readonly reached: boolean
}

/**
 * The point at signed distance w (positive to the line's plus side) square off a line at `f`; `rate` is dw by length.
 * The straightest path leaves at right angles; its spread j obeys j'' = -K j, j(0) = 1, j'(0) = -k, and the parallel's own
 * curvature is -j'/j (do Carmo 4-6; Gray, Modern Differential Geometry, on geodesic parallels).
 */
export function parallelPoint(chart: Chart, f: Frame, w: number, rate = 0, toleranceMm?: number): ParallelPoint {
	const side = w >= 0 ? 1 : -1
	const shot = shoot(chart, f.at, f.angle + (side * Math.PI) / 2, Math.abs(w), {
		spreadRate: -side * f.curvature,
		...(toleranceMm === undefined ? {} : { toleranceMm }),
	})
	const ahead = shot.angle - (side * Math.PI) / 2
	const along = f.speed * shot.spread
	const out = side * rate * f.speed
	const j = chart.metric(shot.at.s, shot.at.g).j
	return {
		at: shot.at,
		ds: (Math.cos(ahead) * along + Math.cos(shot.angle) * out) / j,
		dg: Math.sin(ahead) * along + Math.sin(shot.angle) * out,
		spread: shot.spread,
		ahead,
		curvature: (-side * shot.spreadRate) / shot.spread,
		reached: shot.reached,
	}
}

/** The point at signed distance w from a corner, in direction `angle` + a right angle, by `angle`: an arc round the corner. */
export function cornerPoint(chart: Chart, at: ChartPoint, angle: number, w: number): ParallelPoint {
	const side = w >= 0 ? 1 : -1
	const shot = shoot(chart, at, angle + (side * Math.PI) / 2, Math.abs(w), { spread: 0, spreadRate: 1 })
	const left = shot.angle + Math.PI / 2
	const j = chart.metric(shot.at.s, shot.at.g).j
	return {
		at: shot.at,
		ds: (Math.cos(left) * shot.spread) / j,
		dg: Math.sin(left) * shot.spread,
		spread: 1,
		ahead: left,
		curvature: shot.spreadRate / shot.spread,
		reached: shot.reached,
	}
}
