/** A spline by B-splines: `knots.length - degree - 1` coefficients (The NURBS Book, ch. 2 and 3). */
export interface BSpline {
	readonly degree: number
	/** not decreasing */
	readonly knots: Float64Array
	readonly coefficients: Float64Array
}

interface Room {
	readonly table: Float64Array
	readonly left: Float64Array
	readonly right: Float64Array
	readonly pair: readonly [Float64Array, Float64Array]
	/** B-splines and their derivatives as far as any is not 0 */
	readonly basis: Float64Array
}

/** Work space by degree + 1, used again: B-splines are asked for place by place. */
const rooms: Room[] = []

function roomFor(size: number): Room {
	const known = rooms[size]
	if (known) return known
	const line = () => new Float64Array(size)
	const square = () => new Float64Array(size * size)
	const room: Room = { table: square(), left: line(), right: line(), pair: [line(), line()], basis: square() }
	rooms[size] = room
	return room
}

/** Index i of the knot span with knots[i] <= t < knots[i + 1]; outside the curve's range, the first or last span. */
export function knotSpan(knots: Float64Array, degree: number, t: number): number {
	let low = degree
	let high = knots.length - degree - 2
	while (low < high) {
		const middle = (low + high + 1) >> 1
		if (t >= knots[middle]!) low = middle
		else high = middle - 1
	}
	return low
}

/**
 * The degree + 1 B-splines that are not 0 on `span`, and their derivatives up to `order`, at t, into `out`
 * row by row: out[d * (degree + 1) + j] is derivative d of B-spline span - degree + j (The NURBS Book, algorithm A2.3).
 * Outside the span they are the same polynomials run on.
 */
export function basisDerivatives(
	knots: Float64Array,
	degree: number,
	span: number,
	t: number,
	order: number,
	out: Float64Array = new Float64Array((order + 1) * (degree + 1)),
): Float64Array {
	const size = degree + 1
	const { table, left, right, pair } = roomFor(size)
	table[0] = 1
	for (let j = 1; j <= degree; j++) {
		left[j] = t - knots[span + 1 - j]!
		right[j] = knots[span + j]! - t
		let saved = 0
		for (let r = 0; r < j; r++) {
			const gap = right[r + 1]! + left[j - r]!
			table[j * size + r] = gap
			const part = table[r * size + j - 1]! / gap
			table[r * size + j] = saved + right[r + 1]! * part
			saved = left[j - r]! * part
		}
		table[j * size + j] = saved
	}
	for (let j = 0; j <= degree; j++) out[j] = table[j * size + degree]!
	const highest = Math.min(order, degree)
	for (let r = 0; highest > 0 && r <= degree; r++) {
		let current = 0
		pair[0].fill(0)
		pair[1].fill(0)
		pair[0][0] = 1
		for (let k = 1; k <= highest; k++) {
			const a = pair[current as 0 | 1]
			const b = pair[(1 - current) as 0 | 1]
			let sum = 0
			const rk = r - k
			const pk = degree - k
			if (r >= k) {
				b[0] = a[0]! / table[(pk + 1) * size + rk]!
				sum = b[0]! * table[rk * size + pk]!
			}
			const from = rk >= -1 ? 1 : -rk
			const to = r - 1 <= pk ? k - 1 : degree - r
			for (let j = from; j <= to; j++) {
				b[j] = (a[j]! - a[j - 1]!) / table[(pk + 1) * size + rk + j]!
				sum += b[j]! * table[(rk + j) * size + pk]!
			}
			if (r <= pk) {
				b[k] = -a[k - 1]! / table[(pk + 1) * size + r]!
				sum += b[k]! * table[r * size + pk]!
			}
			out[k * size + r] = sum
			current = 1 - current
		}
	}
	let factor = degree
	for (let k = 1; k <= highest; k++) {
		for (let j = 0; j <= degree; j++) out[k * size + j] = out[k * size + j]! * factor
		factor *= degree - k
	}
	for (let k = highest + 1; k <= order; k++) out.fill(0, k * size, (k + 1) * size)
	return out
}

/** Value and derivatives up to `order` at t: out[d] is the d-th. Outside the knots the end polynomials run on. */
export function evaluateBSpline(
	spline: BSpline,
	t: number,
	order = 0,
	out: Float64Array = new Float64Array(order + 1),
): Float64Array {
	const { knots, degree, coefficients } = spline
	const span = knotSpan(knots, degree, t)
	const room = roomFor(degree + 1).basis
	const basis = basisDerivatives(knots, degree, span, t, order, (order + 1) * (degree + 1) <= room.length ? room : undefined)
	for (let d = 0; d <= order; d++) {
		let sum = 0
		for (let j = 0; j <= degree; j++) sum += basis[d * (degree + 1) + j]! * coefficients[span - degree + j]!
		out[d] = sum
	}
	return out
}

/** Knots with each end repeated degree + 1 times around the given distinct places: one polynomial piece between neighbours. */
export function clampedKnots(places: ArrayLike<number>, degree: number): Float64Array {
	const n = places.length
	const knots = new Float64Array(n + 2 * degree)
	for (let i = 0; i < knots.length; i++) knots[i] = places[Math.min(n - 1, Math.max(0, i - degree))]!
	return knots
}

/** Knots of a periodic spline: `places` from one end of the period to the other (both included), wrapped round at both ends. */
export function periodicKnots(places: ArrayLike<number>, degree: number): Float64Array {
	const pieces = places.length - 1
	const period = places[pieces]! - places[0]!
	const knots = new Float64Array(places.length + 2 * degree)
	for (let i = 0; i < knots.length; i++) {
		const k = i - degree
		const turn = Math.floor(k / pieces)
		knots[i] = places[k - turn * pieces]! + turn * period
	}
	return knots
}
