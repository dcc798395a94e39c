import type { Chart } from '../chart/chart.ts'
import { crossStation } from '../chart/cross.ts'
import { evaluate, frame } from '../chart/curve.ts'
import { nearest } from '../chart/nearest.ts'
import type { ChartPoint, Curve } from '../chart/point.ts'
import type { Outcome, Problem } from '../job/problem.ts'
import type { Check, Panel } from '../job/schema.ts'
import type { Shop } from '../job/shop.ts'
import type { Side } from '../scheme/side.ts'
import { usualSd } from '../survey/instruments.ts'
import { exaggerationOf } from './exaggeration.ts'
import { kinksOf } from './eye.ts'
import { lineNamed, type NamedLine } from './namedLine.ts'
import { seenAtOnce } from './seen.ts'
import type { CheckedPlace, PanelTaped, TapedLine, TapedSides, TapedWidth, Verdict } from './tapedPanel.ts'
import { tapedProblem } from './tapedWords.ts'

export interface TapedInput {
	readonly chartOf: (side: Side) => Chart
	readonly panel: Panel
	/** JSON pointer to the panel */
	readonly path: string
	readonly checks: readonly Check[]
	readonly lines: readonly NamedLine[]
	readonly shop: Pick<Shop, 'tolerances' | 'instruments'>
}

/** A place on its line, while it is being worked out. */
interface Placed extends CheckedPlace {
	/** parameter of the line, and its direction there */
	readonly u: number
	readonly angle: number
}

const SD_95 = 1.96
/** Checks this near were read at one station, mm. */
const SAME_STATION_MM = 1
/** The plan and the tape are drawn through so many places. */
const LOOKS = 60
/** Fewer places do not tell which way a line runs, nor a kink. */
const LEAST_PLACES = 3
/** Under this a band is called narrow, and less is let pass of its width, mm (common practice, no source). */
const NARROW_MM = 6

/** Taped edges against the plan before anything is sprayed: each line and side, left with right, and the widths between. */
export function tapedOf(input: TapedInput): Outcome<PanelTaped> {
	const problems: Problem[] = []
	const byLine = new Map<NamedLine, Placed[]>()
	input.checks.forEach((check, index) => {
		const path = `${input.path}/checks/${index}`
		const line = lineNamed(input.lines, check, { code: 'CHECK', what: 'a check', panel: input.panel.id, path }, problems)
		const place = line && placeOf(input, line, check, index, path, problems)
		if (line && place) byLine.set(line, [...(byLine.get(line) ?? []), place])
	})
	const rows = [...byLine].map(([line, places]) => ({ line, places: [...places].sort((a, b) => a.station - b.station) }))
	const exaggeration = exaggerationOf(rows.flatMap(({ places }) => places.map(({ acrossMm }) => acrossMm)))
	const lines = rows.map(({ line, places }) => judgedLine(input, line, places, exaggeration))
	const sides = sidesOfLines(input, rows)
	const widths = widthsBetween(input, rows)
	const verdict = worst([...lines, ...sides, ...widths])
	const value: PanelTaped = { lines, sides, widths, exaggeration, verdict }
	return { value, problems: [...problems, ...lines.flatMap((line) => tapedProblem(input.panel, input.path, line))] }
}

const SEVERITY: readonly Verdict[] = ['go', 'look', 're-lay']
const worst = (all: readonly { readonly verdict: Verdict }[]): Verdict =>
	SEVERITY[Math.max(0, ...all.map(({ verdict }) => SEVERITY.indexOf(verdict)))] as Verdict

/** What the readings cannot tell from nothing is looked at again before it is pulled off. */
const judge = (offMm: number, limitMm: number, sdMm: number): Verdict =>
	Math.abs(offMm) <= limitMm ? 'go' : Math.abs(offMm) <= SD_95 * sdMm ? 'look' : 're-lay'

