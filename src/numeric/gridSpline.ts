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
 */
export function gridSpline(u: GridAxis, v: GridAxis, values: ArrayLike<number>, components = 1): GridSpline {
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
	return {
		u,
		v,
		components,
		jet(pu, pv, out = new Float64Array(6 * c)) {
			const i0 = along.weights(pu, bu)
			const k0 = across.weights(pv, bv)
			// Written out: this is asked for tens of thousands of times for one panel.
			const [p0, p1, p2, p3, p4, p5] = [bv[0]!, bv[1]!, bv[2]!, bv[3]!, bv[4]!, bv[5]!]
			const [q0, q1, q2, q3, q4, q5] = [bv[6]!, bv[7]!, bv[8]!, bv[9]!, bv[10]!, bv[11]!]
			const [r0, r1, r2, r3, r4, r5] = [bv[12]!, bv[13]!, bv[14]!, bv[15]!, bv[16]!, bv[17]!]
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
		},
	}
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
	const length = (count - 1) * axis.step
	const source = (i: number) => (((i - pad) % axis.count) + axis.count) % axis.count
	/** the six B-splines, their slopes and second derivatives; returns the index of the first */
	const weights = (place: number, out: Float64Array): number => {
		let x = place - from
		if (axis.periodic) x -= Math.floor((place - axis.from) / period) * period
		const inside = Math.min(length, Math.max(0, x))
		const cell = Math.min(count - 2, Math.floor(inside / axis.step))
		const t = inside / axis.step - cell
		basis(t, axis.step, out)
		const over = x - inside
		if (over !== 0) runOn(over, axis.fade ?? 0, t, axis.step, out)
		return cell
	}
	return { count, source, weights }
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
