import type { Chart } from '../chart/chart.ts'
import { crossStation } from '../chart/cross.ts'
import { frame } from '../chart/curve.ts'
import { grown } from '../drawing/box.ts'
import type { Item } from '../drawing/drawing.ts'
import { polyline } from '../drawing/path.ts'
import type { PlanePoint } from '../plane/point.ts'
import { normalise } from '../plane/region.ts'
import { type DevelopedLine, developLine, samples } from './developLine.ts'
import { acrossTick, type Body, barTick, frontOn, slantedTick, take, wordsOn } from './guideMarks.ts'
import { boxAround, figure, filled, path } from './marks.ts'
import type { PaintEdge } from './paintEdge.ts'
import type { Piece, PieceSide } from './piece.ts'
import { girthFigure } from './strip.ts'
import { BOLD, INK, KNIFE } from './style.ts'

export interface GuideInput {
	readonly chart: Chart
	readonly edge: PaintEdge
	readonly panel: string
	readonly panelTitle: string
	readonly side: PieceSide
	readonly firstNumber: number
	/** stations of the girth strips, whose pencil dots locate the guides */
	readonly stations: readonly number[]
	/** width of the body, mm */
	readonly bodyMm: number
	/** what a guide may drift by from what is not known of the panel's shape, and what its body may have to give, mm */
	readonly limitMm: number
	readonly toleranceMm: number
	readonly unit: 'mm' | 'in'
}

/** Where shape is known exactly a guide may be as long as this: longer paper grows and is awkward to lay. */
const LONGEST_MM = 420
const SHORTEST_MM = 90
/** Each guide goes on this far into the next, with ticks that must meet. */
const OVERLAP_MM = 20
const WASTE_MM = 3
/** Chords of the knife line leave the true line by no more than this. */
const CHORD_MM = 0.01

/**
 * The guides of one line: narrow pieces with the line as their working edge, the body on the open side so that tape butts
 * against it. Same length and in-surface curvature as the line: exact along it on any panel.
 * A curvature that is uncertain by dk lets a guide of length L drift by dk L^2 / 8, which sets their length.
 */
export function edgeGuides(input: GuideInput): Piece[] {
	const { chart, edge } = input
	const line = developLine(chart, edge.curve, input.toleranceMm)
	const byDrift = chart.curvatureSd > 0 ? Math.sqrt((8 * input.limitMm) / chart.curvatureSd) : LONGEST_MM
	// The body's far side is longer or shorter than paper can be: no guide so long that this adds up to more than the limit.
	const rate = Math.abs(line.misfit(edge.open * input.bodyMm, 0, line.length)) / line.length
	const longest = Math.max(SHORTEST_MM, Math.min(LONGEST_MM, byDrift, rate > 0 ? input.limitMm / rate : LONGEST_MM))
	const count = Math.max(1, Math.ceil((line.length - OVERLAP_MM) / (longest - OVERLAP_MM)))
	const step = line.length / count
	const pieces: Piece[] = []
	for (let i = 0; i < count; i++) {
		const from = i * step
		const to = i === count - 1 ? line.length : (i + 1) * step + OVERLAP_MM
		pieces.push(guide(input, line, { i, count, from, to: Math.min(to, line.length), step }))
	}
	return pieces
}

interface Cut {
	readonly i: number
	readonly count: number
	readonly from: number
	readonly to: number
	readonly step: number
}

