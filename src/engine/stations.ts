import type { Chart } from '../chart/chart.ts'
import { crossStation } from '../chart/cross.ts'
import type { ChartPoint } from '../chart/point.ts'
import { turnsOf } from '../chart/round.ts'
import type { Panel } from '../job/schema.ts'
import type { Scheme } from '../scheme/scheme.ts'
import { wantsOverCrown } from '../template/choose.ts'
import { cutRun, dotsOn, type GuideRun, guideRuns, PROOF_DOTS } from '../template/guideCuts.ts'
import type { KeepOff } from '../template/keepOff.ts'
import type { PaintEdge } from '../template/paintEdge.ts'
import { guidedEdges, paintEdges } from '../template/paintEdges.ts'

export interface StationsInput {
	readonly chart: Chart
	readonly panel: Panel
	readonly scheme: Scheme
	/** where marks were measured: the marks on the panel are there */
	readonly markStations: readonly number[]
	/** from the first to the last station of the panel, where they are known: a line may run on past them */
	readonly panelReach?: Reach
	/** where paper does not lie */
	readonly keepOff?: KeepOff | undefined
	/** how far apart strips are to be, where the panel does not say, mm */
	readonly everyMm: number
	/** of the guides: width of body and limit, mm */
	readonly bodyMm: number
	readonly limitMm: number
}

/** Two strips closer than this would be laid over each other. */
const APART_MM = 40
/** Ends of lines within this of each other are the ends of one scheme: its last strip crosses them all. */
const ENDS_MM = 40
/** An end strip crosses the lines this far inside their ends, so that its tick lies on each. */
const INSIDE_MM = 4
/** A strip's head wants some baseline before and behind an interruption. */
const CLEAR_MM = 3
/** On a panel that lies flat whole, pieces are placed by three strips at least and, but for its guides, at most. */
const FEW = 3
/**
 * More strips than the first are worth their work only where they prove every guide; than the second, not even then
 * (common practice, no source).
 */
const MANY = 9
const MOST = 16
/** A mark this near, as a share of the distance between strips, draws a strip to itself. */
const DRAW = 0.12

/**
 * Stations of the girth strips: as the panel says, else from the first to the last place where lines are, evenly, about
 * `everyMm` apart, and closer where guides have to be so short that they would meet fewer than three: two set a guide, and the
 * third is one that it was not placed by.
 */
export function stripStations(input: StationsInput): number[] {
	const { chart, panel, everyMm } = input
	const wanted = panel.strips?.stations
	if (wanted) return [...new Set(wanted)].sort((a, b) => a - b)
	const all = paintEdges({ panel, scheme: input.scheme, colours: new Map(), sdOf: () => undefined })
	const edges = oneOfEach(all)
	const reach = within(reachOf(edges), input.panelReach)
	if (!reach) return []
	const span = reach.to - reach.from
	const every = panel.strips?.every ?? (chart.developable ? Math.max(everyMm, span / (FEW - 1)) : everyMm)
	const count = Math.max(1, Math.round(span / every))
	const first = spaced(input, reach, count)
	if (panel.strips?.every !== undefined) return first
	// A piece across the crown is placed by its own head: one strip under it proves it.
	const own = guidedEdges(input, edges).filter((e) => !wantsOverCrown(chart, panel, all, e))
	const runs = own.flatMap((e) =>
		guideRuns({ chart, curve: e.curve, open: e.open, bodyMm: input.bodyMm, limitMm: input.limitMm, keepOff: input.keepOff }),
	)
	let best = { stations: first, missing: missing(chart, runs, first) }
	for (let n = count + 1; n < MOST && best.missing > 0 && span / n >= APART_MM; n++) {
		const stations = spaced(input, reach, n)
		const lacks = missing(chart, runs, stations)
		if (stations.length > MANY ? lacks === 0 : lacks < best.missing) best = { stations, missing: lacks }
	}
	return best.stations.filter((station) => reachesALine(input, edges, station))
}

/** Whether a strip comes to a line before it ends at a patch. */
function reachesALine({ chart, keepOff }: StationsInput, edges: readonly PaintEdge[], station: number): boolean {
	const reach = keepOff?.reach(station)
	const crossed = (edge: PaintEdge) => turnsOf(chart, edge.curve, station).flatMap((s) => crossStation(chart, edge.curve, s))
	return !reach || edges.some((edge) => crossed(edge).some(({ at }) => at.g > reach.from && at.g < reach.to))
}

