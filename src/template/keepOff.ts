/** Where paper does not lie: templates stop at the rims of patches and go on behind them. */
import type { Chart } from '../chart/chart.ts'
import { frame, part } from '../chart/curve.ts'
import { measure } from '../chart/measure.ts'
import { nearestAlong } from '../chart/nearest.ts'
import { parallelPoint } from '../chart/parallel.ts'
import type { ChartPoint, ChartRegion, Curve } from '../chart/point.ts'
import { toChart, toPlane } from '../chart/region.ts'
import { begunAt, turnOf } from '../chart/round.ts'
import type { PlanePoint, Region } from '../plane/point.ts'
import { boxOf, pointInRegion, signedArea } from '../plane/polyline.ts'
import { areaOf, intersect, normalise, offsetRegion, subtract, union } from '../plane/region.ts'
import type { Patch } from '../scheme/patch.ts'
import { closelySet } from './closelySet.ts'
import type { DevelopedLine } from './developLine.ts'
import { HEAD_HALF_MM } from './stripMarks.ts'

/** From the baseline outward, what the working edge of a strip goes over. */
export interface StripReach {
	readonly from: number
	readonly to: number
	/** what it ends at */
	readonly stops: readonly string[]
}

export interface KeepOff {
	readonly patches: readonly Patch[]
	/** all of them, in the (s, g) plane */
	readonly region: Region
	/** the patch that a place lies on */
	at(p: ChartPoint): Patch | undefined
	/** how far a strip at a station reaches */
	reach(station: number): StripReach
	/** patches that come so near the baseline that heads go round them */
	readonly interruptions: readonly { readonly what: string; readonly from: number; readonly to: number; readonly width: number }[]
}

/** A strip needs so much of its body behind the working edge to hold together, mm: a bridge is as wide. */
const SLIM_MM = 14
/** Along the line of a strip or a guide, places so far apart are looked at, mm: no patch is narrower. */
const LOOK_MM = 1
const HALVINGS = 30
/** J is never less than a quarter: so many mm of station may be one of panel. */
const MOST_PER_MM = 4
/** A stretch of line, and a part of a piece, that are not worth a piece of paper: mm, mm^2 (common practice, no source). */
const LEAST_MM = 15
const LEAST_MM2 = 100
/** How well a place is found along a line and off it, mm. */
const FOOT_MM = 1e-3
const ON_EDGE_MM = 0.05

/** Undefined where a panel has no patches. */
export function keepOffOf(chart: Chart, patches: readonly Patch[] = []): KeepOff | undefined {
	if (patches.length === 0) return undefined
	const region = union(patches.map((p) => p.keepOff))
	const at = (p: ChartPoint) => patches.find(({ keepOff }) => holds(keepOff, p))
	const known = new Map<number, StripReach>()
	return {
		patches,
		region,
		at,
		reach(station) {
			const found = known.get(station) ?? reachOf(chart, region, at, station)
			known.set(station, found)
			return found
		},
		interruptions: patches.flatMap(({ what, keepOff }) =>
			keepOff
				.filter((loop) => signedArea(loop) > 0 && nearBaseline(loop))
				.map((loop) => ({
					what,
					from: Math.min(...loop.map((p) => p.x)),
					to: Math.max(...loop.map((p) => p.x)),
					width: 2 * Math.max(...loop.map((p) => Math.abs(p.y))),
				})),
		),
	}
}

const holds = (region: Region, { s, g }: ChartPoint) => pointInRegion({ x: s, y: g }, region)
const nearBaseline = (loop: readonly PlanePoint[]) =>
	Math.min(...loop.map((p) => p.y)) < HEAD_HALF_MM && Math.max(...loop.map((p) => p.y)) > -HEAD_HALF_MM

function reachOf(chart: Chart, region: Region, at: KeepOff['at'], station: number): StripReach {
	const [low, high] = [chart.gMin(station), chart.gMax(station)]
	const box = boxOf(region.flat())
	if (!box || station > box.maxX || station < box.minX - MOST_PER_MM * SLIM_MM) return { from: low, to: high, stops: [] }
	// Over so little of the panel what is behind the working edge is a matter of the metric alone.
	const patchAt = (g: number) => {
		const { j } = chart.metric(station, g)
		const found = [0, SLIM_MM / 2, SLIM_MM].map((x) => at({ s: station + x / j, g }))
		return found.find((patch) => patch !== undefined)
	}
	const stops: string[] = []
	const end = (way: 1 | -1, limit: number) => {
		const n = Math.ceil(Math.abs(limit) / LOOK_MM)
		// A head goes round what lies on the baseline.
		let from = 0
		for (let i = 0; i <= n && patchAt(way * from); i++) from += LOOK_MM
		for (let i = 0; from + LOOK_MM <= Math.abs(limit) && i <= n; i++) {
			const patch = patchAt(way * (from + LOOK_MM))
			if (patch) {
				stops.push(patch.what)
				return way * halved(from, from + LOOK_MM, (g) => patchAt(way * g) === undefined)
			}
			from += LOOK_MM
		}
		return limit
	}
	return { from: end(-1, low), to: end(1, high), stops }
}

