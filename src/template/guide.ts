import type { Chart } from '../chart/chart.ts'
import { evaluate, frame } from '../chart/curve.ts'
import { distance } from '../chart/distance.ts'
import type { ChartPoint } from '../chart/point.ts'
import { boundsOf } from '../drawing/bounds.ts'
import { grown, unionBox } from '../drawing/box.ts'
import type { Box, Item } from '../drawing/drawing.ts'
import { polyline } from '../drawing/path.ts'
import type { Outcome, Problem } from '../job/problem.ts'
import { normalise } from '../plane/region.ts'
import type { SeamCut } from '../scheme/seamCut.ts'
import { type DevelopedLine, developLine, samples } from './developLine.ts'
import { cutRun, dotsOn, type GuideCut, type GuideRun, guideRuns, OVERLAP_MM, PROOF_DOTS } from './guideCuts.ts'
import { acrossTick, type Body, barOn, figureOn, frontOn, slantedTick, take, wordsNear, wordsOn } from './guideMarks.ts'
import { type Gone, goneFrom, type KeepOff, leftOf, listed } from './keepOff.ts'
import { leadOut } from './leadOut.ts'
import { boxAround, figure, filled, frontOf, path, pieceLabel } from './marks.ts'
import { girthFigure, lengthFigure, spanOn, tickFigures } from './measured.ts'
import type { PaintEdge } from './paintEdge.ts'
import type { Piece, PieceBlank, PieceSide } from './piece.ts'
import { cutBody, seamedEnds, seamNote, seamTicks } from './seamEnds.ts'
import { SHORT_BLANK } from './stripMarks.ts'
import { BOLD, INK, KNIFE } from './style.ts'

export interface GuideInput {
	readonly chart: Chart
	readonly edge: PaintEdge
	/** the same line on the other side */
	readonly twin?: PaintEdge
	/** where it ends */
	readonly seams?: readonly SeamCut[]
	/** where paper does not lie */
	readonly keepOff?: KeepOff | undefined
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
	/** to be laid along the old paint: with blanks for what its ticks miss it by */
	readonly proof?: boolean
	readonly revision?: string
	/** JSON pointer to the panel */
	readonly path?: string
}

const WASTE_MM = 3
/** A dot's tick where a patch takes the far side of the body, mm. */
const SHORT_TICK_MM = 2
/** Chords of the knife line leave the true line by no more than this. */
const CHORD_MM = 0.01
/** What a third dot may be off its tick at the least: a pencil dot and its strip, mm (common practice, no source). */
const DOT_MM = 0.5

/**
 * The guides of one line: narrow pieces with the line as their working edge, the body on the open side so that tape butts
 * against it. Same length and in-surface curvature as the line: exact along it on any panel.
 * A curvature that is uncertain by dk lets a guide of length L drift by dk L^2 / 8, which sets their length.
 */
export function edgeGuides(input: GuideInput): Outcome<readonly Piece[]> {
	const { chart, edge, twin } = input
	const runs = guideRuns({ ...input, curve: edge.curve, open: edge.open, twin: twin?.curve })
	const cuts = runs.flatMap((run) => {
		const line = developLine(chart, run.curve, input.toleranceMm)
		const all = cutRun(run, dotsOn(chart, run, input.stations))
		const reach = [-WASTE_MM * edge.open, input.bodyMm * edge.open].sort((a, b) => a - b) as [number, number]
		const gone = goneFrom(chart, run.curve, line, input.keepOff, reach, run.ring ? run.length - OVERLAP_MM : 0)
		return all.map((cut, k): Cut => ({ ...cut, line, run, k, all, gone }))
	})
	const pieces = cuts.map((cut, i) => guide(input, cut, i, cuts.length))
	return { value: pieces, problems: [...pastLimit(input, cuts), ...fewDots(input, cuts)] }
}

/** One guide of a run, the `k`th of all that it is cut into. */
interface Cut extends GuideCut {
	readonly run: GuideRun
	readonly line: DevelopedLine
	readonly k: number
	readonly all: readonly GuideCut[]
	/** what patches take of its body */
	readonly gone: Gone
}

