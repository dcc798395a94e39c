/** Pieces that lie across the crown and carry a line of both sides, so that both are located at once. */
import type { Chart } from '../chart/chart.ts'
import { crossStation } from '../chart/cross.ts'
import { evaluate } from '../chart/curve.ts'
import { distance } from '../chart/distance.ts'
import type { ChartPoint } from '../chart/point.ts'
import { boundsOf } from '../drawing/bounds.ts'
import { grown, unionBox } from '../drawing/box.ts'
import type { Box, Item } from '../drawing/drawing.ts'
import { polyline } from '../drawing/path.ts'
import type { PlanePoint, Region } from '../plane/point.ts'
import { intersect, normalise, subtract, union } from '../plane/region.ts'
import type { SeamCut } from '../scheme/seamCut.ts'
import type { Unit } from '../units/length.ts'
import { type DevelopedLine, developLine, samples } from './developLine.ts'
import { cutRun, type Dot, dotsOn, type GuideCut, type GuideRun, guideRuns } from './guideCuts.ts'
import { acrossTick, type Body, figureOn, slantedTick, take, wordsOn } from './guideMarks.ts'
import { goneFrom, type KeepOff, leftOf, listed } from './keepOff.ts'
import { type LedWords, leadOut } from './leadOut.ts'
import { bar, boxAround, figure, filled, path, pieceLabel } from './marks.ts'
import { girthFigure, lengthFigure, SPANS, tickFigures } from './measured.ts'
import type { PaintEdge } from './paintEdge.ts'
import type { Piece } from './piece.ts'
import { cutBody, seamedEnds, seamNote, seamTicks } from './seamEnds.ts'
import { HEAD_HALF_MM, headWords } from './stripMarks.ts'
import { type StripShape, stripShape } from './stripShape.ts'
import { BOLD, CENTRE, INK, KNIFE } from './style.ts'

export interface OverCrownInput {
	readonly chart: Chart
	readonly panel: string
	readonly panelTitle: string
	/** one line on both sides: its marks lie at the same stations */
	readonly left: PaintEdge
	readonly right: PaintEdge
	/** where lines end */
	readonly seams?: readonly SeamCut[]
	readonly firstNumber: number
	/** stations of the girth strips, whose dots prove the pieces */
	readonly stations: readonly number[]
	/** where the baseline is interrupted: no head lies there */
	readonly interruptions: readonly { readonly from: number; readonly to: number }[]
	/** where paper does not lie */
	readonly keepOff?: KeepOff | undefined
	readonly bodyMm: number
	readonly limitMm: number
	readonly toleranceMm: number
	readonly unit: Unit
	readonly revision?: string
}

/** Why a line is not made over the crown. */
export type NoOverCrown = 'corners' | 'sides-differ' | 'near-crown' | 'far' | 'interrupted'

export type OverCrown =
	| { readonly ok: true; readonly pieces: readonly Piece[] }
	| { readonly ok: false; readonly why: NoOverCrown }

/** The bridge behind the station's line that holds both sides together. */
const BRIDGE_MM = 14
const WASTE_MM = 3
/** A dot's tick where a patch takes the far side of the body, mm. */
const SHORT_TICK_MM = 2
const CHORD_MM = 0.01
/** Between the head and a guide's body room is left for scissors. */
const CLEAR_MM = 4
/** Farther out than this the bridge is a ribbon that pulls askew (common practice, no source). */
export const FARTHEST_MM = 110
/** What a dot may be off its tick at the least: a pencil dot and its strip, mm (common practice, no source). */
const DOT_MM = 0.5
/** Half of the head that squares the piece. */
const HEAD_REACH_MM = 66
/** A length of line that is laid this near to a station of a strip takes that one. */
const NEAR_STATION_MM = 25
/** Lengths across are worked out far finer than a tape is read. */
const TAPE_MM = 1e-4

/** One side of a piece: its line, already where it lies on the piece's paper. */
interface Arm {
	readonly edge: PaintEdge
	readonly run: GuideRun
	readonly line: DevelopedLine
	readonly from: number
	readonly to: number
	readonly dots: readonly Dot[]
	/** girth at the bridge, signed */
	readonly g: number
}

