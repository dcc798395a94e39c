import { cubicAt, cubicDerivative } from './cubic.ts'
import type { Cubic, PlanePoint } from './point.ts'
import type { LocalScale } from './vector.ts'

/** Place and derivative of a smooth curve at a parameter. */
export interface Jet {
	readonly x: number
	readonly y: number
	readonly dx: number
	readonly dy: number
}

export interface FitOptions {
	/** largest distance allowed between the curve and its cubics, mm */
	readonly toleranceMm: number
	/** true length of one unit of x and of y at a place; both 1 where the plane is measured in mm */
	readonly scale?: LocalScale
	/** halvings of the parameter range at most; 16 by default */
	readonly maxDepth?: number
}

export interface Fit {
	readonly cubics: Cubic[]
	/** parameters of the joins, one more than cubics */
	readonly params: number[]
	/** largest distance found between curve and cubics, mm */
	readonly maxErrorMm: number
	/** false where the depth limit stopped the fit short of the tolerance: then maxErrorMm is what was achieved */
	readonly met: boolean
}

/** 65,536 cubics: a curve that needs more is not smooth. */
const MAX_DEPTH = 16

/**
 * Where the distance is sampled: dense enough for the two humps of a Hermite error, and uneven, so that a ripple in step
 * with the halving of the range does not hide between samples.
 */
const SAMPLES = [0.09, 0.2, 0.29, 0.41, 0.53, 0.62, 0.71, 0.8, 0.92]

/** Corrections of the nearest parameter; the second already moves it by less than 1e-6 where the fit is near its tolerance. */
const NEAREST_STEPS = 3

/**
 * Cubics that follow `at` over t0..t1: derivative-exact cubic Hermite (handles a third of the range times the derivative;
 * Farin, Curves and Surfaces for CAGD, 7.5), halved until the sampled distance is within tolerance. Joins lie on the curve
 * and share its derivative. The error is the distance from the curve to the cubic, not between equal parameters, so the
 * curve's own pace does not cost pieces. No cubic's ends differ by more than a quarter turn unless it is smaller than the
 * tolerance. A corner inside the range is not found: split there first.
 * Throws a RangeError where `at` is not finite or the tolerance is not positive.
 */
export function fitCubics(at: (t: number) => Jet, t0: number, t1: number, options: FitOptions): Fit {
	if (!(options.toleranceMm > 0)) throw new RangeError(`toleranceMm is ${options.toleranceMm}, not above 0`)
	const maxDepth = options.maxDepth ?? MAX_DEPTH
	const cubics: Cubic[] = []
	const params = [t0]
	let maxErrorMm = 0
	const fitRange = (ta: number, a: Jet, tb: number, b: Jet, depth: number): void => {
		const cubic = hermite(a, b, tb - ta)
		const isLast = depth >= maxDepth
		const error = worstDistance(at, ta, tb, cubic, options, isLast)
		if (isLast || (error <= options.toleranceMm && !isHairpin(cubic, options))) {
			cubics.push(cubic)
			params.push(tb)
			maxErrorMm = Math.max(maxErrorMm, error)
			return
		}
		const tm = (ta + tb) / 2
		const m = finite(at(tm), tm)
		fitRange(ta, a, tm, m, depth + 1)
		fitRange(tm, m, tb, b, depth + 1)
	}
	fitRange(t0, finite(at(t0), t0), t1, finite(at(t1), t1), 0)
	return { cubics, params, maxErrorMm, met: maxErrorMm <= options.toleranceMm }
}

/** The cubic with these ends and derivatives over a range of parameter h. */
export function hermite(a: Jet, b: Jet, h: number): Cubic {
	return [
		{ x: a.x, y: a.y },
		{ x: a.x + (h / 3) * a.dx, y: a.y + (h / 3) * a.dy },
		{ x: b.x - (h / 3) * b.dx, y: b.y - (h / 3) * b.dy },
		{ x: b.x, y: b.y },
	]
}

/** Largest sampled distance from the curve to the cubic; stops at the first sample out of tolerance unless all are wanted. */
function worstDistance(at: (t: number) => Jet, ta: number, tb: number, cubic: Cubic, options: FitOptions, all: boolean): number {
	let worst = 0
	for (const u of SAMPLES) {
		const t = ta + u * (tb - ta)
		const p = finite(at(t), t)
		const { sx, sy } = options.scale ? options.scale(p.x, p.y) : { sx: 1, sy: 1 }
		const d = distanceNear(cubic, u, p, sx, sy)
		if (d > worst) {
			worst = d
			if (!all && worst > options.toleranceMm) return worst
		}
	}
	return worst
}

/**
 * Whether the ends run against each other over more than the tolerance: then the curve may turn back between two samples,
 * and a cubic that goes in and out along the same line passes every one of them with its tip in the wrong place.
 */
function isHairpin(c: Cubic, options: FitOptions): boolean {
	const { sx, sy } = options.scale ? options.scale(c[0].x, c[0].y) : { sx: 1, sy: 1 }
	const along = (a: PlanePoint, b: PlanePoint) => ({ x: sx * (b.x - a.x), y: sy * (b.y - a.y) })
	const out = along(c[0], c[1])
	const back = along(c[2], c[3])
	if (out.x * back.x + out.y * back.y >= 0) return false
	return [c[1], c[2], c[3]].some((p) => {
		const { x, y } = along(c[0], p)
		return x * x + y * y > options.toleranceMm * options.toleranceMm
	})
}

/** Distance in the local scale from p to the cubic near parameter u (Gauss-Newton on the foot, never worse than at u itself). */
function distanceNear(cubic: Cubic, u: number, p: PlanePoint | Jet, sx: number, sy: number): number {
	let best = Number.POSITIVE_INFINITY
	let v = u
	for (let step = 0; ; step++) {
		const q = cubicAt(cubic, v)
		const ex = sx * (q.x - p.x)
		const ey = sy * (q.y - p.y)
		best = Math.min(best, Math.sqrt(ex * ex + ey * ey))
		if (step === NEAREST_STEPS) return best
		const d = cubicDerivative(cubic, v)
		const dx = sx * d.x
		const dy = sy * d.y
		const speed2 = dx * dx + dy * dy
		if (!(speed2 > 0)) return best
		v = Math.min(1, Math.max(0, v - (ex * dx + ey * dy) / speed2))
	}
}

function finite(jet: Jet, t: number): Jet {
	if (Number.isFinite(jet.x + jet.y + jet.dx + jet.dy)) return jet
	throw new RangeError(`curve at parameter ${t} is (${jet.x}, ${jet.y}) with derivative (${jet.dx}, ${jet.dy}): not finite`)
}
