/** A motion without stretch: p to R p + t, R row by row. */
export interface Rigid {
	readonly r: Float64Array
	readonly t: Float64Array
}

export type Triple = readonly [number, number, number]

export function moved({ r, t }: Rigid, p: ArrayLike<number>, at = 0): [number, number, number] {
	const x = p[at]!
	const y = p[at + 1]!
	const z = p[at + 2]!
	return [
		r[0]! * x + r[1]! * y + r[2]! * z + t[0]!,
		r[3]! * x + r[4]! * y + r[5]! * z + t[1]!,
		r[6]! * x + r[7]! * y + r[8]! * z + t[2]!,
	]
}

/** Every corner moved. */
export function movedAll({ r, t }: Rigid, positions: Float64Array): Float64Array {
	const out = new Float64Array(positions.length)
	for (let i = 0; i < out.length; i += 3) {
		const x = positions[i]!
		const y = positions[i + 1]!
		const z = positions[i + 2]!
		out[i] = r[0]! * x + r[1]! * y + r[2]! * z + t[0]!
		out[i + 1] = r[3]! * x + r[4]! * y + r[5]! * z + t[1]!
		out[i + 2] = r[6]! * x + r[7]! * y + r[8]! * z + t[2]!
	}
	return out
}

/** First `first`, then `then`. */
export function after(then: Rigid, first: Rigid): Rigid {
	const r = new Float64Array(9)
	for (let i = 0; i < 3; i++) {
		for (let j = 0; j < 3; j++) {
			for (let k = 0; k < 3; k++) r[3 * i + j] = r[3 * i + j]! + then.r[3 * i + k]! * first.r[3 * k + j]!
		}
	}
	return { r, t: Float64Array.from(moved(then, first.t)) }
}

/** The turn that takes the unit vector a onto the unit vector b by the shortest way (Rodrigues); they must not be opposite. */
export function turnOnto(a: Triple, b: Triple): Float64Array {
	const [x, y, z] = cross(a, b)
	const c = a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
	const k = 1 / (1 + c)
	return Float64Array.of(
		c + k * x * x,
		k * x * y - z,
		k * x * z + y,
		k * x * y + z,
		c + k * y * y,
		k * y * z - x,
		k * x * z - y,
		k * y * z + x,
		c + k * z * z,
	)
}

export const cross = (a: ArrayLike<number>, b: ArrayLike<number>): [number, number, number] => [
	a[1]! * b[2]! - a[2]! * b[1]!,
	a[2]! * b[0]! - a[0]! * b[2]!,
	a[0]! * b[1]! - a[1]! * b[0]!,
]

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

/**
 * The motion that brings `from` nearest to `to`, least squares with weights (Horn, Closed-form solution of absolute orientation
 * using unit quaternions, J. Opt. Soc. Am. A 4, 1987). A turn, never a mirror image. Two points or more; the caller sees to it
 * that they are not in a line.
 */
export function rigidFit(from: readonly Triple[], to: readonly Triple[], weights?: readonly number[]): Rigid {
	const weight = (i: number) => weights?.[i] ?? 1
	const centre = (points: readonly Triple[]) => {
		const c: [number, number, number] = [0, 0, 0]
		let sum = 0
		points.forEach((p, i) => {
			sum += weight(i)
			for (let k = 0; k < 3; k++) c[k] = c[k]! + weight(i) * p[k]!
		})
		return c.map((x) => x / sum) as [number, number, number]
	}
	const a = centre(from)
	const b = centre(to)
	const s = new Float64Array(9)
	from.forEach((p, i) => {
		const q = to[i]!
		for (let j = 0; j < 3; j++) {
			for (let k = 0; k < 3; k++) s[3 * j + k] = s[3 * j + k]! + weight(i) * (p[j]! - a[j]!) * (q[k]! - b[k]!)
		}
	})
	const [xx, xy, xz, yx, yy, yz, zx, zy, zz] = s as unknown as [
		number,
		number,
		number,
		number,
		number,
		number,
		number,
		number,
		number,
	]
	// biome-ignore format: a matrix is read by its rows
	const n = [
		xx + yy + zz, yz - zy, zx - xz, xy - yx,
		yz - zy, xx - yy - zz, xy + yx, zx + xz,
		zx - xz, xy + yx, yy - xx - zz, yz + zy,
		xy - yx, zx + xz, yz + zy, zz - xx - yy,
	]
	const [w, x, y, z] = symmetricEigen(n, 4).vectors[0] as unknown as [number, number, number, number]
	const r = Float64Array.of(
		w * w + x * x - y * y - z * z,
		2 * (x * y - w * z),
		2 * (x * z + w * y),
		2 * (x * y + w * z),
		w * w - x * x + y * y - z * z,
		2 * (y * z - w * x),
		2 * (x * z - w * y),
		2 * (y * z + w * x),
		w * w - x * x - y * y + z * z,
	)
	const at = moved({ r, t: new Float64Array(3) }, a)
	return { r, t: Float64Array.of(b[0] - at[0], b[1] - at[1], b[2] - at[2]) }
}
