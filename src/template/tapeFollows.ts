/** Which runs of tape follow the edges of a piece, on which side of them their bodies lie, and from where to where. */
import type { Chart } from '../chart/chart.ts'
import { offset } from '../chart/offset.ts'
import type { ChartPoint } from '../chart/point.ts'
import { polyline } from '../chart/region.ts'
import { nearTurn } from '../chart/round.ts'
import { constantWidth } from '../chart/width.ts'
import type { Tape } from '../job/shop.ts'
import type { TapeRun } from '../tape/run.ts'
import type { PieceEdge } from './piece.ts'

/** Runs of one tape along one stretch of an edge, on one side of it: what is laid again for a later paint lies there too. */
export interface Follows {
	/** by number */
	readonly runs: readonly number[]
	readonly tape: Tape
	/** from the edge to the inner side of the tape, mm: a lap's width, else 0 */
	readonly offMm: number
	/** the side of the body as the edge runs on the panel: +1 to the left of it in (s, g) */
	readonly side: 1 | -1
	/** the first and the last place of the edge that it follows */
	readonly from: number
	readonly to: number
}

/** A line that a run lies along, its body to the left. */
interface BodyLine {
	readonly run: TapeRun
	readonly points: readonly ChartPoint[]
	readonly box: Box
}

type Box = readonly [s0: number, s1: number, g0: number, g1: number]
const EVERYWHERE: Box = [-Infinity, Infinity, -Infinity, Infinity]

/** Chords of a run's line, and what the edge of a piece may be off it to be the same line, mm: ten times the chords of both. */
const CHORD_MM = 0.01
const SAME_MM = 0.2
/** More across the line than this is no following of it. */
const LEAST_COS = 0.9
/** A place farther than this from all of a line is not looked at closely, mm. */
const NEAR_MM = 1
/** A shorter stretch is where lines meet, mm. */
const LEAST_MM = 8

/** Told of every edge of every piece of a panel: lines of runs are taken apart once. */
export function followsOf(chart: Chart, runs: readonly TapeRun[]): (edge: PieceEdge) => readonly Follows[] {
	const lines = runs.flatMap((run) => linesOf(chart, run))
	return (edge) => {
		const near = chart.periodS === undefined ? boxOf(edge.at) : EVERYWHERE
		return together(lines.flatMap((line) => (apart(line.box, near) ? [] : stretches(chart, line, edge))))
	}
}

function linesOf(chart: Chart, run: TapeRun): readonly BodyLine[] {
	const line = polyline(chart, run.line, CHORD_MM)
	// Tape as wide as a stripe has a painted edge on either side.
	const { curves } =
		run.kind === 'stripe'
			? offset(chart, run.line, constantWidth(run.tape.width), { id: run.id, toleranceMm: CHORD_MM, corners: 'mitred' })
			: { curves: [] }
	const all = [line, ...curves.map((curve) => polyline(chart, curve, CHORD_MM).reverse())]
	return all.filter((points) => points.length > 1).map((points): BodyLine => ({ run, points, box: boxOf(points) }))
}

const apart = (a: Box, b: Box) => a[1] < b[0] - NEAR_MM || b[1] < a[0] - NEAR_MM || a[3] < b[2] - NEAR_MM || b[3] < a[2] - NEAR_MM

function boxOf(points: readonly ChartPoint[]): Box {
	let [s0, s1, g0, g1] = [Infinity, -Infinity, Infinity, -Infinity]
	for (const { s, g } of points) {
		s0 = Math.min(s0, s)
		s1 = Math.max(s1, s)
		g0 = Math.min(g0, g)
		g1 = Math.max(g1, g)
	}
	return [s0, s1, g0, g1]
}

function stretches(chart: Chart, line: BodyLine, { at, on }: PieceEdge): readonly Follows[] {
	const { run } = line
	const tolerance = SAME_MM + Math.abs(run.offWidthMm ?? 0)
	const sides = at.map((_, i) => sideAt(chart, line, at, i, tolerance))
	const out: Follows[] = []
	for (let from = 0; from < sides.length; from++) {
		const side = sides[from]
		if (side === undefined) continue
		let to = from
		while (sides[to + 1] === side) to++
		const long = on.slice(from, to).reduce((sum, p, k) => {
			const q = on[from + k + 1] as (typeof on)[number]
			return sum + Math.hypot(q.x - p.x, q.y - p.y)
		}, 0)
		if (long >= LEAST_MM) out.push({ runs: [run.number], tape: run.tape, offMm: run.offMm, side, from, to })
		from = to
	}
	return out
}

/** The side of the edge, as it runs, that the body of the run is on at one of its places; undefined where the run is elsewhere. */
function sideAt(
	chart: Chart,
	{ points, box: [s0, s1, g0, g1] }: BodyLine,
	at: readonly ChartPoint[],
	i: number,
	tolerance: number,
): 1 | -1 | undefined {
	const p = nearTurn(chart, { s: (s0 + s1) / 2, g: 0 }, at[i] as ChartPoint)
	if (p.s < s0 - NEAR_MM || p.s > s1 + NEAR_MM || p.g < g0 - NEAR_MM || p.g > g1 + NEAR_MM) return undefined
	const { j } = chart.metric(p.s, p.g)
	const [before, after] = [at[Math.max(0, i - 1)], at[Math.min(at.length - 1, i + 1)]] as [ChartPoint, ChartPoint]
	const [ex, ey] = [(after.s - before.s) * j, after.g - before.g]
	const along = Math.hypot(ex, ey)
	let best = tolerance
	let side: 1 | -1 | undefined
	for (let k = 1; k < points.length; k++) {
		const [a, b] = [points[k - 1] as ChartPoint, points[k] as ChartPoint]
		const [ay, by] = [a.g - p.g, b.g - p.g]
		if ((ay > best && by > best) || (ay < -best && by < -best)) continue
		const [ax, bx] = [(a.s - p.s) * j, (b.s - p.s) * j]
		const [dx, dy] = [bx - ax, by - ay]
		const square = dx * dx + dy * dy
		if (square === 0) continue
		const t = Math.min(1, Math.max(0, -(ax * dx + ay * dy) / square))
		const distance = Math.hypot(ax + t * dx, ay + t * dy)
		if (distance > best) continue
		const cos = (ex * dx + ey * dy) / (along * Math.sqrt(square))
		if (!(Math.abs(cos) > LEAST_COS)) continue
		best = distance
		side = cos > 0 ? 1 : -1
	}
	return side
}

/** Places of an edge by which stretches may differ and be one: ends are cut here and there. */
const SAME_PLACES = 3

function together(all: readonly Follows[]): readonly Follows[] {
	const out: Follows[] = []
	for (const one of [...all].sort((a, b) => (a.runs[0] as number) - (b.runs[0] as number))) {
		const i = out.findIndex(
			(other) =>
				other.tape.id === one.tape.id &&
				other.side === one.side &&
				other.offMm === one.offMm &&
				Math.abs(other.from - one.from) <= SAME_PLACES &&
				Math.abs(other.to - one.to) <= SAME_PLACES,
		)
		const other = out[i]
		if (!other) out.push(one)
		else if (!other.runs.includes(one.runs[0] as number)) out[i] = { ...other, runs: [...other.runs, ...one.runs] }
	}
	return out
}
