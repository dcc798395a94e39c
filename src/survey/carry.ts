import type { ChartPoint } from '../chart/point.ts'
import { leastSquares } from '../numeric/leastSquares.ts'

/** A datum as found and as measured again after preparation. */
export interface DatumPair {
	readonly id: string
	readonly found: ChartPoint
	readonly prepared: ChartPoint
}

export interface Carried {
	/** a place of the found panel on the prepared one */
	readonly to: (p: ChartPoint) => ChartPoint
	/** largest distance by which a datum is missed, mm: more than a tape's reading means that the panel has changed shape */
	readonly missMm: number
	/** what could be told from the datums */
	readonly by: 'nothing' | 'shift' | 'stations' | 'both'
}

/** Datums must spread this far for a stretch in that direction to be told from a misreading, mm. */
const SPREAD_MM = 60

/**
 * How a scheme carries over from the panel as found to the panel as prepared: shifted by one datum, stretched along the
 * baseline by two or more, and across it too where they spread to both sides (least squares over all of them).
 */
export function carryOver(pairs: readonly DatumPair[]): Carried {
	if (pairs.length === 0) return { to: (p) => p, missMm: 0, by: 'nothing' }
	const range = (f: (p: DatumPair) => number) => Math.max(...pairs.map(f)) - Math.min(...pairs.map(f))
	const along = pairs.length >= 2 && range((p) => p.found.s) > SPREAD_MM
	const across = pairs.length >= 3 && range((p) => p.found.g) > SPREAD_MM
	const row = (p: ChartPoint) => [1, ...(along ? [p.s] : []), ...(across ? [p.g] : [])]
	const columns = row({ s: 0, g: 0 }).length
	const fit = (of: (p: DatumPair) => number) =>
		leastSquares(
			Float64Array.from(pairs.flatMap((p) => row(p.found))),
			pairs.map(of),
			pairs.map(() => 1),
			columns,
		)
	const s = fit((p) => p.prepared.s - p.found.s)
	const g = fit((p) => p.prepared.g - p.found.g)
	const dot = (x: Float64Array, p: ChartPoint) => row(p).reduce((sum, v, i) => sum + v * (x[i] as number), 0)
	return {
		to: (p) => ({ s: p.s + dot(s.x, p), g: p.g + dot(g.x, p) }),
		missMm: Math.max(...pairs.map((_, i) => Math.hypot(s.residuals[i] as number, g.residuals[i] as number))),
		by: across ? 'both' : along ? 'stations' : 'shift',
	}
}
