import { symmetricEigen } from '../../numeric/symmetricEigen.ts'

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
