import type { Cubic, PlanePoint } from './point.ts'
import { along, cross, minus, mix, norm, times } from './vector.ts'

/** Cubic Beziers (Farin, Curves and Surfaces for CAGD, ch. 4-5). The parameter u runs from 0 to 1. */

export interface Box {
	readonly minX: number
	readonly minY: number
	readonly maxX: number
	readonly maxY: number
}

/** Point at u, mm. */
export function cubicAt(c: Cubic, u: number): PlanePoint {
	const v = 1 - u
	const a = v * v * v
	const b = 3 * v * v * u
	const d = 3 * v * u * u
	const e = u * u * u
	return {
		x: a * c[0].x + b * c[1].x + d * c[2].x + e * c[3].x,
		y: a * c[0].y + b * c[1].y + d * c[2].y + e * c[3].y,
	}
}

/** First derivative by u, mm. */
export function cubicDerivative(c: Cubic, u: number): PlanePoint {
	const v = 1 - u
	const a = 3 * v * v
	const b = 6 * v * u
	const d = 3 * u * u
	return {
		x: a * (c[1].x - c[0].x) + b * (c[2].x - c[1].x) + d * (c[3].x - c[2].x),
		y: a * (c[1].y - c[0].y) + b * (c[2].y - c[1].y) + d * (c[3].y - c[2].y),
	}
}

/** Second derivative by u, mm. */
export function cubicSecondDerivative(c: Cubic, u: number): PlanePoint {
	const v = 6 * (1 - u)
	const w = 6 * u
	return {
		x: v * (c[2].x - 2 * c[1].x + c[0].x) + w * (c[3].x - 2 * c[2].x + c[1].x),
		y: v * (c[2].y - 2 * c[1].y + c[0].y) + w * (c[3].y - 2 * c[2].y + c[1].y),
	}
}

/** Third derivative by u (constant), mm. */
export function cubicThirdDerivative(c: Cubic): PlanePoint {
	return {
		x: 6 * (c[3].x - 3 * c[2].x + 3 * c[1].x - c[0].x),
		y: 6 * (c[3].y - 3 * c[2].y + 3 * c[1].y - c[0].y),
	}
}

/**
 * Signed curvature at u, 1/mm, positive where the curve bends to the left of travel.
 * Infinite or NaN where the derivative is zero (a handle of length 0): ask `cubicFrame` there.
 */
export function cubicCurvature(c: Cubic, u: number): number {
	const d = cubicDerivative(c, u)
	return cross(d, cubicSecondDerivative(c, u)) / norm(d) ** 3
}

/** A derivative this small a part of the handles' length has no direction of its own in double precision. */
const NO_DIRECTION = 1e-9

export interface CubicFrame {
	readonly point: PlanePoint
	readonly derivative: PlanePoint
	/** unit vector of travel; (0, 0) only where the whole cubic is one point */
	readonly tangent: PlanePoint
	/** rate at which the direction turns, radians per unit of u (curvature times speed) */
	readonly turning: number
}

/**
 * Place, direction and turning rate at u. Where the derivative vanishes (a handle of length 0, as at the ends of drawn
 * lines) the limits from inside the curve are taken: direction of C'' (or C'''), turning (C'' x C''') / (2 |C''|^2).
 */
export function cubicFrame(c: Cubic, u: number): CubicFrame {
	const point = cubicAt(c, u)
	const derivative = cubicDerivative(c, u)
	const second = cubicSecondDerivative(c, u)
	const size = norm(minus(c[1], c[0])) + norm(minus(c[2], c[1])) + norm(minus(c[3], c[2]))
	const speed = norm(derivative)
	if (speed > NO_DIRECTION * size) {
		return { point, derivative, tangent: times(derivative, 1 / speed), turning: cross(derivative, second) / (speed * speed) }
	}
	const third = cubicThirdDerivative(c)
	const inward = u < 0.5 ? 1 : -1
	const bend = norm(second)
	if (bend > NO_DIRECTION * size) {
		return { point, derivative, tangent: times(second, inward / bend), turning: cross(second, third) / (2 * bend * bend) }
	}
	const jerk = norm(third)
	return { point, derivative, tangent: jerk > 0 ? times(third, 1 / jerk) : { x: 0, y: 0 }, turning: 0 }
}

/** The two parts before and after u (de Casteljau). */
export function splitCubic(c: Cubic, u: number): [Cubic, Cubic] {
	const a = mix(c[0], c[1], u)
	const b = mix(c[1], c[2], u)
	const d = mix(c[2], c[3], u)
	const ab = mix(a, b, u)
	const bd = mix(b, d, u)
	const m = mix(ab, bd, u)
	return [
		[c[0], a, ab, m],
		[m, bd, d, c[3]],
	]
}

/** The part between u0 and u1; runs backwards where u1 < u0. */
export function partOfCubic(c: Cubic, u0: number, u1: number): Cubic {
	const p = u0 === 0 ? c[0] : u0 === 1 ? c[3] : cubicAt(c, u0)
	const q = u1 === 0 ? c[0] : u1 === 1 ? c[3] : cubicAt(c, u1)
	const third = (u1 - u0) / 3
	return [p, along(p, cubicDerivative(c, u0), third), along(q, cubicDerivative(c, u1), -third), q]
}

/** The same places, travelled the other way. */
export const reverseCubic = (c: Cubic): Cubic => [c[3], c[2], c[1], c[0]]
export const reverseCubics = (cubics: readonly Cubic[]): Cubic[] => cubics.map(reverseCubic).reverse()

/** A straight run as a cubic, handles at thirds so that the parameter is even. */
export const lineCubic = (a: PlanePoint, b: PlanePoint): Cubic => [a, mix(a, b, 1 / 3), mix(a, b, 2 / 3), b]

/** Smallest upright box around the cubic (roots of the derivative, not the handles). */
export function cubicBox(c: Cubic): Box {
	const [minX, maxX] = span(c[0].x, c[1].x, c[2].x, c[3].x)
	const [minY, maxY] = span(c[0].y, c[1].y, c[2].y, c[3].y)
	return { minX, minY, maxX, maxY }
}

/** Range of one coordinate of a cubic over 0..1. */
function span(p: number, q: number, r: number, s: number): [number, number] {
	let low = Math.min(p, s)
	let high = Math.max(p, s)
	if (q >= low && q <= high && r >= low && r <= high) return [low, high]
	const a = s - 3 * r + 3 * q - p
	const b = 2 * (r - 2 * q + p)
	const d = q - p
	// a u^2 + b u + d = 0, in the form that loses no digits where a is small
	const root = Math.sqrt(Math.max(0, b * b - 4 * a * d))
	const w = -0.5 * (b + (b < 0 ? -root : root))
	for (const u of [w / a, d / w]) {
		if (!(u > 0 && u < 1)) continue
		const v = 1 - u
		const value = v * v * v * p + 3 * v * v * u * q + 3 * v * u * u * r + u * u * u * s
		low = Math.min(low, value)
		high = Math.max(high, value)
	}
	return [low, high]
}