/**
 * A line of both sides as pieces across the crown: at one station a bridge square off the baseline, which is a straightest path
 * and so straight on paper; on it, at the true crossing angles, an edge guide of either side, each with its line's own length
 * and in-surface curvature. A tree of narrow parts lies on any panel without stretch.
 */
export function overCrown(input: OverCrownInput): OverCrown {
	const { chart, left, right } = input
	const runs = ([right, left] as const).map(({ curve, open }) =>
		guideRuns({ ...input, curve, open, twin: curve === left.curve ? right.curve : undefined }),
	)
	const [ofRights, ofLefts] = runs as [readonly GuideRun[], readonly GuideRun[]]
	const atCorner = (list: readonly GuideRun[]) => list.slice(1).some(({ stops }) => stops.from === undefined)
	if (ofRights.length === 0 || runs.some((list) => list[0]?.ring || atCorner(list))) return { ok: false, why: 'corners' }
	// A patch on one side only.
	if (ofRights.length !== ofLefts.length) return { ok: false, why: 'sides-differ' }
	const both = ofRights.map((ofRight, i): Both => {
		const ofLeft = ofLefts[i] as GuideRun
		const lines = {
			right: developLine(chart, ofRight.curve, input.toleranceMm),
			left: developLine(chart, ofLeft.curve, input.toleranceMm),
		}
		return { ofRight, ofLeft, lines, cuts: cutRun(ofRight, dotsOn(chart, ofRight, input.stations)) }
	})
	const count = both.reduce((sum, { cuts }) => sum + cuts.length, 0)
	const pieces: Piece[] = []
	for (const { ofRight, ofLeft, lines, cuts, k, cut } of both.flatMap((of) => of.cuts.map((cut, k) => ({ ...of, cut, k })))) {
		// To a half, as it is read off a tape.
		const middle = Math.round(evaluate(ofRight.curve, ofRight.measure.at((cut.from + cut.to) / 2)).at.s * 2) / 2
		const station = stationFor(input, ofRight, cut, middle)
		if (station === undefined) return { ok: false, why: 'interrupted' }
		const here = crossStation(chart, ofRight.curve, station)
		const there = crossStation(chart, ofLeft.curve, station)
		const [r, l] = [here[0], there[0]]
		if (!r || !l || here.length > 1 || there.length > 1) return { ok: false, why: 'sides-differ' }
		if (Math.max(Math.abs(r.at.g), Math.abs(l.at.g)) > FARTHEST_MM) return { ok: false, why: 'far' }
		// The other side as far to the front and to the rear, as its own line counts.
		const along = ofLeft.measure.lengthAt(l.u) - ofRight.measure.lengthAt(r.u)
		const own = (at: number) => Math.max(0, Math.min(ofLeft.length, at + along))
		const arms: Arm[] = [
			{ edge: right, run: ofRight, line: laid(lines.right, ofRight.measure.lengthAt(r.u), r), ...cut, g: r.at.g },
			{
				edge: left,
				run: ofLeft,
				line: laid(lines.left, ofLeft.measure.lengthAt(l.u), l),
				from: own(cut.from),
				to: own(cut.to),
				dots: dotsOn(
					chart,
					ofLeft,
					cut.dots.map((d) => d.station),
				),
				g: l.at.g,
			},
		]
		const joins = [cuts[k - 1]?.to, cuts[k + 1]?.from].map((at) => at !== undefined && at - ofRight.measure.lengthAt(r.u))
		const piece = pieceOf(input, arms, station, { index: pieces.length, count, joins })
		if (!piece) return { ok: false, why: 'near-crown' }
		pieces.push(piece)
	}
	return { ok: true, pieces }
}

/** A stretch of the line on both sides, and what it is cut into. */
interface Both {
	readonly ofRight: GuideRun
	readonly ofLeft: GuideRun
	readonly lines: { readonly right: DevelopedLine; readonly left: DevelopedLine }
	readonly cuts: readonly GuideCut[]
}