function placeOf(
	input: TapedInput,
	line: NamedLine,
	check: Check,
	index: number,
	path: string,
	problems: Problem[],
): Placed | undefined {
	const { panel, shop } = input
	const met = crossStation(input.chartOf(line.side), line.curve, check.station)
	// A line that comes back over a station was measured where it is nearer.
	const crossing = met.sort((a, b) => Math.abs(Math.abs(a.at.g) - check.girth) - Math.abs(Math.abs(b.at.g) - check.girth))[0]
	if (!crossing) {
		problems.push({
			code: 'CHECK_NOT_THERE',
			severity: 'error',
			path: `${path}/station`,
			place: { panel: panel.id, ...(line.side === 'both' ? {} : { side: line.side }) },
			found: `a check of "${line.short}" at a station where it is not`,
			expected: 'a station that the line crosses',
			fix: 'Correct the station, or the name of the line.',
		})
		return undefined
	}
	const { at, u, angle } = crossing
	const planned = Math.abs(at.g)
	// On a panel of one side what lies below the baseline lies lower the larger its girth.
	const up = panel.hand !== 'centre' && at.g < 0 ? -1 : 1
	const square = Math.abs(Math.cos(angle))
	const acrossMm = up * (check.girth - planned) * square
	const sdMm = square * (shop.instruments.find(({ id }) => id === (check.with ?? 'tape'))?.sd ?? usualSd('square'))
	const verdict = judge(acrossMm, shop.tolerances.line, sdMm)
	return { index, station: check.station, girth: check.girth, planned, acrossMm, sdMm, at, verdict, u, angle }
}

function judgedLine(input: TapedInput, line: NamedLine, places: readonly Placed[], exaggeration: number): TapedLine {
	const chart = input.chartOf(line.side)
	const { tolerances } = input.shop
	const outward = outwardOf(input.panel, line.curve, places[0]!.u, chart)
	const lengths = alongOf(chart, places)
	const row = places.map(({ acrossMm, sdMm, angle }, i) => {
		return { alongMm: lengths[i]!, offMm: acrossMm, sdMm, angle: outward * angle }
	})
	const kinks = places.length >= LEAST_PLACES ? kinksOf(row, tolerances.kinkDeg) : []
	const runs = places.length >= LEAST_PLACES ? runOf(row, tolerances.line) : undefined
	const kinked = kinks.map(({ proven }) => ({ verdict: proven ? ('re-lay' as const) : ('look' as const) }))
	const drawn = (times: number) => polylineOf(chart, line.curve, places, outward * times)
	return {
		...{ short: line.short, name: line.name, side: line.side },
		places: places.map(({ u: _, angle: __, ...place }) => place),
		worstMm: places.reduce((most, { acrossMm }) => Math.max(most, Math.abs(acrossMm)), 0),
		...(runs ? { runs } : {}),
		kinks,
		verdict: worst([...places, ...kinked, ...(runs ? [runs] : [])]),
		plan: drawn(0),
		taped: drawn(exaggeration),
	}
}

/** +1 where the line's plus side lies outboard (on a panel of one side: up). */
function outwardOf(panel: Panel, curve: Curve, u: number, chart: Chart): 1 | -1 {
	const { at, angle } = frame(chart, curve, u)
	const up = panel.hand === 'centre' && at.g < 0 ? -1 : 1
	return Math.cos(angle) * up >= 0 ? 1 : -1
}

/** Lengths from the first place to each, by the chords between them. */
function alongOf(chart: Chart, places: readonly Placed[]): readonly number[] {
	let sum = 0
	return places.map(({ at }, i) => {
		const before = places[i - 1]?.at ?? at
		sum += Math.hypot((at.s - before.s) * chart.metric((at.s + before.s) / 2, (at.g + before.g) / 2).j, at.g - before.g)
		return sum
	})
}

/** The straight line through all deviations, by least squares: what it gains from the first place to the last. */
function runOf(row: readonly { readonly alongMm: number; readonly offMm: number; readonly sdMm: number }[], limitMm: number) {
	const n = row.length
	const middle = row.reduce((sum, { alongMm }) => sum + alongMm, 0) / n
	const spread = row.reduce((sum, { alongMm }) => sum + (alongMm - middle) ** 2, 0)
	const slope = row.reduce((sum, { alongMm, offMm }) => sum + (alongMm - middle) * offMm, 0) / spread
	const length = row[n - 1]!.alongMm - row[0]!.alongMm
	const mm = slope * length
	const sdMm = (Math.max(...row.map((one) => one.sdMm)) * length) / Math.sqrt(spread)
	return { mm, sdMm, verdict: judge(mm, limitMm, sdMm) }
}

