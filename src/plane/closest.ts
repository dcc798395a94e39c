import { cubicAt, cubicDerivative, cubicSecondDerivative, splitCubic } from './cubic.ts'
import type { Cubic, PlanePoint } from './point.ts'
import { distance, dot, minus } from './vector.ts'

export interface Closest {
	/** mm; Infinity where there was nothing to measure to */
	readonly distance: number
	/** segment or cubic; -1 where there was nothing */
	readonly index: number
	/** parameter 0..1 in it */
	readonly t: number
	readonly point: PlanePoint
}

/** Nearest place on a polyline (with the closing segment where `closed`); the first of equals. */
export function closestOnPolyline(p: PlanePoint, points: readonly PlanePoint[], closed = false): Closest {
	let best: Closest = { distance: Number.POSITIVE_INFINITY, index: -1, t: 0, point: p }
	const only = points[0]
	if (points.length === 1 && only) return { distance: distance(p, only), index: 0, t: 0, point: only }
	const count = closed ? points.length : points.length - 1
	for (let i = 0; i < count; i++) {
		const a = points[i] as PlanePoint
		const b = points[(i + 1) % points.length] as PlanePoint
		const ab = minus(b, a)
		const square = dot(ab, ab)
		const t = square > 0 ? Math.min(1, Math.max(0, dot(minus(p, a), ab) / square)) : 0
		const q = { x: a.x + t * ab.x, y: a.y + t * ab.y }
		const d = distance(p, q)
		if (d < best.distance) best = { distance: d, index: i, t, point: q }
	}
	return best
}

/**
 * Halvings of a cubic at most. Only near a centre of curvature do feet lie closer than 2^-10 of it, and then at distances
 * that differ by the cube of that.
 */
const HALVINGS = 10
/** Newton steps; quadratic convergence needs about 5, a bad start falls back on halving. */
const NEWTON_STEPS = 30

/** A step this small moves the distance by its square: nothing. */
const SETTLED = 1e-10

/**
 * Nearest place on cubics; parts whose handles' box is farther than the best so far (or `within`) are passed over. Feet are
 * the roots of (C - p) . C', a quintic in Bernstein form: parts are halved until its coefficients change sign once at most
 * (Schneider, Solving the nearest-point-on-curve problem, Graphics Gems, 1990).
 */
export function closestOnCubics(p: PlanePoint, cubics: readonly Cubic[], within = Number.POSITIVE_INFINITY): Closest {
	let best: Closest = { distance: within, index: -1, t: 0, point: p }
	const offer = (q: PlanePoint, index: number, t: number): void => {
		const d = distance(p, q)
		if (d < best.distance) best = { distance: d, index, t, point: q }
	}
	const search = (whole: Cubic, c: Cubic, index: number, u0: number, u1: number, depth: number): void => {
		if (hullDistance(p, c) >= best.distance) return
		offer(c[0], index, u0)
		offer(c[3], index, u1)
		const changes = signChanges(p, c)
		if (changes === 0) return
		if (changes === 1 || depth === HALVINGS) {
			const t = foot(p, whole, u0, u1)
			offer(cubicAt(whole, t), index, t)
			return
		}
		const [a, b] = splitCubic(c, 0.5)
		const m = (u0 + u1) / 2
		if (hullDistance(p, a) <= hullDistance(p, b)) {
			search(whole, a, index, u0, m, depth + 1)
			search(whole, b, index, m, u1, depth + 1)
		} else {
			search(whole, b, index, m, u1, depth + 1)
			search(whole, a, index, u0, m, depth + 1)
		}
	}
	for (let i = 0; i < cubics.length; i++) search(cubics[i] as Cubic, cubics[i] as Cubic, i, 0, 1, 0)
	return best.index < 0 ? { ...best, distance: Number.POSITIVE_INFINITY } : best
}

/** Sign changes in the Bernstein coefficients of (C - p) . C': no fewer than its roots. */
function signChanges(p: PlanePoint, c: Cubic): number {
	const product = (i: number, j: number) => {
		const [q, a, b] = [c[i] as PlanePoint, c[j] as PlanePoint, c[j + 1] as PlanePoint]
		return (q.x - p.x) * (b.x - a.x) + (q.y - p.y) * (b.y - a.y)
	}
	const coefficients = [
		product(0, 0),
		0.4 * product(0, 1) + 0.6 * product(1, 0),
		0.1 * product(0, 2) + 0.6 * product(1, 1) + 0.3 * product(2, 0),
		0.3 * product(1, 2) + 0.6 * product(2, 1) + 0.1 * product(3, 0),
		0.6 * product(2, 2) + 0.4 * product(3, 1),
		product(3, 2),
	]
	let changes = 0
	let last = 0
	for (const value of coefficients) {
		if (value === 0) continue
		if (last !== 0 && value > 0 !== last > 0) changes++
		last = value
	}
	return changes
}

/** Root of (C - p) . C' in u0..u1: Newton, kept inside a bracket that shrinks by the sign of the derivative of distance. */
function foot(p: PlanePoint, c: Cubic, u0: number, u1: number): number {
	let low = u0
	let high = u1
	let u = (u0 + u1) / 2
	for (let i = 0; i < NEWTON_STEPS; i++) {
		const e = minus(cubicAt(c, u), p)
		const d = cubicDerivative(c, u)
		const slope = dot(e, d)
		if (slope > 0) high = u
		else low = u
		const bend = dot(d, d) + dot(e, cubicSecondDerivative(c, u))
		const step = bend > 0 ? slope / bend : Number.NaN
		if (Math.abs(step) <= SETTLED) return Math.min(high, Math.max(low, u - step))
		u = u - step > low && u - step < high ? u - step : (low + high) / 2
	}
	return u
}

/** Distance from p to the upright box of a cubic's handles: never more than to the cubic. */
function hullDistance(p: PlanePoint, c: Cubic): number {
	const [a, b, d, e] = c
	const dx = Math.max(Math.min(a.x, b.x, d.x, e.x) - p.x, 0, p.x - Math.max(a.x, b.x, d.x, e.x))
	const dy = Math.max(Math.min(a.y, b.y, d.y, e.y) - p.y, 0, p.y - Math.max(a.y, b.y, d.y, e.y))
	return Math.sqrt(dx * dx + dy * dy)
}