const driftOf = ({ run, from, to }: Cut) => (run.curvatureSd * (to - from) ** 2) / 8
const stretchOf = ({ run, from, to }: Cut) => Math.abs(run.stretch(to) - run.stretch(from))

/** Guides that are out by more than the limit although they are as short as guides are made. */
function pastLimit(input: GuideInput, cuts: readonly Cut[]): Problem[] {
	const { edge, limitMm } = input
	const worst = (of: (cut: Cut) => number) => Math.max(0, ...cuts.map(of))
	return (
		[
			['drift', worst((c) => driftOf(c)), 'measure the shape of the panel better: more places, and finer'],
			['stretch', worst(stretchOf), 'make the guides narrower, or tape this line from the dots of strips set closer'],
		] as const
	).flatMap(([what, mm, fix]): Problem[] =>
		mm <= limitMm + 1e-6
			? []
			: [
					{
						code: 'GUIDE_PAST_LIMIT',
						severity: 'warning',
						path: input.path ?? '',
						place: { panel: input.panel, side: edge.side },
						found: `guides of ${edge.name} ${what} by up to ${mm.toFixed(2)} mm, though they are as short as guides are made`,
						expected: `at most ${limitMm.toFixed(2)} mm`,
						fix,
					},
				],
	)
}

/** Guides with too few dots to be proved in place. */
function fewDots(input: GuideInput, cuts: readonly Cut[]): Problem[] {
	// On a panel that lies flat a guide is true as it is: two dots and the taped length between them prove it.
	const enough = input.chart.developable ? 2 : PROOF_DOTS
	const few = cuts.flatMap((cut, i) => (cut.dots.length < enough ? [input.firstNumber + i] : []))
	if (few.length === 0) return []
	const one = few.length === 1
	// Three dots on the longest of these guides, the outer ones a little inside its ends.
	const apart = Math.floor(Math.max(...cuts.map((c) => c.to - c.from)) / PROOF_DOTS)
	return [
		{
			code: 'GUIDE_FEW_DOTS',
			severity: 'note',
			path: input.path ?? '',
			place: { panel: input.panel, side: input.edge.side },
			found: `${one ? 'guide' : 'guides'} ${few.join(', ')} of ${input.edge.name} ${one ? 'meets' : 'meet'} fewer than ${PROOF_DOTS} girth strips`,
			expected: `${PROOF_DOTS} dots on each guide: two to set it by and one to prove it`,
			fix: `check the taped length that is printed with each, or ask for strips every ${girthFigure(apart, input.unit)} under "strips"`,
		},
	]
}

