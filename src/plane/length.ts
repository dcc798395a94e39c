import { cubicDerivative } from './cubic.ts'
import type { Cubic } from './point.ts'
import { norm } from './vector.ts'

/** Positive nodes and weights of the 8-point Gauss-Legendre rule (Abramowitz & Stegun, Handbook, table 25.4). */
const GAUSS_8 = [
	[0.1834346424956498, 0.362683783378362],
	[0.525532409916329, 0.3137066458778873],
	[0.7966664774136267, 0.2223810344533745],
	[0.9602898564975363, 0.1012285362903763],
] as const

/** Halvings after which a length is taken as it is: 2^-20 of a cubic is below 1e-3 mm on a 1 m piece, so an error there is nothing. */
const MAX_HALVINGS = 20

/** Length of the cubic between two parameters, mm, halved until 8-point Gauss-Legendre agrees with itself to `toleranceMm`. */
export function cubicLength(c: Cubic, toleranceMm = 1e-9, u0 = 0, u1 = 1): number {
	return halve(c, u0, u1, gauss(c, u0, u1), toleranceMm, 0)
}

/** Length of a run of cubics, mm. */
export function cubicsLength(cubics: readonly Cubic[], toleranceMm = 1e-9): number {
	return cubics.reduce((sum, c) => sum + cubicLength(c, toleranceMm / cubics.length), 0)
}

function halve(c: Cubic, u0: number, u1: number, whole: number, toleranceMm: number, depth: number): number {
	const m = (u0 + u1) / 2
	const a = gauss(c, u0, m)
	const b = gauss(c, m, u1)
	if (Math.abs(a + b - whole) <= toleranceMm || depth >= MAX_HALVINGS) return a + b
	return halve(c, u0, m, a, toleranceMm / 2, depth + 1) + halve(c, m, u1, b, toleranceMm / 2, depth + 1)
}

function gauss(c: Cubic, u0: number, u1: number): number {
	const half = (u1 - u0) / 2
	const mid = (u0 + u1) / 2
	let sum = 0
	for (const [x, w] of GAUSS_8) sum += w * (norm(cubicDerivative(c, mid - half * x)) + norm(cubicDerivative(c, mid + half * x)))
	return sum * half
}
