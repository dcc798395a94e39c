import { addRow, type BandedQr, backSolve, bandedQr, forwardSolve, resetQr, smallestPivot } from './bandedQr.ts'
import { basisDerivatives, clampedKnots, knotSpan, periodicKnots } from './bspline.ts'
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

/** Pivots differ by up to 1e6 from sigmas and 1e5 from lambda; what falls below is not determined. */
const UNDETERMINED = 1e-14

/** What does not change with lambda: rows of the observations, and the factor of the penalty. */
export interface System {
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
	/** the curve's value at a place, as a row of its coefficients; the nearer end beyond them */
	valueRow(place: number): Row
}

export interface Row {
	readonly start: number
	readonly columns: Int32Array
	readonly values: Float64Array
	/** index of the observation: a point, or n + the extra one; -1 in the penalty */
	readonly observation: number
}

export function buildSystem(
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
		valueRow: (place) => {
			const at = (place - origin) / unit
			return row(period > 0 ? wrap(at) : Math.min(Math.max(at, 0), u[n - 1]!), 0, 1, -1)
		},
	}
}

export function scatter(row: Row, work: Float64Array, scale = 1): void {
	for (let j = 0; j < row.columns.length; j++) {
		const column = row.columns[j]!
		work[column] = work[column]! + scale * row.values[j]!
	}
}

/** Factor for one lambda; `observed[side][observation]` are the right sides. */
export function factorise(system: System, lambda: number, observed: readonly Float64Array[], sigmas: Float64Array): void {
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

export interface Solved {
	readonly coefficients: Float64Array
	readonly fitted: Float64Array
	readonly sumSquares: number
}

export function solveSide(system: System, side: number, observed: Float64Array): Solved {
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

export function leverages(system: System): Float64Array {
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

/** Whether the last factor determines every coefficient. */
export function determined(system: System): boolean {
	return smallestPivot(system.qr) >= UNDETERMINED
}
