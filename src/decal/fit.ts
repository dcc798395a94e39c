/** A decal's place from marks that were measured on it: weighted least squares, with what they disagree by. */
import type { Chart } from '../chart/chart.ts'
import { distance } from '../chart/distance.ts'
import { shoot } from '../chart/geodesic.ts'
import type { ChartPoint } from '../chart/point.ts'
import { chiSquareQuantile } from '../numeric/chiSquare.ts'
import { gaussNewton } from '../numeric/gaussNewton.ts'
import type { PlanePoint } from '../plane/point.ts'
import type { DecalFrame } from './frame.ts'
import { layRound } from './lay.ts'

/** A place of the decal that was measured. */
export interface MeasuredPoint {
	readonly mark: string
	/** in the decal's frame */
	readonly point: PlanePoint
	readonly at: ChartPoint
	/** of (s, g), mm^2 */
	readonly covariance: { readonly ss: number; readonly sg: number; readonly gg: number }
}

export interface FittedPlace {
	readonly frame: DecalFrame
	/** of the middle, mm on the panel, along x and along y, and of the angle, radians */
	readonly sd: { readonly along: number; readonly across: number; readonly angle: number }
	/** how far each mark lies from its place on the decal as fitted, mm, x and y in the decal's frame */
	readonly misses: readonly { readonly mark: string; readonly x: number; readonly y: number; readonly mm: number }[]
	/** the marks agree within what they are known to (999 times in 1000) */
	readonly agrees: boolean
}

/** As for single readings (Baarda 1968). */
const WRONGLY = 0.001
/** What misses by more than so many times what is let pass of a decal was misread (common practice, no source). */
export const CONTRADICTS = 3
/** Least what a mark is known to: a datum is as good as it is marked, mm. */
const LEAST_SD = 0.05
const STEP_MM = 0.05
const STEP_RAD = 1e-4

/** Undefined where two marks lie at one place, or the decal would reach where nothing can be measured. */
export function fitPlace(chart: Chart, measured: readonly MeasuredPoint[], turn: 1 | -1): FittedPlace | undefined {
	const start = startOf(chart, measured, turn)
	if (!start) return undefined
	const whiten = measured.map((m) => whitened(chart, m))
	// Unknowns: mm along +s and along +g from the start, and the angle.
	const j0 = chart.metric(start.at.s, start.at.g).j
	const frameOf = (x: ArrayLike<number>): DecalFrame => ({
		at: { s: start.at.s + (x[0] as number) / j0, g: start.at.g + (x[1] as number) },
		angle: start.angle + (x[2] as number),
		turn,
	})
	const missesOf = (x: ArrayLike<number>): Float64Array | undefined => {
		const laying = layRound(chart, frameOf(x))
		const out = new Float64Array(2 * measured.length)
		for (const [i, m] of measured.entries()) {
			const laid = laying.place(m.point)
			if (!laid.reached) return undefined
			const { a, b, c, j } = whiten[i] as Whitened
			const [ds, dg] = [(laid.at.s - m.at.s) * j, laid.at.g - m.at.g]
			out[2 * i] = a * ds
			out[2 * i + 1] = b * ds + c * dg
		}
		return out
	}
	const steps = [STEP_MM, STEP_MM, STEP_RAD]
	const fitted = gaussNewton(
		(x) => {
			const residuals = missesOf(x)
			if (!residuals) return undefined
			const jacobian = new Float64Array(residuals.length * 3)
			for (const [k, step] of steps.entries()) {
				const [up, down] = [1, -1].map((sign) => missesOf(Array.from(x, (v, i) => (i === k ? v + sign * step : v))))
				if (!up || !down) return undefined
				for (let i = 0; i < residuals.length; i++) {
					jacobian[3 * i + k] = ((up[i] as number) - (down[i] as number)) / (2 * step)
				}
			}
			return { residuals, jacobian }
		},
		[0, 0, 0],
		new Float64Array(2 * measured.length).fill(1),
		{ tolerance: 1e-6 },
	)
	if (!fitted?.converged || fitted.rank < 3) return undefined
	const frame = frameOf(fitted.x)
	return {
		frame,
		sd: sdOf(fitted.covariance, frame),
		misses: missesIn(chart, measured, frame),
		agrees: fitted.dof === 0 || fitted.sumSquares <= chiSquareQuantile(1 - WRONGLY, fitted.dof),
	}
}

interface Whitened {
	readonly a: number
	readonly b: number
	readonly c: number
	readonly j: number
}

/** Inverse of the Cholesky factor of a mark's covariance in mm on the panel (Golub & Van Loan, Matrix Computations, 4.2). */
function whitened(chart: Chart, { at, covariance }: MeasuredPoint): Whitened {
	const { j } = chart.metric(at.s, at.g)
	const floor = LEAST_SD ** 2
	const [xx, xy, yy] = [covariance.ss * j * j + floor, covariance.sg * j, covariance.gg + floor]
	const l11 = Math.sqrt(xx)
	const l21 = xy / l11
	const l22 = Math.sqrt(Math.max(yy - l21 * l21, floor))
	return { a: 1 / l11, b: -l21 / (l11 * l22), c: 1 / l22, j }
}

/** The first guess: the two marks farthest apart on the decal, and the line between them. */
function startOf(chart: Chart, measured: readonly MeasuredPoint[], turn: 1 | -1): DecalFrame | undefined {
	let [best, from, to]: [number, MeasuredPoint?, MeasuredPoint?] = [0]
	for (const a of measured) {
		for (const b of measured) {
			const apart = Math.hypot(b.point.x - a.point.x, b.point.y - a.point.y)
			if (apart > best) [best, from, to] = [apart, a, b]
		}
	}
	if (!from || !to) return undefined
	const path = distance(chart, from.at, to.at)
	if (!path || path.length < 1e-6) return undefined
	const inDecal = Math.atan2(to.point.y - from.point.y, to.point.x - from.point.x)
	const angle = path.startAngle - turn * inDecal
	const { x, y } = from.point
	const back = shoot(chart, from.at, angle + turn * Math.atan2(-y, -x), Math.hypot(x, y))
	const turnedBy = back.angle - (angle + turn * Math.atan2(-y, -x))
	return back.reached ? { at: back.at, angle: angle + turnedBy, turn } : undefined
}

/** From (s, g) to x and y of the decal. */
function sdOf(covariance: Float64Array, { angle, turn }: DecalFrame) {
	const [c, s] = [Math.cos(angle), Math.sin(angle)]
	const at = (i: number, k: number) => covariance[3 * i + k] as number
	const variance = (u: number, v: number) => u * u * at(0, 0) + 2 * u * v * at(0, 1) + v * v * at(1, 1)
	const root = (x: number) => Math.sqrt(Math.max(0, x))
	return { along: root(variance(c, s)), across: root(variance(-turn * s, turn * c)), angle: root(at(2, 2)) }
}

function missesIn(chart: Chart, measured: readonly MeasuredPoint[], frame: DecalFrame): FittedPlace['misses'] {
	const laying = layRound(chart, frame)
	return measured.map(({ mark, point, at }) => {
		const laid = laying.place(point).at
		const { j } = chart.metric(at.s, at.g)
		const [ds, dg] = [(at.s - laid.s) * j, at.g - laid.g]
		const [c, s] = [Math.cos(frame.angle), Math.sin(frame.angle)]
		return { mark, x: c * ds + s * dg, y: frame.turn * (-s * ds + c * dg), mm: Math.hypot(ds, dg) }
	})
}