/** Where the bridge goes: a strip's station near the middle, else the middle; clear of interruptions. */
function stationFor(
	{ chart, stations, interruptions, keepOff }: OverCrownInput,
	run: GuideRun,
	cut: { readonly from: number; readonly to: number },
	middle: number,
): number | undefined {
	const clear = (s: number) => interruptions.every((i) => s + HEAD_REACH_MM < i.from || s - HEAD_REACH_MM > i.to)
	const reaches = (s: number, { curve }: GuideRun, u: number) => {
		const reach = keepOff?.reach(s)
		const g = Math.abs(evaluate(curve, u).at.g)
		return !reach || (g < reach.to && -g > reach.from)
	}
	const on = (s: number) =>
		crossStation(chart, run.curve, s).some(({ u }) => {
			const l = run.measure.lengthAt(u)
			return l > cut.from + BRIDGE_MM && l < cut.to - 2 * BRIDGE_MM && reaches(s, run, u)
		})
	const near = [...stations]
		.filter((s) => Math.abs(s - middle) < NEAR_STATION_MM)
		.sort((a, b) => Math.abs(a - middle) - Math.abs(b - middle))
	const steps = Array.from({ length: 12 }, (_, i) => middle + (i % 2 ? 1 : -1) * Math.ceil(i / 2) * 10)
	return [...near, ...steps].find((s) => clear(s) && on(s))
}

/** The developed line moved so that at length `l` it stands on the bridge's line at its girth and crosses it at its true angle. */
function laid(line: DevelopedLine, l: number, { at, angle }: { readonly at: ChartPoint; readonly angle: number }): DevelopedLine {
	const turn = angle - line.heading(l)
	const [c, s] = [Math.cos(turn), Math.sin(turn)]
	const p = line.at(l)
	return {
		...line,
		at(to, off) {
			const q = line.at(to, off)
			const [x, y] = [q.x - p.x, q.y - p.y]
			return { x: x * c - y * s, y: at.g + x * s + y * c }
		},
		heading: (to) => line.heading(to) + turn,
	}
}

interface InRow {
	readonly index: number
	readonly count: number
	/** where the piece before ends and the next begins, from the bridge along the line, mm */
	readonly joins: readonly (number | false)[]
}

