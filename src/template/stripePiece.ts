import type { Chart } from '../chart/chart.ts'
import { crossStation } from '../chart/cross.ts'
import { curvatureSdOf } from '../chart/curvatureSd.ts'
import { cornersOf, frame } from '../chart/curve.ts'
import { distance } from '../chart/distance.ts'
import { nearestAlong } from '../chart/nearest.ts'
import { offset } from '../chart/offset.ts'
import type { ChartPoint, ChartRegion, Curve } from '../chart/point.ts'
import { polyline as curveLine, toPlane } from '../chart/region.ts'
import { turnsOf } from '../chart/round.ts'
import { constantWidth } from '../chart/width.ts'
import { boundsOf } from '../drawing/bounds.ts'
import { grown, unionBox } from '../drawing/box.ts'
import type { Box, Item, Stroke } from '../drawing/drawing.ts'
import { polyline } from '../drawing/path.ts'
import type { PlanePoint } from '../plane/point.ts'
import { areaOf, clipPolyline, normalise } from '../plane/region.ts'
import { simplify } from '../plane/simplify.ts'
import type { SeamCut } from '../scheme/seamCut.ts'
import { closelySet } from './closelySet.ts'
import { type DevelopedLine, developLine, samples } from './developLine.ts'
import { type Body, barOn, figureOn, frontOn, take, wordsOn } from './guideMarks.ts'
import { leadOut } from './leadOut.ts'
import { boxAround, frontOf, path, pieceLabel, stroke } from './marks.ts'
import { girthFigure, lengthFigure, spanOn } from './measured.ts'
import type { Piece, PieceSide } from './piece.ts'
import { type SeamCorner, seamCorners, seamNote } from './seamEnds.ts'
import { BOLD, CENTRE, FAINT, KNIFE } from './style.ts'

export interface StripePieceInput {
	readonly chart: Chart
	readonly id: string
	readonly number: number
	readonly panel: string
	readonly panelTitle: string
	readonly side: PieceSide
	readonly name: string
	readonly region: ChartRegion
	/** its painted edges */
	readonly edges: readonly Curve[]
	/** the line that it is laid off, and how far off it the middle of the band lies */
	readonly spine: { readonly line: Curve; readonly middleMm: number }
	/** where it ends */
	readonly seams?: readonly SeamCut[]
	readonly stations: readonly number[]
	readonly limitMm: number
	readonly toleranceMm: number
	readonly sdMm?: number
	readonly notes?: readonly string[]
	readonly unit: 'mm' | 'in'
	readonly revision?: string
}

/** A slit stops short of the middle line, so that the piece holds together. */
const BRIDGE_MM = 1.5
/** More slits than this are a fringe, not a template. */
const MOST_SLITS = 40

/** What is left between the knife line and the true one by leaving out points, mm. */
const CHORD_MM = 0.01
/** How well a place of the outline is found along the middle line and off it, mm: a tenth of what the knife line keeps. */
const FOOT_MM = CHORD_MM / 10
/** Where a pointed end is this share of the width there is no room for words. */
const FULL_SHARE = 0.8

/**
 * A whole band of a doubly curved panel, developed about its middle line: each place of its outline is as far along that line
 * and as far square off it on paper as on the panel, ends of any shape included. Its two edges want to be longer or shorter
 * than paper can be: the difference is split between them, and slits from each edge let no segment be out by more than the
 * limit. Not made where that would take more slits than a piece can bear, or the middle line has a corner or cannot be followed.
 */
export type StripePiece =
	| {
			readonly ok: true
			readonly piece: Piece
			readonly slits: number
			/** how far it may lie to the side by what is not known of the panel's shape, mm */
			readonly driftMm: number
	  }
	| { readonly ok: false; readonly why: 'corner' | 'slits' }

