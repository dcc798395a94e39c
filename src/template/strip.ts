import type { Chart } from '../chart/chart.ts'
import { crossStation, type StationCrossing } from '../chart/cross.ts'
import { toPaper } from '../chart/orient.ts'
import type { Curve } from '../chart/point.ts'
import { turnsOf } from '../chart/round.ts'
import { grown } from '../drawing/box.ts'
import type { Item } from '../drawing/drawing.ts'
import { textWidth } from '../drawing/metrics.ts'
import { polyline } from '../drawing/path.ts'
import type { PlanePoint } from '../plane/point.ts'
import { clipPolyline } from '../plane/region.ts'
import type { Unit } from '../units/length.ts'
import { type KeepOff, listed } from './keepOff.ts'
import { boxAround, frontOf, path, pieceLabel } from './marks.ts'
import { girthFigure, SPANS } from './measured.ts'
import type { PaintEdge } from './paintEdge.ts'
import type { Piece, PieceBlank, PieceSide } from './piece.ts'
import {
	BLANK,
	BLANK_STEP_MM,
	type Crossing,
	crossingMarks,
	HEAD_HALF_MM,
	headWords,
	LABEL_X_MM,
	labelsOf,
	PAST_LABEL_MM,
	type Placer,
	ruling,
} from './stripMarks.ts'
import { type StripSeam, stripShape } from './stripShape.ts'
import { stripStops } from './stripStops.ts'
import { BOLD, CENTRE, KNIFE, SMALL_MM } from './style.ts'

export interface StripInput {
	readonly chart: Chart
	readonly id: string
	readonly number: number
	readonly panel: string
	readonly panelTitle: string
	readonly side: PieceSide
	/** what the halves of the strip are called: g > 0 first */
	readonly halves: readonly [string, string]
	readonly station: number
	readonly revision?: string
	/** a datum to measure the station from: its name and the distance behind it (negative: ahead of it) */
	readonly from?: { readonly name: string; readonly distance: number }
	readonly edges: readonly PaintEdge[]
	/** known features that the working edge must meet, as a proof of place: the rim, a seam, a hole */
	readonly features: readonly { readonly name: string; readonly g: number }[]
	/** where its line crosses seams: it ends there */
	readonly seams?: readonly (StripSeam & { readonly name: string })[]
	/** where paper does not lie: it ends there */
	readonly keepOff?: KeepOff | undefined
	readonly unit: 'mm' | 'in'
	/** to be laid on the old paint before it is stripped: with blanks for what its ticks miss it by */
	readonly proof?: boolean
	/** the baseline is interrupted here (a filler, a badge) */
	readonly interruption?: { readonly what: string; readonly from: number; readonly to: number; readonly width: number }
}

/** Beyond the outermost crossing. */
const TAIL_MM = 14
/** A seam no farther than this past the outermost line is where the strip ends, mm. */
const SEAM_REACH_MM = 40
/** Crossings nearer to each other than this are one, mm. */
const ONE_PLACE_MM = 1e-3
/** Narrow enough to lie on a straight path, wide enough for its words. */
const MIN_BODY_MM = 26
/** How near a seam or rim must fall to its tick, mm (common practice, no source). */
const SEAM_MM = 0.5

/**
 * A girth strip: laid square off the baseline at a station it lies on a straightest path, so that its straight working edge is
 * true on any panel. Undefined where no line crosses the station, or none before a patch.
 */
