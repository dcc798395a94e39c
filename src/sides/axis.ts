import { symmetricEigen } from '../numeric/symmetricEigen.ts'

/** One thing measured on both sides. Coordinates in mm, two or three of them: along, across (positive right), and up. */
export interface AxisPair {
	readonly id: string
	readonly left: readonly number[]
	readonly right: readonly number[]
	/** one standard deviation of either place across the axis, mm */
	readonly offsetSd: number
	/** and along it; infinite where both places share one line across, which then says nothing of the axis */
	readonly stationSd: number
}

/** The axis (in three coordinates the plane) of reflection. */
export interface Axis {
	/** unit vector across it, to the right */
	readonly normal: readonly number[]
	/** unit vectors in it, the first one rearward */
	readonly along: readonly (readonly number[])[]
	/** a place on it: the mean of the middles of the pairs, by their weights */
	readonly middle: readonly number[]
	/** of the shift across itself, mm */
	readonly shiftSdMm: number
	/** covariance of the turns of each direction of `along` towards the normal, rad^2 */
	readonly turns: readonly (readonly number[])[]
}

export type AxisTrouble =
	| { readonly kind: 'no-pairs' }
	/** nothing is known of how well a pair was measured, or its numbers are no numbers */
	| { readonly kind: 'no-sd'; readonly id: string }
	/** one pair, or all of them at one place along: where the axis passes there is known, its direction is not */
	| {
			readonly kind: 'one-pair' | 'one-station'
			readonly middle: readonly number[]
			readonly shiftSdMm: number
	  }

/** Pairs that reach over less than this along the axis do not give its direction, mm. */
const LEAST_REACH_MM = 1

/**
 * The axis about which the left places are the right ones' mirror image, by weighted least squares in closed form: the normal
 * is the eigenvector of the smallest eigenvalue of B = 4 sum Wn (m - mean)(m - mean)' - sum Wt d d', m the middle of a pair, d
 * right less left, Wn = 1/(2 offsetSd^2), Wt = 1/(2 stationSd^2); the axis passes through the weighted mean of m (Procrustes
 * with reflection: Mardia, Bookstein & Moreton, Biometrika 87, 2000). Its standard deviations follow from those of the places.
 */
export function axisOfReflection(pairs: readonly AxisPair[]): Axis | AxisTrouble {
	const first = pairs[0]
	if (!first) return { kind: 'no-pairs' }
	const n = first.left.length
	const bad = pairs.find((pair) => !usable(pair, n))
	if (bad) return { kind: 'no-sd', id: bad.id }
	const weighed = pairs.map((pair) => ({
		m: pair.left.map((x, k) => (x + pair.right[k]!) / 2),
		d: pair.left.map((x, k) => pair.right[k]! - x),
		across: 1 / (2 * pair.offsetSd ** 2),
		along: 1 / (2 * pair.stationSd ** 2),
	}))
	const whole = weighed.reduce((sum, { across }) => sum + across, 0)
	const middle = weighed[0]!.m.map((_, k) => weighed.reduce((sum, { m, across }) => sum + across * m[k]!, 0) / whole)
	const shiftSdMm = Math.sqrt(1 / (4 * whole))
	const stations = weighed.map(({ m }) => m[0]!)
	if (pairs.length === 1) return { kind: 'one-pair', middle, shiftSdMm }
	if (Math.max(...stations) - Math.min(...stations) < LEAST_REACH_MM) return { kind: 'one-station', middle, shiftSdMm }

	const b = new Float64Array(n * n)
	for (const { m, d, across, along } of weighed) {
		for (let i = 0; i < n; i++) {
			for (let j = 0; j < n; j++) {
				b[n * i + j]! += 4 * across * (m[i]! - middle[i]!) * (m[j]! - middle[j]!) - along * d[i]! * d[j]!
			}
		}
	}
	const vectors = symmetricEigen(b, n).vectors.map((v) => [...v])
	const normal = towards(vectors[n - 1]!, 1)
	// Rearward first, then up.
	const along = vectors.slice(0, n - 1).sort((p, q) => Math.abs(q[0]!) - Math.abs(p[0]!))
	const directions = along.map((v, k) => towards(v, k === 0 ? 0 : 2))
	const information = directions.map((u) =>
		directions.map((v) =>
			weighed.reduce((sum, { m, d, across, along: w }) => {
				const off = m.map((x, k) => x - middle[k]!)
				return sum + 4 * across * dot(u, off) * dot(v, off) + (u === v ? w * dot(normal, d) ** 2 : 0)
			}, 0),
		),
	)
	const turns = inverse(information)
	return turns ? { normal, along: directions, middle, shiftSdMm, turns } : { kind: 'one-station', middle, shiftSdMm }
}

const usable = ({ left, right, offsetSd, stationSd }: AxisPair, n: number) =>
	left.length === n && right.length === n && [...left, ...right].every(Number.isFinite) && offsetSd > 0 && stationSd > 0

export const dot = (a: readonly number[], b: readonly number[]): number => a.reduce((sum, x, k) => sum + x * b[k]!, 0)

/** The vector or its opposite, whichever grows in that coordinate. */
const towards = (v: readonly number[], k: number): readonly number[] => (v[k]! < 0 ? v.map((x) => -x) : v)

/** Of a positive matrix of one or two rows; undefined where it is singular. */
function inverse(m: readonly (readonly number[])[]): number[][] | undefined {
	const [a, b, d] = [m[0]![0]!, m[0]![1] ?? 0, m[1]?.[1]]
	if (d === undefined) return a > 0 ? [[1 / a]] : undefined
	const det = a * d - b * b
	return det > SINGULAR * a * d
		? [
				[d / det, -b / det],
				[-b / det, a / det],
			]
		: undefined
}

/** Rounding of the sums leaves about 1e-14 of a determinant that is nothing. */
const SINGULAR = 1e-12
