import type { Chart } from '../chart/chart.ts'
import { crossStation } from '../chart/cross.ts'
import { cornersOf, frame } from '../chart/curve.ts'
import type { Curve } from '../chart/point.ts'
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
/** A guide goes round a bend of this much, as where a pointed end begins; a sharper one starts the next guide. */
const SHARP_RAD = 0.35
/** Over which what a body gives is summed: K changes slowly along a line. */
const STRETCH_STEP_MM = 10
/** Chords of the knife line leave the true line by no more than this. */
const CHORD_MM = 0.01

/**
 * The guides of one line: narrow pieces with the line as their working edge, the body on the open side so that tape butts
 * against it. Same length and in-surface curvature as the line: exact along it on any panel.
 * A curvature that is uncertain by dk lets a guide of length L drift by dk L^2 / 8, which sets their length.
 */
export function edgeGuides(input: GuideInput): Piece[] {
	const cuts = smoothParts(input.chart, input.edge.curve).flatMap((curve) => cutsOf(input, curve))
	return cuts.map((cut, i) => guide(input, cut, i, cuts.length))
}

/** A line between its sharp corners: the body would have no room inside one. */
function smoothParts(chart: Chart, curve: Curve): Curve[] {
	const n = curve.cubics.length
	const corners = cornersOf(chart, curve).flatMap((c) => (Math.abs(c.turn) > SHARP_RAD ? [c.u] : []))
	if (corners.length === 0) return [curve]
	// A closed line is opened at its first corner.
	const start = curve.closed ? (corners[0] as number) : 0
	const turned = [...curve.cubics.slice(start), ...curve.cubics.slice(0, start)]
	const cuts = [0, ...corners.map((u) => u - start).filter((u) => u > 0), n]
	return cuts.slice(1).map((to, i) => ({ ...curve, closed: false, cubics: turned.slice(cuts[i], to) }))
}

/** One guide of a smooth stretch, from one length along it to another; `k` of `n` of that stretch. */
interface Cut {
	readonly curve: Curve
	readonly line: DevelopedLine
	readonly from: number
	readonly to: number
	readonly k: number
	readonly n: number
}

function cutsOf(input: GuideInput, curve: Curve): Cut[] {
	const { chart, edge, limitMm } = input
	const line = developLine(chart, curve, input.toleranceMm)
	const byDrift = chart.curvatureSd > 0 ? Math.sqrt((8 * limitMm) / chart.curvatureSd) : LONGEST_MM
	const longest = Math.max(SHORTEST_MM, Math.min(LONGEST_MM, byDrift))
	const stretch = stretchAlong(line, edge.open * input.bodyMm)
	const least = Math.max(1, Math.ceil((line.length - OVERLAP_MM) / (longest - OVERLAP_MM)))
	const most = Math.max(least, Math.floor((line.length - OVERLAP_MM) / (SHORTEST_MM - OVERLAP_MM)))
	for (let n = least; ; n++) {
		const step = n === 1 ? line.length : (line.length - OVERLAP_MM) / n
		const cuts = Array.from({ length: n }, (_, k): Cut => {
			const from = k * step
			return { curve, line, from, to: Math.min(line.length, from + step + OVERLAP_MM), k, n }
		})
		// The body's far side is longer or shorter than paper can be: no guide so long that this adds up to more than the limit.
		if (n >= most || cuts.every((c) => Math.abs(stretch(c.to) - stretch(c.from)) <= limitMm)) return cuts
	}
}

/** What the far side of a body has to give from the start of the line on, mm. */
function stretchAlong(line: DevelopedLine, off: number): (l: number) => number {
	const n = Math.max(1, Math.ceil(line.length / STRETCH_STEP_MM))
	const step = line.length / n
	const sums = [0]
	for (let i = 0; i < n; i++) sums.push((sums[i] as number) + line.misfit(off, i * step, (i + 1) * step))
	return (l) => {
		const i = Math.min(n - 1, Math.floor(l / step))
		const [a, b] = [sums[i] as number, sums[i + 1] as number]
		return a + (b - a) * (l / step - i)
	}
}

function guide(input: GuideInput, cut: Cut, index: number, count: number): Piece {
	const { chart, edge } = input
	const { curve, line } = cut
	const number = input.firstNumber + index
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

	const dots = input.stations.flatMap((station) =>
		crossStation(chart, curve, station).flatMap((hit) => {
			const l = line.measure.lengthAt(hit.u)
			return l < cut.from + 0.5 || l > cut.to - 0.5 ? [] : [{ station, g: hit.at.g, l, angle: hit.angle }]
		}),
	)
	for (const { l, angle } of dots) {
		// The girth line runs at a right angle to the baseline's direction, so at 90 degrees less the line's own angle off it.
		items.push(slantedTick(body, l, Math.PI / 2 - angle))
		const slant = Math.max(-2.5, Math.min(2.5, Math.tan(angle))) * input.bodyMm * edge.open
		take(body, l + Math.min(0, slant) - 0.8, l + Math.max(0, slant) + 0.8)
	}
	const label = `${number}  ${input.side === 'BOTH' ? '' : input.side}`.trim()
	items.push(...wordsOn(body, label, cut.from + 3, true))
	items.push(...frontOn(body, (l) => Math.cos(frame(chart, curve, line.measure.at(l)).angle) >= 0))
	const joins = [
		...(cut.k > 0 ? [{ from: cut.from, to: cut.from + OVERLAP_MM, other: number - 1 }] : []),
		...(cut.k < cut.n - 1 ? [{ from: cut.to - OVERLAP_MM, to: cut.to, other: number + 1 }] : []),
	]
	for (const { from, to, other } of joins) {
		for (const l of [from, to]) {
			if (l > cut.from && l < cut.to) items.push(acrossTick(body, l))
			take(body, l - 0.6, l + 0.6)
		}
		items.push(...wordsOn(body, `joins ${other}`, from + 1.5))
	}
	items.push(...wordsOn(body, 'this face up', cut.from + 3))
	for (const { station, g, l } of dots) {
		items.push(...wordsOn(body, `${girthFigure(station, input.unit)} | ${girthFigure(Math.abs(g), input.unit)}`, l + 1.2))
	}
	items.push(...wordsOn(body, edge.short, (cut.from + cut.to) / 2))

	const title = `Edge guide ${count > 1 ? `${index + 1} of ${count}, ` : ''}${edge.name}`
	const within = figure(Math.max(0.5, drift + (edge.sdMm ?? 0)))
	const notes = [
		'Leave no black, cut no white. The tape butts against the black side; paint shows on the side of the body.',
		`Ticks are marked station | girth. Set the guide on its end dots; one dot more must then fall on its tick within ${within} mm. If not, stop: never ease it over.`,
		`Short ticks on the working edge are ${bar} mm apart along it; the body is ${figure(input.bodyMm)} mm wide.`,
		`Exact along the edge; the body gives ${stretch.toFixed(2)} mm.${drift > 0.005 ? ` What is not known of the panel's shape lets it drift by up to ${drift.toFixed(2)} mm.` : ''}`,
	]
	return {
		id: `${input.panel}/${edge.id}/guide/${index + 1}`,
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
		errorMm: Math.max(stretch, line.errorMm),
		...(edge.sdMm === undefined ? {} : { lineSdMm: edge.sdMm }),
		notes,
	}
}
