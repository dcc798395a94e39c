/** Where a template ends at a seam: its body is cut along the seam, and a tick there has the name that it has on the other panel. */
import type { Chart } from '../chart/chart.ts'
import { crossStation } from '../chart/cross.ts'
import { evaluate, frame, wrap } from '../chart/curve.ts'
import type { ChartPoint, ChartRegion, Curve } from '../chart/point.ts'
import { toPlane } from '../chart/region.ts'
import type { Item } from '../drawing/drawing.ts'
import { textWidth } from '../drawing/metrics.ts'
import type { PlanePoint, Region } from '../plane/point.ts'
import { pointInRegion } from '../plane/polyline.ts'
import { normalise, subtract, union } from '../plane/region.ts'
import type { SeamCut, SeamTick } from '../scheme/seamCut.ts'
import type { GuideRun } from './guideCuts.ts'
import { type Body, figureOn, slantedTick, take } from './guideMarks.ts'
import { MIDDLE, text } from './marks.ts'
import type { StripSeam } from './stripShape.ts'
import { SMALL_MM } from './style.ts'

/** Both panels are cut at the same chords: a tick and the end of its line are one place but for rounding, mm. */
const TICK_MM = 0.05

/** The end of a stretch of a line on a seam. */
export interface SeamedEnd {
	/** length along the line */
	readonly l: number
	/** which end of it */
	readonly end: 'from' | 'to'
	/** from the line's direction to the seam, towards the plus side */
	readonly turn: number
	/** what its tick is called, on either panel */
	readonly words: string
	/** the panel beyond */
	readonly other: string
	/** whether a line of that panel goes on from here */
	readonly goesOn: boolean
}

/** Which ends of a stretch of a line lie on seams. */
export function seamedEnds(
	chart: Chart,
	run: GuideRun,
	{ from, to }: { readonly from: number; readonly to: number },
	seams: readonly SeamCut[] = [],
): SeamedEnd[] {
	if (seams.length === 0 || run.ring) return []
	return (['from', 'to'] as const).flatMap((end) => {
		const l = end === 'from' ? from : to
		const u = run.measure.at(l)
		const { at } = evaluate(run.curve, u)
		return seams.flatMap((seam): SeamedEnd[] => {
			const tick = tickAt(chart, seam, at)
			if (!tick) return []
			const turn = wrap(tick.angle - frame(chart, run.curve, u).angle)
			return [{ l, end, turn, words: tick.label, other: seam.other, goesOn: tick.goesOn }]
		})
	})
}

/** The tick of a seam at a place; undefined where no line comes to it. */
function tickAt(chart: Chart, seam: SeamCut, at: ChartPoint): SeamTick | undefined {
	const { j } = chart.metric(at.s, at.g)
	return seam.ticks.find((each) => Math.hypot((each.at.s - at.s) * j, each.at.g - at.g) < TICK_MM)
}

/** A corner of a piece between an edge to tape along and a seam. */
export interface SeamCorner {
	/** just inside the piece, and where its tick ends, farther in */
	readonly at: ChartPoint
	readonly to: ChartPoint
	readonly words: string
	readonly other: string
	readonly goesOn: boolean
}

/** A tick in a corner, mm, and so far inside it starts. */
const CORNER_MM = { from: 0.01, to: 3 }

/** The ends on seams of a piece's edges to tape along, each once. */
export function seamCorners(
	chart: Chart,
	region: ChartRegion,
	edges: readonly Curve[],
	seams: readonly SeamCut[] = [],
): SeamCorner[] {
	if (seams.length === 0) return []
	const plane = toPlane(region)
	const found: SeamCorner[] = []
	for (const edge of edges) {
		if (edge.closed) continue
		for (const [u, way] of [
			[0, 1],
			[edge.cubics.length, -1],
		] as const) {
			const { at, angle } = frame(chart, edge, u)
			const { j } = chart.metric(at.s, at.g)
			for (const seam of seams) {
				const tick = tickAt(chart, seam, at)
				if (!tick || found.some(({ at: p }) => Math.hypot((p.s - at.s) * j, p.g - at.g) < TICK_MM)) continue
				// Half-way between the edge and the seam, on whichever side of the edge the piece is.
				const inward = [1, -1].map((side) => {
					const [x, y] = [
						way * Math.cos(angle) + side * Math.cos(tick.angle),
						way * Math.sin(angle) + side * Math.sin(tick.angle),
					]
					const length = Math.hypot(x, y)
					return (mm: number) => ({ s: at.s + (x * mm) / length / j, g: at.g + (y * mm) / length })
				})
				const into = inward.find((to) => [0.1, 0.5].every((mm) => inside(to(mm), plane)))
				if (!into) continue
				const to = [CORNER_MM.to, CORNER_MM.to / 3].map(into).find((p) => inside(p, plane)) ?? into(0.5)
				found.push({ at: into(CORNER_MM.from), to, words: tick.label, other: seam.other, goesOn: tick.goesOn })
			}
		}
	}
	return found
}

const inside = ({ s, g }: ChartPoint, region: Region) => pointInRegion({ x: s, y: g }, region)

