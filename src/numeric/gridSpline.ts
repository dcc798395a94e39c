import { interpolationLu, solveBand } from './cardinal.ts'

/** Places of a grid: from + i * step, i = 0 .. count - 1. */
export interface GridAxis {
	readonly from: number
	readonly step: number
	readonly count: number
	/** the samples repeat after `count` steps */
	readonly periodic?: boolean
	/**
	 * Beyond the ends second and third derivatives go on and fade over this length. 0 or absent: the end's tangent goes on (the
	 * second derivative jumps to 0).
	 */
	readonly fade?: number
}

/** A smooth function of two parameters through values on a grid; several components at once. */
export interface GridSpline {
	readonly u: GridAxis
	readonly v: GridAxis
	readonly components: number
	/** for each component f, fu, fv, fuu, fuv, fvv in turn, into `out` (6 * components) */
	jet(u: number, v: number, out?: Float64Array): Float64Array
	/** f of the first component alone */
	value(u: number, v: number): number
}

/** Samples that a periodic axis is carried past each end: an end's error fades by 0.43 a sample, so to 1e-6 of itself. */
const WRAP = 16
/** Fewer samples do not determine the ends of a quintic spline. */
export const LEAST_SAMPLES = 6

/**
 * The quintic spline (four times continuously differentiable) through values on a regular grid, by cardinal B-splines in both
 * parameters (Schoenberg, Cardinal Spline Interpolation, 1973; ends "not a knot" at two samples, de Boor, A Practical Guide
 * to Splines, ch. IV). values[(i * v.count + k) * components + c]. Throws where an axis has fewer than 6 samples (a
 * programmer's error).
 * @param askedOften each cell's polynomial is made and kept where it is first asked for: worth it from some ten times on
 */
