import { chiSquareQuantile } from '../numeric/chiSquare.ts'

/** How well all readings of a panel fit together. */
export interface Closure {
	/** readings more than needed */
	readonly dof: number
	/** sum of (residual / sd)^2 */
	readonly sumSquares: number
	/** by how much the readings are worse than their sds say: 1 where they are as good; absent where nothing checks anything */
	readonly factor?: number
	/** what the sum of squares stays between by chance, 999 times in 1000 */
	readonly expected?: { readonly from: number; readonly to: number }
	readonly verdict: 'unchecked' | 'as-said' | 'worse' | 'better'
}

/** One survey in a thousand is judged wrongly, half of them to each side: the same rate as that of one reading (Baarda 1968). */
const WRONGLY = 0.001

/** The global test of an adjustment with known sds: sum of squares against chi-square. */
export function closureOf(dof: number, sumSquares: number): Closure {
	if (dof <= 0) return { dof, sumSquares, verdict: 'unchecked' }
	const expected = { from: chiSquareQuantile(WRONGLY / 2, dof), to: chiSquareQuantile(1 - WRONGLY / 2, dof) }
	const verdict = sumSquares > expected.to ? 'worse' : sumSquares < expected.from ? 'better' : 'as-said'
	return { dof, sumSquares, factor: Math.sqrt(sumSquares / dof), expected, verdict }
}
