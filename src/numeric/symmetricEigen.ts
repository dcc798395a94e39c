/** Eigenvalues, falling, and their vectors (as rows) of a symmetric matrix n by n, by Jacobi's rotations (Golub & Van Loan, 8.5). */
export function symmetricEigen(matrix: ArrayLike<number>, n: number): { values: Float64Array; vectors: Float64Array[] } {
	const a = Float64Array.from(matrix)
	const v = new Float64Array(n * n)
	for (let i = 0; i < n; i++) v[n * i + i] = 1
	// quadratic convergence: 4 by 4 matrices take 5 to 7 sweeps
	for (let sweep = 0; sweep < 50; sweep++) {
		let off = 0
		let whole = 0
		for (let i = 0; i < n; i++)
			for (let j = 0; j < n; j++) {
				whole += a[n * i + j]! ** 2
				if (i !== j) off += a[n * i + j]! ** 2
			}
		if (off <= 1e-30 * whole) break
		for (let p = 0; p < n; p++) {
			for (let q = p + 1; q < n; q++) {
				const apq = a[n * p + q]!
				if (apq === 0) continue
				const theta = (a[n * q + q]! - a[n * p + p]!) / (2 * apq)
				const t = (theta < 0 ? -1 : 1) / (Math.abs(theta) + Math.sqrt(theta * theta + 1))
				const c = 1 / Math.sqrt(t * t + 1)
				const s = t * c
				for (let k = 0; k < n; k++) {
					const akp = a[n * k + p]!
					const akq = a[n * k + q]!
					a[n * k + p] = c * akp - s * akq
					a[n * k + q] = s * akp + c * akq
				}
				for (let k = 0; k < n; k++) {
					const apk = a[n * p + k]!
					const aqk = a[n * q + k]!
					a[n * p + k] = c * apk - s * aqk
					a[n * q + k] = s * apk + c * aqk
				}
				for (let k = 0; k < n; k++) {
					const vkp = v[n * k + p]!
					const vkq = v[n * k + q]!
					v[n * k + p] = c * vkp - s * vkq
					v[n * k + q] = s * vkp + c * vkq
				}
			}
		}
	}
	const order = Array.from({ length: n }, (_, i) => i).sort((i, j) => a[n * j + j]! - a[n * i + i]!)
	return {
		values: Float64Array.from(order, (i) => a[n * i + i]!),
		vectors: order.map((i) => Float64Array.from({ length: n }, (_, k) => v[n * k + i]!)),
	}
}
