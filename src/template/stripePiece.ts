import type { Chart } from '../chart/chart.ts'
import { crossStation } from '../chart/cross.ts'
import { frame } from '../chart/curve.ts'
import { offset } from '../chart/offset.ts'
import type { Curve } from '../chart/point.ts'
import { constantWidth } from '../chart/width.ts'
import { grown } from '../drawing/box.ts'
import type { Item } from '../drawing/drawing.ts'
import { polyline } from '../drawing/path.ts'
import { normalise } from '../plane/region.ts'
import { type DevelopedLine, developLine, samples } from './developLine.ts'
import { type Body, barTick, frontOn, take, wordsOn } from './guideMarks.ts'
import { boxAround, path, stroke } from './marks.ts'
import type { Piece, PieceSide } from './piece.ts'
import { girthFigure } from './strip.ts'
import { BOLD, CENTRE, FAINT, KNIFE } from './style.ts'

export interface StripePieceInput {
	readonly chart: Chart
	readonly id: string
	readonly number: number
	readonly panel: string
	readonly panelTitle: string
	readonly side: PieceSide
	readonly name: string
	/** the band's edge nearer the line, and its width square off it towards `sign` */
	readonly near: Curve
	readonly sign: 1 | -1
	readonly widthMm: number
	readonly stations: readonly number[]
	readonly limitMm: number
	readonly toleranceMm: number
	readonly sdMm?: number
	readonly unit: 'mm' | 'in'
}

/** A slit stops short of the middle line, so that the piece holds together. */
const BRIDGE_MM = 1.5
/** More slits than this are a fringe, not a template. */
const MOST_SLITS = 40

/**
 * A whole band of a doubly curved panel, developed about its middle line. Its two edges want to be longer or shorter than paper
 * can be: the difference is split between them, and slits from each edge let no segment be out by more than the limit.
 * Undefined where that would take more slits than a piece can bear, or the middle line cannot be followed.
 */
export function stripePiece(input: StripePieceInput): Piece | undefined {
	const { chart } = input
	const half = input.widthMm / 2
	const middle = offset(chart, input.near, constantWidth((input.sign * input.widthMm) / 2), {
		id: `${input.id}/middle`,
		toleranceMm: input.toleranceMm,
		corners: 'mitred',
	}).curves
	if (middle.length !== 1) return undefined
	const curve = middle[0] as Curve
	const line = developLine(chart, curve, input.toleranceMm)
	const ls = samples(line, 0, line.length, 0.01)
	const edge = (off: number) => ls.map((l) => line.at(l, off))
	const plus = edge(half)
	const minus = edge(-half)
	const slits = [1, -1].map((side) => slitsOf(line, side * half, input.limitMm))
	if (slits.some((s) => s.at.length > MOST_SLITS)) return undefined
	const errorMm = Math.max(...slits.map((s) => s.errorMm), line.developed.errorMm)
	const knife = normalise([[...plus, ...[...minus].reverse()]])
	const cuts = slits.flatMap((s, i) =>
		s.at.map((l) => [line.at(l, (i === 0 ? 1 : -1) * half), line.at(l, (i === 0 ? 1 : -1) * BRIDGE_MM)] as const),
	)
	const items: Item[] = [
		...knife.map((loop) => path('knife', polyline(loop, true), KNIFE, 'cut')),
		...cuts.map(([a, b]) => stroke('knife', a, b, KNIFE)),
		path('working', polyline(plus), { ...BOLD, widthMm: 0.3 }, 'working edge'),
		path('working', polyline(minus), { ...BOLD, widthMm: 0.3 }, 'working edge'),
		path('guide', polyline(edge(0)), CENTRE, 'middle line'),
	]
	const body: Body = { line, open: 1, width: half * 0.9, from: 0, to: line.length, taken: [] }
	for (const station of input.stations) {
		for (const hit of crossStation(chart, curve, station)) {
			const l = line.measure.lengthAt(hit.u)
			const way = line.heading(l) + line.handed * (Math.PI / 2 - hit.angle)
			const p = line.at(l)
			const reach = half / Math.max(0.3, Math.abs(Math.cos(hit.angle)))
			const d = { x: Math.cos(way) * reach, y: Math.sin(way) * reach }
			items.push(stroke('guide', { x: p.x - d.x, y: p.y - d.y }, { x: p.x + d.x, y: p.y + d.y }, FAINT))
			items.push(...wordsOn(body, girthFigure(station, input.unit), l + 1))
			take(body, l - 0.8, l + 0.8)
		}
	}
	for (const l of slits[0]?.at ?? []) take(body, l - 0.8, l + 0.8)
	const bar = line.length > 106 ? 100 : 50
	if (line.length > bar + 4)
		for (const l of [(line.length - bar) / 2, (line.length + bar) / 2]) items.push(barTick({ ...body, open: 1 }, l))
	items.push(...wordsOn(body, `${input.number} ${input.side === 'BOTH' ? '' : input.side}`, 3, true))
	items.push(...frontOn(body, (l) => Math.cos(frame(chart, curve, line.measure.at(l)).angle) >= 0))
	const count = cuts.length
	const notes = [
		count === 0
			? 'No slits needed.'
			: `Cut ${count} slits to ${BRIDGE_MM} mm off the middle line. Let them close over or open as the panel asks; never pull.`,
		`Made about the middle line; each part between slits is true within ${errorMm.toFixed(2)} mm.`,
		`Short ticks on the middle line are ${bar} mm apart along it.`,
	]
	return {
		id: input.id,
		number: input.number,
		kind: 'stripe',
		panel: input.panel,
		panelTitle: input.panelTitle,
		side: input.side,
		title: `Stripe piece, ${input.name}`,
		knife,
		working: [plus, minus],
		items,
		bounds: grown(boxAround(knife.flat()), 1),
		errorMm,
		...(input.sdMm === undefined ? {} : { lineSdMm: input.sdMm }),
		notes,
	}
}

interface Slits {
	readonly at: readonly number[]
	/** what remains on the worst segment, mm */
	readonly errorMm: number
}

/** Slits of one edge, so that each segment has an equal share of the misfit and none more than the limit. */
function slitsOf(line: DevelopedLine, off: number, limitMm: number): Slits {
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
