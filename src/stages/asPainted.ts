/** Lines as they came out of the paint: what lies beside them moves with them. */
import type { Chart } from '../chart/chart.ts'
import { evaluateCubic, frame, part, startOf } from '../chart/curve.ts'
import { measure } from '../chart/measure.ts'
import { nearest, nearestOn } from '../chart/nearest.ts'
import { offset } from '../chart/offset.ts'
import type { ChartPoint, Curve } from '../chart/point.ts'
import { polyline, toChart, toPlane } from '../chart/region.ts'
import type { Width } from '../chart/width.ts'
import { intersect, normalise, subtract, union } from '../plane/region.ts'
import { widthOf } from '../scheme/width.ts'
import type { Border, Part, Seen } from './parts.ts'

/** A place of a painted edge, measured again. */
export interface PaintedPlace {
	/** the line as planned, all of it */
	readonly line: Curve
	/** where the edge was found */
	readonly at: ChartPoint
}

/** A line that came out elsewhere than planned. */
export interface MovedLine {
	/** as the scheme calls it */
	readonly line: string
	/** the largest of what it is off the plan, mm to its plus side, and where */
	readonly worstMm: number
	readonly worstAt: ChartPoint
}

/** A border off its plan, mm to its plus side, at lengths from its own front; some of them beyond its ends. */
interface MovedBorder {
	readonly border: string
	readonly places: readonly Off[]
}

interface Off {
	readonly alongMm: number
	readonly at: ChartPoint
	readonly offMm: number
}

const CHORD_MM = 0.005
const FIT_MM = 0.005
/** A border is part of a line that it lies on so exactly, mm. */
const ON_MM = 0.05
/** Places nearer each other along a line are one, measured more than once: their mean counts, mm. */
const ONE_MM = 1

/** Whether a border is a stretch of a line. */
export function liesOn(chart: Chart, border: Border, line: Curve): boolean {
	const foot = nearest(chart, line, middleOf(border))
	return foot !== undefined && Math.abs(foot.offsetMm) < ON_MM
}

/**
 * The panel with its measured lines where they came out: straight between measured places along the line, and as the first and
 * the last of them beyond those. The two parts beside a border give and take what lies between plan and paint.
 */
export function asPainted(
	seen: Seen,
	places: readonly PaintedPlace[],
): { readonly seen: Seen; readonly moved: readonly MovedLine[] } {
	const borders = seen.borders.flatMap((border) => movedBorder(seen.chart, border, places) ?? [])
	const moved = new Map<string, MovedLine>()
	for (const { border, places: offs } of borders) {
		const { line } = seen.borders.find(({ id }) => id === border) as Border
		const worst = offs.reduce((a, b) => (Math.abs(b.offMm) > Math.abs(a.offMm) ? b : a))
		if (!moved.has(line)) moved.set(line, { line, worstMm: worst.offMm, worstAt: worst.at })
	}
	return { seen: borders.reduce(withMoved, seen), moved: [...moved.values()] }
}

function movedBorder(chart: Chart, border: Border, places: readonly PaintedPlace[]): MovedBorder | undefined {
	const lines = [...new Set(places.map(({ line }) => line))].filter((line) => liesOn(chart, border, line))
	const offs = lines.flatMap((line) => {
		const onBorder = alongBorder(chart, border, line)
		return places.flatMap((place) => (place.line === line ? (onBorder(place.at) ?? []) : []))
	})
	if (offs.length === 0) return undefined
	const merged = eachOnce(offs)
	const round = border.lengthMm
	const [first, last] = [merged[0] as Off, merged[merged.length - 1] as Off]
	const all = border.curve.closed
		? [{ ...last, alongMm: last.alongMm - round }, ...merged, { ...first, alongMm: first.alongMm + round }]
		: merged
	return { border: border.id, places: all }
}

