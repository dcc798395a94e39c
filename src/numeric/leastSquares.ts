import {
	applyTransposedQ,
	type ColumnQr,
	factorColumns,
	inverseNormal,
	nullSpace,
	solveFactor,
	transposeSolve,
} from './columnQr.ts'

/** What a least-squares answer knows of itself. Rows are observations, columns unknowns; all row arrays have the rows' length. */
export interface LeastSquares {
	readonly x: Float64Array
	/** fitted - observed, in the units of the observation */
	readonly residuals: Float64Array
	/** sum of (residual / sd)^2 */
	readonly sumSquares: number
	/** rows - rank */
	readonly dof: number
	readonly rank: number
	/** columns that the observations leave open; their x stays at the start (0 in a linear fit), their covariance infinite */
	readonly undetermined: readonly number[]
	/** directions in which x may move without any observation noticing: each of the columns' length */
	readonly nullSpace: readonly Float64Array[]
	/** of x for the given sds (columns by columns, row by row); Infinity on the diagonal of undetermined ones */
	readonly covariance: Float64Array
	/** square roots of its diagonal */
	readonly sd: Float64Array
	/** r_i, 0 to 1: the share of an error in this row that shows in its own residual (Baarda 1968); 0: nothing checks it */
	readonly redundancy: Float64Array
	/** residual / (sd * sqrt(r)); 0 where r is below `checked` */
	readonly standardised: Float64Array
}

export interface LeastSquaresOptions {
	/**
	 * A column counts as undetermined when, scaled to length 1, what is left of it beside the others is shorter.
	 * 1e-9: angles between readings below a billionth are rounding; real geometry is worse than 1e-6 only by mistake.
	 */
	readonly rankTolerance?: number
	/** redundancy below this is rounding, and counts as 0; 1e-9 */
	readonly checked?: number
}

export const RANK_TOLERANCE = 1e-9
const CHECKED = 1e-9

/**
 * Weighted linear least squares: x with sum(((A x - b)_i / sd_i)^2) least, by Householder QR with column pivoting
 * (Golub & Van Loan, Matrix Computations, 5.4.2). `a` is rows by columns, row by row.
 * Never fails on rank: what is not determined is named.
 */
export function leastSquares(
	a: Float64Array,
	b: ArrayLike<number>,
	sd: ArrayLike<number>,
	columns: number,
	options: LeastSquaresOptions = {},
): LeastSquares {
	const rows = b.length
	if (a.length !== rows * columns) throw new RangeError('leastSquares: matrix and right side do not match')
	const w = new Float64Array(a.length)
	const c = new Float64Array(rows)
	for (let i = 0; i < rows; i++) {
		const weight = 1 / sd[i]!
		if (!(weight > 0) || !Number.isFinite(weight)) throw new RangeError('leastSquares: sd must be greater than 0')
		for (let j = 0; j < columns; j++) w[i * columns + j] = a[i * columns + j]! * weight
		c[i] = b[i]! * weight
	}
	const qr = factorColumns(w, rows, columns, options.rankTolerance ?? RANK_TOLERANCE)
	const x = solveFactor(qr, applyTransposedQ(qr, c))
	const residuals = new Float64Array(rows)
	for (let i = 0; i < rows; i++) {
		let sum = -b[i]!
		for (let j = 0; j < columns; j++) sum += a[i * columns + j]! * x[j]!
		residuals[i] = sum
	}
	return statistics(qr, w, x, residuals, sd, options.checked ?? CHECKED)
}

/** All but x and residuals from the factor of the whitened matrix `w`. */
export function statistics(
	qr: ColumnQr,
	w: Float64Array,
	x: Float64Array,
	residuals: Float64Array,
	sd: ArrayLike<number>,
	checked: number = CHECKED,
): LeastSquares {
	const { rows, columns, rank } = qr
	const open = nullSpace(qr)
	const undetermined: number[] = []
	// null directions come in units of 1 / column length, their largest entry 1
	for (let j = 0; j < columns; j++) {
		if (open.some((v) => Math.abs(v[j]! * qr.lengths[j]!) > qr.tolerance)) undetermined.push(j)
	}
	const covariance = inverseNormal(qr)
	for (const j of undetermined) covariance[j * columns + j] = Number.POSITIVE_INFINITY
	const redundancy = new Float64Array(rows)
	const standardised = new Float64Array(rows)
	let sumSquares = 0
	const row = new Float64Array(columns)
	for (let i = 0; i < rows; i++) {
		for (let j = 0; j < columns; j++) row[j] = w[i * columns + j]!
		const z = transposeSolve(qr, row)
		let own = 0
		for (let k = 0; k < rank; k++) own += z[k]! * z[k]!
		const r = 1 - own
		redundancy[i] = r > checked ? Math.min(1, r) : 0
		const v = residuals[i]! / sd[i]!
		sumSquares += v * v
		standardised[i] = r > checked ? v / Math.sqrt(r) : 0
	}
	const sds = new Float64Array(columns)
	for (let j = 0; j < columns; j++) sds[j] = Math.sqrt(covariance[j * columns + j]!)
	return {
		x,
		residuals,
		sumSquares,
		dof: rows - rank,
		rank,
		undetermined,
		nullSpace: open,
		covariance,
		sd: sds,
		redundancy,
		standardised,
	}
}
