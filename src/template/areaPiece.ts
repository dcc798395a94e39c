import type { Chart } from '../chart/chart.ts'
import { toPaper } from '../chart/orient.ts'
import type { Curve } from '../chart/point.ts'
import { polyline as curveLine } from '../chart/region.ts'
import { boundsOf } from '../drawing/bounds.ts'
import { grown, unionBox } from '../drawing/box.ts'
import type { Box, Item } from '../drawing/drawing.ts'
import { polyline } from '../drawing/path.ts'
import type { PlanePoint, Region } from '../plane/point.ts'
import { lengthOf } from '../plane/polyline.ts'
import { clipPolyline } from '../plane/region.ts'
import { simplify } from '../plane/simplify.ts'
import { type AreaCut, areaCut } from './areaCut.ts'
import { type AreaLaying, layArea } from './areaLaying.ts'
import { closelySet } from './closelySet.ts'
import { type DrawnLine, type FlatPieceInput, frontWay, halfTurn } from './flatPiece.ts'
import { type FlatArea, lineOn, placeOn } from './flatten.ts'
import { boxAround, frontOf, path, pieceLabel, stroke } from './marks.ts'
import { girthFigure } from './measured.ts'
import type { Piece, PieceEdge, PieceKind } from './piece.ts'
import { furnish, type PaperLine } from './room.ts'
import { seamCorners, seamNote } from './seamEnds.ts'
import { stretchPicture } from './stretchPicture.ts'
import { BOLD, KNIFE } from './style.ts'

export interface AreaPieceInput extends Omit<FlatPieceInput, 'kind' | 'toleranceMm'> {
	/** 'area' where not said */
	readonly kind?: PieceKind
	/** what it may be out by across any gap between slits, mm */
	readonly limitMm: number
}

/** Chords of a line on paper leave it by no more than this: a knife cannot follow a tenth of a millimetre. */
const CHORD_MM = 0.005
/** A station's tick on an edge to tape along reaches so far into the piece, mm. */
const TICK_MM = 3

/**
 * A colour field of a doubly curved panel as one piece of paper: laid flat with as little stretch as can be, slit from its edge
 * inward where it would else be out by more than the limit. Undefined where that takes more slits than a piece can bear, or
 * the field cannot be laid flat at all: it is then masked from the guides of its edges.
 */
export function areaPiece(input: AreaPieceInput): Piece | undefined {
	const laying = layArea(input.chart, input.region, input.working, input)
	const cut = laying && areaCut(laying.flat)
	return cut && dress(input, laying, cut)
}

function dress(input: AreaPieceInput, { flat, slits }: AreaLaying, cut: AreaCut): Piece {
	const { chart } = input
	const toSheet = (p: PlanePoint) => halfTurn(toPaper(chart, p), input.turned)
	const onPaper = (line: readonly PlanePoint[]) => line.map(toSheet)
	// The panel's hand turns loops over; they keep their sense.
	const loop = (points: readonly PlanePoint[]) => (chart.orientation === 1 ? onPaper(points) : onPaper(points).reverse())
	const knife = cut.knife.map((points) => simplify(loop(points), CHORD_MM, true))
	const cuts = cut.cuts.map(onPaper)
	// Front to rear on either side, as all lines go: a rim goes round.
	const rearward = (line: readonly PlanePoint[]) =>
		chart.orientation * ((line.at(-1)?.x ?? 0) - (line[0]?.x ?? 0)) < 0 ? line.toReversed() : line
	const working = cut.working.map((line) => simplify(rearward(onPaper(line)), CHORD_MM))
	const inside = (lines: readonly (readonly PlanePoint[])[]) =>
		lines.flatMap((line) => clipPolyline(onPaper(line), knife).map((piece) => piece.points)).filter((l) => lengthOf(l) > 1)
	// Slits break a station's line: its figure stands on the longest part.
	const stations = input.stations.flatMap((station) => {
		const parts = inside(lineOn(flat, 's', station)).sort((a, b) => lengthOf(b) - lengthOf(a))
		const words = girthFigure(station, input.unit)
		return parts.map((points, i) => ({ points, title: `station ${words}`, ...(i === 0 ? { words } : {}) }))
	})
	const datums = input.datums.flatMap((d) => {
		const at = placeOn(flat, d)
		return at ? [{ id: d.id, at: toSheet(at) }] : []
	})
	const items: Item[] = [
		...knife.map((points) => path('knife', polyline(points, true), KNIFE, 'knife line')),
		...cuts.map((points) => path('knife', polyline(points), KNIFE)),
		...working.map((line) => path('working', polyline(line), { ...BOLD, widthMm: 0.3 }, 'working edge')),
		...stations.flatMap(({ points }) => ticks(points, working)),
	]
	const seamed = seamCorners(chart, input.region, input.working, input.seams)
	const seams = seamed.flatMap(({ words, at: from, to }) => {
		const [p, q] = [placeOn(flat, from), placeOn(flat, to)]
		return p && q ? [{ words, at: toSheet(p), to: toSheet(q) }] : []
	})
	items.push(
		...furnish({
			knife,
			seams,
			items,
			stations,
			baseline: inside(lineOn(flat, 'g', 0)),
			cuts: cut.slits.map(onPaper),
			datums,
			drawn: (input.drawn ?? []).flatMap((line) => drawnOn(chart, flat, line, knife, toSheet)),
			label: pieceLabel(input, input.number),
			panelTitle: input.panelTitle,
			front: frontWay(chart, input.turned),
			frontWord: frontOf(chart),
			unit: input.unit,
		}),
	)
	const errorMm = flat.layingMm + cut.errorMm
	return {
		id: input.id,
		number: input.number,
		kind: input.kind ?? 'area',
		panel: input.panel,
		panelTitle: input.panelTitle,
		side: input.side,
		title: input.title,
		knife,
		working,
		edges: input.working.map((c) => edgeOf(chart, flat, c, toSheet)),
		items,
		bounds: grown(unionBox([boxAround(knife.flat()), boundsOf(items)]) as Box, 1),
		errorMm,
		...(input.sdMm === undefined ? {} : { lineSdMm: input.sdMm }),
		stretch: stretchPicture(flat, (line) => inside([line])),
		notes: [
			...notesOf(slits.length, cut, errorMm, datums, stations.length > 0, working.length > 0),
			...seamNote(seamed),
			...(input.notes ?? []),
		],
	}
}

