import { integrate } from '../numeric/ode.ts'
import { type Chart, metricRoom } from './chart.ts'
import type { ChartPoint } from './point.ts'

/** Where a path that bends to neither side has come to. */
export interface Shot {
	readonly at: ChartPoint
	/** direction at the end, from +s towards +g */
	readonly angle: number
	/** spread of neighbouring paths at the end, relative to `spread` at the start (a Jacobi field) */
	readonly spread: number
	/** its derivative by length, 1/mm */
	readonly spreadRate: number
	/** estimated error of the place, mm */
	readonly errorMm: number
	/** false where the path ran into the limit of the chart and could not be followed */
	readonly reached: boolean
}

export interface ShotOptions {
	readonly spread?: number
	readonly spreadRate?: number
	readonly toleranceMm?: number
	/** how much an error of the spread counts beside one of the place: 0 where only the place is asked for; 1 */
	readonly spreadShare?: number
}

/** Steps beyond which a path is given up: a panel's path takes a handful, a wild one would run for ever. */
const MAX_STEPS = 400

/** Room used again by every path: there are very many, and no metric asks for one. */
const room = metricRoom()
const start = new Float64Array(5)
const scale = Float64Array.of(1, 1, 1, 1, 1)

/**
 * Follow the straightest path from `from` at `angle` for `length` mm (negative: backwards).
 *
 * s' = cos(a)/J, g' = sin(a), a' = (J_g/J) cos(a), and beside it a Jacobi field j'' = -K j that starts with
 * (`spread`, `spreadRate`): (1, -k) for the parallel of a line with curvature k, (0, 1) for the reduced length.
 * do Carmo, Differential Geometry of Curves and Surfaces, 4-4, 5-5.
 */
export function shoot(
	chart: Chart,
	from: ChartPoint,
	angle: number,
	length: number,
	{ spread = 1, spreadRate = 0, toleranceMm = 1e-8, spreadShare = 1 }: ShotOptions = {},
): Shot {
	if (chart.euclidean) {
		return {
			at: { s: from.s + length * Math.cos(angle), g: from.g + length * Math.sin(angle) },
			angle,
			spread: spread + spreadRate * length,
			spreadRate,
			errorMm: 0,
			reached: true,
		}
	}
	const lever = Math.max(1, Math.abs(length))
	start[0] = from.s
	start[1] = from.g
	start[2] = angle
	start[3] = spread
	start[4] = spreadRate
	// An error of direction counts by how far it carries.
	scale[2] = lever
	scale[3] = spreadShare
	scale[4] = spreadShare * lever
	const run = integrate(
		(_, y, out) => {
			const m = chart.metric(y[0] as number, y[1] as number, room)
			const c = Math.cos(y[2] as number)
			out[0] = c / m.j
			out[1] = Math.sin(y[2] as number)
			out[2] = (m.jg / m.j) * c
			out[3] = y[4] as number
			out[4] = -m.k * (y[3] as number)
		},
		start,
		0,
		length,
		{ tolerance: toleranceMm, scale, maxSteps: MAX_STEPS },
	)
	return {
		at: { s: run.y[0] as number, g: run.y[1] as number },
		angle: run.y[2] as number,
		spread: run.y[3] as number,
		spreadRate: run.y[4] as number,
		errorMm: run.error,
		reached: run.reachedEnd,
	}
}
