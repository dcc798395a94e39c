/** Householder QR with column pivoting of a tall matrix (Golub & Van Loan, Matrix Computations, 4th ed., 5.4.2). */
export interface ColumnQr {
	readonly rows: number
	readonly columns: number
	/** columns that the others do not make up, within `tolerance` */
	readonly rank: number
	readonly tolerance: number
	/** columns one after the other, in pivot order: R on and above the diagonal, reflectors below */
	readonly packed: Float64Array
	/** factors of the reflectors I - tau v v^T, v[k] = 1 */
	readonly tau: Float64Array
	/** order[k]: which column of the matrix stands k-th */
	readonly order: Int32Array
	/** length of each column of the matrix; columns are divided by it first, so units do not decide the rank */
	readonly lengths: Float64Array
}

/** `matrix` is rows by columns, row by row. A column whose rest is shorter than `tolerance` (its whole being 1) is not determined. */
export function factorColumns(matrix: Float64Array, rows: number, columns: number, tolerance: number): ColumnQr {
	const packed = new Float64Array(rows * columns)
	const lengths = new Float64Array(columns)
	const order = new Int32Array(columns)
	const tau = new Float64Array(columns)
	for (let j = 0; j < columns; j++) {
		let sum = 0
		for (let i = 0; i < rows; i++) sum += matrix[i * columns + j]! ** 2
		const length = Math.sqrt(sum)
		lengths[j] = length > 0 ? length : 1
		order[j] = j
		for (let i = 0; i < rows; i++) packed[j * rows + i] = matrix[i * columns + j]! / lengths[j]!
	}
	let rank = 0
	for (let k = 0; k < Math.min(rows, columns); k++) {
		let longest = k
		let most = -1
		for (let j = k; j < columns; j++) {
			let sum = 0
			for (let i = k; i < rows; i++) sum += packed[j * rows + i]! ** 2
			// of equals the first stays, so that the order of rounding errors does not choose
			if (sum > most * (1 + 1e-12)) {
				most = sum
				longest = j
			}
		}
		const length = Math.sqrt(most)
		if (!(length > tolerance)) break
		if (longest !== k) {
			for (let i = 0; i < rows; i++) {
				const keep = packed[k * rows + i]!
				packed[k * rows + i] = packed[longest * rows + i]!
				packed[longest * rows + i] = keep
			}
			const keep = order[k]!
			order[k] = order[longest]!
			order[longest] = keep
		}
		const base = k * rows
		const head = packed[base + k]!
		const pivot = head > 0 ? -length : length
		const v0 = head - pivot
		tau[k] = -v0 / pivot
		packed[base + k] = pivot
		for (let i = k + 1; i < rows; i++) packed[base + i] = packed[base + i]! / v0
		for (let j = k + 1; j < columns; j++) reflect(packed, base, j * rows, k, rows, tau[k]!)
		rank++
	}
	return { rows, columns, rank, tolerance, packed, tau, order, lengths }
}

function reflect(packed: Float64Array, from: number, to: number, k: number, rows: number, tau: number, target = packed): void {
	let sum = target[to + k]!
	for (let i = k + 1; i < rows; i++) sum += packed[from + i]! * target[to + i]!
	sum *= tau
	target[to + k] = target[to + k]! - sum
	for (let i = k + 1; i < rows; i++) target[to + i] = target[to + i]! - sum * packed[from + i]!
}

/** Q^T b, in a new array. */
export function applyTransposedQ(qr: ColumnQr, b: Float64Array): Float64Array {
	const out = b.slice()
	for (let k = 0; k < qr.rank; k++) reflect(qr.packed, k * qr.rows, 0, k, qr.rows, qr.tau[k]!, out)
	return out
}

/** The least-squares x from Q^T b; 0 for the columns left over where the rank is short. */
export function solveFactor(qr: ColumnQr, qtb: Float64Array): Float64Array {
	const { rows, columns, rank, packed, order, lengths } = qr
	const z = new Float64Array(rank)
	for (let k = rank - 1; k >= 0; k--) {
		let sum = qtb[k]!
		for (let j = k + 1; j < rank; j++) sum -= packed[j * rows + k]! * z[j]!
		z[k] = sum / packed[k * rows + k]!
	}
	const x = new Float64Array(columns)
	for (let k = 0; k < rank; k++) x[order[k]!] = z[k]! / lengths[order[k]!]!
	return x
}

/** z of length rank with R^T z = a (a in the order of the matrix): |z|^2 = a (A^T A)^-1 a. */
export function transposeSolve(qr: ColumnQr, a: ArrayLike<number>): Float64Array {
	const { rows, rank, packed, order, lengths } = qr
	const z = new Float64Array(rank)
	for (let k = 0; k < rank; k++) {
		let sum = a[order[k]!]! / lengths[order[k]!]!
		for (let i = 0; i < k; i++) sum -= packed[k * rows + i]! * z[i]!
		z[k] = sum / packed[k * rows + k]!
	}
	return z
}

/** Directions that no row of the matrix notices, each scaled so that its largest entry (in units of the columns' lengths) is 1. */
export function nullSpace(qr: ColumnQr): Float64Array[] {
	const { rows, columns, rank, packed, order, lengths } = qr
	const open: Float64Array[] = []
	for (let f = rank; f < columns; f++) {
		const z = new Float64Array(columns)
		z[f] = 1
		for (let k = rank - 1; k >= 0; k--) {
			let sum = -packed[f * rows + k]!
			for (let j = k + 1; j < rank; j++) sum -= packed[j * rows + k]! * z[j]!
			z[k] = sum / packed[k * rows + k]!
		}
		const largest = z.reduce((most, value) => Math.max(most, Math.abs(value)), 0)
		const x = new Float64Array(columns)
		for (let k = 0; k < columns; k++) x[order[k]!] = z[k]! / largest / lengths[order[k]!]!
		open.push(x)
	}
	return open
}

/** (A^T A)^-1, columns by columns; for the columns left over where the rank is short, 0. */
export function inverseNormal(qr: ColumnQr): Float64Array {
	const { rows, columns, rank, packed, order, lengths } = qr
	// rows of the inverse of R, upper triangle
	const inverse = new Float64Array(rank * rank)
	for (let j = 0; j < rank; j++) {
		inverse[j * rank + j] = 1 / packed[j * rows + j]!
		for (let i = j - 1; i >= 0; i--) {
			let sum = 0
			for (let k = i + 1; k <= j; k++) sum += packed[k * rows + i]! * inverse[k * rank + j]!
			inverse[i * rank + j] = -sum / packed[i * rows + i]!
		}
	}
	const q = new Float64Array(columns * columns)
	for (let i = 0; i < rank; i++) {
		for (let j = i; j < rank; j++) {
			let sum = 0
			for (let k = j; k < rank; k++) sum += inverse[i * rank + k]! * inverse[j * rank + k]!
			const a = order[i]!
			const b = order[j]!
			const value = sum / (lengths[a]! * lengths[b]!)
			q[a * columns + b] = value
			q[b * columns + a] = value
		}
	}
	return q
}
