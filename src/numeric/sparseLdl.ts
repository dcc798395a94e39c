import type { SparseSymmetric } from './sparse.ts'
import { inverseOnPattern } from './sparseInverse.ts'

export interface SparseFactors {
	/** how many entries the factor has below its diagonal */
	readonly entries: number
	/** solves in place for `columns` right-hand sides, interleaved: b[i * columns + c] */
	solve(b: Float64Array, columns?: 1 | 2): void
	/** entries of the inverse where the factor has one, the matrix among them; undefined elsewhere */
	inverse(): (row: number, column: number) => number | undefined
}

/** A pivot this small beside its row is none: the matrix is singular to rounding. */
const LEAST_PIVOT = 1e-13

/**
 * L D L^T of a symmetric positive definite matrix whose rows are eliminated in `order`: row by row, the pattern of each by the
 * elimination tree (Davis, Algorithm 849: a concise sparse Cholesky factorization package, ACM TOMS 31, 2005).
 * Undefined where the matrix is not positive definite.
 */
export function sparseLdl(matrix: SparseSymmetric, order: Int32Array): SparseFactors | undefined {
	const { n, start, column, value } = matrix
	const place = new Int32Array(n)
	for (let k = 0; k < n; k++) place[order[k]!] = k

	// The elimination tree and how many entries each column of L has.
	const parent = new Int32Array(n).fill(-1)
	const flag = new Int32Array(n).fill(-1)
	const below = new Int32Array(n)
	for (let k = 0; k < n; k++) {
		flag[k] = k
		const row = order[k]!
		for (let at = start[row]!; at < start[row + 1]!; at++) {
			for (let i = place[column[at]!]!; i < k && flag[i] !== k; i = parent[i]!) {
				if (parent[i] === -1) parent[i] = k
				below[i]!++
				flag[i] = k
			}
		}
	}
	const from = new Int32Array(n + 1)
	for (let k = 0; k < n; k++) from[k + 1] = from[k]! + below[k]!
	const entries = from[n]!
	const rows = new Int32Array(entries)
	const l = new Float64Array(entries)
	const d = new Float64Array(n)

	// Row k of L by forward substitution with the rows above it.
	const end = from.slice(0, n)
	const y = new Float64Array(n)
	const pattern = new Int32Array(n)
	flag.fill(-1)
	for (let k = 0; k < n; k++) {
		let top = n
		flag[k] = k
		let pivot = 0
		const row = order[k]!
		for (let at = start[row]!; at < start[row + 1]!; at++) {
			const j = place[column[at]!]!
			if (j > k) continue
			if (j === k) {
				pivot += value[at]!
				continue
			}
			y[j]! += value[at]!
			let length = 0
			for (let i = j; flag[i] !== k; i = parent[i]!) {
				pattern[length++] = i
				flag[i] = k
			}
			while (length > 0) pattern[--top] = pattern[--length]!
		}
		const whole = pivot
		for (; top < n; top++) {
			const i = pattern[top]!
			const yi = y[i]!
			y[i] = 0
			const stop = end[i]!
			for (let at = from[i]!; at < stop; at++) y[rows[at]!]! -= l[at]! * yi
			const lki = yi / d[i]!
			pivot -= lki * yi
			rows[stop] = k
			l[stop] = lki
			end[i] = stop + 1
		}
		if (!(pivot > LEAST_PIVOT * Math.abs(whole))) return undefined
		d[k] = pivot
	}

	return {
		entries,
		solve(b, columns = 1) {
			if (b.length !== n * columns) throw new RangeError(`the right-hand side has ${b.length} entries, not ${n * columns}`)
			if (columns === 1) solveOne(b)
			else solveTwo(b)
		},
		inverse: () => inverseOnPattern({ n, from, rows, l, d, place }),
	}

	function solveOne(b: Float64Array): void {
		const w = new Float64Array(n)
		for (let k = 0; k < n; k++) w[k] = b[order[k]!]!
		for (let j = 0; j < n; j++) {
			const wj = w[j]!
			for (let at = from[j]!, stop = from[j + 1]!; at < stop; at++) w[rows[at]!]! -= l[at]! * wj
		}
		for (let j = n - 1; j >= 0; j--) {
			let sum = w[j]! / d[j]!
			for (let at = from[j]!, stop = from[j + 1]!; at < stop; at++) sum -= l[at]! * w[rows[at]!]!
			w[j] = sum
		}
		for (let k = 0; k < n; k++) b[order[k]!] = w[k]!
	}

	/** Two at once: the factor is read once for both. */
	function solveTwo(b: Float64Array): void {
		const w = new Float64Array(2 * n)
		for (let k = 0; k < n; k++) {
			w[2 * k] = b[2 * order[k]!]!
			w[2 * k + 1] = b[2 * order[k]! + 1]!
		}
		for (let j = 0; j < n; j++) {
			const p = w[2 * j]!
			const q = w[2 * j + 1]!
			for (let at = from[j]!, stop = from[j + 1]!; at < stop; at++) {
				const r = 2 * rows[at]!
				w[r]! -= l[at]! * p
				w[r + 1]! -= l[at]! * q
			}
		}
		for (let j = n - 1; j >= 0; j--) {
			let p = w[2 * j]! / d[j]!
			let q = w[2 * j + 1]! / d[j]!
			for (let at = from[j]!, stop = from[j + 1]!; at < stop; at++) {
				const r = 2 * rows[at]!
				p -= l[at]! * w[r]!
				q -= l[at]! * w[r + 1]!
			}
			w[2 * j] = p
			w[2 * j + 1] = q
		}
		for (let k = 0; k < n; k++) {
			b[2 * order[k]!] = w[2 * k]!
			b[2 * order[k]! + 1] = w[2 * k + 1]!
		}
	}
}