/** How many dots guides would lack to three each. */
function missing(chart: Chart, runs: readonly GuideRun[], stations: readonly number[]): number {
	return runs
		.flatMap((run) => cutRun(run, dotsOn(chart, run, stations)))
		.reduce((sum, cut) => sum + Math.max(0, PROOF_DOTS - cut.dots.length), 0)
}

/** A strip past the panel's end has nothing to lie on. */
function within(reach: Reach | undefined, panel: Reach | undefined): Reach | undefined {
	if (!reach || !panel) return reach
	const [from, to] = [Math.max(reach.from, panel.from + INSIDE_MM), Math.min(reach.to, panel.to - INSIDE_MM)]
	return from < to ? { from, to } : reach
}

interface Reach {
	readonly from: number
	readonly to: number
}

/** From the first to the last station at which lines are: all of those that begin, and end, about there. */
function reachOf(edges: readonly PaintEdge[]): Reach | undefined {
	const reaches = edges.map(({ curve }) => {
		const s = curve.cubics.flatMap((c): ChartPoint[] => [c[0], c[3]]).map((p) => p.s)
		return { from: Math.min(...s), to: Math.max(...s) }
	})
	if (reaches.length === 0) return undefined
	const least = Math.min(...reaches.map((r) => r.from))
	const most = Math.max(...reaches.map((r) => r.to))
	const from = Math.max(...reaches.map((r) => r.from).filter((s) => s <= least + ENDS_MM)) + INSIDE_MM
	const to = Math.min(...reaches.map((r) => r.to).filter((s) => s >= most - ENDS_MM)) - INSIDE_MM
	// A line along a station, or a very short one: one strip in its middle.
	return from < to ? { from, to } : { from: (least + most) / 2, to: (least + most) / 2 }
}

/** Left and right are alike. */
function oneOfEach(edges: readonly PaintEdge[]): PaintEdge[] {
	const ids = new Set(edges.map((e) => e.id))
	return edges.filter((e) => e.side !== 'left' || !ids.has(e.id.replace('/left', '/right')))
}

/** So many distances of one length, each station drawn to a mark very near it and out of interruptions of the baseline. */
function spaced({ chart, panel, markStations, keepOff }: StationsInput, { from, to }: Reach, count: number): number[] {
	const step = (to - from) / count
	const out: number[] = []
	// Round a ring the last place is the first one again, or beside it.
	const round = chart.periodS !== undefined && to - from > chart.periodS - 2 * ENDS_MM
	for (let i = 0; i <= (round ? count - 1 : count); i++) {
		const ideal = from + step * i
		const near = markStations.filter((s) => s >= from && s <= to && Math.abs(s - ideal) <= step * DRAW)
		const drawn = near.sort((a, b) => Math.abs(a - ideal) - Math.abs(b - ideal) || a - b)[0] ?? ideal
		const at = outOfTheWay([...panel.baseline.interruptions, ...(keepOff?.interruptions ?? [])], inward(drawn, i === count), {
			from,
			to,
		})
		if (out.every((s) => Math.abs(s - at) >= Math.min(APART_MM, Math.max(1, step / 2)))) out.push(at)
	}
	return out
}

/** To a half, as it is read off a tape: at the rear end down, else up. */
const inward = (s: number, rear: boolean) => (rear ? Math.floor(s * 2) : Math.ceil(s * 2)) / 2

/** The nearest station beside an interruption that lies between the ends; where there is none the strip has to go round it. */
function outOfTheWay(interruptions: readonly Reach[], at: number, { from, to }: Reach): number {
	const inside = (s: number) => interruptions.find((i) => s > i.from - CLEAR_MM && s < i.to + CLEAR_MM)
	const it = inside(at)
	if (!it) return at
	const beside = [Math.floor((it.from - CLEAR_MM) * 2) / 2, Math.ceil((it.to + CLEAR_MM) * 2) / 2]
	const free = beside.filter((s) => s >= from && s <= to && !inside(s))
	return free.sort((a, b) => Math.abs(a - at) - Math.abs(b - at))[0] ?? at
}