function pieceOf(
	input: OverCrownInput,
	arms: readonly Arm[],
	station: number,
	{ index, count, joins }: InRow,
): Piece | undefined {
	const { chart, unit, bodyMm } = input
	const number = input.firstNumber + index
	const girths = arms.map((arm) => arm.g)
	// Into a body that lies outside its line the bridge reaches half-way.
	const reach = (arm: Arm) => arm.g + (arm.edge.open * arm.g > 0 ? (Math.sign(arm.g) * bodyMm) / 2 : 0)
	const shape = stripShape({
		top: Math.max(...arms.map(reach)),
		bottom: Math.min(...arms.map(reach)),
		body: BRIDGE_MM,
		headHalf: HEAD_HALF_MM,
	})
	const led: LedWords[] = []
	const drawn = arms.map((arm) => {
		const ls = samples(arm.line, arm.from, arm.to, CHORD_MM)
		const parallel = (off: number): PlanePoint[] => ls.map((l) => arm.line.at(l, arm.edge.open * off))
		const working = parallel(0)
		const { line, from, to } = arm
		const body: Body = { line, open: arm.edge.open, width: bodyMm, from, to, taken: [], led }
		const waste: Body = { ...body, open: -arm.edge.open as 1 | -1, width: WASTE_MM }
		const seamed = seamedEnds(chart, arm.run, arm, input.seams)
		const reach = [-WASTE_MM * arm.edge.open, bodyMm * arm.edge.open].sort((a, b) => a - b) as [number, number]
		const gone = goneFrom(chart, arm.run.curve, line, input.keepOff, reach)
		for (const [a, b] of gone.spans) take(body, a, b)
		const clear = (region: Region) => leftOf(region, gone)
		return {
			...{ arm, working, seamed, gone, on: body },
			edge: { on: working, at: ls.map((l) => evaluate(arm.run.curve, arm.run.measure.at(l)).at) },
			body: clear(cutBody(body, normalise([[...working, ...parallel(bodyMm).reverse()]]), seamed)),
			waste: clear(cutBody(waste, normalise([[...working, ...parallel(-WASTE_MM).reverse()]]), seamed)),
		}
	})
	const bodies = drawn.map((d) => d.body)
	const wastes = drawn.map((d) => d.waste)
	const head: Region = [
		[
			{ x: shape.head.from - CLEAR_MM, y: -shape.head.half - CLEAR_MM },
			{ x: shape.head.to + CLEAR_MM, y: -shape.head.half - CLEAR_MM },
			{ x: shape.head.to + CLEAR_MM, y: shape.head.half + CLEAR_MM },
			{ x: shape.head.from - CLEAR_MM, y: shape.head.half + CLEAR_MM },
		],
	]
	const crowded = [...bodies, ...wastes].some((part) => intersect(part, head).length > 0)
	if (
		crowded ||
		intersect(union([bodies[0] as Region, wastes[0] as Region]), union([bodies[1] as Region, wastes[1] as Region])).length > 0
	)
		return undefined
	const knife = union([shape.region, ...bodies])
	const waste = subtract(wastes.flat(), shape.region)
	const items: Item[] = [
		filled('fill', waste, INK),
		...knife.map((loop, i) => path('knife', polyline(loop, true), KNIFE, i === 0 ? 'knife line' : 'window')),
		...drawn.map(({ working }) => path('working', polyline(working), BOLD, 'working edge')),
		path(
			'guide',
			polyline([
				{ x: shape.head.from, y: 0 },
				{ x: shape.head.to - 6, y: 0 },
			]),
			CENTRE,
			'the taped line',
		),
		...headWords((x, y) => ({ x, y }), 1, headOnly(shape), [], {
			label: pieceLabel({ side: 'BOTH', ...(input.revision === undefined ? {} : { revision: input.revision }) }, number),
			panel: input.panelTitle,
			station: girthFigure(station, unit),
			bar: SPANS[unit][1],
			halves: ['RIGHT', 'LEFT'],
		}),
		...bar({ x: shape.head.to - 3, y: -SPANS[unit][2].mm / 2 }, Math.PI / 2, SPANS[unit][2], 1),
	]
	for (const { arm, on: body, seamed, gone } of drawn) {
		const bridge = arm.line.measure.lengthAt(crossStation(chart, arm.run.curve, station)[0]?.u ?? 0)
		take(body, bridge - 1, bridge + BRIDGE_MM * 1.2)
		const onSeams = seamTicks(body, seamed)
		items.push(...onSeams.items)
		const meets = joins.flatMap((off, i) =>
			off === false ? [] : [{ l: bridge + off, other: number + (i === 0 ? -1 : 1), first: i === 0 }],
		)
		for (const { l } of meets) {
			items.push(acrossTick(body, l))
			take(body, l - 0.6, l + 0.6)
		}
		// All ticks stand before any words do.
		const ticks = arm.dots
			.filter(({ l, station: s }) => l >= arm.from + 1 && l <= arm.to - 1 && Math.abs(s - station) >= 1)
			.map(({ at, l, angle, station: s }) => {
				const short = gone.spans.some(([from, to]) => l > from && l < to)
				const { tick, end } = slantedTick(short ? { ...body, width: SHORT_TICK_MM } : body, l, Math.PI / 2 - angle)
				items.push(tick)
				const slant = Math.max(-2.5, Math.min(2.5, Math.tan(angle))) * bodyMm * arm.edge.open
				const span = [l + Math.min(0, slant) - 0.8, l + Math.max(0, slant) + 0.8] as const
				take(body, ...span)
				return { l, end, span, words: tickFigures(s, at.g, unit) }
			})
		items.push(...onSeams.words(arm.dots.map(({ l, angle }) => ({ l, turn: Math.PI / 2 - angle }))))
		for (const { words, l, span, end } of ticks) items.push(...figureOn(body, words, l, span, end))
		for (const { l, other, first } of meets) items.push(...wordsOn(body, `joins ${other}`, first ? arm.from + 1.5 : l + 1.5))
		items.push(...wordsOn(body, arm.g < 0 ? 'LEFT' : 'RIGHT', arm.from + 2, { bold: true }))
		items.push(...wordsOn(body, `${number}`, arm.to - 12, { bold: true, optional: true }))
		items.push(...wordsOn(body, arm.edge.short, arm.to - 25, { optional: true }))
	}
	items.push(...leadOut(led, items, [...knife, ...waste]))
	const stretch = Math.max(...arms.map((arm) => Math.abs(arm.run.stretch(arm.to) - arm.run.stretch(arm.from))))
	const drift = Math.max(...arms.map((arm) => (arm.run.curvatureSd * (arm.to - arm.from) ** 2) / 8))
	const lineSdMm = Math.max(...arms.map((arm) => arm.edge.sdMm ?? 0))
	const { right } = input
	return {
		id: `${input.panel}/${right.id.replace(/\/right(?=\/|$)/, '')}/over-crown/${index + 1}`,
		number,
		kind: 'crown',
		panel: input.panel,
		panelTitle: input.panelTitle,
		side: 'BOTH',
		title: `Over-crown piece ${count > 1 ? `${index + 1} of ${count}, ` : ''}${right.name}`,
		knife,
		working: drawn.map((d) => d.working),
		edges: drawn.map((d) => d.edge),
		items,
		bounds: grown(unionBox([boxAround([...knife.flat(), ...waste.flat()]), boundsOf(items)]) as Box, 1),
		errorMm: Math.max(stretch, ...arms.map((arm) => arm.line.errorMm)),
		lineSdMm: Math.hypot(lineSdMm, drift),
		notes: [
			`Lay the head along the taped baseline, its centre line on the tape, arrow to the front, the bridge at station ${girthFigure(station, unit)}. Let it lie free: both sides fall into place together.`,
			'Leave no black, cut no white. Fine-line tape goes along the black side of each edge.',
			...(arms.some((arm) => arm.edge.open * arm.g > 0)
				? ['Tape up to the bridge from both sides; lift the piece and finish with one long pull.']
				: []),
			dryFit(input, arms, girths),
			...seamNote(drawn.flatMap(({ seamed }) => seamed)),
			...stopNote(arms),
			...(arms.some((arm) => arm.dots.length > 0)
				? [
						`Ticks are marked station | girth: the dots of the girth strips must fall on them within ${figure(Math.max(DOT_MM, drift + lineSdMm))} mm. If not, stop: never ease it over.`,
					]
				: []),
			`Exact along both edges; the bodies give ${stretch.toFixed(2)} mm.${drift > 0.005 ? ` What is not known of the panel's shape lets them drift by up to ${drift.toFixed(2)} mm.` : ''}`,
		],
	}
}

