import { applyTransposedQ, factorColumns, solveFactor } from './columnQr.ts'
import { descend } from './descend.ts'
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
	/** what a full step would still change, in sds */
	readonly offset: number
	/** evaluations of the model */
	readonly steps: number
}

export const DEFAULT_MAX_STEPS = 100

/**
 * Nonlinear weighted least squares of a few unknowns by damped Gauss-Newton, each step by QR with column pivoting.
 * Undetermined directions are left at the start. Undefined when the model is not defined at the start; `converged` false when
 * the steps run out.
 */
export function gaussNewton(
	model: Model,
	start: ArrayLike<number>,
	sd: ArrayLike<number>,
	options: GaussNewtonOptions,
): GaussNewtonResult | undefined {
	const columns = start.length
	const rows = sd.length
	const rankTolerance = options.rankTolerance ?? RANK_TOLERANCE
	const end = descend(
		(x) => whitened(model, x, sd, columns),
		({ w, r }) => {
			const qr = factorColumns(w, rows, columns, rankTolerance)
			const qtr = applyTransposedQ(qr, r)
			let offset = 0
			for (let k = 0; k < qr.rank; k++) offset = Math.hypot(offset, qtr[k]!)
			const step = (damping: number) =>
				damping === 0 ? solveFactor(qr, qtr) : dampedStep(w, r, rows, columns, damping, qr.lengths)
			return { qr, offset, step }
		},
		Float64Array.from(start),
		{ tolerance: options.tolerance, maxSteps: options.maxSteps ?? DEFAULT_MAX_STEPS },
	)
	if (!end) return undefined
	const { x, here, linear, converged, steps } = end
	return { ...statistics(linear.qr, here.w, x, here.residuals, sd, options.checked), converged, offset: linear.offset, steps }
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
