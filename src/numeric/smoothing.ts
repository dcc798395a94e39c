import { addRow, type BandedQr, backSolve, bandedQr, forwardSolve, resetQr, smallestPivot } from './bandedQr.ts'
import { type BSpline, basisDerivatives, clampedKnots, evaluateBSpline, knotSpan, periodicKnots } from './bspline.ts'
import { gaussRule } from './quadrature.ts'

/** An observation beside the points: a value (derivative 0) or a derivative of the curve at a place. */
export interface ExtraObservation {
	readonly t: number
	readonly derivative: 0 | 1 | 2
	readonly value: number
	readonly sigma: number
}

export interface SmoothingOptions {
	/** m: the m-th derivative is kept small. 2 is the cubic, 3 the quintic smoothing spline; fewer points lower it. 3 */
	readonly order?: 2 | 3
	/** closed: the curve repeats after this much of t, and t[n - 1] < t[0] + period */
	readonly period?: number
}

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
/** Pivots differ by up to 1e6 from sigmas and 1e5 from lambda; what falls below is not determined. */
const UNDETERMINED = 1e-14

/** What does not change with lambda: rows of the observations, and the factor of the penalty. */
interface System {
	readonly t: Float64Array
	readonly sigma: Float64Array
	readonly order: number
	readonly origin: number
	/** t = origin + unit * u: spacing of 1 on average, for numbers of ordinary size */
	readonly unit: number
	readonly period: number
	readonly knots: Float64Array
	readonly columns: number
	readonly rows: readonly Row[]
	/** penalty rows (R with R^T R = its matrix), by first column */
	readonly penalty: readonly Row[]
	readonly qr: BandedQr
	readonly work: Float64Array
	readonly side: Float64Array
}

interface Row {
	readonly start: number
	readonly columns: Int32Array
	readonly values: Float64Array
	/** index of the observation: a point, or n + the extra one; -1 in the penalty */
	readonly observation: number
}

function buildSystem(
	t: ArrayLike<number>,
	sigma: ArrayLike<number>,
	sides: number,
	options: SmoothingOptions,
	extra: readonly ExtraObservation[],
): System {
	const n = t.length
	const period = options.period ?? 0
	if (n < 2) throw new RangeError('smoothing: at least two points are needed')
	for (let i = 1; i < n; i++) if (!(t[i]! > t[i - 1]!)) throw new RangeError('smoothing: places must increase')
	if (period > 0 && !(t[0]! + period > t[n - 1]!)) throw new RangeError('smoothing: points must lie within one period')
	for (let i = 0; i < n; i++) if (!(sigma[i]! > 0)) throw new RangeError('smoothing: sigma must be greater than 0')
	const values = extra.filter((e) => e.derivative === 0 && Array.prototype.indexOf.call(t, e.t) < 0).length
	const slopes = extra.filter((e) => e.derivative === 1).length
	const order = period > 0 ? (options.order ?? 3) : Math.min(options.order ?? 3, Math.max(2, n + values + slopes))
	const degree = 2 * order - 1
	const origin = t[0]!
	const unit = period > 0 ? period / n : (t[n - 1]! - origin) / (n - 1)
	const u = Float64Array.from({ length: n }, (_, i) => (t[i]! - origin) / unit)
	const places = period > 0 ? Float64Array.from([...u, n]) : u
	const knots = period > 0 ? periodicKnots(places, degree) : clampedKnots(places, degree)
	const all = knots.length - degree - 1
	const columns = period > 0 ? places.length - 1 : all
	const border = period > 0 ? Math.min(degree, columns) : 0

	const row = (at: number, derivative: number, scale: number, observation: number, spanOf = at): Row => {
		const span = knotSpan(knots, degree, spanOf)
		const basis = basisDerivatives(knots, degree, span, at, derivative)
		const index = new Int32Array(degree + 1)
		const value = new Float64Array(degree + 1)
		for (let j = 0; j <= degree; j++) {
			index[j] = (span - degree + j) % columns
			value[j] = basis[derivative * (degree + 1) + j]! * scale
		}
		// a B-spline that is exactly 0 here must not make the row start early
		let start = columns
		for (let j = 0; j <= degree; j++) if (value[j] !== 0) start = Math.min(start, index[j]!)
		return { start, columns: index, values: value, observation }
	}
	const wrap = (at: number) => (period > 0 ? at - Math.floor(at / n) * n : at)
	const rows: Row[] = []
	for (let i = 0; i < n; i++) rows.push(row(u[i]!, 0, 1 / sigma[i]!, i))
	extra.forEach((e, k) => {
		rows.push(row(wrap((e.t - origin) / unit), e.derivative, 1 / (e.sigma * unit ** e.derivative), n + k))
	})

	const work = new Float64Array(columns)
	const noSide = new Float64Array(0)
	const factor = bandedQr(columns, degree + 1, border, 0)
	const rule = gaussRule(order)
	for (let piece = 0; piece + 1 < places.length; piece++) {
		const from = places[piece]!
		const width = places[piece + 1]! - from
		for (let q = 0; q < order; q++) {
			const weight = Math.sqrt((rule.weights[q]! * width) / 2)
			const penalty = row(from + ((rule.nodes[q]! + 1) / 2) * width, order, weight, -1, from)
			scatter(penalty, work)
			addRow(factor, penalty.start, work, noSide)
		}
	}
	const penalty: Row[] = []
	// polynomials of degree m - 1 (constants, where periodic) cost nothing: so many rows at the end are 0 but for rounding
	const rank = columns - (period > 0 ? 1 : order)
	for (let j = 0; j < rank; j++) {
		const index: number[] = []
		for (let k = j; k < columns; k++) if (factor.r[j * columns + k] !== 0) index.push(k)
		penalty.push({
			start: j,
			columns: Int32Array.from(index),
			values: Float64Array.from(index, (k) => factor.r[j * columns + k]!),
			observation: -1,
		})
	}
	const heaviest = (a: Row) => Math.max(...a.values.map(Math.abs))
	const sorted = rows.map((r) => ({ r, w: heaviest(r) })).sort((a, b) => a.r.start - b.r.start || b.w - a.w)
	return {
		t: Float64Array.from(t),
		sigma: Float64Array.from(sigma),
		order,
		origin,
		unit,
		period,
		knots,
		columns,
		rows: sorted.map((x) => x.r),
		penalty,
		qr: bandedQr(columns, degree + 1, border, sides),
		work,
		side: new Float64Array(sides),
	}
}

