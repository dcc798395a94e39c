import { addRow, type BandedQr, backSolve, bandedQr, forwardSolve, resetQr, smallestPivot } from '../../numeric/bandedQr.ts'
import { goldenSection } from '../../numeric/minimise.ts'

/** A smooth curve in a section's plane over t in [0, length], about its length along; closed ones repeat. */
export interface SectionSpline {
	readonly length: number
	readonly closed: boolean
	/** [across, up, d across, d up, dd across, dd up] at t */
	at(t: number, out?: Float64Array): Float64Array
	/** effective parameters of one coordinate */
	readonly df: number
	readonly points: number
	/** rms of what the points are left by, mm */
	readonly rms: number
}

/** Spacing of knots, mm: cubic pieces of 4 mm follow a bend of 15 mm to 1e-4 mm. */
const KNOT_MM = 4
const LEAST_PIECES = 8
/** A ring half a metre round then has knots every 6 mm, which follow a bend of 15 mm to 1e-3 mm. */
const MOST_PIECES = 96
/** Decades of stiffness, from a curve through every point 2 mm apart to a parabola half a metre long. */
const DECADES = [-1, 13] as const
/** Cp bends over more than two decades: a coarse grid finds its valley, and feet in place of lengths hardly shift it. */
const GRID_STEP = 2
const NEAR = 0.5
/** A decade of stiffness changes the bandwidth by a tenth of itself squared; a tenth of one is nothing. */
const GOLDEN_WIDTH = 0.15
const UNDETERMINED = 1e-12

/** One section's points and where along it each lies; `feet`: t are feet on an earlier fit, so that only distances square to it are left. */
export interface SectionPoints {
	/** need not increase */
	readonly t: Float64Array
	/** across, up, across, up, ... */
	readonly xy: Float64Array
	readonly length: number
	readonly closed: boolean
}

/**
 * Cubic splines with even knots and a penalty on third differences of their coefficients (Eilers & Marx, Statistical Science 11,
 * 1996), all of one stiffness, that which makes the sum of their Mallows' Cp least for points known to `sd` (Mallows 1973): as
 * smooth as the noise allows and no smoother. One section alone has too few points to choose well: curvature was 5 times worse.
 * Where points are missing a curve runs on by its own bend. `sides` counts the coordinates in which points are noisy: 2, or 1
 * when t are feet on an earlier fit; `near` is that fit's stiffness, about which the new one is looked for. Undefined when the points do not determine some curve.
 */
export function sectionSplines(
	sections: readonly SectionPoints[],
	sd: number,
	sides: 1 | 2,
	near?: number,
): { readonly splines: readonly SectionSpline[]; readonly logLambda: number } | undefined {
	const systems = sections.map((s) => systemOf(s, sd))
	const cp = (log: number) => systems.reduce((sum, s) => sum + scored(evaluate(s, 10 ** log), sides), 0)
	const middle = Math.log10(Math.max(...systems.map(({ n, length }) => n / length)) / sd ** 2)
	let best = near ?? Number.NaN
	let least = near === undefined ? Number.POSITIVE_INFINITY : cp(near)
	// from the stiff end, so that of equals the smoother one is kept
	for (let log = middle + DECADES[1]; near === undefined && log >= middle + DECADES[0]; log -= GRID_STEP) {
		const value = cp(log)
		if (value < least) {
			least = value
			best = log
		}
	}
	if (!Number.isFinite(least)) return undefined
	const reach = near === undefined ? GRID_STEP : NEAR
	const logLambda = goldenSection(cp, best - reach, best + reach, GOLDEN_WIDTH)
	return { splines: systems.map((s) => splineOf(s, evaluate(s, 10 ** logLambda), sd)), logLambda }
}

const scored = ({ left, df }: Evaluated, sides: number) => left + 2 * sides * df

interface System {
	readonly data: BandedQr
	readonly fit: BandedQr
	readonly pieces: number
	readonly step: number
	readonly length: number
	readonly closed: boolean
	readonly n: number
}

function systemOf({ t, xy, length, closed }: SectionPoints, sd: number): System {
	const pieces = Math.min(MOST_PIECES, Math.max(LEAST_PIECES, Math.round(length / KNOT_MM)))
	const columns = closed ? pieces : pieces + 3
	const border = closed ? 3 : 0
	const data = bandedQr(columns, 4, border, 2)
	const row = new Float64Array(columns)
	const b = new Float64Array(2)
	const basis = new Float64Array(4)
	const step = length / pieces
	const n = t.length
	const sorted = Uint32Array.from({ length: n }, (_, i) => i).sort((i, j) => t[i]! - t[j]!)
	for (const i of sorted) {
		const from = spread(t[i]!, step, pieces, closed, basis, 0)
		let start = columns
		for (let k = 0; k < 4; k++) {
			const at = (from + k) % columns
			row[at] = row[at]! + basis[k]! / sd
			start = Math.min(start, at)
		}
		b[0] = xy[2 * i]! / sd
		b[1] = xy[2 * i + 1]! / sd
		addRow(data, start, row, b)
	}
	return { data, fit: bandedQr(columns, 4, border, 2), pieces, step, length, closed, n }
}

