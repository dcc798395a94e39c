import { backward, cholesky, forward } from './cholesky.ts'
import { dot } from './series.ts'

/** One reading as the unknowns see it: value = row . c + noise. */
export interface Observation {
	readonly row: Float64Array
	readonly value: number
	/** of what was read, by itself */
	readonly sd: number
	/** struck lines that it ends on, and by how many mm a tilt of one radian changes it */
	readonly levers: readonly Lever[]
}
export interface Lever {
	readonly line: string
	readonly mm: number
}

/** How far a struck line may be from square, radians (1 sd). */
export type TiltSd = (line: string) => number

/**
 * Unknowns c of known variance seen through noisy readings: least-squares collocation (Moritz, Advanced Physical Geodesy,
 * 1980, ch. 11). V is the covariance of the readings, unknowns and noise together; a struck line that is out of square moves all
 * the lengths that end on it together, so the noise is not independent.
 */
export interface Collocation {
	readonly observations: readonly Observation[]
	readonly prior: Float64Array
	readonly tiltSd: TiltSd
	/** L of V */
	readonly factor: Float64Array
	/** V^-1 y */
	readonly weighed: Float64Array
	/** estimate of c */
	readonly c: Float64Array
	/** -2 log of the likelihood of the readings, less a constant */
	readonly unlikely: number
}

export function collocate(
	observations: readonly Observation[],
	prior: Float64Array,
	noise: Float64Array,
	tiltSd: TiltSd,
): Collocation | undefined {
	const n = observations.length
	const factor = cholesky(covariance(observations, prior, noise), n)
	if (!factor) return undefined
	const half = forward(
		factor,
		observations.map(({ value }) => value),
	)
	let unlikely = dot(half, half)
	for (let i = 0; i < n; i++) unlikely += 2 * Math.log(factor[i * n + i]!)
	const weighed = backward(factor, half)
	const c = new Float64Array(prior.length)
	for (let i = 0; i < n; i++) {
		const { row } = observations[i]!
		for (let j = 0; j < c.length; j++) c[j] = c[j]! + prior[j]! * row[j]! * weighed[i]!
	}
	return { observations, prior, tiltSd, factor, weighed, c, unlikely }
}

/** V, of unknowns and noise; its lower triangle alone. */
function covariance(observations: readonly Observation[], prior: Float64Array, noise: Float64Array): Float64Array {
	const n = observations.length
	const v = noise.slice()
	const weighted = new Float64Array(prior.length)
	for (let i = 0; i < n; i++) {
		const own = observations[i]!.row
		for (let j = 0; j < weighted.length; j++) weighted[j] = own[j]! * prior[j]!
		for (let k = 0; k <= i; k++) v[i * n + k] = v[i * n + k]! + dot(weighted, observations[k]!.row)
	}
	return v
}

/** Covariance of what is wrong with the readings themselves. */
export function noiseOf(observations: readonly Observation[], tiltSd: TiltSd): Float64Array {
	const n = observations.length
	const noise = new Float64Array(n * n)
	for (let i = 0; i < n; i++) {
		for (let k = 0; k <= i; k++) {
			const shared = tiltCovariance(observations[i]!.levers, observations[k]!.levers, tiltSd)
			const sum = i === k ? shared + observations[i]!.sd ** 2 : shared
			noise[i * n + k] = sum
			noise[k * n + i] = sum
		}
	}
	return noise
}

export function tiltCovariance(a: readonly Lever[], b: readonly Lever[], tiltSd: TiltSd): number {
	let sum = 0
	for (const p of a) for (const q of b) if (p.line === q.line) sum += p.mm * q.mm * tiltSd(p.line) ** 2
	return sum
}

/** Row . c of the unknowns beside every reading: L^-1 of their covariance. |that|^2 is what the readings take off the variance. */
export function seen({ observations, prior, factor }: Collocation, row: Float64Array): Float64Array {
	const weighted = row.map((x, j) => x * prior[j]!)
	return forward(
		factor,
		observations.map((o) => dot(o.row, weighted)),
	)
}

/** Variance of row . c once all is read. */
export function variance(fit: Collocation, row: Float64Array): number {
	const told = seen(fit, row)
	let before = 0
	for (let j = 0; j < row.length; j++) before += row[j]! ** 2 * fit.prior[j]!
	return Math.max(0, before - dot(told, told))
}
