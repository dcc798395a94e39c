import type { Chart } from '../chart/chart.ts'
import type { ChartPoint, ChartRegion } from '../chart/point.ts'
import { polyline, toChart, toPlane } from '../chart/region.ts'
import { turns } from '../chart/round.ts'
import { signedGirth } from '../job/place.ts'
import type { Capture, Panel } from '../job/schema.ts'
import { smoothRing, smoothRun, type Through } from '../line/run.ts'
import { circleCubics } from '../plane/arc.ts'
import { flatten } from '../plane/flatten.ts'
import { intersect, normalise, subtract } from '../plane/region.ts'
import { CHORD_MM } from './band.ts'

export interface PanelArea {
	/** what can be painted, holes taken out */
	readonly region: ChartRegion
	/** measured outline, the reach of the capture, or just the surroundings of the marks */
	readonly from: 'outline' | 'capture' | 'marks'
}

/** Around the marks of a panel that has neither outline nor length: enough to see them by. */
const AROUND_MARKS_MM = 40

/**
 * The part of the panel that the scheme lives on: its outline where given, else its captured reach, else a box round the marks.
 * Never beyond where the baseline can measure.
 */
export function panelArea(
	chart: Chart,
	panel: Panel,
	capture: Capture,
	places: ReadonlyMap<string, ChartPoint>,
): PanelArea | undefined {
	const domain = toPlane([domainLoop(chart)])
	const holes = panel.holes.flatMap((h) => {
		const at = { x: h.station, y: signedGirth(h.girth, h.side) }
		const j = chart.metric(at.x, at.y).j
		const circle = flatten(circleCubics({ x: 0, y: 0 }, h.diameter / 2, CHORD_MM).cubics, CHORD_MM)
		return [circle.map((p) => ({ x: at.x + p.x / j, y: at.y + p.y }))]
	})
	const cut = (loop: readonly ChartPoint[]) => toChart(subtract(intersect(normalise(toPlane([loop])), domain), normalise(holes)))
	if (panel.outline) {
		const loop = outlineLoop(chart, panel.outline, places)
		return loop && { region: cut(loop), from: 'outline' }
	}
	const reach = chart.rim ? (chart.rim() ?? domainLoop(chart)) : captured(chart, capture)
	if (reach) return { region: cut(reach), from: 'capture' }
	const at = [...places.values()]
	if (at.length === 0) return undefined
	const s = at.map((p) => p.s)
	const g = at.map((p) => p.g)
	const box = rectangle(
		Math.min(...s) - AROUND_MARKS_MM,
		Math.max(...s) + AROUND_MARKS_MM,
		Math.min(...g) - AROUND_MARKS_MM,
		Math.max(...g) + AROUND_MARKS_MM,
	)
	return { region: cut(box), from: 'marks' }
}

const rectangle = (s0: number, s1: number, g0: number, g1: number): ChartPoint[] => [
	{ s: s0, g: g0 },
	{ s: s1, g: g0 },
	{ s: s1, g: g1 },
	{ s: s0, g: g1 },
]

/** The captured reach as a rectangle in (s, g), where the job gives one. */
function captured(chart: Chart, capture: Capture): ChartPoint[] | undefined {
	// Once round a ring, or as far as lengths were laid.
	if (chart.periodS !== undefined || capture.kind === 'taped') return domainLoop(chart)
	if (capture.kind === 'revolved') return band(chart, capture.front, capture.front + capture.length)
	if (capture.kind === 'flat' && capture.length !== undefined && capture.width !== undefined) {
		return band(chart, capture.front, capture.front + capture.length)
	}
	if (capture.kind === 'rolled' && capture.length !== undefined && 'profile' in capture.round) {
		// Along the axis the length is in s; round the profile it is in g, which the chart has as its own limit.
		return capture.round.baseline === 'along-axis'
			? band(chart, capture.front, capture.front + capture.length)
			: band(chart, chart.sMin, chart.sMax)
	}
	return undefined
}

