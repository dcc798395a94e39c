import type { Chart } from '../../chart/chart.ts'
import type { ScaleField } from '../scaleField.ts'
import { type Collocation, collocate, noiseOf, type Observation, type TiltSd } from './collocation.ts'
import { bareChart, fieldOf } from './field.ts'
import { observeLaid, observeTape } from './observe.ts'
import type { Laid, Taped, TapeReading } from './reading.ts'
import { likeliest, priorOf, type Roughness } from './roughness.ts'
import { dot, type Series, seriesOver } from './series.ts'

/** The panel that the readings tell. */
export interface Estimate {
	readonly series: Series
	/** in the order of the observations of `fit` */
	readonly readings: readonly TapeReading[]
	readonly fit: Collocation
	readonly roughness: Roughness
	/** -2 log of the likelihood of these readings: lower is better */
	readonly score: number
	readonly field: ScaleField
}

export interface EstimateOptions {
	readonly even: boolean
	readonly sd: number
	readonly tiltSd: TiltSd
	/** one round alone: tapes by the paths they take on the panel that the laid lengths tell */
	readonly once?: boolean
}

export type Estimated =
	| { readonly ok: true; readonly value: Estimate }
	/** a tape whose path was not found, or all of them did not settle */
	| { readonly ok: false; readonly tape?: Taped }

/** Paths of tapes change little with the panel: three rounds are usual. */
const MOST_ROUNDS = 12
/** Tapes settle to this, mm: far below any reading. */
const SETTLED_MM = 1e-3

/**
 * J from laid lengths alone is linear; tapes are brought in by Gauss-Newton, each round with the paths they take on the panel of the
 * round before. There is at least one laid length.
 */
export function estimate(readings: readonly TapeReading[], options: EstimateOptions): Estimated {
	const { even, sd, tiltSd, once = false } = options
	const laid = readings.filter((r): r is Laid => r.kind === 'laid')
	const tapes = readings.filter((r): r is Taped => r.kind === 'tape')
	const series = seriesOver(extentOf(readings), even)
	const fixed = laid.map((r) => observeLaid(series, r, sd))
	let now = solve(series, laid, fixed, tiltSd)
	if (!now || tapes.length === 0) return now ? { ok: true, value: now } : { ok: false }
	for (let round = 0; round < MOST_ROUNDS; round++) {
		const chart: Chart = bareChart(now.field)
		const taped: Observation[] = []
		for (const tape of tapes) {
			const observation = observeTape(series, tape, sd, chart, now.fit.c)
			if (!observation) return { ok: false, tape }
			taped.push(observation)
		}
		const next = solve(series, [...laid, ...tapes], [...fixed, ...taped], tiltSd)
		if (!next) return { ok: false }
		const moved = Math.max(...taped.map(({ row }) => Math.abs(dot(row, next.fit.c) - dot(row, (now as Estimate).fit.c))))
		now = next
		if (moved <= SETTLED_MM || once) return { ok: true, value: now }
	}
	return { ok: false, tape: tapes[0] as Taped }
}

function solve(
	series: Series,
	readings: readonly TapeReading[],
	observations: readonly Observation[],
	tiltSd: TiltSd,
): Estimate | undefined {
	const noise = noiseOf(observations, tiltSd)
	const at = (r: Roughness) => collocate(observations, priorOf(series, r), noise, tiltSd)
	const best = likeliest((r) => at(r)?.unlikely)
	const fit = best && at(best.roughness)
	return fit && { series, readings, fit, ...best, field: fieldOf(series, fit.c) }
}

function extentOf(readings: readonly TapeReading[]) {
	const stations = readings.flatMap((r) => (r.kind === 'laid' ? [r.from, r.to] : [r.from.s, r.to.s]))
	const girths = readings.flatMap((r) => (r.kind === 'laid' ? [r.girth] : [r.from.g, r.to.g]))
	return {
		sMin: Math.min(...stations),
		sMax: Math.max(...stations),
		gMin: Math.min(0, ...girths),
		gMax: Math.max(0, ...girths),
	}
}
