import { addRow, backSolve, bandedQr } from '../numeric/bandedQr.ts'
import { basisDerivatives, clampedKnots, knotSpan, periodicKnots } from '../numeric/bspline.ts'
import { gaussRule } from '../numeric/quadrature.ts'

/** How sections make up the skin along the panel. */
export interface AlongBlend {
	/** the share of each section at u; they add up to 1 */
	weights(u: number): Float64Array
	/** effective parameters over sections */
	readonly share: number
	/** log10 of the weight of the penalty, mm^5 */
	readonly stiffness: number
}

/** log10 of the weight of the penalty (in units of the mean spacing): from a curve through all sections to a parabola. */
const THROUGH = -12
const STIFFEST = 6
/** A fifth of a decade changes what is left by less than a tenth of it. */
const LOG_STEP = 0.2
const DEGREE = 5
/** Of a bend that grows or fades at one rate nothing is smoothed away. */
const PENALTY_ORDER = 3

/**
 * Quintic smoothing spline through the sections (least squares and the integral of the squared third derivative; Reinsch,
 * Numer. Math. 10, 1967) with no knot at the two sections next to each end (de Boor, A Practical Guide to Splines, ch. IV: an
 * end that must be without third derivative would be off by a hundredth of the panel's own bend). Given as weights: one spline
 * for each section that stands for 1 there and 0 at all others. `stiff` asks whether the weights at the sections (row by row)
 * leave them by no more than they may, and the stiffest that does is taken; or is the stiffness itself. Of few sections: the polynomial through them.
 */
export function alongBlend(
	us: readonly number[],
	periodU: number | undefined,
	stiff: number | ((at: readonly Float64Array[]) => boolean),
): AlongBlend {
	const n = us.length
	const first = us[0] as number
	const unit = periodU === undefined ? ((us[n - 1] as number) - first) / (n - 1) : periodU / n
	const t = us.map((u) => (u - first) / unit)
	const degree = periodU === undefined ? Math.min(DEGREE, n - 1) : DEGREE
	const places = periodU === undefined ? t.filter((_, i) => i === 0 || i === n - 1 || (i > 2 && i < n - 3)) : [...t, n]
	const knots = periodU === undefined ? clampedKnots(places, degree) : periodicKnots(places, degree)
	const row = (at: number, derivative: number, out: Float64Array, spanOf = at) => {
		const span = knotSpan(knots, degree, spanOf)
		const basis = basisDerivatives(knots, degree, span, at, derivative)
		out.fill(0)
		for (let j = 0; j <= degree; j++) {
			const c = (span - degree + j) % n
			out[c] = (out[c] as number) + (basis[derivative * (degree + 1) + j] as number)
		}
		return out
	}
	const at = t.map((x) => row(x, 0, new Float64Array(n)))
	const bends = penalty()
	const solve = (log: number) => {
		const qr = bandedQr(n, n, 0, n)
		for (const [i, values] of at.entries()) {
			const side = new Float64Array(n)
			side[i] = 1
			addRow(qr, 0, values.slice(), side)
		}
		const root = 10 ** (log / 2)
		for (const values of bends)
			addRow(
				qr,
				0,
				values.map((x) => root * x),
				new Float64Array(n),
			)
		return us.map((_, i) => backSolve(qr, i, new Float64Array(n)))
	}
	const dot = (a: Float64Array, b: Float64Array) => a.reduce((sum, x, i) => sum + x * (b[i] as number), 0)
	const rows = (solved: readonly Float64Array[]) => at.map((values) => Float64Array.from(solved, (c) => dot(values, c)))
	let [low, high] = [THROUGH, STIFFEST]
	// The integral of a squared third derivative by u counts by spacing^5 in units of the spacing.
	const perMm = 5 * Math.log10(unit)
	if (typeof stiff === 'number') low = stiff - perMm
	else if (stiff(rows(solve(high)))) low = high
	while (typeof stiff !== 'number' && bends.length > 0 && high - low > LOG_STEP) {
		const middle = (low + high) / 2
		if (stiff(rows(solve(middle)))) low = middle
		else high = middle
	}
	const solved = solve(low)
	const work = new Float64Array(n)
	return {
		stiffness: low + perMm,
		share: rows(solved).reduce((sum, r, i) => sum + (r[i] as number), 0) / n,
		weights(u) {
			const place = periodU === undefined ? u : u - Math.floor((u - first) / periodU) * periodU
			row((place - first) / unit, 0, work)
			return Float64Array.from(solved, (c) => dot(work, c))
		},
	}

	/** Rows whose squares add up to the integral of the squared third derivative; none where no third derivative is left to smooth. */
	function penalty(): Float64Array[] {
		if (degree <= PENALTY_ORDER) return []
		const rule = gaussRule(PENALTY_ORDER)
		return places.slice(1).flatMap((to, p) => {
			const from = places[p] as number
			return Array.from(rule.nodes, (x, q) => {
				const weight = Math.sqrt(((rule.weights[q] as number) * (to - from)) / 2)
				return row(from + ((x + 1) / 2) * (to - from), PENALTY_ORDER, new Float64Array(n), from).map((y) => weight * y)
			})
		})
	}
}
