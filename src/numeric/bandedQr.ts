/**
 * Least squares with rows that touch few neighbouring unknowns, by Givens rotations row after row
 * (Golub & Van Loan, Matrix Computations, 4th ed., 5.2.5; Lawson & Hanson, ch. 27). Rows should come sorted by their
 * first unknown, heavy ones first: then the factor keeps its band and unequal weights do no harm.
 * A few last unknowns (`border`) may be touched by every row: that is how a period closes.
 */
export interface BandedQr {
	readonly n: number
	/** columns of R beside the diagonal, the diagonal included */
	readonly band: number
	readonly border: number
	/** upper triangle, row by row, n by n */
	readonly r: Float64Array
	/** Q^T b, for each right side: n by sides */
	readonly rhs: Float64Array
	readonly sides: number
	/** what is left of each right side: sums of squares */
	readonly rest: Float64Array
}

export function bandedQr(n: number, band: number, border: number, sides: number): BandedQr {
	return { n, band, border, sides, r: new Float64Array(n * n), rhs: new Float64Array(n * sides), rest: new Float64Array(sides) }
}

/** Empties it for another use. */
export function resetQr(qr: BandedQr): void {
	qr.r.fill(0)
	qr.rhs.fill(0)
	qr.rest.fill(0)
}

/** Adds one row whose unknowns before `start` are 0. `row` (length n) and `b` (length sides) are used up. */
export function addRow(qr: BandedQr, start: number, row: Float64Array, b: Float64Array): void {
	const { n, band, border, sides, r, rhs } = qr
	const tail = n - border
	for (let j = start; j < n; j++) {
		const x = row[j]!
		if (x === 0) continue
		const base = j * n
		const d = r[base + j]!
		const end = Math.min(n, j + band)
		const from = Math.max(end, tail)
		if (d === 0) {
			// an empty row of R: this one takes its place, with a diagonal above 0
			const sign = x < 0 ? -1 : 1
			for (let k = j; k < end; k++) {
				r[base + k] = sign * row[k]!
				row[k] = 0
			}
			for (let k = from; k < n; k++) {
				r[base + k] = sign * row[k]!
				row[k] = 0
			}
			for (let side = 0; side < sides; side++) rhs[j * sides + side] = sign * b[side]!
			return
		}
		const length = Math.sqrt(d * d + x * x)
		const c = d / length
		const s = x / length
		r[base + j] = length
		row[j] = 0
		for (let k = j + 1; k < end; k++) {
			const top = r[base + k]!
			const low = row[k]!
			r[base + k] = c * top + s * low
			row[k] = c * low - s * top
		}
		for (let k = from; k < n; k++) {
			const top = r[base + k]!
			const low = row[k]!
			r[base + k] = c * top + s * low
			row[k] = c * low - s * top
		}
		for (let side = 0; side < sides; side++) {
			const top = rhs[j * sides + side]!
			const low = b[side]!
			rhs[j * sides + side] = c * top + s * low
			b[side] = c * low - s * top
		}
	}
	for (let side = 0; side < sides; side++) qr.rest[side] = qr.rest[side]! + b[side]! * b[side]!
}

/** R x = Q^T b for one right side, into `out`. The diagonal must not be 0: see `smallestPivot`. */
export function backSolve(qr: BandedQr, side: number, out: Float64Array): Float64Array {
	const { n, band, border, sides, r, rhs } = qr
	for (let j = n - 1; j >= 0; j--) {
		let sum = rhs[j * sides + side]!
		const end = Math.min(n, j + band)
		for (let k = j + 1; k < end; k++) sum -= r[j * n + k]! * out[k]!
		for (let k = Math.max(end, n - border); k < n; k++) sum -= r[j * n + k]! * out[k]!
		out[j] = sum / r[j * n + j]!
	}
	return out
}

/** z with R^T z = a, in place; a is 0 before `start`. Then |z|^2 = a^T (R^T R)^-1 a. */
export function forwardSolve(qr: BandedQr, start: number, a: Float64Array): Float64Array {
	const { n, band, border, r } = qr
	for (let j = start; j < n; j++) {
		const z = a[j]! / r[j * n + j]!
		a[j] = z
		if (z === 0) continue
		const end = Math.min(n, j + band)
		for (let k = j + 1; k < end; k++) a[k] = a[k]! - r[j * n + k]! * z
		for (let k = Math.max(end, n - border); k < n; k++) a[k] = a[k]! - r[j * n + k]! * z
	}
	return a
}

/** Smallest diagonal of R over the largest: about 0 when some unknown is not determined. */
export function smallestPivot(qr: BandedQr): number {
	let least = Number.POSITIVE_INFINITY
	let most = 0
	for (let j = 0; j < qr.n; j++) {
		const d = Math.abs(qr.r[j * qr.n + j]!)
		least = Math.min(least, d)
		most = Math.max(most, d)
	}
	return most > 0 ? least / most : 0
}
