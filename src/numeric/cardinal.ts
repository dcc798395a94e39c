/** Factored equations in a band: row i reaches from column i - LOWER to i + LOWER + UPPER (rows may have been exchanged). */
export interface BandLu {
	readonly n: number
	/** WIDTH entries a row, from column i - LOWER; the multipliers stand below the diagonal */
	readonly a: Float64Array
	readonly exchanged: Int32Array
}

// The equations of the ends reach six columns to one side.
const LOWER = 6
const UPPER = 6
const WIDTH = 2 * LOWER + UPPER + 1
/** How a coefficient's B-spline counts at the samples (times 120), and how its fifth derivative jumps at its knots. */
const AT_SAMPLES = [1, 26, 66, 26, 1] as const
const JUMPS = [1, -6, 15, -20, 15, -6, 1] as const

/**
 * Equations for the n + 4 coefficients of the cardinal quintic spline through n values on a regular grid (n >= 6), factored.
 * Sample i is (c[i] + 26 c[i+1] + 66 c[i+2] + 26 c[i+3] + c[i+4]) / 120 and stands in row i + 2; the first and last two rows
 * say that the fifth derivative does not jump at the two samples next to each end ("not a knot"), and are 0 on the right.
 */
export function interpolationLu(n: number): BandLu {
	const size = n + 4
	const a = new Float64Array(size * WIDTH)
	const put = (row: number, column: number, x: number) => {
		a[row * WIDTH + column - row + LOWER] = x
	}
	// The jump at sample m is the sixth difference of coefficients m - 1 .. m + 5.
	JUMPS.forEach((jump, j) => {
		put(0, j, jump)
		put(1, j + 1, jump)
		put(size - 2, size - 8 + j, jump)
		put(size - 1, size - 7 + j, jump)
	})
	for (let i = 0; i < n; i++) for (let j = 0; j < AT_SAMPLES.length; j++) put(i + 2, i + j, AT_SAMPLES[j]! / 120)
	return factor(size, a)
}

/** Gaussian elimination with exchange of rows in a band (Golub & Van Loan, Matrix Computations, 4th ed., 4.3.3). */
function factor(n: number, a: Float64Array): BandLu {
	const exchanged = new Int32Array(n)
	const at = (i: number, column: number) => i * WIDTH + column - i + LOWER
	for (let k = 0; k < n; k++) {
		const last = Math.min(n - 1, k + LOWER)
		const end = Math.min(n - 1, k + LOWER + UPPER)
		let p = k
		for (let i = k + 1; i <= last; i++) if (Math.abs(a[at(i, k)]!) > Math.abs(a[at(p, k)]!)) p = i
		exchanged[k] = p
		for (let c = k; p !== k && c <= end; c++) {
			const x = a[at(k, c)]!
			a[at(k, c)] = a[at(p, c)]!
			a[at(p, c)] = x
		}
		const pivot = a[at(k, k)]!
		for (let i = k + 1; i <= last; i++) {
			const f = a[at(i, k)]! / pivot
			a[at(i, k)] = f
			if (f !== 0) for (let c = k + 1; c <= end; c++) a[at(i, c)] = a[at(i, c)]! - f * a[at(k, c)]!
		}
	}
	return { n, a, exchanged }
}

/** Solves in place. */
export function solveBand({ n, a, exchanged }: BandLu, x: Float64Array): Float64Array {
	for (let k = 0; k < n; k++) {
		const p = exchanged[k]!
		const y = x[p]!
		if (p !== k) {
			x[p] = x[k]!
			x[k] = y
		}
		if (y === 0) continue
		const last = Math.min(n - 1, k + LOWER)
		for (let i = k + 1; i <= last; i++) x[i] = x[i]! - a[i * WIDTH + k - i + LOWER]! * y
	}
	for (let k = n - 1; k >= 0; k--) {
		const end = Math.min(n - 1, k + LOWER + UPPER)
		let sum = x[k]!
		for (let c = k + 1; c <= end; c++) sum -= a[k * WIDTH + c - k + LOWER]! * x[c]!
		x[k] = sum / a[k * WIDTH + LOWER]!
	}
	return x
}