/** A body as far as the seams that its line ends on: to the corner, where the seam leans away from it. */
export function cutBody(body: Body, region: Region, ends: readonly SeamedEnd[]): Region {
	return ends.reduce((before, { l, end, turn }) => {
		const { line, width, open } = body
		const { end: tip } = slantedTick(body, l, turn)
		const [p, side] = [line.at(l), line.at(l, open * width)]
		const outward = line.heading(l) + (end === 'to' ? 0 : Math.PI)
		return subtract(union([before, normalise([[p, side, tip]])]), past(p, tip, outward, 3 * width))
	}, region)
}

/** A square beyond a line through two places, on the side of a heading. */
function past(p: PlanePoint, q: PlanePoint, heading: number, reach: number): Region {
	const length = Math.hypot(q.x - p.x, q.y - p.y)
	const [dx, dy] = [((q.x - p.x) / length) * reach, ((q.y - p.y) / length) * reach]
	const left = -dy * Math.cos(heading) + dx * Math.sin(heading) > 0 ? 1 : -1
	const corner = (a: number, b: number): PlanePoint => ({ x: p.x + a * dx - b * left * dy, y: p.y + a * dy + b * left * dx })
	const loop = [corner(-1, 0), corner(1, 0), corner(1, 1), corner(-1, 1)]
	return [left === 1 ? loop : loop.reverse()]
}

/** Another tick across the body: where on the line, and its lean from it. */
interface OtherTick {
	readonly l: number
	readonly turn: number
}

/** Between a tick and the name beside it, and round that name, mm. */
const BESIDE_MM = 0.6

const slantOf = (body: Body, turn: number) => Math.max(-2.5, Math.min(2.5, 1 / Math.tan(turn))) * body.width * body.open

/** The ticks of a body on its seams, on which nothing else may stand; `words` sets their names once all ticks are there. */
export function seamTicks(
	body: Body,
	ends: readonly SeamedEnd[],
): { readonly items: readonly Item[]; words(others: readonly OtherTick[]): Item[] } {
	const made = ends.map((at) => {
		const { tick, end } = slantedTick(body, at.l, at.turn)
		const slant = slantOf(body, at.turn)
		const span = [at.l + Math.min(0, slant) - 0.8, at.l + Math.max(0, slant) + 0.8] as const
		take(body, ...span)
		return { tick: { ...tick, title: `seam tick ${at.words}` }, end, span, slant, at }
	})
	return {
		items: made.map(({ tick }) => tick),
		words: (others) =>
			made.flatMap(({ at, span, slant, end }): Item[] => {
				// Along its tick, where no other tick is so near: in a narrow body there is seldom room for it along the line.
				const width = textWidth(at.words, { sizeMm: SMALL_MM })
				const room = (SMALL_MM + 2 * BESIDE_MM) / Math.abs(Math.sin(at.turn))
				const clear = others.every((o) => Math.abs(o.l - at.l) - Math.abs(slantOf(body, o.turn) - slant) > room)
				if (width > body.width - 1 || !clear) return figureOn(body, at.words, at.l, span, end)
				const into = at.end === 'from' ? room : -room
				take(body, Math.min(span[0], span[0] + into), Math.max(span[1], span[1] + into))
				const p = body.line.at(at.l)
				const way = Math.atan2(end.y - p.y, end.x - p.x)
				const angle = Math.cos(way) < -1e-9 ? way + Math.PI : way
				const inward = body.line.heading(at.l) + (at.end === 'from' ? 0 : Math.PI)
				const side = Math.sin(inward - angle) > 0 ? 1 : -1
				// The middle of the letters stands half their height off the tick, whichever side of it is the body's.
				const off = side * (SMALL_MM / 2 + BESIDE_MM) - SMALL_MM * MIDDLE
				const middle = { x: (p.x + end.x) / 2 - Math.sin(angle) * off, y: (p.y + end.y) / 2 + Math.cos(angle) * off }
				return [text(middle, at.words, { anchor: 'middle', angle, bold: true })]
			}),
	}
}

/** Where the girth line of a station comes to a seam, and which way along it the other panel lies. */
export function stripSeams(chart: Chart, seam: SeamCut, station: number): (StripSeam & { readonly name: string })[] {
	return crossStation(chart, seam.curve, station).flatMap(({ at: { g }, angle }) => {
		const over = ([1, -1] as const).filter((way) => inside({ s: station, g: g + way }, seam.beyond))
		return over.length === 1 ? [{ name: `seam ${seam.label}`, g, angle, beyond: over[0] as 1 | -1 }] : []
	})
}

/** How the ends on seams are set, in words. */
export function seamNote(ends: readonly Pick<SeamedEnd, 'words' | 'other' | 'goesOn'>[]): string[] {
	const on = ends.filter(({ goesOn }) => goesOn)
	const others = [...new Set(on.map(({ other }) => other))]
	const met = others.map((other) => {
		const names = on.flatMap((end) => (end.other === other ? [end.words] : []))
		return `${names.join(' and ')} must meet the tick of that name on the piece of ${other}`
	})
	if (ends.length === 0) return []
	return [`It ends at the seam${met.length > 0 ? `: ${met.join('; ')}` : ''}.`]
}
