import { type BSpline, basisDerivatives, knotSpan } from './bspline.ts'

/** A spline as one polynomial between each two neighbouring knots: quick to evaluate again and again. */
export interface SplinePieces {
	/** where the pieces start and the last one ends, increasing */
	readonly knots: Float64Array
	/** degree + 1 coefficients a piece, of powers of (t - its start) */
	readonly coefficients: Float64Array
	readonly degree: number
}

/** The same function by Taylor's polynomials at the knots (The NURBS Book, ch. 2). */
export function splinePieces({ degree, knots, coefficients }: BSpline): SplinePieces {
	const places: number[] = []
	for (let i = degree; i < knots.length - degree; i++) if (i === degree || knots[i]! > knots[i - 1]!) places.push(knots[i]!)
	const size = degree + 1
	const out = new Float64Array((places.length - 1) * size)
	const basis = new Float64Array(size * size)
	for (let p = 0; p + 1 < places.length; p++) {
		const span = knotSpan(knots, degree, places[p]!)
		basisDerivatives(knots, degree, span, places[p]!, degree, basis)
		let factorial = 1
		for (let d = 0; d <= degree; d++) {
			if (d > 1) factorial *= d
			let sum = 0
			for (let j = 0; j < size; j++) sum += basis[d * size + j]! * coefficients[span - degree + j]!
			out[p * size + d] = sum / factorial
		}
	}
	return { knots: Float64Array.from(places), coefficients: out, degree }
}

/** Value and slope of piece p at t, into `out`; t may lie a little outside the piece. */
export function evaluatePiece({ knots, coefficients, degree }: SplinePieces, p: number, t: number, out: Float64Array): void {
	const x = t - knots[p]!
	const from = p * (degree + 1)
	let value = 0
	let slope = 0
	for (let d = degree; d >= 0; d--) {
		slope = slope * x + value
		value = value * x + coefficients[from + d]!
	}
	out[0] = value
	out[1] = slope
}