function guide(input: GuideInput, cut: Cut, index: number, count: number): Piece {
	const { chart, edge } = input
	const { line, run, dots } = cut
	const number = input.firstNumber + index
	const ls = samples(line, cut.from, cut.to, CHORD_MM)
	const parallel = (off: number) => ls.map((l) => line.at(l, edge.open * off))
	const working = parallel(0)
	// On the inside of a tight bend the body's far side would fold over itself: the outline is what it covers.
	const covered = normalise([[...working, ...parallel(input.bodyMm).reverse()]])
	const beside = normalise([[...working, ...parallel(-WASTE_MM).reverse()]])
	const body: Body = { line, open: edge.open, width: input.bodyMm, from: cut.from, to: cut.to, taken: [], led: [] }
	const seamed = seamedEnds(chart, run, cut, input.seams)
	const outline = leftOf(cutBody(body, covered, seamed), cut.gone)
	const waste = leftOf(cutBody({ ...body, open: -edge.open as 1 | -1, width: WASTE_MM }, beside, seamed), cut.gone)
	for (const [from, to] of cut.gone.spans) take(body, from, to)
	const drift = driftOf(cut)
	const stretch = stretchOf(cut)
	const items: Item[] = [
		filled('fill', waste, INK),
		...outline.map((loop) => path('knife', polyline(loop, true), KNIFE, 'knife line')),
		path('working', polyline(working), BOLD, 'working edge'),
	]
	const onSeams = seamTicks(body, seamed)
	items.push(...onSeams.items)
	const joins = joinsOf(input, cut, index)
	for (const { from, to } of joins) {
		for (const l of [from, to]) {
			if (l > cut.from && l < cut.to) items.push(acrossTick(body, l))
			take(body, l - 0.6, l + 0.6)
		}
	}
	const ticks = dots.map(({ station, at, l, angle }) => {
		// The girth line runs at a right angle to the baseline's direction, so at 90 degrees less the line's own angle off it.
		const short = cut.gone.spans.some(([from, to]) => l > from && l < to)
		const { tick, end } = slantedTick(short ? { ...body, width: SHORT_TICK_MM } : body, l, Math.PI / 2 - angle)
		items.push(tick)
		const slant = Math.max(-2.5, Math.min(2.5, Math.tan(angle))) * input.bodyMm * edge.open
		const span = [l + Math.min(0, slant) - 0.8, l + Math.max(0, slant) + 0.8] as const
		take(body, ...span)
		return { l, span, end, words: tickFigures(station, at.g, input.unit) }
	})
	// Without its number and side a guide that is cut out is lost; then what is read at a tick, at the tick.
	items.push(...wordsOn(body, pieceLabel(input, number), cut.from + 3, { bold: true }))
	items.push(...onSeams.words(dots.map(({ l, angle }) => ({ l, turn: Math.PI / 2 - angle }))))
	for (const { words, l, span, end } of ticks) items.push(...figureOn(body, words, l, span, end))
	for (const { from, other } of joins) items.push(...wordsOn(body, `joins ${other}`, from + 1.5))
	const bar = spanOn(cut.to - cut.from, input.unit)
	if (bar) items.push(...barOn(body, bar.mm))
	items.push(...frontOn(body, (l) => Math.cos(frame(chart, run.curve, line.measure.at(l)).angle) >= 0, frontOf(chart)))
	const middle = (cut.from + cut.to) / 2
	items.push(...wordsOn(body, 'this face up', cut.from + 3))
	// all together where blanks want the rest
	items.push(...wordsOn(body, edge.short, input.proof ? cut.from + 3 : middle))
	const blanks = input.proof ? dots.map(({ station, at, l }) => blankOn(input, body, items, station, at.g, l)) : []
	const more = input.proof ? [] : ['tape along this edge', input.panelTitle]
	for (const words of more) items.push(...wordsOn(body, words, middle, { optional: true }))
	items.push(...leadOut(body.led, items, [...outline, ...waste]))

	const title = `Edge guide ${count > 1 ? `${index + 1} of ${count}, ` : ''}${edge.name}`
	const within = figure(Math.max(DOT_MM, drift + (edge.sdMm ?? 0)))
	const sd = Math.hypot(edge.sdMm ?? 0, drift)
	const notes = [
		'Leave no black, cut no white. Fine-line tape goes along this edge: it butts against the black side; paint shows on the side of the body.',
		placing(input, cut, joins, within),
		...seamNote(seamed),
		...stopNote(input, cut, index, count),
		...(bar ? [`Short ticks on the working edge are ${bar.words} apart along it.`] : []),
		`The body is ${figure(input.bodyMm)} mm wide.`,
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
		edges: [{ on: working, at: ls.map((l) => evaluate(run.curve, run.measure.at(l)).at) }],
		items,
		bounds: grown(unionBox([boxAround([...outline.flat(), ...waste.flat()]), boundsOf(items)]) as Box, 1),
		errorMm: Math.max(stretch, line.errorMm),
		...(edge.sdMm === undefined && drift <= 0.005 ? {} : { lineSdMm: sd }),
		...(input.proof ? { blanks } : {}),
		notes,
	}
}