export function gridSpline(u: GridAxis, v: GridAxis, values: ArrayLike<number>, components = 1, askedOften = false): GridSpline {
	if (u.count < LEAST_SAMPLES || v.count < LEAST_SAMPLES) throw new RangeError('gridSpline: an axis has too few samples')
	const along = padded(u)
	const across = padded(v)
	const nu = along.count + 4
	const nv = across.count + 4
	const c = components
	// Along v first, row by row; then along u. Component by component, so that a cell's coefficients lie together.
	const coefficients = new Float64Array(c * nu * nv)
	const lineV = new Float64Array(nv)
	const lineU = new Float64Array(nu)
	const rows = new Float64Array(along.count * nv)
	const luV = interpolationLu(across.count)
	const luU = along.count === across.count ? luV : interpolationLu(along.count)
	for (let m = 0; m < c; m++) {
		for (let i = 0; i < along.count; i++) {
			const from = along.source(i) * v.count
			lineV.fill(0)
			for (let k = 0; k < across.count; k++) lineV[k + 2] = values[(from + across.source(k)) * c + m]!
			solveBand(luV, lineV)
			rows.set(lineV, i * nv)
		}
		for (let q = 0; q < nv; q++) {
			lineU.fill(0)
			for (let i = 0; i < along.count; i++) lineU[i + 2] = rows[i * nv + q]!
			solveBand(luU, lineU)
			for (let i = 0; i < nu; i++) coefficients[(m * nu + i) * nv + q] = lineU[i]!
		}
	}
	const bu = new Float64Array(18)
	const bv = new Float64Array(18)
	const cellsV = across.count - 1
	const cells = askedOften ? new Array<Float64Array | undefined>((along.count - 1) * cellsV).fill(undefined) : undefined
	const [du, dv] = [1 / u.step, 1 / v.step]

	/** By the B-splines themselves, also beyond the ends. */
	const byBasis = (pu: number, pv: number, out: Float64Array): Float64Array => {
		const i0 = along.weights(pu, bu)
		const k0 = across.weights(pv, bv)
		const p0 = bv[0]!
		const p1 = bv[1]!
		const p2 = bv[2]!
		const p3 = bv[3]!
		const p4 = bv[4]!
		const p5 = bv[5]!
		const q0 = bv[6]!
		const q1 = bv[7]!
		const q2 = bv[8]!
		const q3 = bv[9]!
		const q4 = bv[10]!
		const q5 = bv[11]!
		const r0 = bv[12]!
		const r1 = bv[13]!
		const r2 = bv[14]!
		const r3 = bv[15]!
		const r4 = bv[16]!
		const r5 = bv[17]!
		for (let m = 0; m < c; m++) {
			let f = 0
			let fu = 0
			let fv = 0
			let fuu = 0
			let fuv = 0
			let fvv = 0
			let at = (m * nu + i0) * nv + k0
			for (let i = 0; i < 6; i++, at += nv) {
				const c0 = coefficients[at]!
				const c1 = coefficients[at + 1]!
				const c2 = coefficients[at + 2]!
				const c3 = coefficients[at + 3]!
				const c4 = coefficients[at + 4]!
				const c5 = coefficients[at + 5]!
				const a = p0 * c0 + p1 * c1 + p2 * c2 + p3 * c3 + p4 * c4 + p5 * c5
				const a1 = q0 * c0 + q1 * c1 + q2 * c2 + q3 * c3 + q4 * c4 + q5 * c5
				const w = bu[i]!
				const w1 = bu[6 + i]!
				f += w * a
				fu += w1 * a
				fuu += bu[12 + i]! * a
				fv += w * a1
				fuv += w1 * a1
				fvv += w * (r0 * c0 + r1 * c1 + r2 * c2 + r3 * c3 + r4 * c4 + r5 * c5)
			}
			const o = 6 * m
			out[o] = f
			out[o + 1] = fu
			out[o + 2] = fv
			out[o + 3] = fuu
			out[o + 4] = fuv
			out[o + 5] = fvv
		}
		return out
	}
	/** The polynomial of a cell, in steps from its corner; undefined beyond the ends, and where there are none. */
	const polynomial = (x: number, y: number, i: number, k: number): Float64Array | undefined => {
		// A NaN is neither beyond an end nor in a cell.
		if (!cells || !(x >= 0 && y >= 0 && x <= along.count - 1 && y <= cellsV)) return undefined
		const cell = i * cellsV + k
		const known = cells[cell]
		if (known) return known
		const made = new Float64Array(36 * c)
		for (let m = 0; m < c; m++) cellPolynomial(coefficients, (m * nu + i) * nv + k, nv, made, 36 * m)
		cells[cell] = made
		return made
	}
	const one = new Float64Array(6 * c)
	return {
		u,
		v,
		components,
		jet(pu, pv, out = new Float64Array(6 * c)) {
			const x = along.place(pu)
			const y = across.place(pv)
			const i = Math.min(along.count - 2, Math.floor(x))
			const k = Math.min(cellsV - 1, Math.floor(y))
			const p = polynomial(x, y, i, k)
			if (!p) return byBasis(pu, pv, out)
			for (let m = 0; m < c; m++) polynomialJet(p, 36 * m, x - i, y - k, du, dv, out, 6 * m)
			return out
		},
		value(pu, pv) {
			const x = along.place(pu)
			const y = across.place(pv)
			const i = Math.min(along.count - 2, Math.floor(x))
			const k = Math.min(cellsV - 1, Math.floor(y))
			const p = polynomial(x, y, i, k)
			return p ? polynomialValue(p, x - i, y - k) : byBasis(pu, pv, one)[0]!
		},
	}
}

/** The six cardinal quintic B-splines on a cell as polynomials in t from 0 to 1, times 120: powers of each in turn. */
const POWERS = [
	[1, -5, 10, -10, 5, -1],
	[26, -50, 20, 20, -20, 5],
	[66, 0, -60, 0, 30, -10],
	[26, 50, 20, -20, -20, 10],
	[1, 5, 10, 10, 5, -5],
	[0, 0, 0, 0, 0, 1],
].map((row) => row.map((x) => x / 120))
const half = new Float64Array(36)