function scatter(row: Row, work: Float64Array, scale = 1): void {
	for (let j = 0; j < row.columns.length; j++) {
		const column = row.columns[j]!
		work[column] = work[column]! + scale * row.values[j]!
	}
}

/** Factor for one lambda; `observed[side][observation]` are the right sides. */
function factorise(system: System, lambda: number, observed: readonly Float64Array[], sigmas: Float64Array): void {
	const { qr, rows, penalty, work, side } = system
	resetQr(qr)
	const root = Math.sqrt(lambda * system.unit ** (1 - 2 * system.order))
	let next = 0
	for (const row of rows) {
		while (next < penalty.length && penalty[next]!.start < row.start) addPenalty(next++)
		scatter(row, work)
		for (let k = 0; k < side.length; k++) side[k] = observed[k]![row.observation]! / sigmas[row.observation]!
		addRow(qr, row.start, work, side)
	}
	while (next < penalty.length) addPenalty(next++)

	function addPenalty(index: number): void {
		const row = penalty[index]!
		scatter(row, work, root)
		side.fill(0)
		addRow(qr, row.start, work, side)
	}
}

interface Solved {
	readonly coefficients: Float64Array
	readonly fitted: Float64Array
	readonly sumSquares: number
}

function solveSide(system: System, side: number, observed: Float64Array): Solved {
	const n = system.t.length
	const coefficients = backSolve(system.qr, side, new Float64Array(system.columns))
	const fitted = new Float64Array(n)
	let sumSquares = 0
	for (const row of system.rows) {
		if (row.observation >= n) continue
		let sum = 0
		for (let j = 0; j < row.columns.length; j++) sum += row.values[j]! * coefficients[row.columns[j]!]!
		const sigma = system.sigma[row.observation]!
		fitted[row.observation] = sum * sigma
		const v = sum - observed[row.observation]! / sigma
		sumSquares += v * v
	}
	return { coefficients, fitted, sumSquares }
}

function leverages(system: System): Float64Array {
	const n = system.t.length
	const leverage = new Float64Array(n)
	const z = new Float64Array(system.columns)
	for (const row of system.rows) {
		if (row.observation >= n) continue
		z.fill(0)
		scatter(row, z)
		forwardSolve(system.qr, row.start, z)
		let sum = 0
		for (let j = row.start; j < z.length; j++) sum += z[j]! * z[j]!
		leverage[row.observation] = sum
	}
	return leverage
}