function splineOf({ data, pieces, step, length, closed, n }: System, { left, df, x, y }: Evaluated, sd: number): SectionSpline {
	const basis = new Float64Array(4)
	return {
		length,
		closed,
		df,
		points: n,
		rms: Math.sqrt(left / n) * sd,
		at(place, out = new Float64Array(6)) {
			for (let d = 0; d < 3; d++) {
				const from = spread(place, step, pieces, closed, basis, d)
				let px = 0
				let py = 0
				for (let k = 0; k < 4; k++) {
					const at = (from + k) % data.n
					px += basis[k]! * x[at]!
					py += basis[k]! * y[at]!
				}
				out[2 * d] = px
				out[2 * d + 1] = py
			}
			return out
		},
	}
}

/** The four B-splines that are not 0 at t (or their d-th derivatives), into `out`; answers the first one's number. */
function spread(t: number, step: number, pieces: number, closed: boolean, out: Float64Array, d: number): number {
	let u = t / step
	if (closed) u -= pieces * Math.floor(u / pieces)
	const i = Math.max(0, Math.min(pieces - 1, Math.floor(u)))
	const x = u - i
	const y = 1 - x
	if (d === 0) {
		out[0] = (y * y * y) / 6
		out[1] = (3 * x * x * x - 6 * x * x + 4) / 6
		out[2] = (3 * y * y * y - 6 * y * y + 4) / 6
		out[3] = (x * x * x) / 6
	} else if (d === 1) {
		out[0] = (-y * y) / 2 / step
		out[1] = (3 * x * x - 4 * x) / 2 / step
		out[2] = -(3 * y * y - 4 * y) / 2 / step
		out[3] = (x * x) / 2 / step
	} else {
		out[0] = y / step ** 2
		out[1] = (3 * x - 2) / step ** 2
		out[2] = (3 * y - 2) / step ** 2
		out[3] = x / step ** 2
	}
	return i
}

interface Evaluated {
	/** in sd squared */
	readonly left: number
	readonly df: number
	readonly x: Float64Array
	readonly y: Float64Array
}

/** The points' equations with the penalty at stiffness `lambda`, per mm^5 of the third derivative's square. */
function evaluate({ data, fit, closed, step }: System, lambda: number): Evaluated {
	const { n, r, rhs, border } = data
	const row = new Float64Array(n)
	const b = new Float64Array(2)
	// third differences are step^3 times the derivative, and there is one for each step
	const weight = Math.sqrt(lambda / step ** 5)
	resetQr(fit)
	const rows = closed ? n : n - 3
	// a row of the factor has its band, and on a ring the last columns
	const copy = (i: number) => {
		const end = Math.min(n, i + BAND)
		for (let k = i; k < end; k++) row[k] = r[i * n + k]!
		for (let k = Math.max(end, n - border); k < n; k++) row[k] = r[i * n + k]!
	}
	for (let i = 0; i < n; i++) {
		copy(i)
		b[0] = rhs[2 * i]!
		b[1] = rhs[2 * i + 1]!
		addRow(fit, i, row, b)
		if (i >= rows) continue
		b.fill(0)
		const start = i + 3 < n ? i : 0
		for (let k = 0; k < 4; k++) row[(i + k) % n] = THIRD[k]! * weight
		addRow(fit, start, row, b)
	}
	const [x, y] = [new Float64Array(n), new Float64Array(n)]
	if (!(smallestPivot(fit) > UNDETERMINED)) return { left: Number.POSITIVE_INFINITY, df: n, x, y }
	backSolve(fit, 0, x)
	backSolve(fit, 1, y)
	let left = data.rest[0]! + data.rest[1]!
	let df = 0
	for (let i = 0; i < n; i++) {
		let dx = -rhs[2 * i]!
		let dy = -rhs[2 * i + 1]!
		row.fill(0)
		copy(i)
		for (let k = i; k < n; k++) {
			dx += row[k]! * x[k]!
			dy += row[k]! * y[k]!
		}
		left += dx * dx + dy * dy
		forwardSolve(fit, i, row)
		for (let k = i; k < n; k++) df += row[k]! ** 2
	}
	return { left, df, x, y }
}

/** Four B-splines are not 0 at a place. */
const BAND = 4
const THIRD = [-1, 3, -3, 1]
