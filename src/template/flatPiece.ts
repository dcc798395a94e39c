import type { Chart } from '../chart/chart.ts'
import type { ChartPoint, ChartRegion, Curve } from '../chart/point.ts'
import { polyline as curveLine } from '../chart/region.ts'
import { boundsOf } from '../drawing/bounds.ts'
import type { Item } from '../drawing/drawing.ts'
import { polyline } from '../drawing/path.ts'
import type { PlanePoint, Region } from '../plane/point.ts'
import { pointInRegion } from '../plane/polyline.ts'
import { clipPolyline, normalise, offsetRegion } from '../plane/region.ts'
import { simplify } from '../plane/simplify.ts'
import type { SeamCut } from '../scheme/seamCut.ts'
import { closelySet } from './closelySet.ts'
import { boxAround, frontOf, path, pieceLabel } from './marks.ts'
import { girthFigure } from './measured.ts'
import type { Piece, PieceEdge, PieceKind, PieceSide } from './piece.ts'
import { furnish, type PaperLine } from './room.ts'
import { seamCorners, seamNote } from './seamEnds.ts'
import { BOLD, KNIFE } from './style.ts'
import { unroll } from './unroll.ts'

export interface FlatPieceInput {
	readonly chart: Chart
	readonly id: string
	readonly number: number
	readonly kind: PieceKind
	readonly panel: string
	readonly panelTitle: string
	readonly side: PieceSide
	readonly title: string
	/** what is cut out */
	readonly region: ChartRegion
	/** its painted edges, to tape along */
	readonly working: readonly Curve[]
	/** where it ends */
	readonly seams?: readonly SeamCut[]
	readonly stations: readonly number[]
	readonly datums: readonly { readonly id: string; readonly s: number; readonly g: number }[]
	readonly sdMm?: number
	readonly unit: 'mm' | 'in'
	readonly revision?: string
	readonly toleranceMm: number
	/** how it lies on paper, and what that may be out by, mm; the whole panel laid flat where it bends one way at most */
	readonly laid?: { readonly flat: (p: ChartPoint) => PlanePoint; readonly errorMm: number; readonly note: string }
	/** half a turn from how stations run: its words are then read from the other side */
	readonly turned?: boolean
	/** lines to look at, beside its own */
	readonly drawn?: readonly DrawnLine[]
	readonly notes?: readonly string[]
}

/** A line of the panel that a piece shows, and what is written beside it. */
export interface DrawnLine extends Omit<PaperLine, 'points'> {
	readonly points: readonly ChartPoint[]
}

/** Chords of a line on paper leave it by no more than this: a knife cannot follow a tenth of a millimetre. */
const CHORD_MM = 0.005
/** An edge of the region lies within its chords of the line itself, mm. */
const EDGE_MM = 0.02
/** Datums this near a piece are shown with it, so that it can be placed by them. */
const DATUM_REACH_MM = 40

