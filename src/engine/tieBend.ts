/** The lines of one panel, bent so that they come to its tied seams where and under what angle they are asked to. */
import { frame, wrap } from '../chart/curve.ts'
import { shoot } from '../chart/geodesic.ts'
import { measure } from '../chart/measure.ts'
import { nearestOn } from '../chart/nearest.ts'
import type { Curve } from '../chart/point.ts'
import type { Panel } from '../job/schema.ts'
import { type Bend, bent } from '../line/bend.ts'
import type { FittedEdge } from '../line/edge.ts'
import { ledOn } from '../line/lead.ts'
import { onSide } from '../scheme/side.ts'
import type { PanelEdge } from './edges.ts'
import type { PanelResult } from './panelResult.ts'
import { type EdgeHit, type SeamHalf, type SeamLine, seamMeetings } from './seamLines.ts'

/** A tied place of a line, as one of its sides sees it. */
export interface TiedEnd {
	readonly hit: EdgeHit
	readonly half: SeamHalf
	readonly seam: SeamLine
	/** the panel lies farther along the line (1) or before (-1) */
	readonly inward: 1 | -1
	/** where it is to come to the seam, and under what angle with it */
	readonly alongMm: number
	readonly angle: number
	/** along the seam for each mm moved, angle for each radian turned */
	readonly alongByMove: number
	readonly angleByTurn: 1 | -1
}

/** Clear of the widest stripe's end, as where a line runs off the panel, mm. */
const PAST_MM = 25
/** A line nearly along a seam would be led on for ever, mm. */
const MOST_PAST_MM = 300

/** How far past the seam a line has to go so that all stripes laid off it reach the seam. */
export function pastSeam(panel: Panel, edge: string, angle: number): number {
	const reach = panel.stripes
		.filter((stripe) => stripe.edge === edge)
		.map(({ offset, bands }) =>
			bands.reduce((sum, band) => sum + ('gap' in band ? band.gap : widest(band.width)), Math.abs(offset)),
		)
	return Math.min(MOST_PAST_MM, PAST_MM + Math.max(0, ...reach) / Math.abs(Math.tan(angle)))
}

const widest = (width: number | readonly { readonly width: number }[]) =>
	typeof width === 'number' ? width : Math.max(...width.map((each) => each.width))

/** A line led on past the seams that it is tied at, as far as there is panel to measure; and by how much at its front. */
export function reaching(
	result: PanelResult,
	edge: PanelEdge,
	ends: readonly TiedEnd[],
	toleranceMm: number,
): { readonly edge: PanelEdge; readonly frontMm: number } {
	const { chart } = result.shape!.now[0]!
	let { curve, led } = edge.fitted
	if (curve.closed) return { edge, frontMm: 0 }
	const { length } = measure(chart, curve)
	let frontMm = 0
	for (const { hit, inward } of ends) {
		const past = pastSeam(result.panel, edge.id, hit.angle)
		const [end, there] = inward === 1 ? (['front', hit.lineMm] as const) : (['rear', length - hit.lineMm] as const)
		const missing = past - there
		if (missing <= 0 || (end === 'front' ? frontMm : led.rear - edge.fitted.led.rear) > 0) continue
		const from = frame(chart, curve, end === 'front' ? 0 : curve.cubics.length)
		const way = end === 'front' ? from.angle + Math.PI : from.angle
		const lengths = [missing, missing / 2, Math.max(0, -there) + 1].filter((mm) => mm > Math.max(0, -there))
		const mm = lengths.find((each) => shoot(chart, from.at, way, each).reached)
		if (mm === undefined) continue
		curve = ledOn(chart, curve, end, mm, toleranceMm)
		led = { ...led, [end]: led[end] + mm }
		if (end === 'front') frontMm = mm
	}
	return { edge: { ...edge, fitted: { ...edge.fitted, curve, led } }, frontMm }
}

/** One place of a line that is bent: first guess, and what it is to come to. */
export interface PlaceToBend {
	readonly bend: Bend
	readonly end: TiedEnd
}

/** Newton on place and direction at the seam doubles its digits; the guess is right to a hundredth. */
const STEPS = 6
const MET_MM = 1e-4
const MET_RAD = 1e-6

/** The line through all its places at once; its marks with how far it passes them now. */
export function bentEdge(result: PanelResult, edge: PanelEdge, places: readonly PlaceToBend[], toleranceMm: number): PanelEdge {
	const { chart } = result.shape!.now[0]!
	let bends = places.map(({ bend }) => bend)
	let curve: Curve = edge.fitted.curve
	for (let step = 0; step < STEPS; step++) {
		curve = bent(chart, edge.fitted.curve, bends, toleranceMm)
		let worst = 0
		bends = bends.map((bend, i) => {
			const { end } = places[i] as PlaceToBend
			const at = measuredAt(result, edge, curve, end)
			if (!at) return bend
			const [off, turn] = [end.alongMm - at.alongMm, halfWrap(end.angle - at.angle)]
			worst = Math.max(worst, Math.abs(off) / MET_MM, Math.abs(turn) / MET_RAD)
			return {
				...bend,
				moveMm: bend.moveMm + off / end.alongByMove,
				slope: Math.tan(Math.atan(bend.slope) + turn * end.angleByTurn),
			}
		})
		if (worst <= 1) break
	}
	return withCurve(result, edge, curve)
}

function measuredAt(result: PanelResult, edge: PanelEdge, curve: Curve, { hit, half, seam, alongMm }: TiedEnd) {
	const { side } = hit
	const { chart } = result.shape?.now.find(({ hand }) => hand === side) ?? half
	const seen = edge.hand === 'mirrored' ? onSide(result.panel, curve, side) : curve
	const met = seamMeetings(chart, seam, measure(half.chart, seam.curve), seen)
	return [...met].sort((a, b) => Math.abs(a.alongMm - alongMm) - Math.abs(b.alongMm - alongMm))[0]
}

function withCurve(result: PanelResult, edge: PanelEdge, curve: Curve): PanelEdge {
	const { chart } = result.shape!.now[0]!
	const foot = nearestOn(chart, curve)
	const fitted: FittedEdge = {
		...edge.fitted,
		curve,
		passes: edge.fitted.passes.map((pass) => ({ ...pass, offMm: foot(pass.at)?.offsetMm ?? pass.offMm })),
	}
	const sided = edge.sided.map((one) => ({
		...one,
		curve: edge.hand === 'mirrored' ? onSide(result.panel, curve, one.side) : curve,
		led: fitted.led,
	}))
	return { ...edge, fitted, sided }
}

/** The smaller angle between two lines that have no front, with its sign. */
export const halfWrap = (angle: number): number => wrap(2 * angle) / 2
