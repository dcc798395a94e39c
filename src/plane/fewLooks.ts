import type { Jet } from './fit.ts'
import type { LocalScale } from './vector.ts'

export interface FewLooksOptions {
	/** the polynomial between looks leaves the curve by far less than this, mm */
	readonly toleranceMm: number
	readonly scale?: LocalScale
}

/** Looks of a stretch, as shares of it, in the order in which they enter the polynomial; each counts twice (place, derivative). */
const PLACES = [0, 1, 0.5, 0.25, 0.75] as const
const NODES = PLACES.flatMap((x) => [x, x])
/** Coefficients of the polynomial through the first three looks. */
const QUINTIC = 6
/** An eighth of the range that is still not smooth is looked at place by place. */
const MAX_DEPTH = 3

/**
 * A curve that is dear to work out, by few looks at it: between five of them, each with its derivative, it goes by their Hermite
 * polynomial of degree 9 (Newton's form with doubled nodes; Stoer & Bulirsch, Introduction to Numerical Analysis, 2.1.5). The
 * quintic through three of them must meet the other two within the tolerance: where it does not, the stretch is halved.
 * At a look it gives what was seen there.
 */
export function fewLooks(at: (t: number) => Jet, t0: number, t1: number, options: FewLooksOptions): (t: number) => Jet {
	const stretch = (ta: number, a: Jet, m: Jet, tb: number, b: Jet, depth: number): ((t: number) => Jet) => {
		const h = tb - ta
		const q = at(ta + h / 4)
		const r = at(ta + (3 * h) / 4)
		const looks = [a, b, m, q, r]
		const x = newton(
			looks,
			(p) => p.x,
			(p) => p.dx * h,
		)
		const y = newton(
			looks,
			(p) => p.y,
			(p) => p.dy * h,
		)
		if (meets(x, y, q, 0.25, options) && meets(x, y, r, 0.75, options)) {
			return (t) => {
				const u = (t - ta) / h
				const k = PLACES.indexOf(u as 0)
				if (k >= 0) return looks[k] as Jet
				return { x: value(x, u), y: value(y, u), dx: slope(x, u) / h, dy: slope(y, u) / h }
			}
		}
		if (depth >= MAX_DEPTH) return at
		const tm = ta + h / 2
		const front = stretch(ta, a, q, tm, m, depth + 1)
		const rear = stretch(tm, m, r, tb, b, depth + 1)
		return (t) => ((t - tm) * h <= 0 ? front(t) : rear(t))
	}
	return stretch(t0, at(t0), at((t0 + t1) / 2), t1, at(t1), 0)
}

/** Divided differences over the doubled nodes: at a doubled one the derivative. */
function newton(looks: readonly Jet[], f: (p: Jet) => number, df: (p: Jet) => number): Float64Array {
	const n = NODES.length
	const c = new Float64Array(n)
	for (let k = 0; k < n; k++) c[k] = f(looks[k >> 1] as Jet)
	for (let m = 1; m < n; m++) {
		for (let k = n - 1; k >= m; k--) {
			const over = (NODES[k] as number) - (NODES[k - m] as number)
			c[k] = over === 0 ? df(looks[k >> 1] as Jet) : ((c[k] as number) - (c[k - 1] as number)) / over
		}
	}
	return c
}

function value(c: Float64Array, u: number, count = c.length): number {
	let sum = c[count - 1] as number
	for (let k = count - 2; k >= 0; k--) sum = sum * (u - (NODES[k] as number)) + (c[k] as number)
	return sum
}

function slope(c: Float64Array, u: number): number {
	let sum = c[c.length - 1] as number
	let rate = 0
	for (let k = c.length - 2; k >= 0; k--) {
		const by = u - (NODES[k] as number)
		rate = rate * by + sum
		sum = sum * by + (c[k] as number)
	}
	return rate
}

function meets(x: Float64Array, y: Float64Array, p: Jet, u: number, { toleranceMm, scale }: FewLooksOptions): boolean {
	const { sx, sy } = scale ? scale(p.x, p.y) : { sx: 1, sy: 1 }
	return Math.hypot(sx * (value(x, u, QUINTIC) - p.x), sy * (value(y, u, QUINTIC) - p.y)) <= toleranceMm
}
