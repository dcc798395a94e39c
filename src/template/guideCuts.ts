/** Where along a line its guides begin and end. */
import type { Chart } from '../chart/chart.ts'
import { crossStation } from '../chart/cross.ts'
import { curvatureSdOf } from '../chart/curvatureSd.ts'
import { areMirrored, cornersOf, part } from '../chart/curve.ts'
import { type Measure, measure } from '../chart/measure.ts'
import type { ChartPoint, Curve } from '../chart/point.ts'
import { begunAt, shifted, turnOf, turnsOf } from '../chart/round.ts'
import { misfit } from './developLine.ts'
import { type ClearPart, clearParts, type KeepOff } from './keepOff.ts'

/** Where shape is known exactly a guide may be as long as this: longer paper grows and is awkward to lay. */
const LONGEST_MM = 420
/** A guide is not made shorter than this for the limit's sake: its two ends would no longer give its direction. */
const SHORTEST_MM = 90
/** Ends are sought on a grid this fine, and guides may be two steps shorter than the shortest. */
const GRID_MM = 10
/** Each guide goes on this far into the next, with ticks that must meet. */
export const OVERLAP_MM = 20
/** Where both have the tick of one dot, that dot makes them meet: they need go on past it no farther than this. */
const PAST_DOT_MM = 4
/** A guide goes round a bend of this much, as where a pointed end begins; a sharper one starts the next guide. */
const SHARP_RAD = 0.35
/** Over which what a body gives is summed: K changes slowly along a line. */
const STRETCH_STEP_MM = 10
/** A dot this near the end of a guide still has its tick on it. */
const DOT_INSIDE_MM = 2
/** A guide narrower than this does not hold together: so much of its body must lie on the panel, mm (common practice, no source). */
const SLIMMEST_MM = 3
/** Two dots set a guide and the third proves it. */
export const PROOF_DOTS = 3

export interface CutInput {
	readonly chart: Chart
	readonly curve: Curve
	/** the side of the body: +1 the curve's plus side */
	readonly open: 1 | -1
	readonly bodyMm: number
	readonly limitMm: number
	/** where paper does not lie */
	readonly keepOff?: KeepOff | undefined
	/** the same line on the other side of the baseline, which may be known already */
	readonly twin?: Curve | undefined
}

/** A line between its sharp corners, and what a guide along it gives. */
export interface GuideRun {
	readonly curve: Curve
	readonly measure: Measure
	/** up to here: a closed line without a sharp corner goes on over its seam, so that its ends overlap */
	readonly length: number
	/** of a closed line: its last guide meets its first */
	readonly ring: boolean
	/** the patches that it begins and ends at */
	readonly stops: ClearPart['stops']
	readonly keepOff?: KeepOff
	/** how well its in-surface curvature is known by the panel's capture (1 sd), 1/mm */
	readonly curvatureSd: number
	/** what the far side of a body has to give from the start on, mm */
	stretch(l: number): number
	/** whether a guide from one length to another keeps to the limit for drift and stretch */
	within(from: number, to: number): boolean
}

/** What a dot that is missing, a guide, and a join by a dot alone weigh, one far above the next and all above evenness. */
const A_DOT = 1e6
const A_GUIDE = 1e3
const SHORT_JOIN = 100

/** A pencil dot of a girth strip on a line. */
export interface Dot {
	readonly station: number
	readonly at: ChartPoint
	/** length along the run */
	readonly l: number
	/** direction of the line there, from +s towards +g */
	readonly angle: number
}

export interface GuideCut {
	readonly from: number
	readonly to: number
	readonly dots: readonly Dot[]
}

/** Of each line, as it was asked for last: strips are set by the guides that they will locate, and then the guides are made. */
const known = new WeakMap<Curve, CutInput & { readonly runs: readonly GuideRun[] }>()

