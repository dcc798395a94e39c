/** A seam on one of its two panels, and where lines meet it. */
import type { Chart } from '../chart/chart.ts'
import { evaluate, frame, wrap } from '../chart/curve.ts'
import { distance } from '../chart/distance.ts'
import { shoot } from '../chart/geodesic.ts'
import { type Measure, measure } from '../chart/measure.ts'
import { meetings } from '../chart/meet.ts'
import { nearestOn } from '../chart/nearest.ts'
import type { ChartPoint, Curve } from '../chart/point.ts'
import { nearTurn } from '../chart/round.ts'
import { readRef } from '../job/marks.ts'
import { straightOn } from '../line/run.ts'
import type { Side } from '../scheme/side.ts'
import { findMark } from '../survey/survey.ts'
import type { PanelResult } from './panelResult.ts'

/** So far a line is led on, straight, where it stops short of the seam, and the seam past its outer datums, mm. */
export const REACH_MM = 30
/** Chords and cubics leave their lines by no more than this: a seam's figures are given to a hundredth of a millimetre. */
const CHORD_MM = 1e-4
/** Datums nearer to each other than this give a seam no direction, mm. */
const LEAST_MM = 1

/** One panel's half of a seam. */
export interface SeamHalf {
	readonly chart: Chart
	/** where its datums are now, in order */
	readonly datums: readonly ChartPoint[]
	/** the one of a pair that the datums are on */
	readonly side: 'left' | 'right' | undefined
}

/** Where a line meets a seam. */
export interface SeamHit {
	readonly side: Side
	readonly at: ChartPoint
	/** along the seam from its first datum */
	readonly alongMm: number
	/** from the seam's direction to the line, anticlockwise as one looks at the panel, 0 to pi */
	readonly angle: number
	/** from the seam's direction to the line's own, from +s towards +g */
	readonly turn: number
	/** direction of the seam there, from +s towards +g */
	readonly seamAngle: number
	/** how far the line was led on to get there */
	readonly ledMm: number
	/** length along the line from its front end: negative before it, more than its length past its rear end */
	readonly lineMm: number
}

/** The datums of one half, by the names that the seam gives; undefined where one has no place. */
export function seamHalf(
	{ shape, survey, lines }: Pick<PanelResult, 'shape' | 'survey' | 'lines'>,
	refs: readonly string[],
): SeamHalf | undefined {
	if (!shape || !survey || !lines) return undefined
	const marks = refs.map((ref) => findMark(survey.survey, ref))
	const datums = marks.flatMap((mark) => (mark ? (lines.places.get(mark.key) ?? mark.at) : []))
	if (datums.length < refs.length) return undefined
	const hand = shape.now[0]?.hand
	const side = hand === 'centre' ? undefined : (refs.map((ref) => readRef(ref).side).find((s) => s) ?? marks[0]?.side)
	const chart = (shape.now.find((each) => each.hand === side) ?? shape.now[0])?.chart
	const curves = lines.edges.flatMap(({ sided }) => sided.map(({ curve }) => curve))
	return chart && { chart, datums: inTurn(chart, datums, curves), side }
}

/** On a ring, datums each by the short way from the one before, on the turn on which most of the panel's lines come by. */
function inTurn(chart: Chart, datums: readonly ChartPoint[], curves: readonly Curve[]): readonly ChartPoint[] {
	const { periodS } = chart
	if (periodS === undefined) return datums
	const near: ChartPoint[] = []
	for (const p of datums) near.push(nearTurn(chart, near.at(-1) ?? p, p))
	const [low, high] = [Math.min(...near.map((p) => p.s)) - REACH_MM, Math.max(...near.map((p) => p.s)) + REACH_MM]
	const places = curves.flatMap(({ cubics }) => cubics.flatMap(([a, , , d]) => [a.s, d.s]))
	const count = (by: number) => places.filter((s) => s >= low + by && s <= high + by).length
	const by = [0, periodS, -periodS].reduce((best, each) => (count(each) > count(best) ? each : best))
	return near.map(({ s, g }) => ({ s: s + by, g }))
}