/** From the 36 coefficients that count on a cell (rows `stride` apart) to its polynomial: 6 powers of v for each of u. */
function cellPolynomial(from: Float64Array, start: number, stride: number, to: Float64Array, offset: number): void {
	for (let i = 0; i < 6; i++) {
		for (let q = 0; q < 6; q++) {
			let sum = 0
			for (let k = 0; k < 6; k++) sum += from[start + i * stride + k]! * POWERS[k]![q]!
			half[6 * i + q] = sum
		}
	}
	for (let p = 0; p < 6; p++) {
		for (let q = 0; q < 6; q++) {
			let sum = 0
			for (let i = 0; i < 6; i++) sum += half[6 * i + q]! * POWERS[i]![p]!
			to[offset + 6 * p + q] = sum
		}
	}
}

/** f, fu, fv, fuu, fuv, fvv of a cell's polynomial by Horner's rule: this is asked for tens of thousands of times for one panel. */
function polynomialJet(
	p: Float64Array,
	offset: number,
	x: number,
	y: number,
	du: number,
	dv: number,
	out: Float64Array,
	o: number,
): void {
	let f = 0
	let fu = 0
	let fv = 0
	let fuu = 0
	let fuv = 0
	let fvv = 0
	for (let at = offset + 30; at >= offset; at -= 6) {
		const c1 = p[at + 1]!
		const c2 = p[at + 2]!
		const c3 = p[at + 3]!
		const c4 = p[at + 4]!
		const c5 = p[at + 5]!
		const a = ((((c5 * y + c4) * y + c3) * y + c2) * y + c1) * y + p[at]!
		const a1 = (((5 * c5 * y + 4 * c4) * y + 3 * c3) * y + 2 * c2) * y + c1
		const a2 = ((20 * c5 * y + 12 * c4) * y + 6 * c3) * y + 2 * c2
		fuu = fuu * x + 2 * fu
		fu = fu * x + f
		f = f * x + a
		fuv = fuv * x + fv
		fv = fv * x + a1
		fvv = fvv * x + a2
	}
	out[o] = f
	out[o + 1] = fu * du
	out[o + 2] = fv * dv
	out[o + 3] = fuu * du * du
	out[o + 4] = fuv * du * dv
	out[o + 5] = fvv * dv * dv
}

function polynomialValue(p: Float64Array, x: number, y: number): number {
	let f = 0
	for (let at = 30; at >= 0; at -= 6) {
		f = f * x + (((((p[at + 5]! * y + p[at + 4]!) * y + p[at + 3]!) * y + p[at + 2]!) * y + p[at + 1]!) * y + p[at]!)
	}
	return f
}

/** A smooth function of one parameter through values on a regular grid; several components at once. */
export interface LineSpline {
	/** value and slope of each component in turn, into `out` (2 * components) */
	jet(t: number, out: Float64Array): Float64Array
}

/** As `gridSpline`, along one axis: values[i * components + c]. */
export function lineSpline(axis: GridAxis, values: ArrayLike<number>, components = 1): LineSpline {
	if (axis.count < LEAST_SAMPLES) throw new RangeError('lineSpline: the axis has too few samples')
	const along = padded(axis)
	const n = along.count + 4
	const lu = interpolationLu(along.count)
	const coefficients = Array.from({ length: components }, (_, c) => {
		const line = new Float64Array(n)
		for (let i = 0; i < along.count; i++) line[i + 2] = values[along.source(i) * components + c]!
		return solveBand(lu, line)
	})
	const b = new Float64Array(18)
	return {
		jet(t, out) {
			const first = along.weights(t, b)
			for (let c = 0; c < components; c++) {
				let value = 0
				let slope = 0
				for (let i = 0; i < 6; i++) {
					const x = coefficients[c]![first + i]!
					value += b[i]! * x
					slope += b[6 + i]! * x
				}
				out[2 * c] = value
				out[2 * c + 1] = slope
			}
			return out
		},
	}
}

/** An axis with what a period needs: samples carried past the ends, and where each comes from. */
function padded(axis: GridAxis) {
	const pad = axis.periodic ? WRAP : 0
	const count = axis.count + 2 * pad
	const from = axis.from - pad * axis.step
	const period = axis.count * axis.step
	const source = (i: number) => (((i - pad) % axis.count) + axis.count) % axis.count
	/** in steps from the first sample */
	const place = (at: number): number => {
		const x = at - from
		return (axis.periodic ? x - Math.floor((at - axis.from) / period) * period : x) / axis.step
	}
	/** the six B-splines, their slopes and second derivatives; returns the index of the first */
	const weights = (at: number, out: Float64Array): number => {
		const x = place(at)
		const inside = Math.min(count - 1, Math.max(0, x))
		const cell = Math.min(count - 2, Math.floor(inside))
		const t = inside - cell
		basis(t, axis.step, out)
		const over = (x - inside) * axis.step
		if (over !== 0) runOn(over, axis.fade ?? 0, t, axis.step, out)
		return cell
	}
	return { count, source, place, weights }
}