/** The stretches of a line that guides are cut from. */
export function guideRuns(input: CutInput): readonly GuideRun[] {
	const { chart, curve, keepOff, open, bodyMm, limitMm, twin } = input
	const runsOf = (line: Curve, way: 1 | -1) => {
		const last = known.get(line)
		const same = last?.chart === chart && last.keepOff === keepOff && last.open === way
		return same && last.bodyMm === bodyMm && last.limitMm === limitMm ? last.runs : undefined
	}
	const own = runsOf(curve, open)
	if (own) return own
	// A patch may lie on one side only.
	const alike = twin && !keepOff && chart.symmetric && areMirrored(curve, twin)
	const mirrored = alike ? runsOf(twin, -open as 1 | -1) : undefined
	const body = [0, SLIMMEST_MM / 2, SLIMMEST_MM].map((off) => off * open)
	const parts = smoothParts(chart, curve).flatMap((smooth) => clearParts(chart, smooth, keepOff, body))
	const runs = parts.map((part, i) => runOf(input, part, mirrored?.[i]))
	known.set(curve, { chart, curve, keepOff, open, bodyMm, limitMm, runs })
	return runs
}

/** What the far side of a body has to give from the start of a line on. */
function stretchOf({ chart, open, bodyMm }: CutInput, curve: Curve, m: Measure): GuideRun['stretch'] {
	const n = Math.max(1, Math.ceil(m.length / STRETCH_STEP_MM))
	const step = m.length / n
	const sums = [0]
	for (let i = 0; i < n; i++) {
		sums.push((sums[i] as number) + misfit(chart, curve, m, open * bodyMm, i * step, (i + 1) * step))
	}
	return (l) => {
		const i = Math.min(n - 1, Math.floor(l / step))
		const [a, b] = [sums[i] as number, sums[i + 1] as number]
		return a + (b - a) * (l / step - i)
	}
}

/** The run of a smooth part; `twin` is that of its mirror image. */
function runOf(input: CutInput, { curve: smooth, stops }: ClearPart, twin?: GuideRun): GuideRun {
	const { chart, limitMm, keepOff } = input
	const turn = turnOf(chart, smooth)
	const ring = smooth.closed || turn !== undefined
	const curve = ring ? overSeam(chart, smooth, turn ?? 0) : smooth
	const m = measure(chart, curve)
	const { length } = m
	const curvatureSd = curvatureSdOf(chart, curve)
	const byDrift = curvatureSd > 0 ? Math.sqrt((8 * limitMm) / curvatureSd) : LONGEST_MM
	const longest = Math.min(LONGEST_MM, byDrift)
	const stretch = twin?.stretch ?? stretchOf(input, curve, m)
	return {
		curve,
		measure: m,
		length,
		ring,
		stops,
		...(keepOff ? { keepOff } : {}),
		curvatureSd,
		stretch,
		within: (from, to) => to - from <= longest + 1e-9 && Math.abs(stretch(to) - stretch(from)) <= limitMm,
	}
}

/** A closed line as an open one that goes on over its seam by an overlap. */
function overSeam(chart: Chart, ring: Curve, turn: number): Curve {
	const twice = { ...ring, closed: false, cubics: [...ring.cubics, ...shifted(ring, turn).cubics] }
	const m = measure(chart, twice)
	return part(twice, 0, m.at(m.length / 2 + OVERLAP_MM), ring.id)
}

/** Whether the strip at its station reaches a place, or ends at a patch before it. */
function stripComesTo({ keepOff }: GuideRun, station: number, { g }: ChartPoint): boolean {
	const reach = keepOff?.reach(station)
	return !reach || (g > reach.from && g < reach.to)
}

/** The dots that strips at these stations give a run, in the order of its length. */
export function dotsOn(chart: Chart, run: GuideRun, stations: readonly number[]): Dot[] {
	return stations
		.flatMap((station) =>
			turnsOf(chart, run.curve, station)
				.flatMap((turned) => crossStation(chart, run.curve, turned))
				.map((hit) => ({
					station,
					at: hit.at,
					angle: hit.angle,
					l: run.measure.lengthAt(hit.u),
				})),
		)
		.filter((d) => d.l <= run.length && stripComesTo(run, d.station, d.at))
		.sort((a, b) => a.l - b.l)
}

/**
 * Guides that cover a run, each within the limit (or as short as guides are made), overlapping (by a few millimetres where they share a dot):
 * those with the fewest dots missing to three each, of these the fewest guides, of these the most even. Shortest path over ends on a grid and about dots.
 */
