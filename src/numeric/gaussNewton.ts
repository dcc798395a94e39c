import { applyTransposedQ, factorColumns, solveFactor } from './columnQr.ts'
import { type LeastSquares, type LeastSquaresOptions, RANK_TOLERANCE, statistics } from './leastSquares.ts'

/** Model minus observation, and its derivatives: rows by columns, row by row. Undefined where the model is not. */
export type Model = (x: Float64Array) => { readonly residuals: Float64Array; readonly jacobian: Float64Array } | undefined

export interface GaussNewtonOptions extends LeastSquaresOptions {
	/** done when a full step would change the fit (all observations together, in their sds) by less */
	readonly tolerance: number
	/** evaluations of the model, refused ones included; 100 */
	readonly maxSteps?: number
}

export interface GaussNewtonResult extends LeastSquares {
	readonly converged: boolean
	/** what a full step would still change, in sds (numerator of Bates & Watts' relative offset, Technometrics 23, 1981) */
	readonly offset: number
	/** evaluations of the model */
	readonly steps: number
}

const DEFAULT_MAX_STEPS = 100
/** Damping after a refused full step, in units of the columns' squared lengths (Marquardt, SIAM J. 11, 1963, starts at 0.01). */
const FIRST_DAMPING = 1e-3
const DAMPING_UP = 8
const DAMPING_DOWN = 5
/** A damping so high moves nothing: the step is below rounding. */
const HIGHEST_DAMPING = 1e16
/** Sums of squares that differ by rounding are equal: near the end a full step may not be refused for that. */
const EQUAL = 1e-13

/**
 * Nonlinear weighted least squares by Gauss-Newton, damped as Levenberg and Marquardt do whenever a full step does not
 * lower the sum of squares (Nocedal & Wright, Numerical Optimization, 10.3). Undetermined directions are left at the start.
 * Undefined when the model is not defined at the start; `converged` false when the steps run out.
 */
export function gaussNewton(
	model: Model,
	start: ArrayLike<number>,
	sd: ArrayLike<number>,
	options: GaussNewtonOptions,
): GaussNewtonResult | undefined {
	const columns = start.length
	const rows = sd.length
	const maxSteps = options.maxSteps ?? DEFAULT_MAX_STEPS
	const rankTolerance = options.rankTolerance ?? RANK_TOLERANCE
	let x = Float64Array.from(start)
	let here = whitened(model, x, sd, columns)
	if (!here) return undefined
	let steps = 1
	let damping = 0
	for (;;) {
		const qr = factorColumns(here.w, rows, columns, rankTolerance)
		const qtr = applyTransposedQ(qr, here.r)
		let offset = 0
		for (let k = 0; k < qr.rank; k++) offset = Math.hypot(offset, qtr[k]!)
		const done = offset <= options.tolerance
		if (done || steps >= maxSteps) {
			return { ...statistics(qr, here.w, x, here.residuals, sd, options.checked), converged: done, offset, steps }
		}
		let moved = false
		while (!moved && steps < maxSteps && damping < HIGHEST_DAMPING) {
			const step = damping === 0 ? solveFactor(qr, qtr) : dampedStep(here.w, here.r, rows, columns, damping, qr.lengths)
			const next = x.map((value, j) => value - step[j]!)
			const there = whitened(model, next, sd, columns)
			steps++
			if (there && there.sum <= here.sum * (1 + EQUAL)) {
				x = next
				here = there
				moved = true
				damping = damping > FIRST_DAMPING ? damping / DAMPING_DOWN : 0
			} else {
				damping = damping === 0 ? FIRST_DAMPING : damping * DAMPING_UP
			}
		}
		if (!moved) {
			return { ...statistics(qr, here.w, x, here.residuals, sd, options.checked), converged: false, offset, steps }
		}
	}
}

function whitened(model: Model, x: Float64Array, sd: ArrayLike<number>, columns: number) {
	const answer = model(x)
	if (!answer) return undefined
	const { residuals, jacobian } = answer
	const rows = residuals.length
	const w = new Float64Array(jacobian.length)
	const r = new Float64Array(rows)
	let sum = 0
	for (let i = 0; i < rows; i++) {
		const weight = 1 / sd[i]!
		for (let j = 0; j < columns; j++) w[i * columns + j] = jacobian[i * columns + j]! * weight
		r[i] = residuals[i]! * weight
		sum += r[i]! ** 2
	}
	return Number.isFinite(sum) ? { residuals, w, r, sum } : undefined
}

/** The step of (J^T J + damping D^2) step = J^T r, as a least-squares problem with one more row for each unknown. */
function dampedStep(
	w: Float64Array,
	r: Float64Array,
	rows: number,
	columns: number,
	damping: number,
	lengths: Float64Array,
): Float64Array {
	const a = new Float64Array((rows + columns) * columns)
	a.set(w)
	const b = new Float64Array(rows + columns)
	b.set(r)
	const root = Math.sqrt(damping)
	for (let j = 0; j < columns; j++) a[(rows + j) * columns + j] = root * lengths[j]!
	const qr = factorColumns(a, rows + columns, columns, 0)
	return solveFactor(qr, applyTransposedQ(qr, b))
}