function band(chart: Chart, from: number, to: number): ChartPoint[] {
	return rectangle(from, to, chart.gMin((from + to) / 2), chart.gMax((from + to) / 2))
}

/** Where the baseline can measure, as a loop. */
export function domainLoop(chart: Chart): ChartPoint[] {
	const N = 64
	const at = (i: number) => chart.sMin + ((chart.sMax - chart.sMin) * i) / N
	const low: ChartPoint[] = []
	const high: ChartPoint[] = []
	for (let i = 0; i <= N; i++) {
		low.push({ s: at(i), g: chart.gMin(at(i)) })
		high.push({ s: at(i), g: chart.gMax(at(i)) })
	}
	return [...low, ...high.reverse()]
}

/** A region as it lies on the panel: on a ring what goes over the seam goes on from its other end. */
export function onceRound(chart: Chart, region: ChartRegion): ChartRegion {
	if (chart.periodS === undefined) return region
	return toChart(intersect(turns(toPlane(region), chart.periodS), normalise(toPlane([domainLoop(chart)]))))
}

function outlineLoop(
	chart: Chart,
	outline: NonNullable<Panel['outline']>,
	places: ReadonlyMap<string, ChartPoint>,
): ChartPoint[] | undefined {
	const points = outline.points.flatMap((p) => rimPlace(p, (ref) => places.get(ref)) ?? [])
	if (points.length < outline.points.length) return undefined
	if (outline.mirrored) {
		const back = points
			.filter((p) => Math.abs(p.at.g) > 1e-6)
			.map((p) => ({ at: { s: p.at.s, g: -p.at.g }, smooth: p.smooth }))
			.reverse()
		points.push(...back)
	}
	return points.length < 3 ? undefined : rimLoop(chart, points)
}

/** A place on a rim, which passes it in a curve or has a corner there. */
export interface RimPlace {
	readonly at: ChartPoint
	readonly smooth: boolean
}

/** A place on a rim as the job gives it; undefined where a mark has none. */
export function rimPlace(
	p: NonNullable<Panel['outline']>['points'][number],
	placeOf: (ref: string) => ChartPoint | undefined,
): RimPlace | undefined {
	if (typeof p !== 'string' && !('mark' in p)) {
		return { at: { s: p.station, g: signedGirth(p.girth, p.side) }, smooth: p.smooth }
	}
	const at = placeOf(typeof p === 'string' ? p : p.mark)
	return at && { at, smooth: typeof p !== 'string' && p.smooth }
}

/** The closed rim through three places or more, in their order. */
export function rimLoop(chart: Chart, points: readonly RimPlace[]): ChartPoint[] {
	const start = points.findIndex((p) => !p.smooth)
	if (start < 0) return smoothPart(chart, points, true)
	const turned = [...points.slice(start), ...points.slice(0, start)]
	const ring = [...turned, turned[0] as RimPlace]
	const loop: ChartPoint[] = []
	let from = 0
	for (let i = 1; i < ring.length; i++) {
		if ((ring[i] as RimPlace).smooth) continue
		loop.push(...smoothPart(chart, ring.slice(from, i + 1), false))
		from = i
	}
	return loop
}

/** Through each point to a tenth of a millimetre: an outline is felt, not judged by eye. Without its last point. */
function smoothPart(chart: Chart, points: readonly { at: ChartPoint }[], closed: boolean): ChartPoint[] {
	const marks: Through[] = points.map((p, i) => ({
		key: `outline ${i + 1}`,
		at: p.at,
		sdS: 0.1,
		sdG: 0.1,
		tolerance: 1,
		corner: !closed && (i === 0 || i === points.length - 1),
		by: 'smooth',
	}))
	const run = closed ? smoothRing(chart, marks, CHORD_MM) : smoothRun(chart, marks, { pinStart: true, pinEnd: true }, CHORD_MM)
	if (!run) return points.map((p) => p.at)
	const curve = { id: 'outline', cubics: run.cubics, closed, maxErrorMm: run.maxErrorMm }
	return polyline(chart, curve, CHORD_MM).slice(0, -1)
}