export function stripePiece(input: StripePieceInput): StripePiece {
	const { chart, spine } = input
	const middle = offset(chart, spine.line, constantWidth(spine.middleMm), {
		id: `${input.id}/middle`,
		toleranceMm: input.toleranceMm,
		corners: 'mitred',
	}).curves
	const curve = middle[0]
	if (!curve || middle.length !== 1 || cornersOf(chart, curve).length > 0) return { ok: false, why: 'corner' }
	const line = developLine(chart, curve, input.toleranceMm)
	/** length along the middle line and distance off it */
	const along = (points: readonly ChartPoint[]) =>
		nearestAlong(chart, curve, points, FOOT_MM).map(
			(found) => found && { l: line.measure.lengthAt(found.u), off: found.offsetMm },
		)
	const outline = input.region.map((loop) => along(closelySet(chart, loop, true)))
	const places = input.edges.map((c) => closelySet(chart, curveLine(chart, c, CHORD_MM / 2)))
	const sides = places.map(along)
	if ([...outline, ...sides].flat().some((p) => !p)) return { ok: false, why: 'corner' }
	const onPaper = (list: readonly ({ l: number; off: number } | undefined)[]) =>
		list.flatMap((p) => (p ? [line.at(p.l, p.off)] : []))
	const knife = normalise(outline.map(onPaper)).map((loop) => simplify(loop, CHORD_MM / 2, true))
	const working = sides.map((side) => simplify(onPaper(side), CHORD_MM / 2))
	const offs = sides.flat().map((p) => p?.off ?? 0)
	const reach = { plus: Math.max(0, ...offs), minus: Math.min(0, ...offs) }
	const slits = [reach.plus, reach.minus].map((off) => slitsOf(line, off, input.limitMm))
	if (slits.some((s) => s.at.length > MOST_SLITS)) return { ok: false, why: 'slits' }
	const errorMm = Math.max(...slits.map((s) => s.errorMm), line.errorMm)
	const cuts = slits.flatMap((s, i) => {
		const off = i === 0 ? reach.plus : reach.minus
		return s.at.flatMap((l) =>
			clipPolyline([line.at(l, off), line.at(l, Math.sign(off) * BRIDGE_MM)], knife).map((piece) => piece.points),
		)
	})
	const items: Item[] = [
		...knife.map((loop) => path('knife', polyline(loop, true), KNIFE, 'knife line')),
		...cuts.map((points) => path('knife', polyline(points), KNIFE)),
		...working.map((points) => path('working', polyline(points), { ...BOLD, widthMm: 0.3 }, 'working edge')),
		...inside(
			samples(line, 0, line.length, CHORD_MM).map((l) => line.at(l)),
			CENTRE,
			'middle line',
		),
	]
	// Words stand on the plus half, where it is as wide as anywhere.
	const wide = sides.flat().flatMap((p) => (p && p.off > FULL_SHARE * reach.plus ? [p.l] : []))
	const half = reach.plus
	// A raked end takes from one edge or from the middle.
	const middles = outline.flat().flatMap((p) => (p && Math.abs(p.off) < 0.2 * half ? [p.l] : []))
	const from = Math.max(Math.min(...wide), Math.min(...middles))
	const to = Math.min(Math.max(...wide), Math.max(...middles))
	const body: Body = { line, open: 1, width: half * 0.9, from, to, taken: [], led: [] }
	for (const l of slits[0]?.at ?? []) take(body, l - 0.8, l + 0.8)
	// Nothing stands in a hole of the piece.
	const holes = outline
		.filter((_, i) => areaOf(toPlane([input.region[i] as ChartRegion[number]])) < 0)
		.map((loop) => loop.flatMap((p) => (p ? [p.l] : [])))
		.map((ls): [number, number] => [Math.min(...ls), Math.max(...ls)])
	for (const [a, b] of holes) take(body, a, b)
	const stations = input.stations.flatMap((station) =>
		turnsOf(chart, curve, station)
			.flatMap((turned) => crossStation(chart, curve, turned))
			.map((hit) => ({
				station,
				at: hit.at,
				l: line.measure.lengthAt(hit.u),
				angle: hit.angle,
			})),
	)
	const spans = stations.map(({ station, l, angle }) => {
		const way = line.heading(l) + line.handed * (Math.PI / 2 - angle)
		const p = line.at(l)
		const far = Math.max(reach.plus, -reach.minus) / Math.max(0.3, Math.abs(Math.cos(angle)))
		const d = { x: Math.cos(way) * far, y: Math.sin(way) * far }
		items.push(
			...inside(
				[
					{ x: p.x - d.x, y: p.y - d.y },
					{ x: p.x + d.x, y: p.y + d.y },
				],
				FAINT,
				`station ${girthFigure(station, input.unit)}`,
			),
		)
		// Slanted, it runs under the words by its height.
		const slant = Math.abs(Math.tan(angle)) * half
		const span = [l - 0.8 - slant, l + 0.8 + slant] as const
		take(body, ...span)
		return { l, span, words: girthFigure(station, input.unit) }
	})
	const minus: Body = {
		...{ ...body, open: -1, width: -reach.minus * 0.9 },
		taken: [
			...(slits[1]?.at ?? []).map((l): [number, number] => [l - 0.8, l + 0.8]),
			...spans.map(({ span: [a, b] }): [number, number] => [a, b]),
			...holes,
		],
	}
	const seamed = seamCorners(chart, input.region, input.edges, input.seams)
	items.push(...cornerMarks(seamed, along, [body, minus]))
	for (const { words, l, span } of spans) items.push(...figureOn(body, words, l, span))
	const bar = spanOn(to - from, input.unit)
	if (bar) items.push(...barOn(body, bar.mm))
	items.push(...wordsOn(body, pieceLabel(input, input.number), from + 3, { bold: true }))
	items.push(...frontOn(body, (l) => Math.cos(frame(chart, curve, line.measure.at(l)).angle) >= 0, frontOf(chart)))
	items.push(...wordsOn(body, 'this face up', from + 3))
	items.push(...wordsOn(body, input.panelTitle, (from + to) / 2, { optional: true }))
	items.push(...leadOut(body.led, items, knife))
	const count = cuts.length
	const driftMm = (curvatureSdOf(chart, curve) * line.length ** 2) / 8
	const notes = [
		count === 0
			? 'No slits needed.'
			: `Cut ${count} slits to ${BRIDGE_MM} mm off the middle line. Let them close over or open as the panel asks; never pull.`,
		`Made about the middle line; each part between slits is true within ${errorMm.toFixed(2)} mm.${driftMm > 0.005 ? ` What is not known of the panel's shape lets it drift by up to ${driftMm.toFixed(2)} mm: set it by the dots of several strips.` : ''}`,
		...dryFit(input, stations),
		...seamNote(seamed),
		...(input.notes ?? []),
		...(bar ? [`Short ticks on the middle line are ${bar.words} apart along it.`] : []),
	]
	const piece: Piece = {
		id: input.id,
		number: input.number,
		kind: 'stripe',
		panel: input.panel,
		panelTitle: input.panelTitle,
		side: input.side,
		title: `Stripe piece, ${input.name}`,
		knife,
		working,
		edges: sides.map((side, i) => ({ on: onPaper(side), at: places[i] ?? [] })),
		items,
		bounds: grown(unionBox([boxAround(knife.flat()), boundsOf(items)]) as Box, 1),
		errorMm,
		...(input.sdMm === undefined && driftMm <= 0.005 ? {} : { lineSdMm: Math.hypot(input.sdMm ?? 0, driftMm) }),
		notes,
	}
	return { ok: true, piece, slits: count, driftMm }

	function inside(points: readonly PlanePoint[], how: Stroke, title: string): Item[] {
		return clipPolyline(points, knife).map((piece) => path('guide', polyline(piece.points), how, title))
	}
}