function finish(system: System, lambda: number, solved: Solved, observed: Float64Array): SmoothingSpline {
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
	return { spline, at, order, lambda, fitted: solved.fitted, residuals, leverage, df, sumSquares: solved.sumSquares, deleted }
}

/**
 * The curve f that makes sum((y_i - f(t_i)) / sigma_i)^2 + lambda * integral of (m-th derivative)^2 least
 * (Reinsch, Numer. Math. 10, 1967; Wahba, Spline Models for Observational Data, ch. 1): a natural spline of degree 2m - 1
 * with knots at the points, found over B-splines by orthogonal rotations, so that sigmas a million times apart do no harm
 * (a very small one pins the curve to its point). `extra` observations count in the sum but not in residuals or df.
 *
 * t increases strictly, sigma and lambda are greater than 0, there are 2 points or more; else it throws (a programmer's
 * error). Undefined when the curve is not determined (two points and third derivative cannot happen: the order is lowered).
 */
export function smoothingSpline(
	t: ArrayLike<number>,
	y: ArrayLike<number>,
	sigma: ArrayLike<number>,
	lambda: number,
	options: SmoothingOptions & { readonly extra?: readonly ExtraObservation[] } = {},
): SmoothingSpline | undefined {
	if (!(lambda > 0)) throw new RangeError('smoothing: lambda must be greater than 0')
	const extra = options.extra ?? []
	const system = buildSystem(t, sigma, 1, options, extra)
	const observed = Float64Array.from([...Array.from(y), ...extra.map((e) => e.value)])
	const sigmas = Float64Array.from([...Array.from(sigma), ...extra.map((e) => e.sigma)])
	factorise(system, lambda, [observed], sigmas)
	if (smallestPivot(system.qr) < UNDETERMINED) return undefined
	return finish(system, lambda, solveSide(system, 0, observed), observed)
}

/** One coordinate of a curve in the plane: values and their sigmas at the shared places. */
export interface SmoothingCoordinate {
	readonly y: ArrayLike<number>
	readonly sigma: ArrayLike<number>
	readonly extra?: readonly ExtraObservation[]
}

export interface SmoothedCurve {
	/** one for each coordinate, in order */
	readonly coordinates: readonly SmoothingSpline[]
	readonly lambda: number
	/** Mallows' Cp at this lambda: estimated sum of squared errors of the curve, in sigmas squared */
	readonly cp: number
	readonly df: number
	readonly sumSquares: number
	/** true where Cp goes on falling to the end of the range of lambda: the points lie on one polynomial, or the curve goes through all */
	readonly atLimit: 'none' | 'stiffest' | 'loosest'
}

/** Steps of log10 lambda on the grid: Cp bends over more than a decade (400 random curves of 5 to 20 points: the same minimum as with 0.1). */
const GRID_STEP = 1
/** Golden section stops at this width of log10 lambda: changes the curve by less than a hundredth of a sigma. */
const GOLDEN_WIDTH = 0.02

/**
 * One lambda for all coordinates of a parametric curve, where Mallows' Cp with known sigmas is least
 * (Mallows, Technometrics 15, 1973; Craven & Wahba 1979, unbiased risk): RSS + 2 tr(H) - N over a fixed grid of log lambda,
 * then golden section around its least place. The range runs from a curve through every point to a polynomial of degree m - 1.
 * Undefined when a coordinate is not determined; throws as `smoothingSpline` does.
 */