export function girthStrip(input: StripInput): Piece | undefined {
	const { chart, station, unit } = input
	const reached = input.keepOff?.reach(station)
	const within = (g: number) => !reached || (g > reached.from && g < reached.to)
	const lines = input.edges.flatMap((edge) =>
		crossingsOf(chart, edge.curve, station)
			.filter(({ at }) => within(at.g))
			.map((c): Crossing & { readonly of: PaintEdge } => ({
				of: edge,
				g: c.at.g,
				angle: c.angle,
				words: `${edge.short} ${girthFigure(Math.abs(c.at.g), unit)}${input.proof ? `  ${BLANK}` : ''}`,
				paint: { colour: edge.colour, open: edge.open },
			})),
	)
	if (lines.length === 0) return undefined
	const featureOf = ({ name, g }: { readonly name: string; readonly g: number }, angle = 0): Crossing => ({
		g,
		angle,
		words: `${name} ${girthFigure(Math.abs(g), unit)} ±${seamFigure(unit)}`,
	})
	const seams = input.features.filter(({ g }) => within(g)).map((f) => featureOf(f))
	const reach = (g: number) => lines.some((line) => line.g * Math.sign(g) > Math.abs(g) - SEAM_REACH_MM)
	const ends = (input.seams ?? []).filter(({ g }) => reach(g) && within(g))
	const crossings = [...lines, ...seams, ...ends.map((end) => featureOf(end, end.angle))].sort(
		(a, b) => a.g - b.g || (a.words < b.words ? -1 : 1),
	)
	const girths = crossings.map((c) => c.g)
	// Past the last tick, and past the last label with the name of the half.
	const step = input.proof ? { labelStepMm: BLANK_STEP_MM } : {}
	const headHalf = HEAD_HALF_MM + (input.interruption ? input.interruption.width / 2 : 0)
	const { heights } = labelsOf(crossings, headHalf, step.labelStepMm)
	const up = heights.filter((h) => h > 0)
	const down = heights.filter((h) => h < 0)
	const top = Math.max(0, ...girths.filter((g) => g > 0).map((g) => g + TAIL_MM), ...up.map((h) => h + PAST_LABEL_MM))
	const bottom = Math.min(0, ...girths.filter((g) => g < 0).map((g) => g - TAIL_MM), ...down.map((h) => h - PAST_LABEL_MM))
	const widest = Math.max(...crossings.map((c) => textWidth(c.words, { sizeMm: SMALL_MM })))
	const body = Math.max(MIN_BODY_MM, LABEL_X_MM + 2 + widest)
	const pocket = input.interruption && {
		from: input.interruption.from - station,
		to: input.interruption.to - station,
		half: input.interruption.width / 2,
	}
	const stops = stripStops(chart, input.keepOff, { station, bottom, top, body })
	const shape = stripShape({
		top,
		bottom,
		body,
		headHalf: HEAD_HALF_MM,
		seams: ends,
		stops,
		...step,
		...(pocket ? { pocket } : {}),
	})

	const at: Placer = (x, y) => toPaper(chart, { x, y })
	const onPaper = (points: readonly PlanePoint[]) => points.map((p) => at(p.x, p.y))
	const working = clipPolyline(
		[
			{ x: 0, y: shape.bottom },
			{ x: 0, y: shape.top },
		],
		shape.region,
	).map((piece) => onPaper(piece.points))
	// A mirrored loop goes the other way round.
	const knife = shape.region.map((loop) => (chart.orientation === 1 ? onPaper(loop) : onPaper(loop).reverse()))
	const items: Item[] = [
		...knife.map((loop, i) => path('knife', polyline(loop, true), KNIFE, i === 0 ? 'knife line' : 'window')),
		...working.map((line) => path('working', polyline(line), BOLD, 'working edge')),
		path('guide', polyline([at(shape.head.from, 0), at(shape.head.to, 0)]), CENTRE, 'the taped line'),
		...ruling(at, chart.orientation, shape, crossings, unit),
		...crossingMarks(at, chart.orientation, shape, crossings),
		...headWords(at, chart.orientation, shape, crossings, {
			label: pieceLabel(input, input.number),
			panel: input.panelTitle,
			station: girthFigure(station, unit),
			bar: SPANS[unit][1],
			halves: input.halves,
			front: frontOf(chart),
		}),
	]
	return {
		id: input.id,
		number: input.number,
		kind: 'strip',
		panel: input.panel,
		panelTitle: input.panelTitle,
		side: input.side,
		title: `${input.proof ? 'Proof strip' : 'Girth strip'}, station ${girthFigure(station, unit)}`,
		knife,
		working,
		items,
		bounds: grown(boxAround(knife.flat()), 1),
		errorMm: 0,
		...(input.proof ? { blanks: lines.map((line) => blankAt(line, station)) } : {}),
		notes: notesOf(input, lines),
	}
}

const blankAt = ({ of, g }: { readonly of: PaintEdge; readonly g: number }, station: number): PieceBlank => ({
	...{ line: of.short, side: of.side, station, girth: Math.abs(g), printed: true },
})

/** Where a line crosses a station; on a ring, whose seam is both ends of a line round it, each place once. */
function crossingsOf(chart: Chart, curve: Curve, station: number): StationCrossing[] {
	const all = turnsOf(chart, curve, station).flatMap((turned) => crossStation(chart, curve, turned))
	return all.filter((hit, i) => all.findIndex((other) => Math.abs(other.at.g - hit.at.g) < ONE_PLACE_MM) === i)
}

function notesOf(input: StripInput, lines: readonly Crossing[]): string[] {
	const { station, unit, from, interruption } = input
	const reached = input.keepOff?.reach(station)
	const behind =
		from && Math.abs(from.distance) > 0.05
			? ` (${girthFigure(Math.abs(from.distance), unit)} ${from.distance > 0 ? 'behind' : 'ahead of'} ${from.name})`
			: from
				? ` (at ${from.name})`
				: ''
	const [left, right] = [Math.min(...lines.map((l) => l.g)), Math.max(...lines.map((l) => l.g))]
	return [
		`Lay the head along the taped baseline, its centre line on the tape, arrow to the ${input.chart.periodS === undefined ? 'front' : 'start of the stations'}, the working edge at station ${girthFigure(station, unit)}${behind}.`,
		...(interruption
			? [`The window in the head goes round ${interruption.what}; its ends lie on the baseline before and behind.`]
			: []),
		input.proof
			? 'Let the strip lie free on the OLD paint. At each tick write how far the original line misses it, along the strip, and whether it lies inboard (towards the baseline) or outboard.'
			: 'Let the strip lie free. Put a pencil dot on the panel at each tick, beside the working edge.',
		...(reached && reached.stops.length > 0
			? [
					`It ends at the rim of ${listed(reached.stops)}: paper does not lie there. Lines beyond are set by their guides${input.proof ? '' : ', from the dots that they have elsewhere'}.`,
				]
			: []),
		...(input.features.length > 0 || (input.seams ?? []).length > 0
			? [
					`Seams and rims must fall on their ticks within ${girthFigure(SEAM_MM, unit)}${unit === 'mm' ? ' mm' : ''}; if not, the strip is not square or the baseline is off.`,
				]
			: []),
		...(left < 0 && right > 0 && !interruption
			? [`Dry fit: over the crown from outermost tick to outermost tick the tape reads ${girthFigure(right - left, unit)}.`]
			: []),
	]
}

const seamFigure = (unit: Unit) => girthFigure(SEAM_MM, unit)
