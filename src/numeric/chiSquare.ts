import { brent } from './root.ts'

/** Coefficients of Lanczos' approximation for g = 7, n = 9 (Godfrey 2001): relative error below 1e-14 for x > 0. */
const LANCZOS = [
	0.99999999999980993, 676.5203681218851, -1259.1392167224028, 771.32342877765313, -176.61502916214059, 12.507343278686905,
	-0.13857109526572012, 9.9843695780195716e-6, 1.5056327351493116e-7,
]

/** ln of the gamma function, x > 0. */
export function lnGamma(x: number): number {
	// reflection: the series is for x of a half and more
	if (x < 0.5) return Math.log(Math.PI / Math.sin(Math.PI * x)) - lnGamma(1 - x)
	const z = x - 1
	const t = z + 7.5
	let sum = LANCZOS[0]!
	for (let k = 1; k < LANCZOS.length; k++) sum += LANCZOS[k]! / (z + k)
	return 0.5 * Math.log(2 * Math.PI) + (z + 0.5) * Math.log(t) - t + Math.log(sum)
}

const MAX_TERMS = 10_000
const ROUNDING = 1e-16

/** Regularised lower incomplete gamma function P(a, x): its series, or the continued fraction (DLMF 8.7.1 and 8.9.2). */
export function gammaP(a: number, x: number): number {
	if (!(x > 0)) return 0
	const scale = Math.exp(a * Math.log(x) - x - lnGamma(a))
	if (x < a + 1) {
		let term = 1 / a
		let sum = term
		for (let n = 1; n < MAX_TERMS && term > sum * ROUNDING; n++) {
			term *= x / (a + n)
			sum += term
		}
		return Math.min(1, sum * scale)
	}
	// Lentz's way of a continued fraction, from its front
	let b = x + 1 - a
	let c = 1e300
	let d = 1 / b
	let fraction = d
	for (let n = 1; n < MAX_TERMS; n++) {
		const an = -n * (n - a)
		b += 2
		d = 1 / (an * d + b)
		c = b + an / c
		const by = c * d
		fraction *= by
		if (Math.abs(by - 1) < ROUNDING) break
	}
	return Math.max(0, 1 - scale * fraction)
}

/** The value that chi-square with `dof` degrees of freedom stays below with probability `p`, 0 < p < 1; good to 1e-9 of itself. */
export function chiSquareQuantile(p: number, dof: number): number {
	const below = (x: number) => gammaP(dof / 2, x / 2) - p
	// Doubling finds an upper end in a few steps: the mean is dof.
	let high = Math.max(1, dof)
	for (let step = 0; step < 64 && below(high) < 0; step++) high *= 2
	const root = brent(below, 0, high, { tolerance: 1e-10 * high, maxSteps: 200 })
	return root.x
}