export function cutRun(run: GuideRun, dots: readonly Dot[]): GuideCut[] {
	const { length } = run
	const holds = (from: number, to: number, { l }: Dot) => l > from + DOT_INSIDE_MM - 0.01 && l < to - DOT_INSIDE_MM + 0.01
	const held = (from: number, to: number) => dots.filter((d) => holds(from, to, d))
	const missing = (from: number, to: number) => {
		let lacks = PROOF_DOTS
		for (const d of dots) if (holds(from, to, d) && --lacks === 0) break
		return lacks
	}
	const least = Math.min(length, SHORTEST_MM - 2 * GRID_MM)
	const may = (from: number, to: number) => to - from >= least - 1e-9 && (to - from <= SHORTEST_MM + 1e-9 || run.within(from, to))
	const places = new Set([0, length])
	for (let l = GRID_MM; l < length; l += GRID_MM) places.add(l)
	// Where a guide that begins just before a dot may take over from one that ends just past it.
	const shared = new Map<number, number>()
	for (const { l } of dots) {
		if (l - PAST_DOT_MM > 0 && l + PAST_DOT_MM < length) shared.set(l - PAST_DOT_MM, l + PAST_DOT_MM)
		for (const off of [PAST_DOT_MM, DOT_INSIDE_MM, OVERLAP_MM / 2, OVERLAP_MM - DOT_INSIDE_MM]) {
			if (l - off > 0) places.add(l - off)
			if (l + off < length) places.add(l + off)
		}
	}
	const at = [...places].sort((a, b) => a - b)
	const indexOf = new Map(at.map((l, i) => [l, i]))
	interface Way {
		readonly cost: number
		readonly from: number
		readonly to: number
		readonly before?: Way
	}
	// The cheapest way to have covered the run up to each place.
	const best: (Way | undefined)[] = []
	at.forEach((to, j) => {
		let found: Way | undefined
		let before: Way | undefined
		let b = j - 1
		for (let i = j - 1; i >= 0; i--) {
			const from = at[i] as number
			if (to - from > LONGEST_MM + 1e-9) break
			// Farther back, more of the ways before overlap enough.
			for (; b >= 0 && (at[b] as number) >= from + OVERLAP_MM - 1e-9; b--) {
				const way = best[b]
				if (way && (!before || way.cost < before.cost)) before = way
			}
			if (!may(from, to)) continue
			const past = shared.get(from)
			const atDot = past !== undefined && past < to ? best[indexOf.get(past) as number] : undefined
			const byDot = atDot && (!before || atDot.cost + SHORT_JOIN < before.cost)
			const last = byDot ? atDot : before
			if (from > 0 && !last) continue
			const join = from > 0 && last ? last.cost + (byDot ? SHORT_JOIN : 0) : 0
			const cost = join + A_DOT * missing(from, to) + A_GUIDE + ((to - from) / 100) ** 2
			if (!found || cost < found.cost) found = { cost, from, to, ...(from > 0 && last ? { before: last } : {}) }
		}
		best.push(found)
	})
	const out: GuideCut[] = []
	for (let way = best[at.length - 1]; way; way = way.before) {
		out.unshift({ from: way.from, to: way.to, dots: held(way.from, way.to) })
	}
	// A line of no length has no grid.
	return out.length > 0 ? out : [{ from: 0, to: length, dots: held(0, length) }]
}

/** A line between its sharp corners: the body would have no room inside one. */
function smoothParts(chart: Chart, curve: Curve): Curve[] {
	const n = curve.cubics.length
	const corners = cornersOf(chart, curve).flatMap((c) => (Math.abs(c.turn) > SHARP_RAD ? [c.u] : []))
	if (corners.length === 0) return [curve]
	const turn = turnOf(chart, curve)
	// One that goes round a ring, too; what then begins and ends at the corner goes on nowhere.
	if (turn !== undefined)
		return smoothPartsOf(
			begunAt(curve, corners[0] as number, turn),
			corners.map((u) => u - (corners[0] as number)),
		)
	// A closed line is opened at its first corner.
	const start = curve.closed ? (corners[0] as number) : 0
	const turned = [...curve.cubics.slice(start), ...curve.cubics.slice(0, start)]
	return smoothPartsOf(
		{ ...curve, cubics: turned },
		corners.map((u) => u - start),
	)

	function smoothPartsOf(of: Curve, at: readonly number[]): Curve[] {
		const cuts = [0, ...at.filter((u) => u > 0), n]
		return cuts.slice(1).map((to, i) => ({ ...of, closed: false, cubics: of.cubics.slice(cuts[i], to) }))
	}
}