/** The last place from `a` on that is good, before `b` which is not. */
function halved(a: number, b: number, good: (x: number) => boolean): number {
	let [low, high] = [a, b]
	for (let i = 0; i < HALVINGS; i++) {
		const m = (low + high) / 2
		if (good(m)) low = m
		else high = m
	}
	return low
}

/** A part of a line on which paper lies, and the patches that it begins and ends at. */
export interface ClearPart {
	readonly curve: Curve
	readonly stops: { readonly from?: string; readonly to?: string }
}

/** The parts of a line that are clear of patches at each of some distances off it; the line itself where it is clear all along. */
export function clearParts(chart: Chart, curve: Curve, keepOff: KeepOff | undefined, offs: readonly number[] = [0]): ClearPart[] {
	const margin = Math.max(...offs.map(Math.abs))
	if (!keepOff || !comesNear(curve, keepOff.region, margin)) return [{ curve, stops: {} }]
	const m = measure(chart, curve)
	const patchAt = (l: number): Patch | undefined => {
		const f = frame(chart, curve, m.at(l))
		for (const off of offs) {
			const patch = keepOff.at(off === 0 ? f.at : parallelPoint(chart, f, off).at)
			if (patch) return patch
		}
		return undefined
	}
	const n = Math.max(1, Math.ceil(m.length / LOOK_MM))
	const on = Array.from({ length: n + 1 }, (_, i) => patchAt((m.length * i) / n))
	const first = on.findIndex((patch) => patch !== undefined)
	if (first < 0) return [{ curve, stops: {} }]
	if (first > 0) {
		// A line that comes back into itself begins at a patch: no guide then ends where nothing does.
		const u = m.at((m.length * first) / n)
		const turn = turnOf(chart, curve)
		if (curve.closed) return clearParts(chart, openedAt(curve, u), keepOff, offs)
		if (turn !== undefined) return clearParts(chart, begunAt(curve, u, turn), keepOff, offs)
	}
	const parts: ClearPart[] = []
	let from: { readonly l: number; readonly what?: string } | undefined = on[0] ? undefined : { l: 0 }
	const add = (to: number, what?: string) => {
		if (!from || to - from.l < LEAST_MM) return
		const whole = from.l === 0 && to === m.length
		parts.push({
			curve: whole ? curve : part(curve, m.at(from.l), m.at(to)),
			stops: { ...(from.what === undefined ? {} : { from: from.what }), ...(what === undefined ? {} : { to: what }) },
		})
	}
	for (let i = 1; i <= n; i++) {
		const [a, b] = [(m.length * (i - 1)) / n, (m.length * i) / n]
		const [was, is] = [on[i - 1], on[i]]
		if (was && !is) from = { l: halved(b, a, (l) => !patchAt(l)), what: was.what }
		if (!was && is) {
			add(
				halved(a, b, (l) => !patchAt(l)),
				is.what,
			)
			from = undefined
		}
	}
	add(m.length)
	return parts
}

/** A closed line as an open one from a place on it round to that place. */
const openedAt = (curve: Curve, u: number): Curve => ({
	...curve,
	closed: false,
	cubics: [...part(curve, u, curve.cubics.length).cubics, ...part(curve, 0, u).cubics],
})

function comesNear(curve: Curve, region: Region, marginMm: number): boolean {
	const box = boxOf(region.flat())
	if (!box) return false
	const s = curve.cubics.flatMap((c) => c.map((p) => p.s))
	const g = curve.cubics.flatMap((c) => c.map((p) => p.g))
	const along = marginMm * MOST_PER_MM
	return (
		Math.min(...s) - along < box.maxX &&
		Math.max(...s) + along > box.minX &&
		Math.min(...g) - marginMm < box.maxY &&
		Math.max(...g) + marginMm > box.minY
	)
}