function guide(input: GuideInput, line: DevelopedLine, cut: Cut): Piece {
	const { chart, edge } = input
	const number = input.firstNumber + cut.i
	const ls = samples(line, cut.from, cut.to, CHORD_MM)
	const parallel = (off: number) => ls.map((l) => line.at(l, edge.open * off))
	const working = parallel(0)
	// On the inside of a tight bend the body's far side would fold over itself: the outline is what it covers.
	const outline = normalise([[...working, ...parallel(input.bodyMm).reverse()]])
	const knife = (outline[0] ?? []) as PlanePoint[]
	const waste = normalise([[...working, ...parallel(-WASTE_MM).reverse()]])
	const drift = (chart.curvatureSd * (cut.to - cut.from) ** 2) / 8
	const stretch = Math.abs(line.misfit(edge.open * input.bodyMm, cut.from, cut.to))
	const items: Item[] = [
		filled('fill', waste, INK),
		path('knife', polyline(knife, true), KNIFE, 'cut'),
		path('working', polyline(working), BOLD, 'working edge'),
	]
	const body: Body = { line, open: edge.open, width: input.bodyMm, from: cut.from, to: cut.to, taken: [] }

	const bar = cut.to - cut.from > 106 ? 100 : 50
	if (cut.to - cut.from > bar + 4) {
		const start = cut.from + (cut.to - cut.from - bar) / 2
		for (const l of [start, start + bar]) {
			items.push(barTick(body, l))
			take(body, l - 0.5, l + 0.5)
		}
	}

	for (const station of input.stations) {
		for (const hit of crossStation(chart, edge.curve, station)) {
			const l = line.measure.lengthAt(hit.u)
			if (l < cut.from + 0.5 || l > cut.to - 0.5) continue
			// The girth line runs at a right angle to the baseline's direction, so at 90 degrees less the line's own angle off it.
			items.push(slantedTick(body, l, Math.PI / 2 - hit.angle))
			const words = `${girthFigure(station, input.unit)} | ${girthFigure(Math.abs(hit.at.g), input.unit)}`
			items.push(...wordsOn(body, words, l + 1.2))
			take(body, l - 0.8, l + 0.8)
		}
	}
	for (const k of [cut.i, cut.i + 1]) {
		if (k === 0 || k === cut.count) continue
		for (const l of [k * cut.step, k * cut.step + OVERLAP_MM]) {
			if (l > line.length + 1e-9) continue
			items.push(acrossTick(body, l))
			take(body, l - 0.6, l + 0.6)
		}
		const other = k === cut.i ? number - 1 : number + 1
		items.push(...wordsOn(body, `joins ${other}`, k * cut.step + 1.5))
	}
	const label = `${number}  ${input.side === 'BOTH' ? '' : input.side}`.trim()
	items.push(...wordsOn(body, label, cut.from + 3, true))
	items.push(...frontOn(body, (l) => Math.cos(frame(chart, edge.curve, line.measure.at(l)).angle) >= 0))
	items.push(...wordsOn(body, edge.short, (cut.from + cut.to) / 2))

	const title = `Edge guide ${cut.count > 1 ? `${cut.i + 1} of ${cut.count}, ` : ''}${edge.name}`
	const within = figure(Math.max(0.5, drift + (edge.sdMm ?? 0)))
	const notes = [
		'Leave no black, cut no white. The tape butts against the black side; paint shows on the side of the body.',
		`Ticks are marked station | girth. Set the guide on its end dots; one dot more must then fall on its tick within ${within} mm. If not, stop: never ease it over.`,
		`Short ticks on the working edge are ${bar} mm apart along it; the body is ${figure(input.bodyMm)} mm wide.`,
		`Exact along the edge; the body gives ${stretch.toFixed(2)} mm.${drift > 0.005 ? ` What is not known of the panel's shape lets it drift by up to ${drift.toFixed(2)} mm.` : ''}`,
	]
	return {
		id: `${input.panel}/${edge.id}/guide/${cut.i + 1}`,
		number,
		kind: 'guide',
		panel: input.panel,
		panelTitle: input.panelTitle,
		side: input.side,
		title,
		knife: outline,
		working: [working],
		items,
		bounds: grown(boxAround([...knife, ...waste.flat()]), 1),
		errorMm: Math.max(stretch, line.developed.errorMm),
		...(edge.sdMm === undefined ? {} : { lineSdMm: edge.sdMm }),
		notes,
	}
}