/** A band or field of a panel without double curvature, laid flat whole: exact. Or what is narrow enough to be laid along its line. */
export function flatPiece(input: FlatPieceInput): Piece {
	const { chart } = input
	const {
		flat: unturned,
		errorMm,
		note,
	} = input.laid ?? {
		...{ flat: unroll(chart, input.toleranceMm), errorMm: input.toleranceMm },
		note: 'This panel bends one way only, or not at all: the piece is true all over.',
	}
	const flat = (p: ChartPoint) => halfTurn(unturned(p), input.turned)
	const onPaper = (points: readonly ChartPoint[], closed = false) =>
		(chart.euclidean ? points : closelySet(chart, points, closed)).map(flat)
	const knife = normalise(input.region.map((loop) => onPaper(loop, true))).map((loop) => simplify(loop, CHORD_MM, true))
	// A line that runs off the panel goes on past the piece.
	const whole = offsetRegion(knife, EDGE_MM, { join: 'mitre' })
	const working = input.working.flatMap((c) =>
		clipPolyline(onPaper(curveLine(chart, c, CHORD_MM)), whole).map((piece) => piece.points),
	)
	const items: Item[] = [
		...knife.map((loop) => path('knife', polyline(loop, true), KNIFE, 'knife line')),
		...working.map((line) => path('working', polyline(line), { ...BOLD, widthMm: 0.3 }, 'working edge')),
	]
	const [s0, s1] = extent(input.region.flat().map((p) => p.s))
	const [g0, g1] = extent(input.region.flat().map((p) => p.g))
	const stations = input.stations.flatMap((station) => {
		if (station < s0 || station > s1) return []
		const line = [flat({ s: station, g: g0 - 1 }), flat({ s: station, g: g1 + 1 })]
		const words = girthFigure(station, input.unit)
		return clipPolyline(line, knife).map(({ points }) => ({ points, words, title: `station ${station}` }))
	})
	const base = g0 < 0 && g1 > 0 ? Array.from({ length: 65 }, (_, i) => flat({ s: s0 + ((s1 - s0) * i) / 64, g: 0 })) : []
	const near = input.datums.filter(
		(d) => d.s > s0 - DATUM_REACH_MM && d.s < s1 + DATUM_REACH_MM && d.g > g0 - DATUM_REACH_MM && d.g < g1 + DATUM_REACH_MM,
	)
	const datums = near.map((d) => ({ id: d.id, at: flat(d) }))
	const seamed = seamCorners(chart, input.region, input.working, input.seams)
	items.push(
		...furnish({
			knife,
			seams: seamed.map(({ words, at, to }) => ({ words, at: flat(at), to: flat(to) })),
			items,
			stations,
			baseline: clipPolyline(base, knife).map((piece) => piece.points),
			datums,
			drawn: (input.drawn ?? []).flatMap((line) =>
				clipPolyline(onPaper(line.points), knife).map((piece) => ({ ...line, points: piece.points })),
			),
			label: pieceLabel(input, input.number),
			panelTitle: input.panelTitle,
			front: frontWay(chart, input.turned),
			frontWord: frontOf(chart),
			unit: input.unit,
		}),
	)
	const all = boxAround([...knife.flat(), ...datums.map((d) => d.at)])
	const notes = [
		note,
		...(near.length > 0 ? [`Place it by ${near.map((d) => d.id).join(', ')} and the stations.`] : []),
		...seamNote(seamed),
		...(input.notes ?? []),
	]
	return {
		id: input.id,
		number: input.number,
		kind: input.kind,
		panel: input.panel,
		panelTitle: input.panelTitle,
		side: input.side,
		title: input.title,
		knife,
		working,
		edges: input.working.flatMap((c) => edgesOn(closelySet(chart, curveLine(chart, c, CHORD_MM)), flat, whole)),
		items,
		bounds: boundsOf(items) ?? all,
		errorMm,
		...(input.sdMm === undefined ? {} : { lineSdMm: input.sdMm }),
		notes,
	}
}

/** The way to the front on paper. */
export const frontWay = ({ orientation }: Chart, turned = false): number => ((orientation === 1) === turned ? 0 : Math.PI)

export const halfTurn = (p: PlanePoint, turned = false): PlanePoint => (turned ? { x: -p.x, y: -p.y } : p)

/** A line's places that lie on the paper, in stretches. */
function edgesOn(line: readonly ChartPoint[], flat: (p: ChartPoint) => PlanePoint, whole: Region): PieceEdge[] {
	const edges: { on: PlanePoint[]; at: ChartPoint[] }[] = []
	let last: (typeof edges)[number] | undefined
	for (const at of line) {
		const on = flat(at)
		if (!pointInRegion(on, whole)) {
			last = undefined
			continue
		}
		if (!last) {
			last = { on: [], at: [] }
			edges.push(last)
		}
		last.on.push(on)
		last.at.push(at)
	}
	return edges
}

function extent(values: readonly number[]): readonly [number, number] {
	return [values.reduce((a, b) => Math.min(a, b)), values.reduce((a, b) => Math.max(a, b))]
}