/** Of a region of the (s, g) plane, what lies beside a line between two distances off it: x along the line, y off it. */
export function beside(chart: Chart, curve: Curve, region: Region, [low, high]: readonly [number, number]): Region {
	if (!comesNear(curve, region, Math.max(Math.abs(low), Math.abs(high)))) return []
	const m = measure(chart, curve)
	const n = Math.max(1, Math.ceil(m.length / (3 * LOOK_MM)))
	const parallel = (off: number) =>
		Array.from({ length: n + 1 }, (_, i) => parallelPoint(chart, frame(chart, curve, m.at((m.length * i) / n)), off).at)
	const near = intersect(region, normalise(toPlane([[...parallel(low), ...parallel(high).reverse()]])))
	return normalise(
		toChart(near).map((loop) =>
			nearestAlong(chart, curve, closelySet(chart, loop, true), FOOT_MM).flatMap((foot) =>
				foot ? [{ x: m.lengthAt(foot.u), y: foot.offsetMm }] : [],
			),
		),
	)
}

/** What of a body along a developed line would lie on patches. */
export interface Gone {
	/** on paper, in the line's own frame */
	readonly onPaper: Region
	/** lengths along the line of each */
	readonly spans: readonly (readonly [number, number])[]
}

/** Of a body between two distances off a line (plus side positive) that is laid flat, what patches take; `ringMm` is how far round a closed line goes on. */
export function goneFrom(
	chart: Chart,
	curve: Curve,
	line: Pick<DevelopedLine, 'at'>,
	keepOff: KeepOff | undefined,
	offs: readonly [number, number],
	ringMm = 0,
): Gone {
	const once = keepOff ? beside(chart, curve, keepOff.region, offs) : []
	if (once.length === 0) return { onPaper: [], spans: [] }
	const again = ringMm > 0 ? once.map((loop) => loop.map(({ x, y }) => ({ x: x + ringMm, y }))) : []
	const loops = [...once, ...again]
	return {
		onPaper: normalise(loops.map((loop) => loop.map(({ x, y }) => line.at(x, y)))),
		spans: loops.map((loop) => [Math.min(...loop.map((p) => p.x)), Math.max(...loop.map((p) => p.x))] as const),
	}
}

/** What is left of a body: the part of it that holds together. */
export function leftOf(body: Region, { onPaper }: Gone): Region {
	if (onPaper.length === 0) return body
	const parts = apart(subtract(body, onPaper))
	return parts.reduce<Region>((best, one) => (areaOf(one) > areaOf(best) ? one : best), [])
}

/** A part of what a piece covers, with its edges to tape along, and what it goes round. */
export interface PiecePart {
	readonly region: ChartRegion
	readonly edges: readonly Curve[]
	readonly round: readonly string[]
}

/** What is left of a piece outside of patches, in the parts that it falls into; the very same where it comes to none. */
export function partsOutside(
	chart: Chart,
	region: ChartRegion,
	edges: readonly Curve[],
	keepOff: KeepOff | undefined,
): readonly PiecePart[] {
	const whole = toPlane(region)
	const met = keepOff?.patches.filter((patch) => intersect(whole, patch.keepOff).length > 0) ?? []
	if (!keepOff || met.length === 0) return [{ region, edges, round: [] }]
	const clear = edges.flatMap((edge) => clearParts(chart, edge, keepOff).map(({ curve }) => curve))
	const parts = apart(subtract(whole, keepOff.region)).filter((one) => areaOf(one) >= LEAST_MM2)
	return parts.map((one) => {
		const grown = offsetRegion(one, ON_EDGE_MM, { join: 'mitre' })
		const own = clear.filter((edge) => places(edge).some((p) => holds(grown, p)))
		const beside = offsetRegion(one, 1, { join: 'mitre' })
		const round = met.filter((patch) => intersect(beside, patch.keepOff).length > 0).map(({ what }) => what)
		return { region: toChart(one), edges: own, round }
	})
}

/** The connected parts of a region, each with its holes, front to rear. */
function apart(region: Region): Region[] {
	const holes = region.filter((loop) => signedArea(loop) < 0)
	const front = (loop: readonly PlanePoint[]) => Math.min(...loop.map((p) => p.x))
	return region
		.filter((loop) => signedArea(loop) > 0)
		.sort((a, b) => front(a) - front(b))
		.map((outer) => [outer, ...holes.filter((hole) => pointInRegion(hole[0] as PlanePoint, [outer]))])
}

/** A few places along a line. */
function places(curve: Curve): ChartPoint[] {
	return curve.cubics.flatMap(([a, , , d]) => [a, d])
}

/** What a piece goes round, in words. */
export const roundNote = (round: readonly string[]): string[] =>
	round.length === 0 ? [] : [`It goes round ${listed(round)}: no paper lies there.`]

/** "the knee recess and the pocket" */
export function listed(names: readonly string[]): string {
	const all = [...new Set(names)].map((name) => (/^(the|a|an) /.test(name) ? name : `the ${name}`))
	return all.length < 2 ? (all[0] ?? '') : `${all.slice(0, -1).join(', ')} and ${all[all.length - 1]}`
}
