import { goldenSection } from './minimise.ts'
import { type SmoothingSpline, smoothedSpline } from './smoothedSpline.ts'
import {
	buildSystem,
	determined,
	type ExtraObservation,
	factorise,
	leverages,
	type SmoothingOptions,
	type System,
	solveSide,
} from './smoothingSystem.ts'

export type { DeletedPrediction, SmoothingSpline } from './smoothedSpline.ts'
export type { ExtraObservation, SmoothingOptions } from './smoothingSystem.ts'

/**
 * The curve f that makes sum((y_i - f(t_i)) / sigma_i)^2 + lambda * integral of (m-th derivative)^2 least
 * (Reinsch, Numer. Math. 10, 1967; Wahba, Spline Models for Observational Data, ch. 1): a natural spline of degree 2m - 1
 * with knots at the points, found over B-splines by orthogonal rotations, so that sigmas a million times apart do no harm
 * (a very small one pins the curve to its point). `extra` observations count in the sum but not in residuals or df.
 *
 * t increases strictly, sigma and lambda are greater than 0, there are 2 points or more; else it throws (a programmer's
 * error). Undefined when the curve is not determined (two points and third derivative cannot happen: the order is lowered).
 */
export function smoothingSpline(
	t: ArrayLike<number>,
	y: ArrayLike<number>,
	sigma: ArrayLike<number>,
	lambda: number,
	options: SmoothingOptions & { readonly extra?: readonly ExtraObservation[] } = {},
): SmoothingSpline | undefined {
	if (!(lambda > 0)) throw new RangeError('smoothing: lambda must be greater than 0')
	const extra = options.extra ?? []
	const system = buildSystem(t, sigma, 1, options, extra)
	const observed = Float64Array.from([...Array.from(y), ...extra.map((e) => e.value)])
	const sigmas = Float64Array.from([...Array.from(sigma), ...extra.map((e) => e.sigma)])
	factorise(system, lambda, [observed], sigmas)
	if (!determined(system)) return undefined
	return smoothedSpline(system, lambda, solveSide(system, 0, observed), observed)
}

/** One coordinate of a curve in the plane: values and their sigmas at the shared places. */
export interface SmoothingCoordinate {
	readonly y: ArrayLike<number>
	readonly sigma: ArrayLike<number>
	readonly extra?: readonly ExtraObservation[]
}

export interface SmoothedCurve {
	/** one for each coordinate, in order */
	readonly coordinates: readonly SmoothingSpline[]
	readonly lambda: number
	/** Mallows' Cp at this lambda: estimated sum of squared errors of the curve, in sigmas squared */
	readonly cp: number
	readonly df: number
	readonly sumSquares: number
	/** true where Cp goes on falling to the end of the range of lambda: the points lie on one polynomial, or the curve goes through all */
	readonly atLimit: 'none' | 'stiffest' | 'loosest'
}

/** Steps of log10 lambda on the grid: Cp bends over more than a decade (400 random curves of 5 to 20 points: the same minimum as with 0.1). */
const GRID_STEP = 1
/** Golden section stops at this width of log10 lambda: changes the curve by less than a hundredth of a sigma. */
const GOLDEN_WIDTH = 0.02

/**
 * One lambda for all coordinates of a parametric curve, where Mallows' Cp with known sigmas is least
 * (Mallows, Technometrics 15, 1973; Craven & Wahba 1979, unbiased risk): RSS + 2 tr(H) - N over a fixed grid of log lambda,
 * then golden section around its least place. The range runs from a curve through every point to a polynomial of degree m - 1.
 * Undefined when a coordinate is not determined; throws as `smoothingSpline` does.
 */