/** The seam itself: the line a taut tape takes from its first datum to its last, and on past both as far as the panel lets it. */
export interface SeamLine {
	readonly curve: Curve
	/** length along the curve of the first datum */
	readonly fromMm: number
	readonly lengthMm: number
}

export function seamLine({ chart, datums }: SeamHalf): SeamLine | undefined {
	const [first, last] = [datums[0] as ChartPoint, datums[datums.length - 1] as ChartPoint]
	const path = distance(chart, first, last)
	if (!path || path.length < LEAST_MM) return undefined
	const before = shoot(chart, first, path.startAngle, -REACH_MM)
	const after = shoot(chart, last, path.endAngle, REACH_MM)
	const from = before.reached ? REACH_MM : 0
	const start = before.reached ? before : { at: first, angle: path.startAngle }
	const length = from + path.length + (after.reached ? REACH_MM : 0)
	const { cubics, maxErrorMm } = straightOn(chart, start.at, start.angle, length, CHORD_MM)
	return { curve: { id: 'seam', cubics, closed: false, maxErrorMm }, fromMm: from, lengthMm: path.length }
}

/** A meeting of an edge of a panel with one of its seams. */
export interface EdgeHit extends SeamHit {
	/** which of the panel's lines, in their order */
	readonly fit: number
}

/** Every place where an edge of the panel meets the seam, on each of its sides; led on to it where it stops short. */
export function seamHits(result: PanelResult, half: SeamHalf, seam: SeamLine, edge: string): EdgeHit[] {
	const lines = (result.lines?.edges ?? []).flatMap(({ id, sided }, fit) =>
		id === edge ? sided.map((one) => ({ ...one, fit })) : [],
	)
	const along = measure(half.chart, seam.curve)
	return lines.flatMap(({ side, curve, fit }) => {
		if (half.side && side !== half.side) return []
		const { chart } = result.shape?.now.find(({ hand }) => hand === side) ?? half
		return seamMeetings(chart, seam, along, curve).map((hit) => ({ ...hit, side, fit }))
	})
}

/** Every place where a curve meets a seam, of which `along` is the measure; led on to it where it stops short. */
export function seamMeetings(chart: Chart, seam: SeamLine, along: Measure, curve: Curve): Omit<SeamHit, 'side'>[] {
	const hits = (line: Curve, at: (u: number) => Pick<SeamHit, 'ledMm' | 'lineMm'>, back = 0) =>
		meetings(line, seam.curve, CHORD_MM).map(({ u, v }) => {
			const seamAngle = frame(chart, seam.curve, v).angle
			const turn = frame(chart, line, u).angle + back - seamAngle
			return {
				at: evaluate(line, u).at,
				seamAngle,
				alongMm: along.lengthAt(v) - seam.fromMm,
				angle: halfTurn(chart.orientation * turn),
				turn,
				...at(u),
			}
		})
	const { length, lengthAt } = measure(chart, curve)
	const met = hits(curve, (u) => ({ ledMm: 0, lineMm: lengthAt(u) }))
	if (met.length > 0 || curve.closed) return met
	return leads(chart, curve, seam).flatMap(({ lead, back }) => {
		const led = measure(chart, lead).lengthAt
		return hits(lead, (u) => ({ ledMm: led(u), lineMm: back === 0 ? length + led(u) : -led(u) }), back)
	})
}

/** An open line led on straight from each of its ends that is near enough to the seam, and how its own direction lies to the lead's. */
function leads(chart: Chart, curve: Curve, seam: SeamLine): { readonly lead: Curve; readonly back: number }[] {
	const foot = nearestOn(chart, seam.curve)
	return [
		{ u: 0, back: Math.PI },
		{ u: curve.cubics.length, back: 0 },
	].flatMap(({ u, back }) => {
		const { at, angle } = frame(chart, curve, u)
		const near = foot(at)
		if (!near || Math.abs(near.offsetMm) > REACH_MM || !shoot(chart, at, angle + back, REACH_MM).reached) return []
		return [{ lead: { ...curve, cubics: straightOn(chart, at, angle + back, REACH_MM, CHORD_MM).cubics }, back }]
	})
}

/** The direction of a line that has no front: an angle brought into 0 to pi. */
const halfTurn = (angle: number) => (wrap(2 * angle) / 2 + Math.PI) % Math.PI