interface Along {
	readonly l: number
	readonly off: number
}

/** Ticks in the corners at seams, the name of each on its own half of the piece: plus, minus. */
function cornerMarks(
	corners: readonly SeamCorner[],
	along: (points: readonly ChartPoint[]) => readonly (Along | undefined)[],
	[plus, minus]: readonly [Body, Body],
): Item[] {
	return corners.flatMap(({ words, at, to }) => {
		const [p, q] = along([at, to])
		if (!p || !q) return []
		const half = { ...(p.off < 0 ? minus : plus), from: 0, to: plus.line.length }
		const tick = stroke('tick', plus.line.at(p.l, p.off), plus.line.at(q.l, q.off), { ...BOLD, widthMm: 0.3 })
		const span = [Math.min(p.l, q.l) - 0.5, Math.max(p.l, q.l) + 0.5] as const
		return [{ ...tick, title: `seam tick ${words}` }, ...figureOn(half, words, p.l, span)]
	})
}

/** A length from the first station's crossing of the middle line to the last one's, to prove shape and printing before taping. */
function dryFit(
	{ chart, unit }: Pick<StripePieceInput, 'chart' | 'unit'>,
	stations: readonly { readonly station: number; readonly at: ChartPoint }[],
): string[] {
	const [first, last] = [stations[0], stations[stations.length - 1]]
	const length = first && last && first !== last ? distance(chart, first.at, last.at, 1e-4)?.length : undefined
	if (!first || !last || length === undefined) return []
	return [
		`Dry fit: by tape on the panel the middle line at station ${girthFigure(first.station, unit)} is ${lengthFigure(length, unit)} from that at station ${girthFigure(last.station, unit)}.`,
	]
}

interface Slits {
	readonly at: readonly number[]
	/** what remains on the worst segment, mm */
	readonly errorMm: number
}

/** Slits of one edge, so that each segment has an equal share of the misfit and none more than the limit. */
function slitsOf(line: DevelopedLine, off: number, limitMm: number): Slits {
	if (off === 0) return { at: [], errorMm: 0 }
	const n = Math.max(8, Math.ceil(line.length / 5))
	const steps = Array.from({ length: n }, (_, i) =>
		Math.abs(line.misfit(off, (line.length * i) / n, (line.length * (i + 1)) / n)),
	)
	const total = steps.reduce((a, b) => a + b, 0)
	// Each segment may be out by the limit at its far end when it is set by its middle: half its misfit to either side.
	const parts = Math.max(1, Math.ceil(total / 2 / limitMm))
	const at: number[] = []
	let sum = 0
	steps.forEach((step, i) => {
		const before = sum
		sum += step
		for (let k = at.length + 1; k < parts && (total * k) / parts <= sum; k++) {
			at.push((line.length * (i + ((total * k) / parts - before) / step)) / n)
		}
	})
	return { at, errorMm: total / parts / 2 }
}