/** The patches that a piece ends at, in words. */
function stopNote(arms: readonly Arm[]): string[] {
	const ends = arms.flatMap(({ run, from, to }) => [
		...(from < 1e-6 && run.stops.from ? [run.stops.from] : []),
		...(to > run.length - 1e-6 && run.stops.to ? [run.stops.to] : []),
	])
	return ends.length === 0 ? [] : [`It ends at the rim of ${listed(ends)}: carry the tape on from there by eye, in one pull.`]
}

/** The shape of the head alone, so that no names of halves stand on the bridge: the guides carry them. */
const headOnly = (shape: StripShape): StripShape => ({ ...shape, top: shape.head.half, bottom: -shape.head.half })

/** Lengths across the crown that prove shape and printing before anything is taped. */
function dryFit({ chart, unit }: OverCrownInput, [r, l]: readonly Arm[], girths: readonly number[]): string {
	const end = (arm: Arm | undefined, at: 'from' | 'to') => arm && evaluate(arm.run.curve, arm.run.measure.at(arm[at])).at
	const across = (at: 'from' | 'to') => {
		const [p, q] = [end(l, at), end(r, at)]
		const length = p && q && distance(chart, p, q, TAPE_MM)?.length
		return length === undefined ? undefined : lengthFigure(length, unit)
	}
	const at = lengthFigure(Math.max(...girths) - Math.min(...girths), unit)
	const [front, rear] = [across('from'), across('to')]
	return `Dry fit, by tape on the panel from edge to edge over the crown: ${at} at the bridge${front ? `, ${front} at the front ends` : ''}${rear ? `, ${rear} at the rear ends` : ''}.`
}