/** Places of a line, as lengths from the front of a border that is a stretch of it, and off it to the border's plus side. */
function alongBorder(chart: Chart, border: Border, line: Curve): (at: ChartPoint) => Off | undefined {
	const lengths = measure(chart, line)
	const foot = nearestOn(chart, line)
	const start = foot(startOf(border.curve))
	const middle = foot(middleOf(border))
	const half = Math.floor(border.curve.cubics.length / 2) + 0.5
	const turn = middle ? frame(chart, border.curve, half).angle - frame(chart, line, middle.u).angle : 0
	const way = Math.cos(turn) < 0 ? -1 : 1
	return (at) => {
		const met = foot(at)
		if (!met || !start) return undefined
		const along = way * (lengths.lengthAt(met.u) - lengths.lengthAt(start.u))
		const alongMm = line.closed ? along - lengths.length * Math.floor(along / lengths.length) : along
		return { alongMm, at, offMm: way * met.offsetMm }
	}
}

/** In order along the line; of what was measured more than once the mean. */
function eachOnce(offs: readonly Off[]): readonly Off[] {
	const groups: Off[][] = []
	for (const off of [...offs].sort((a, b) => a.alongMm - b.alongMm)) {
		const last = groups[groups.length - 1]
		if (last && off.alongMm - (last[0] as Off).alongMm < ONE_MM) last.push(off)
		else groups.push([off])
	}
	const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length
	return groups.map((group) => ({
		alongMm: mean(group.map(({ alongMm }) => alongMm)),
		at: (group[0] as Off).at,
		offMm: mean(group.map(({ offMm }) => offMm)),
	}))
}

/** Off the plan by length along the border. */
const offBy = ({ places }: MovedBorder): Width =>
	places.length === 1
		? { at: () => places[0]?.offMm ?? 0, rate: () => 0 }
		: widthOf(places.map(({ alongMm, offMm }) => ({ along: alongMm, width: offMm })))

function withMoved(seen: Seen, move: MovedBorder): Seen {
	const { chart, parts, borders } = seen
	const border = borders.find(({ id }) => id === move.border) as Border
	const split = splitAt(seen, border.curve, move)
	const { curves } = offset(chart, split, offBy(move), { id: border.id, toleranceMm: FIT_MM, corners: 'mitred' })
	if (curves.length === 0) return seen
	const curve: Curve = { ...border.curve, cubics: curves.flatMap(({ cubics }) => cubics) }
	const plan = polyline(chart, border.curve, CHORD_MM)
	const painted = polyline(chart, curve, CHORD_MM)
	const between = normalise(toPlane([[...plan, ...painted.reverse()]]))
	const regionOf = (i: number) => toPlane((parts[i] as Part).region)
	const [plus, minus] = [regionOf(border.plus), regionOf(border.minus)]
	const changed = new Map([
		[border.plus, union([subtract(plus, between), intersect(minus, between)])],
		[border.minus, union([subtract(minus, between), intersect(plus, between)])],
	])
	return {
		...seen,
		parts: parts.map((each, i) => {
			const region = changed.get(i)
			return region ? { ...each, region: toChart(region) } : each
		}),
		borders: borders.map((each) => (each === border ? { ...border, curve, lengthMm: measure(chart, curve).length } : each)),
	}
}

/** A parallel of changing width breaks where the width does: the line is split there. */
function splitAt({ chart }: Seen, curve: Curve, { places }: MovedBorder): Curve {
	const lengths = measure(chart, curve)
	const within = places.filter(({ alongMm }) => alongMm > 0 && alongMm < lengths.length)
	const cuts = [0, ...within.map(({ alongMm }) => lengths.at(alongMm)), curve.cubics.length]
	const cubics = cuts
		.slice(1)
		.flatMap((to, i) => (to - (cuts[i] as number) > 1e-9 ? part(curve, cuts[i] as number, to).cubics : []))
	return { ...curve, cubics: cubics.length > 0 ? cubics : curve.cubics }
}

/** A place on a border, for those who look for the one that a line is. */
export const middleOf = ({ curve }: Border): ChartPoint => {
	const cubic = curve.cubics[Math.floor(curve.cubics.length / 2)]
	return cubic ? evaluateCubic(cubic, 0.5).at : { s: 0, g: 0 }
}
