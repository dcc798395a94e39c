/** Lines that go right round a ring, open in (s, g), from a place to the same place one turn on; and what lies over its seam. */
import type { Region } from '../plane/point.ts'
import { union } from '../plane/region.ts'
import type { Chart } from './chart.ts'
import { crossStation } from './cross.ts'
import { endOf, part, startOf } from './curve.ts'
import type { ChartPoint, Curve } from './point.ts'

/** Ends of a line round a ring are one place within this, mm. */
const MEETS_MM = 1e-3

/** The turn (mm of station, with its sign) after which a line comes back into itself; undefined where it does not. */
export function turnOf(chart: Chart, curve: Curve): number | undefined {
	if (chart.periodS === undefined || curve.closed || curve.cubics.length === 0) return undefined
	const [a, b] = [startOf(curve), endOf(curve)]
	const turn = b.s - a.s
	const meets = Math.abs(Math.abs(turn) - chart.periodS) < MEETS_MM && Math.abs(b.g - a.g) < MEETS_MM
	return meets ? turn : undefined
}

/** The same line so many mm of station on. */
export function shifted(curve: Curve, by: number): Curve {
	const move = ({ s, g }: ChartPoint): ChartPoint => ({ s: s + by, g })
	return { ...curve, cubics: curve.cubics.map(([a, b, c, d]) => [move(a), move(b), move(c), move(d)] as const) }
}

/** A line round a ring that begins at parameter u instead. */
export function begunAt(curve: Curve, u: number, turn: number): Curve {
	const n = curve.cubics.length
	if (u <= 0 || u >= n) return curve
	return { ...curve, cubics: [...part(curve, u, n).cubics, ...shifted(part(curve, 0, u), turn).cubics] }
}

/** A line round a ring from the seam, where stations begin, to the seam. */
export function fromSeam(chart: Chart, curve: Curve): Curve {
	const turn = turnOf(chart, curve)
	if (turn === undefined) return curve
	const period = Math.abs(turn)
	const least = Math.min(startOf(curve).s, endOf(curve).s)
	const seam = chart.sMin + period * Math.ceil((least - chart.sMin) / period - 1e-12)
	const hit = crossStation(chart, curve, seam)[0]
	const begun = hit ? begunAt(curve, hit.u, turn) : curve
	return shifted(begun, chart.sMin - Math.min(startOf(begun).s, endOf(begun).s))
}

/** A place as it lies nearest to another: on a ring a tape goes over the seam where that is the shorter way. */
export function nearTurn(chart: Chart, p: ChartPoint, q: ChartPoint): ChartPoint {
	const { periodS } = chart
	return periodS === undefined ? q : { s: q.s - periodS * Math.round((q.s - p.s) / periodS), g: q.g }
}

/** Stations of a place on a line whose stations repeat: those of its turns that the line's own range holds. */
export function turnsOf(chart: Chart, curve: Curve, station: number): number[] {
	if (chart.periodS === undefined) return [station]
	const s = curve.cubics.flatMap((c) => c.map((p) => p.s))
	const [low, high] = [Math.min(...s), Math.max(...s)]
	const first = Math.ceil((low - station) / chart.periodS - 1e-9)
	const last = Math.floor((high - station) / chart.periodS + 1e-9)
	return Array.from({ length: Math.max(0, last - first + 1) }, (_, i) => station + (first + i) * (chart.periodS as number))
}

/** A region with its copies a turn before and behind, on a ring. */
export function turns(region: Region, period: number | undefined): Region {
	if (period === undefined) return region
	return union([0, -period, period].map((by) => region.map((loop) => loop.map(({ x, y }) => ({ x: x + by, y })))))
}