/** A blank as near to a tick as there is room on the body: it says of which station it is. Where there is none a page has it. */
function blankOn({ edge, unit }: GuideInput, body: Body, items: Item[], station: number, g: number, l: number): PieceBlank {
	const words = `${girthFigure(station, unit).replace(/ in$/, '')}: ${SHORT_BLANK}`
	const set = wordsNear(body, words, l)
	items.push(...set)
	return { line: edge.short, side: edge.side, station, girth: Math.abs(g), printed: set.length > 0 }
}

/** Where a guide begins and ends at patches, in words. */
function stopNote(input: GuideInput, { run, all, k, gone, from, to }: Cut, index: number, count: number): string[] {
	const number = input.firstNumber + index
	const before = k === 0 ? run.stops.from : undefined
	const behind = k === all.length - 1 ? run.stops.to : undefined
	const narrow = gone.spans.some(([a, b]) => a < to && b > from)
	return [
		...(before ? [`It begins behind ${listed([before])}${index > 0 ? `, as far as which ${number - 1} goes` : ''}.`] : []),
		...(behind
			? [`It stops at the rim of ${listed([behind])}${index < count - 1 ? `; ${number + 1} goes on behind it` : ''}.`]
			: []),
		...(before || behind ? ['Carry the tape on between the two by eye, in one pull: no paper lies there.'] : []),
		...(narrow ? ['Where a rim comes nearer than its width, its body is cut away.'] : []),
	]
}

interface Join {
	readonly from: number
	readonly to: number
	readonly other: number
}

/** Where a guide goes on into its neighbours; on a closed line also over the seam. */
function joinsOf(input: GuideInput, { run, all, k, from, to }: Cut, index: number): Join[] {
	const first = input.firstNumber + index - k
	const before = all[k - 1]
	const after = all[k + 1]
	const last = all.length - 1
	return [
		...(before ? [{ from, to: before.to, other: first + k - 1 }] : []),
		...(!before && run.ring ? [{ from, to: from + OVERLAP_MM, other: first + last }] : []),
		...(after ? [{ from: after.from, to, other: first + k + 1 }] : []),
		...(!after && run.ring ? [{ from: to - OVERLAP_MM, to, other: first }] : []),
	]
}

/** How a guide is set and proved, by the dots that it has. */
function placing(input: GuideInput, cut: Cut, joins: readonly Join[], within: string): string {
	const { chart, unit } = input
	const taped = (p: ChartPoint, q: ChartPoint) => {
		const length = distance(chart, p, q, TAPE_MM)?.length
		return length === undefined ? undefined : lengthFigure(length, unit)
	}
	const { dots } = cut
	const [first, last] = [dots[0], dots[dots.length - 1]]
	const between = first && last && first !== last ? taped(first.at, last.at) : undefined
	if (dots.length >= PROOF_DOTS) {
		const dry = between ? ` Dry fit: by tape on the panel its first dot is ${between} from its last.` : ''
		return `Ticks are marked station | girth. Set the guide on its end dots; ${dots.length > PROOF_DOTS ? 'those' : 'the one'} between must then fall on ${dots.length > PROOF_DOTS ? 'their ticks' : 'its tick'} within ${within} mm. If not, stop: never ease it over.${dry}`
	}
	if (dots.length === 2) {
		const check = between ? ` and check the length between them: ${between} by tape on the panel` : ''
		return `Ticks are marked station | girth. Set the guide on its two dots${check}. If it does not lie on both, stop: never ease it over.`
	}
	const end = (l: number) => evaluate(cut.run.curve, cut.run.measure.at(l)).at
	const whole = taped(end(cut.from), end(cut.to))
	const others = joins.map((j) => j.other)
	const by = [
		...(dots.length === 1 ? ['its one dot'] : []),
		...(others.length > 0 ? [`the overlap ticks that it shares with ${others.join(' and ')}`] : []),
		...(whole ? [`the taped length from its one end to its other, ${whole} on the panel`] : []),
	]
	return `No two dots locate this guide: set it by ${by.join(', ')}.`
}

/** A taped length is worked out far finer than a tape is read. */
const TAPE_MM = 1e-4
