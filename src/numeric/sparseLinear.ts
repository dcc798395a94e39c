import { type SparseFactors, sparseLdl } from './sparseLdl.ts'
import { nestedDissection } from './sparseOrder.ts'
import { type NormalMatrix, normalMatrix, type RowPattern } from './sparseRows.ts'

/** Model minus observation, and its derivatives in the places that the pattern says. Undefined where the model is not. */
export type SparseModel = (x: Float64Array) => { readonly residuals: Float64Array; readonly values: Float64Array } | undefined

/** Which unknowns stand together in observations, and in which order they are eliminated: the same for any values. */
export interface SparseStructure {
	readonly rows: RowPattern
	readonly normal: NormalMatrix
	readonly order: Int32Array
}

export interface SparseProblem {
	readonly structure: SparseStructure
	readonly model: SparseModel
	readonly sd: Float64Array
}

/** `x` and `y`: where the unknowns lie beside each other, so that their order keeps the factors sparse. */
export function sparseStructure(rows: RowPattern, x: ArrayLike<number>, y: ArrayLike<number>): SparseStructure {
	const normal = normalMatrix(rows)
	return { rows, normal, order: nestedDissection(normal.pattern, x, y) }
}

/** What a fit knows of itself at one place of the unknowns. Row arrays have one entry for each observation. */
export interface SparseStatistics {
	/** fitted - observed, in the units of the observation */
	readonly residuals: Float64Array
	/** sum of (residual / sd)^2 */
	readonly sumSquares: number
	/** rows, less the unknowns that they determine */
	readonly dof: number
	/** columns that the observations leave open, or nearly so */
	readonly undetermined: readonly number[]
	/** r_i, 0 to 1: the share of an error in this row that shows in its own residual (Baarda 1968); 0: nothing checks it */
	readonly redundancy: Float64Array
	/** residual / (sd * sqrt(r)); 0 where nothing checks the row */
	readonly standardised: Float64Array
	/** of unknowns i and j */
	covariance(i: number, j: number): number
	/** of all unknowns, row by row; absent where there are more than `wholeUpTo` */
	readonly whole?: Float64Array
}

/** Redundancy below this is rounding, and counts as 0: the square of what the condition of the normal equations leaves. */
export const CHECKED = 1e-9
/** Where the normal matrix is singular to rounding, so much of its diagonal is added: above rounding, below any real reading. */
const NUDGE = 1e-12
/** An unknown whose variance is so much larger than it would be with all others known has only the nudge to hold it. */
const OPEN = 1e8

export interface Here {
	/** derivatives and residuals over their sds */
	readonly w: Float64Array
	readonly r: Float64Array
	readonly sum: number
}

export interface Linear {
	/** what a full step would still change, in sds */
	readonly offset: number
	readonly factors: SparseFactors
	readonly diagonal: Float64Array
	/** it was singular to rounding */
	readonly nudged: boolean
	step(damping: number): Float64Array
}

export function evaluate({ structure, model, sd }: SparseProblem, x: Float64Array): Here | undefined {
	const answer = model(x)
	if (!answer) return undefined
	const { start } = structure.rows
	const count = start.length - 1
	const w = new Float64Array(answer.values.length)
	const r = new Float64Array(count)
	let sum = 0
	for (let i = 0; i < count; i++) {
		r[i] = answer.residuals[i]! / sd[i]!
		sum += r[i]! ** 2
		for (let a = start[i]!; a < start[i + 1]!; a++) w[a] = answer.values[a]! / sd[i]!
	}
	return Number.isFinite(sum) ? { w, r, sum } : undefined
}

