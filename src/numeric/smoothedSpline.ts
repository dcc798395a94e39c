import { forwardSolve } from './bandedQr.ts'
import { type BSpline, evaluateBSpline } from './bspline.ts'
import { type Solved, type System, scatter } from './smoothingSystem.ts'

/** One smoothed coordinate. */
export interface SmoothingSpline {
	readonly spline: BSpline
	/** value and first three derivatives at t, into `out`; beyond the ends the polynomial of degree m - 1 runs on (the natural end) */
	at(t: number, out?: Float64Array): Float64Array
	readonly order: number
	readonly lambda: number
	/** at the points */
	readonly fitted: Float64Array
	/** fitted - observed */
	readonly residuals: Float64Array
	/** diagonal of the hat matrix: how much of its own fitted value each point decides, 0 to 1 */
	readonly leverage: Float64Array
	/** effective parameters: trace of the hat matrix */
	readonly df: number
	/** sum of (residual / sigma)^2 over the points */
	readonly sumSquares: number
	/**
	 * one standard deviation of the curve at t, its bend between the points included: the curve as a random one whose m-th
	 * derivative is white noise as strong as lambda says (Wahba, J. R. Statist. Soc. B 45, 1983). Beyond the ends as at them.
	 */
	sdAt(t: number): number
	/** what the curve through all the others says of each point; absent where the others do not reach it */
	readonly deleted: readonly (DeletedPrediction | undefined)[]
}

/** Delete-one prediction, without refitting (Craven & Wahba, Numer. Math. 31, 1979, lemma 3.2). */
export interface DeletedPrediction {
	/** predicted by the others - observed */
	readonly residual: number
	/** of that difference, from the sigmas alone: hypot of the point's own and the prediction's */
	readonly sd: number
}

/** A point whose own share exceeds this is predicted by nothing else: 1 - h is down to rounding. */
const ALONE = 1 - 1e-7
/** The smoothed coordinate of a factored system, with all it knows of itself. */
export function smoothedSpline(system: System, lambda: number, solved: Solved, observed: Float64Array): SmoothingSpline {
	const { t, sigma, order, origin, unit, period, knots, columns, rows } = system
	const n = t.length
	const degree = 2 * order - 1
	const all = knots.length - degree - 1
	const coefficients = Float64Array.from({ length: all }, (_, i) => solved.coefficients[i % columns]!)
	const spline: BSpline = { degree, knots: knots.map((u) => origin + unit * u), coefficients }
	const residuals = solved.fitted.map((f, i) => f - observed[i]!)

	const z = rows.map((row) => {
		const a = new Float64Array(columns)
		scatter(row, a)
		return forwardSolve(system.qr, row.start, a)
	})
	const leverage = new Float64Array(n)
	const deleted: (DeletedPrediction | undefined)[] = new Array(n).fill(undefined)
	rows.forEach((row, i) => {
		const o = row.observation
		if (o >= n) return
		let own = 0
		let others = 0
		for (let k = 0; k < rows.length; k++) {
			let dot = 0
			for (let j = 0; j < columns; j++) dot += z[i]![j]! * z[k]![j]!
			if (k === i) own = dot
			else others += dot * dot
		}
		leverage[o] = Math.min(1, own)
		if (own > ALONE) return
		const free = 1 - own
		deleted[o] = { residual: residuals[o]! / free, sd: sigma[o]! * Math.sqrt(1 + others / (free * free)) }
	})
	let df = 0
	for (const h of leverage) df += h

	const first = t[0]!
	const last = t[n - 1]!
	const at = (place: number, out = new Float64Array(4)): Float64Array => {
		if (period > 0) return evaluateBSpline(spline, place - Math.floor((place - first) / period) * period, 3, out)
		if (place >= first && place <= last) return evaluateBSpline(spline, place, 3, out)
		const end = place < first ? first : last
		const d = place - end
		evaluateBSpline(spline, end, 3, out)
		out[3] = 0
		if (order === 2) {
			out[0] = out[0]! + d * out[1]!
			out[2] = 0
		} else {
			out[0] = out[0]! + d * (out[1]! + (d / 2) * out[2]!)
			out[1] = out[1]! + d * out[2]!
		}
		return out
	}
	const sdAt = (place: number): number => {
		const row = system.valueRow(place)
		const a = new Float64Array(columns)
		scatter(row, a)
		const solved = forwardSolve(system.qr, row.start, a)
		let sum = 0
		for (let j = row.start; j < columns; j++) sum += solved[j]! * solved[j]!
		return Math.sqrt(sum)
	}
	return {
		spline,
		at,
		sdAt,
		order,
		lambda,
		fitted: solved.fitted,
		residuals,
		leverage,
		df,
		sumSquares: solved.sumSquares,
		deleted,
	}
}
