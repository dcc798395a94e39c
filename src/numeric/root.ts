export type RootAnswer =
	| {
			readonly ok: true
			readonly x: number
			/** f(x) */
			readonly value: number
			/** the root lies no further than this from x */
			readonly error: number
			readonly steps: number
	  }
	| {
			readonly ok: false
			readonly reason: 'not-bracketed' | 'not-finite' | 'no-convergence'
			readonly x: number
			readonly steps: number
	  }

export interface RootOptions {
	/** in the units of x */
	readonly tolerance: number
	/** evaluations after the two ends; 100 */
	readonly maxSteps?: number
}

const DEFAULT_MAX_STEPS = 100

/**
 * A root of f between a and b, where f has opposite signs (Brent, Algorithms for Minimization without Derivatives, ch. 4).
 * Fails when the ends have the same sign, f is not finite, or the steps run out.
 */
export function brent(f: (x: number) => number, from: number, to: number, options: RootOptions): RootAnswer {
	const maxSteps = options.maxSteps ?? DEFAULT_MAX_STEPS
	let a = from
	let b = to
	let fa = f(a)
	let fb = f(b)
	if (!Number.isFinite(fa) || !Number.isFinite(fb)) return { ok: false, reason: 'not-finite', x: b, steps: 0 }
	if (fa === 0) return { ok: true, x: a, value: 0, error: 0, steps: 0 }
	if (fb === 0) return { ok: true, x: b, value: 0, error: 0, steps: 0 }
	if (fa > 0 === fb > 0) return { ok: false, reason: 'not-bracketed', x: b, steps: 0 }
	let c = a
	let fc = fa
	let last = b - a
	let before = last
	for (let steps = 1; steps <= maxSteps; steps++) {
		if (Math.abs(fc) < Math.abs(fb)) {
			a = b
			b = c
			c = a
			fa = fb
			fb = fc
			fc = fa
		}
		// below the spacing of the numbers around b nothing can move
		const least = Math.max(options.tolerance / 2, 2 * Number.EPSILON * Math.abs(b))
		const half = (c - b) / 2
		if (Math.abs(half) <= least || fb === 0) return { ok: true, x: b, value: fb, error: Math.abs(c - b), steps }
		if (Math.abs(before) >= least && Math.abs(fa) > Math.abs(fb)) {
			const s = fb / fa
			let p: number
			let q: number
			if (a === c) {
				p = 2 * half * s
				q = 1 - s
			} else {
				const r = fb / fc
				const u = fa / fc
				p = s * (2 * half * u * (u - r) - (b - a) * (r - 1))
				q = (u - 1) * (r - 1) * (s - 1)
			}
			if (p > 0) q = -q
			else p = -p
			if (2 * p < Math.min(3 * half * q - Math.abs(least * q), Math.abs(before * q))) {
				before = last
				last = p / q
			} else {
				last = half
				before = half
			}
		} else {
			last = half
			before = half
		}
		a = b
		fa = fb
		b += Math.abs(last) > least ? last : half > 0 ? least : -least
		fb = f(b)
		if (!Number.isFinite(fb)) return { ok: false, reason: 'not-finite', x: b, steps }
		if (fb > 0 === fc > 0) {
			c = a
			fc = fa
			last = b - a
			before = last
		}
	}
	return { ok: false, reason: 'no-convergence', x: b, steps: maxSteps }
}

/**
 * A root of f between a and b by Newton's method, kept inside the bracket by halving it whenever a step
 * leaves it or does not at least halve the last one. `f` returns value and slope. Fails as `brent` does.
 */
export function newtonBracketed(
	f: (x: number) => { readonly value: number; readonly slope: number },
	from: number,
	to: number,
	options: RootOptions,
	start?: number,
): RootAnswer {
	const maxSteps = options.maxSteps ?? DEFAULT_MAX_STEPS
	const first = f(from).value
	const second = f(to).value
	if (!Number.isFinite(first) || !Number.isFinite(second)) return { ok: false, reason: 'not-finite', x: to, steps: 0 }
	if (first === 0) return { ok: true, x: from, value: 0, error: 0, steps: 0 }
	if (second === 0) return { ok: true, x: to, value: 0, error: 0, steps: 0 }
	if (first > 0 === second > 0) return { ok: false, reason: 'not-bracketed', x: to, steps: 0 }
	let below = first < 0 ? from : to
	let above = first < 0 ? to : from
	let x = start !== undefined && (start - from) * (start - to) < 0 ? start : (from + to) / 2
	let last = Math.abs(to - from)
	for (let steps = 1; steps <= maxSteps; steps++) {
		const { value, slope } = f(x)
		if (!Number.isFinite(value)) return { ok: false, reason: 'not-finite', x, steps }
		if (value === 0) return { ok: true, x, value, error: 0, steps }
		if (value < 0) below = x
		else above = x
		const newton = x - value / slope
		const inside = (newton - below) * (newton - above) < 0 && Math.abs(newton - x) <= last / 2
		const next = inside ? newton : (below + above) / 2
		const move = Math.abs(next - x)
		const least = Math.max(options.tolerance, 2 * Number.EPSILON * Math.abs(x))
		if (move <= least && (inside || Math.abs(above - below) <= 2 * least)) {
			return { ok: true, x: next, value: f(next).value, error: move, steps }
		}
		last = move
		x = next
	}
	return { ok: false, reason: 'no-convergence', x, steps: maxSteps }
}