export function linearise({ structure }: SparseProblem, here: Here): Linear {
	const { rows, normal, order } = structure
	const { columns, start, column } = rows
	const { pattern, diagonalAt } = normal
	const value = normal.assemble(here.w)
	const diagonal = new Float64Array(columns)
	for (let j = 0; j < columns; j++) {
		// An unknown that no row feels is held by a row of its own.
		if (!(value[diagonalAt[j]!]! > 0)) value[diagonalAt[j]!] = NUDGE
		diagonal[j] = value[diagonalAt[j]!]!
	}
	const factored = (damping: number) => {
		if (damping === 0) return sparseLdl({ ...pattern, value }, order)
		const damped = value.slice()
		for (let j = 0; j < columns; j++) damped[diagonalAt[j]!]! += damping * diagonal[j]!
		return sparseLdl({ ...pattern, value: damped }, order)
	}
	const plain = factored(0)
	let factors = plain
	// Each round nudges ten times as hard: rounding may be larger than thought, but not larger than the whole.
	for (let nudge = NUDGE; !factors; nudge *= 10) factors = factored(nudge)
	const slope = new Float64Array(columns)
	for (let i = 0; i < start.length - 1; i++) {
		for (let a = start[i]!; a < start[i + 1]!; a++) slope[column[a]!]! += here.w[a]! * here.r[i]!
	}
	const full = slope.slice()
	factors.solve(full)
	let square = 0
	for (let j = 0; j < columns; j++) square += slope[j]! * full[j]!
	return {
		offset: Math.sqrt(Math.max(0, square)),
		factors,
		diagonal,
		nudged: !plain || diagonal.includes(NUDGE),
		step(damping) {
			if (damping === 0) return full
			const step = slope.slice()
			factored(damping)?.solve(step)
			return step
		},
	}
}

/** `r`: residuals over their sds. */
export function statistics(
	{ structure, sd }: SparseProblem,
	here: Here,
	linear: Linear,
	r: Float64Array,
	wholeUpTo: number,
): SparseStatistics {
	const { columns: n, start, column } = structure.rows
	const count = start.length - 1
	const { whole, covariance } = inverse(linear.factors, n, wholeUpTo)
	const undetermined: number[] = []
	if (linear.nudged)
		for (let j = 0; j < n; j++)
			if (covariance(j, j) * linear.diagonal[j]! > OPEN || linear.diagonal[j] === NUDGE) undetermined.push(j)

	const residuals = new Float64Array(count)
	const redundancy = new Float64Array(count)
	const standardised = new Float64Array(count)
	let sumSquares = 0
	for (let i = 0; i < count; i++) {
		residuals[i] = r[i]! * sd[i]!
		let own = 0
		for (let a = start[i]!; a < start[i + 1]!; a++) {
			for (let b = start[i]!; b < start[i + 1]!; b++) own += here.w[a]! * here.w[b]! * covariance(column[a]!, column[b]!)
		}
		sumSquares += r[i]! ** 2
		const share = 1 - own
		if (share > CHECKED) {
			redundancy[i] = Math.min(1, share)
			standardised[i] = r[i]! / Math.sqrt(share)
		}
	}

	const dof = count - n + undetermined.length
	return {
		...{ residuals, sumSquares, dof, undetermined, redundancy, standardised, covariance },
		...(whole ? { whole } : {}),
	}
}

/** All of it, two columns at a time, the factor being read once for both; or those entries that rows ask for. */
function inverse(factors: SparseFactors, n: number, wholeUpTo: number) {
	if (n > wholeUpTo) {
		const entry = factors.inverse()
		const covariance = (i: number, j: number): number => {
			const kept = entry(i, j)
			if (kept !== undefined) return kept
			const b = new Float64Array(n)
			b[j] = 1
			factors.solve(b)
			return b[i]!
		}
		return { whole: undefined, covariance }
	}
	const whole = new Float64Array(n * n)
	const two = new Float64Array(2 * n)
	for (let j = 0; j < n; j += 2) {
		two.fill(0)
		two[2 * j] = 1
		if (j + 1 < n) two[2 * (j + 1) + 1] = 1
		factors.solve(two, 2)
		for (let c = 0; c < 2 && j + c < n; c++) for (let i = 0; i < n; i++) whole[i * n + j + c] = two[2 * i + c]!
	}
	return { whole, covariance: (i: number, j: number) => whole[i * n + j]! }
}
