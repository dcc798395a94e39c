/** L with L L^T = a, n by n row by row, both by their lower triangle (Golub & Van Loan, Matrix Computations, 4.2.5); undefined unless a is positive. */
export function cholesky(a: Float64Array, n: number): Float64Array | undefined {
	const l = a.slice()
	for (let i = 0; i < n; i++) {
		for (let j = 0; j <= i; j++) {
			const [row, other] = [i * n, j * n]
			let sum = l[row + j]!
			for (let k = 0; k < j; k++) sum -= l[row + k]! * l[other + k]!
			if (j < i) l[i * n + j] = sum / l[j * n + j]!
			else if (sum > 0) l[i * n + i] = Math.sqrt(sum)
			else return undefined
		}
	}
	return l
}

/** x with L x = b. */
export function forward(l: Float64Array, b: ArrayLike<number>): Float64Array {
	const n = b.length
	const x = new Float64Array(n)
	for (let i = 0; i < n; i++) {
		let sum = b[i]!
		for (let k = 0; k < i; k++) sum -= l[i * n + k]! * x[k]!
		x[i] = sum / l[i * n + i]!
	}
	return x
}

/** x with L^T x = b. */
export function backward(l: Float64Array, b: ArrayLike<number>): Float64Array {
	const n = b.length
	const x = new Float64Array(n)
	for (let i = n - 1; i >= 0; i--) {
		let sum = b[i]!
		for (let k = i + 1; k < n; k++) sum -= l[k * n + i]! * x[k]!
		x[i] = sum / l[i * n + i]!
	}
	return x
}
