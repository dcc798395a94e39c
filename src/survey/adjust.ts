import type { Chart } from '../chart/chart.ts'
import type { ChartPoint } from '../chart/point.ts'
import { type RowTests, rowTests } from '../numeric/rowTests.ts'
import { type SparseFit, sparseFit, sparseFitPlace } from '../numeric/sparseFit.ts'
import { type SparseProblem, sparseStructure } from '../numeric/sparseLinear.ts'
import { rowPattern } from '../numeric/sparseRows.ts'
import type { Observation } from './observe.ts'

export interface Adjustment {
	/** keys of the measured marks; unknowns 2i and 2i + 1 are station and girth of the i-th */
	readonly keys: readonly string[]
	readonly places: ReadonlyMap<string, ChartPoint>
	readonly observations: readonly Observation[]
	readonly fit: SparseFit
}

/** In standard deviations of all readings together: finer than a hundredth of a hundredth of one. */
const TOLERANCE = 1e-6
const MAX_STEPS = 60
/** The covariance of all marks together is kept up to so many unknowns (32 MB); beyond that only that of each mark. */
export const WHOLE_UP_TO = 2000

/**
 * The places of all marks at once that make sum((fitted - read) / sd)^2 least, datums held. Undefined where the panel does
 * not reach some reading at the start.
 */
export function adjust(
	chart: Chart,
	start: ReadonlyMap<string, ChartPoint>,
	free: readonly string[],
	observations: readonly Observation[],
): Adjustment | undefined {
	const { keys, problem, x0 } = problemOf(chart, start, free, observations)
	const fit = sparseFit(problem, x0, { tolerance: TOLERANCE, maxSteps: MAX_STEPS, wholeUpTo: WHOLE_UP_TO })
	return fit && { keys, places: placesOf(start, keys, fit.x), observations, fit }
}

/** Huber's proposal: beyond 1.5 standard deviations a residual counts by its size and no longer by its square. */
const HUBER = 1.5
/** From a start that is off by a slip of 100 mm, five rounds of weights bring the others within a tenth of a millimetre. */
const ROUNDS = 8
const STEPS_A_ROUND = 3
/** A round that moves no mark by more, mm, is the last; and each is worked out so well, in standard deviations. */
const SETTLED_MM = 0.02
const ROUGHLY = 0.01

/**
 * The same with readings that do not fit weighed down (iteratively reweighted least squares, Huber 1964, Ann. Math. Statist.
 * 35), so that one gross slip does not carry its marks away. The places alone are of use: its statistics are of no survey.
 */
export function adjustRobustly(
	chart: Chart,
	start: ReadonlyMap<string, ChartPoint>,
	free: readonly string[],
	observations: readonly Observation[],
): ReadonlyMap<string, ChartPoint> {
	const { keys, problem, x0 } = problemOf(chart, start, free, observations)
	let x = x0
	for (let round = 0; round < ROUNDS; round++) {
		const residuals = problem.model(x)?.residuals
		const sd = problem.sd.map((own, i) => own * Math.sqrt(Math.max(1, Math.abs(residuals?.[i] ?? 0) / own / HUBER)))
		const next = sparseFitPlace({ ...problem, sd }, x, { tolerance: ROUGHLY, maxSteps: STEPS_A_ROUND })
		if (!next) break
		const moved = next.reduce((most, value, j) => Math.max(most, Math.abs(value - x[j]!)), 0)
		x = next
		if (moved < SETTLED_MM) break
	}
	return placesOf(start, keys, x)
}

/** Tests of the observations at these places, as if all were linear from there. */
export function testsAt(
	chart: Chart,
	places: ReadonlyMap<string, ChartPoint>,
	free: readonly string[],
	observations: readonly Observation[],
): RowTests | undefined {
	const { problem, x0 } = problemOf(chart, places, free, observations)
	return rowTests(problem, x0)
}

/** What these places say that a reading should be. */
export function predicted(chart: Chart, o: Observation, places: ReadonlyMap<string, ChartPoint>): number | undefined {
	return o.predict(
		chart,
		o.keys.map((key) => places.get(key)!),
	)?.value
}

function problemOf(
	chart: Chart,
	start: ReadonlyMap<string, ChartPoint>,
	free: readonly string[],
	observations: readonly Observation[],
): { readonly keys: readonly string[]; readonly problem: SparseProblem; readonly x0: Float64Array } {
	const keys = [...free].sort()
	const column = new Map(keys.map((key, i) => [key, 2 * i]))
	const x0 = new Float64Array(2 * keys.length)
	keys.forEach((key, i) => {
		const at = start.get(key)!
		x0[2 * i] = at.s
		x0[2 * i + 1] = at.g
	})
	const columns = observations.map((o) => o.keys.map((key) => column.get(key)))
	const rows = rowPattern(
		columns.map((own) => own.flatMap((c) => (c === undefined ? [] : [c, c + 1]))),
		2 * keys.length,
	)
	const model = (x: Float64Array) => {
		const residuals = new Float64Array(observations.length)
		const values = new Float64Array(rows.column.length)
		for (let i = 0; i < observations.length; i++) {
			const o = observations[i]!
			const own = columns[i]!
			const at = own.map((c, k) => (c === undefined ? start.get(o.keys[k]!)! : { s: x[c]!, g: x[c + 1]! }))
			const prediction = o.predict(chart, at)
			if (!prediction) return undefined
			residuals[i] = prediction.value - o.value
			let to = rows.start[i]!
			for (let k = 0; k < own.length; k++) {
				if (own[k] === undefined) continue
				values[to++] = prediction.gradient[2 * k]!
				values[to++] = prediction.gradient[2 * k + 1]!
			}
		}
		return { residuals, values }
	}
	const placed = (of: 's' | 'g') => keys.flatMap((key) => [start.get(key)![of], start.get(key)![of]])
	const sd = Float64Array.from(observations, (o) => o.sd)
	return { keys, x0, problem: { structure: sparseStructure(rows, placed('s'), placed('g')), model, sd } }
}

function placesOf(
	start: ReadonlyMap<string, ChartPoint>,
	keys: readonly string[],
	x: Float64Array,
): ReadonlyMap<string, ChartPoint> {
	const places = new Map(start)
	keys.forEach((key, i) => {
		places.set(key, { s: x[2 * i]!, g: x[2 * i + 1]! })
	})
	return places
}