/** The mesh keeps the edge within its chords: a place of the edge may lie so far off the triangles, as a share of one. */
const OFF_MESH = 0.05
/** Marks are set by it, nothing is cut by it, mm. */
const EDGE_CHORD_MM = 0.04

type ToSheet = (p: PlanePoint) => PlanePoint

function edgeOf(chart: Chart, flat: FlatArea, curve: Curve, toSheet: ToSheet): PieceEdge {
	const all = closelySet(chart, curveLine(chart, curve, EDGE_CHORD_MM))
	const found = all.flatMap((at) => {
		const on = placeOn(flat, at, OFF_MESH)
		return on ? [{ at, on: toSheet(on) }] : []
	})
	return { on: found.map(({ on }) => on), at: found.map(({ at }) => at) }
}

/** What of a line lies on the piece, in stretches; only the first of them has its words. */
function drawnOn(chart: Chart, flat: FlatArea, line: DrawnLine, knife: Region, toSheet: ToSheet): PaperLine[] {
	const found: PlanePoint[][] = [[]]
	for (const at of closelySet(chart, line.points)) {
		const on = placeOn(flat, at, OFF_MESH)
		if (on) found.at(-1)?.push(toSheet(on))
		else if (found.at(-1)?.length) found.push([])
	}
	const pieces = found.flatMap((points) => (points.length > 1 ? clipPolyline(points, knife) : []))
	const { words, ...bare } = line
	return pieces.map(({ points }, i) => ({ ...bare, points, ...(i === 0 && words ? { words } : {}) }))
}

function notesOf(
	count: number,
	cut: AreaCut,
	errorMm: number,
	datums: readonly { readonly id: string }[],
	stationed: boolean,
	taped: boolean,
): string[] {
	const many = count === 1 ? 'the slit' : `the ${count} slits`
	const widest = `${cut.widestMm.toFixed(1)} mm`
	const slits =
		count === 0
			? 'No slits needed.'
			: cut.opening === 0
				? `Cut ${many}, wedges of up to ${widest}. They close on the panel: edge to edge, never lapped.`
				: cut.closing === 0
					? `Cut ${many}. They open on the panel by up to ${widest}: bridge them with tape, never pull.`
					: `Cut ${many}. Wedges close on the panel, plain cuts open by up to ${widest}: bridge these with tape, never pull.`
	const by = [...datums.map((d) => d.id), ...(stationed ? ['the stations'] : [])]
	return [
		slits,
		`Laid flat with as little stretch as can be: true within ${errorMm.toFixed(2)} mm across each part between slits.`,
		...(by.length > 0 ? [`Place it by ${by.join(', ')}.`] : []),
		...(stationed && taped
			? ['Ticks on the edge must meet the pencil dots of the girth strips. If one does not: stop, never ease it over.']
			: []),
	]
}

/** On edges to tape along, where a station's line comes to them. */
function ticks(line: readonly PlanePoint[], working: readonly (readonly PlanePoint[])[]): Item[] {
	const ends = [
		[line[0], line[1]],
		[line[line.length - 1], line[line.length - 2]],
	] as [PlanePoint, PlanePoint][]
	return ends.flatMap(([p, q]) => {
		const length = Math.hypot(q.x - p.x, q.y - p.y)
		if (!(length > 0) || !working.some((edge) => touches(p, edge))) return []
		const f = TICK_MM / length
		return [stroke('tick', p, { x: p.x + (q.x - p.x) * f, y: p.y + (q.y - p.y) * f }, { ...BOLD, widthMm: 0.3 })]
	})
}

/** A station's line ends on the rim itself, within what is left out of the drawn edge. */
const ON_EDGE_MM = 0.05

function touches(p: PlanePoint, edge: readonly PlanePoint[]): boolean {
	return edge.slice(1).some((b, i) => {
		const a = edge[i] as PlanePoint
		const [vx, vy] = [b.x - a.x, b.y - a.y]
		const t = Math.min(1, Math.max(0, ((p.x - a.x) * vx + (p.y - a.y) * vy) / (vx * vx + vy * vy)))
		return Math.hypot(a.x + t * vx - p.x, a.y + t * vy - p.y) < ON_EDGE_MM
	})
}
