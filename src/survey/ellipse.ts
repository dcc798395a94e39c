import type { Mark } from './survey.ts'

/** 95 % in two directions at once: sqrt of chi-square 5.991 with 2 degrees of freedom, the readings' sds being known. */
export const WITHIN_95 = Math.sqrt(5.991)

/** Within which a mark lies 95 times in 100. */
export interface Ellipse {
	/** half its length and half its width, mm on the panel */
	readonly majorMm: number
	readonly minorMm: number
	/** from the direction of growing station towards that of growing girth to its length, -90 to 90 */
	readonly angleDeg: number
}

/** `j`: length on the panel of a millimetre of station at the mark. */
export function ellipse95({ ss, sg, gg }: Mark['covariance'], j: number): Ellipse {
	const [a, b, c] = [ss * j * j, sg * j, gg]
	const middle = (a + c) / 2
	const half = Math.hypot((a - c) / 2, b)
	return {
		majorMm: WITHIN_95 * Math.sqrt(Math.max(0, middle + half)),
		minorMm: WITHIN_95 * Math.sqrt(Math.max(0, middle - half)),
		angleDeg: half > 0 ? (Math.atan2(2 * b, a - c) * 90) / Math.PI : 0,
	}
}