export function smoothByCp(
	t: ArrayLike<number>,
	coordinates: readonly SmoothingCoordinate[],
	options: SmoothingOptions = {},
): SmoothedCurve | undefined {
	const n = t.length
	// coordinates with the same sigmas share one factor
	const groups: { members: number[]; system: System; observed: Float64Array[]; sigmas: Float64Array }[] = []
	coordinates.forEach((c, index) => {
		const extra = c.extra ?? []
		const observed = Float64Array.from([...Array.from(c.y), ...extra.map((e) => e.value)])
		const like = groups.find((g) => sameWeights(coordinates[g.members[0]!]!, c))
		if (like) {
			like.members.push(index)
			like.observed.push(observed)
			return
		}
		const sides = coordinates.filter((other) => sameWeights(other, c)).length
		const sigmas = Float64Array.from([...Array.from(c.sigma), ...extra.map((e) => e.sigma)])
		groups.push({ members: [index], system: buildSystem(t, c.sigma, sides, options, extra), observed: [observed], sigmas })
	})
	const first = groups[0]
	if (!first) throw new RangeError('smoothing: no coordinate given')
	const { order, unit } = first.system
	// Eigenvalues of the penalty in units of the spacing lie between about (4.7 / n)^2m and pi^2m; with weights 1 / sigma^2 the
	// curve is through the points, or a polynomial, to a ten-thousandth where lambda times them is that far below or above 1.
	let least = Number.POSITIVE_INFINITY
	let most = 0
	for (const c of coordinates) {
		for (let i = 0; i < n; i++) {
			least = Math.min(least, c.sigma[i]!)
			most = Math.max(most, c.sigma[i]!)
		}
	}
	const scale = (2 * order - 1) * Math.log10(unit)
	const from = scale - 2 * Math.log10(most) - 4 - 2 * order * Math.log10(Math.PI)
	// a sigma far below the rest pins the curve and must not stretch the range: the larger ones decide where smoothing ends
	const to = scale - 2 * Math.log10(Math.max(least, most / 100)) + 4 + 2 * order * Math.log10(Math.max(1, n / 4.7))

	const cpAt = (logLambda: number) => {
		let sumSquares = 0
		let df = 0
		for (const { system, observed, sigmas } of groups) {
			factorise(system, 10 ** logLambda, observed, sigmas)
			if (smallestPivot(system.qr) < UNDETERMINED) return { cp: Number.POSITIVE_INFINITY, sumSquares, df }
			for (let side = 0; side < observed.length; side++) sumSquares += solveSide(system, side, observed[side]!).sumSquares
			const leverage = leverages(system)
			for (let i = 0; i < n; i++) df += observed.length * leverage[i]!
		}
		return { cp: sumSquares + 2 * df - n * coordinates.length, sumSquares, df }
	}
	const count = Math.ceil((to - from) / GRID_STEP)
	const step = (to - from) / count
	let best = count
	let bestCp = Number.POSITIVE_INFINITY
	// from the stiff end, so that of equals the smoother one is kept
	for (let i = count; i >= 0; i--) {
		const { cp } = cpAt(from + i * step)
		if (cp < bestCp) {
			bestCp = cp
			best = i
		}
	}
	if (!Number.isFinite(bestCp)) return undefined
	let at = from + best * step
	const atLimit = best === count ? 'stiffest' : best === 0 ? 'loosest' : 'none'
	if (atLimit === 'none') at = goldenSection((x) => cpAt(x).cp, at - step, at + step, GOLDEN_WIDTH)
	const { cp, sumSquares, df } = cpAt(at)
	if (!Number.isFinite(cp)) return undefined
	const lambda = 10 ** at
	const splines: SmoothingSpline[] = new Array(coordinates.length)
	for (const { members, system, observed } of groups) {
		members.forEach((index, side) => {
			splines[index] = finish(system, lambda, solveSide(system, side, observed[side]!), observed[side]!)
		})
	}
	return { coordinates: splines, lambda, cp, df, sumSquares, atLimit }
}

function sameWeights(a: SmoothingCoordinate, b: SmoothingCoordinate): boolean {
	const left = a.extra ?? []
	const right = b.extra ?? []
	return (
		Array.prototype.every.call(a.sigma, (sigma, i) => sigma === b.sigma[i]) &&
		left.length === right.length &&
		left.every((e, i) => e.t === right[i]!.t && e.derivative === right[i]!.derivative && e.sigma === right[i]!.sigma)
	)
}

/** The place of least f between a and b to `width`, one valley assumed (Kiefer 1953). */
function goldenSection(f: (x: number) => number, a: number, b: number, width: number): number {
	const ratio = (Math.sqrt(5) - 1) / 2
	let low = a
	let high = b
	let x1 = high - ratio * (high - low)
	let x2 = low + ratio * (high - low)
	let f1 = f(x1)
	let f2 = f(x2)
	const steps = Math.max(1, Math.ceil(Math.log(width / (b - a)) / Math.log(ratio)))
	for (let i = 0; i < steps; i++) {
		if (f1 < f2) {
			high = x2
			x2 = x1
			f2 = f1
			x1 = high - ratio * (high - low)
			f1 = f(x1)
		} else {
			low = x1
			x1 = x2
			f1 = f2
			x2 = low + ratio * (high - low)
			f2 = f(x2)
		}
	}
	return (low + high) / 2
}