/** The line from its first place to its last, moved square off itself by so many times what it is off there. */
function polylineOf(chart: Chart, curve: Curve, places: readonly Placed[], times: number): readonly ChartPoint[] {
	const [first, last] = [places[0]!, places[places.length - 1]!]
	return Array.from({ length: LOOKS + 1 }, (_, i) => {
		const u = first.u + ((last.u - first.u) * i) / LOOKS
		const { at } = evaluate(curve, u)
		if (times === 0) return at
		const off = times * between(places, u)
		const { angle } = frame(chart, curve, u)
		return { s: at.s - (off * Math.sin(angle)) / chart.metric(at.s, at.g).j, g: at.g + off * Math.cos(angle) }
	})
}

/** What the line is off at a parameter, in proportion between the places beside it. */
function between(places: readonly Placed[], u: number): number {
	const order = [...places].sort((a, b) => a.u - b.u)
	const after = order.findIndex((place) => place.u >= u)
	const [a, b] = [order[Math.max(0, after - 1)]!, order[after < 0 ? order.length - 1 : after]!]
	const part = b.u > a.u ? (u - a.u) / (b.u - a.u) : 0
	return a.acrossMm + part * (b.acrossMm - a.acrossMm)
}

type Row = { readonly line: NamedLine; readonly places: readonly Placed[] }

function sidesOfLines({ chartOf, panel, shop }: TapedInput, rows: readonly Row[]): readonly TapedSides[] {
	return rows.flatMap(({ line: left, places }) => {
		const right = left.side === 'left' ? rows.find(({ line }) => line.short === left.short && line.side === 'right') : undefined
		if (!right) return []
		return places.flatMap((a): TapedSides[] => {
			const b = right.places.find(({ station }) => Math.abs(station - a.station) <= SAME_STATION_MM)
			if (!b) return []
			const seen = panel.hand === 'centre' && seenAtOnce(chartOf('left'), a.at, b.at)
			const limitMm = seen ? shop.tolerances.seen : shop.tolerances.line
			const differMm = b.acrossMm - a.acrossMm
			const sdMm = Math.hypot(a.sdMm, b.sdMm)
			const verdict = judge(differMm, limitMm, sdMm)
			return [{ short: left.short, name: left.name, station: a.station, differMm, sdMm, seen, limitMm, verdict }]
		})
	})
}

/** Each checked edge with the next one outward at the same station, as far as both were read there. */
function widthsBetween({ chartOf, shop }: TapedInput, rows: readonly Row[]): readonly TapedWidth[] {
	const sides = [...new Set(rows.map(({ line }) => line.side))]
	return sides.flatMap((side) => {
		const read = rows
			.filter(({ line }) => line.side === side)
			.flatMap(({ line, places }) => places.map((place) => ({ line, place })))
		return read.flatMap(({ line, place }): TapedWidth[] => {
			const next = read
				.filter((one) => one.line !== line && Math.abs(one.place.station - place.station) <= SAME_STATION_MM)
				.filter((one) => one.place.at.g * place.at.g >= 0 && one.place.planned > place.planned)
				.sort((a, b) => a.place.planned - b.place.planned)[0]
			const foot = next && nearest(chartOf(side), next.line.curve, place.at)
			if (!next || !foot) return []
			const plannedMm = Math.abs(foot.offsetMm)
			const gain = outwardGain(place, next.place)
			const sdMm = Math.hypot(place.sdMm, next.place.sdMm)
			const limitMm = plannedMm < NARROW_MM ? shop.tolerances.narrowWidth : shop.tolerances.width
			const verdict = judge(gain, limitMm, sdMm)
			const lines = [line.short, next.line.short] as const
			return [{ lines, side, station: place.station, plannedMm, tapedMm: plannedMm + gain, sdMm, limitMm, verdict }]
		})
	})
}

/** How much farther apart two edges are than planned: both off outward alike leaves the width. */
function outwardGain(inner: Placed, outer: Placed): number {
	const out = ({ girth, planned, angle }: Placed) => (girth - planned) * Math.abs(Math.cos(angle))
	return out(outer) - out(inner)
}