/** Cardinal quintic B-splines on one cell, t from 0 to 1 in it, with derivatives by the parameter (NURBS Book, 2.2). */
function basis(t: number, step: number, out: Float64Array): void {
	const s = 1 - t
	const t2 = t * t
	const s2 = s * s
	const t3 = t2 * t
	const s3 = s2 * s
	// Quintic pieces: truncated powers of the two ends, the middle ones by (1 + t) and (1 + s).
	out[0] = (s2 * s3) / 120
	out[5] = (t2 * t3) / 120
	out[1] = (26 - 50 * t + 20 * t2 + 20 * t3 - 20 * t2 * t2 + 5 * t2 * t3) / 120
	out[4] = (26 - 50 * s + 20 * s2 + 20 * s3 - 20 * s2 * s2 + 5 * s2 * s3) / 120
	out[2] = (66 - 60 * t2 + 30 * t2 * t2 - 10 * t2 * t3) / 120
	out[3] = (66 - 60 * s2 + 30 * s2 * s2 - 10 * s2 * s3) / 120
	const d = 24 * step
	out[6] = -(s2 * s2) / d
	out[11] = (t2 * t2) / d
	out[7] = (-10 + 8 * t + 12 * t2 - 16 * t3 + 5 * t2 * t2) / d
	out[10] = -(-10 + 8 * s + 12 * s2 - 16 * s3 + 5 * s2 * s2) / d
	out[8] = (-24 * t + 24 * t3 - 10 * t2 * t2) / d
	out[9] = -(-24 * s + 24 * s3 - 10 * s2 * s2) / d
	const e = 6 * step * step
	out[12] = s3 / e
	out[17] = t3 / e
	out[13] = (2 + 6 * t - 12 * t2 + 5 * t3) / e
	out[16] = (2 + 6 * s - 12 * s2 + 5 * s3) / e
	out[14] = (-6 + 18 * t2 - 10 * t3) / e
	out[15] = (-6 + 18 * s2 - 10 * s3) / e
}

/**
 * From the B-splines at an end to those `over` beyond it: second derivatives fade by (1 + x) e^-x, x = d / fade, third ones by
 * (1 - y) e^-y, y = 2 d / fade; both are met at the end, so that curvatures go on without a corner.
 */
function runOn(over: number, fade: number, t: number, step: number, out: Float64Array): void {
	const d = Math.abs(over)
	const sign = over < 0 ? -1 : 1
	const x = fade > 0 ? d / fade : 0
	const y = 2 * x
	const ex = fade > 0 ? Math.exp(-x) : 0
	const ey = ex * ex
	const half = fade / 2
	const q = [fade * fade * (2 * x - 3 + (3 + x) * ex), sign * fade * (2 - (2 + x) * ex), (1 + x) * ex] as const
	const r = [sign * half ** 3 * (y - 2 + (2 + y) * ey), half * half * (1 - (1 + y) * ey), sign * half * y * ey] as const
	const s = 1 - t
	const c = 6 * step ** 3
	const third = [
		-3 * s * s,
		6 - 24 * t + 15 * t * t,
		36 * t - 30 * t * t,
		-36 * s + 30 * s * s,
		-6 + 24 * s - 15 * s * s,
		3 * t * t,
	]
	for (let i = 0; i < 6; i++) {
		const slope = out[6 + i]!
		const bend = out[12 + i]!
		const rate = third[i]! / c
		out[i] = out[i]! + over * slope + q[0] * bend + r[0] * rate
		out[6 + i] = slope + q[1] * bend + r[1] * rate
		out[12 + i] = q[2] * bend + r[2] * rate
	}
}
