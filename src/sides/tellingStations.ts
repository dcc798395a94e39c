import type { Chart } from '../chart/chart.ts'
import { crossStation } from '../chart/cross.ts'
import { evaluateCubic } from '../chart/curve.ts'
import type { ChartPoint, Curve } from '../chart/point.ts'

/** Fewer places do not show a kink; more are more work than they tell. */
const LEAST = 3
const MOST = 5
/** A place is added where the line leaves the chords between those chosen by more, mm: what a taped line may be off. */
const LEAVES_MM = 1
/** Where too few strips cross the line, places are looked for at so many even distances. */
const EVEN = 8
/** The ends are measured this far inside them, so that the tape measure meets the line, mm. */
const INSIDE_MM = 4

/**
 * The three to five stations at which a line tells most when it is measured: its two ends, then, one by one, where it lies
 * farthest from the chords between those chosen already (Ramer 1972; Douglas & Peucker 1973), for there it bends most. Stations of
 * strips are taken where at least three of them cross the line: there the panel is marked already.
 */
export function tellingStations(chart: Chart, curve: Curve, strips: readonly number[]): readonly ChartPoint[] {
	const at = (s: number) => crossStation(chart, curve, s)[0]?.at
	const crossed = [...strips].sort((a, b) => a - b).filter((s) => at(s))
	const candidates = (crossed.length >= LEAST ? crossed : evenly(curve)).flatMap((s) => {
		const place = at(s)
		return place ? [place] : []
	})
	const [first, last] = [candidates[0], candidates[candidates.length - 1]]
	if (!first || !last || candidates.length <= 2) return candidates
	const chosen = new Set([first, last])
	while (chosen.size < Math.min(MOST, candidates.length)) {
		const row = [...chosen].sort((a, b) => a.s - b.s)
		const rest = candidates.filter((place) => !chosen.has(place)).map((place) => ({ place, ...leaves(row, place) }))
		const farthest = rest.reduce((a, b) => (b.offMm > a.offMm + SAME_MM ? b : a))
		if (farthest.offMm > LEAVES_MM) chosen.add(farthest.place)
		else if (chosen.size < LEAST) chosen.add(rest.reduce((a, b) => (b.apartMm > a.apartMm ? b : a)).place)
		else break
	}
	return [...chosen].sort((a, b) => a.s - b.s)
}

/** Rounding of the choice between two places. */
const SAME_MM = 1e-6

/** How far a place lies from the chord between the chosen ones beside it, and from the nearer of these along it. */
function leaves(row: readonly ChartPoint[], place: ChartPoint) {
	const i = row.findIndex(({ s }) => s > place.s)
	const [a, b] = [row[i - 1]!, row[i]!]
	const length = Math.hypot(b.s - a.s, b.g - a.g)
	const offMm = Math.abs((b.s - a.s) * (place.g - a.g) - (b.g - a.g) * (place.s - a.s)) / length
	return { offMm, apartMm: Math.min(place.s - a.s, b.s - place.s) }
}

function evenly(curve: Curve): readonly number[] {
	const stations = curve.cubics.flatMap((c) => [0, 0.5, 1].map((t) => evaluateCubic(c, t).at.s))
	const [from, to] = [Math.min(...stations) + INSIDE_MM, Math.max(...stations) - INSIDE_MM]
	return to > from
		? Array.from({ length: EVEN + 1 }, (_, i) => Math.round(2 * (from + ((to - from) * i) / EVEN)) / 2)
		: [(from + to) / 2]
}