export function smoothByCp(
	t: ArrayLike<number>,
	coordinates: readonly SmoothingCoordinate[],
	options: SmoothingOptions = {},
): SmoothedCurve | undefined {
	const n = t.length
	// coordinates with the same sigmas share one factor
	const groups: { members: number[]; system: System; observed: Float64Array[]; sigmas: Float64Array }[] = []
	coordinates.forEach((c, index) => {
		const extra = c.extra ?? []
		const observed = Float64Array.from([...Array.from(c.y), ...extra.map((e) => e.value)])
		const like = groups.find((g) => sameWeights(coordinates[g.members[0]!]!, c))
		if (like) {
			like.members.push(index)
			like.observed.push(observed)
			return
		}
		const sides = coordinates.filter((other) => sameWeights(other, c)).length
		const sigmas = Float64Array.from([...Array.from(c.sigma), ...extra.map((e) => e.sigma)])
		groups.push({ members: [index], system: buildSystem(t, c.sigma, sides, options, extra), observed: [observed], sigmas })
	})
	const first = groups[0]
	if (!first) throw new RangeError('smoothing: no coordinate given')
	const { order, unit } = first.system
	// Eigenvalues of the penalty in units of the spacing lie between about (4.7 / n)^2m and pi^2m; with weights 1 / sigma^2 the
	// curve is through the points, or a polynomial, to a ten-thousandth where lambda times them is that far below or above 1.
	let least = Number.POSITIVE_INFINITY
	let most = 0
	for (const c of coordinates) {
		for (let i = 0; i < n; i++) {
			least = Math.min(least, c.sigma[i]!)
			most = Math.max(most, c.sigma[i]!)
		}
	}
	const scale = (2 * order - 1) * Math.log10(unit)
	const from = scale - 2 * Math.log10(most) - 4 - 2 * order * Math.log10(Math.PI)
	// a sigma far below the rest pins the curve and must not stretch the range: the larger ones decide where smoothing ends
	const to = scale - 2 * Math.log10(Math.max(least, most / 100)) + 4 + 2 * order * Math.log10(Math.max(1, n / 4.7))

	const cpAt = (logLambda: number) => {
		let sumSquares = 0
		let df = 0
		for (const { system, observed, sigmas } of groups) {
			factorise(system, 10 ** logLambda, observed, sigmas)
			if (!determined(system)) return { cp: Number.POSITIVE_INFINITY, sumSquares, df }
			for (let side = 0; side < observed.length; side++) sumSquares += solveSide(system, side, observed[side]!).sumSquares
			const leverage = leverages(system)
			for (let i = 0; i < n; i++) df += observed.length * leverage[i]!
		}
		return { cp: sumSquares + 2 * df - n * coordinates.length, sumSquares, df }
	}
	const count = Math.ceil((to - from) / GRID_STEP)
	const step = (to - from) / count
	let best = count
	let bestCp = Number.POSITIVE_INFINITY
	// from the stiff end, so that of equals the smoother one is kept
	for (let i = count; i >= 0; i--) {
		const { cp } = cpAt(from + i * step)
		if (cp < bestCp) {
			bestCp = cp
			best = i
		}
	}
	if (!Number.isFinite(bestCp)) return undefined
	let at = from + best * step
	const atLimit = best === count ? 'stiffest' : best === 0 ? 'loosest' : 'none'
	if (atLimit === 'none') at = goldenSection((x) => cpAt(x).cp, at - step, at + step, GOLDEN_WIDTH)
	const { cp, sumSquares, df } = cpAt(at)
	if (!Number.isFinite(cp)) return undefined
	const lambda = 10 ** at
	const splines: SmoothingSpline[] = new Array(coordinates.length)
	for (const { members, system, observed } of groups) {
		members.forEach((index, side) => {
			splines[index] = smoothedSpline(system, lambda, solveSide(system, side, observed[side]!), observed[side]!)
		})
	}
	return { coordinates: splines, lambda, cp, df, sumSquares, atLimit }
}

function sameWeights(a: SmoothingCoordinate, b: SmoothingCoordinate): boolean {
	const left = a.extra ?? []
	const right = b.extra ?? []
	return (
		Array.prototype.every.call(a.sigma, (sigma, i) => sigma === b.sigma[i]) &&
		left.length === right.length &&
		left.every((e, i) => e.t === right[i]!.t && e.derivative === right[i]!.derivative && e.sigma === right[i]!.sigma)
	)
}
