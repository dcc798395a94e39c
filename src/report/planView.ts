/** One panel as one looks at its painted side: what is drawn, and what is to be labelled. */
import type { Chart } from '../chart/chart.ts'
import { toPaper } from '../chart/orient.ts'
import type { ChartPoint, ChartRegion } from '../chart/point.ts'
import { polyline as curvePoints } from '../chart/region.ts'
import { boxOf, grown } from '../drawing/box.ts'
import type { Box, Item, PathItem, Segment, Stroke } from '../drawing/drawing.ts'
import { circle, line, polyline, rect } from '../drawing/path.ts'
import type { HandedChart, PanelResult } from '../engine/panel.ts'
import type { PlanePoint } from '../plane/point.ts'
import { signedArea } from '../plane/polyline.ts'
import { clipPolyline } from '../plane/region.ts'
import { simplify } from '../plane/simplify.ts'
import { formatLength } from '../units/format.ts'
import type { Unit } from '../units/length.ts'
import { innerPoints } from './innerPoints.ts'
import type { Label } from './labels.ts'
import { guidePlaces } from './planPieces.ts'
import { BARE, CENTRE, LINE, OPEN_OUTLINE, OUTLINE, PAINTED, STATION, SYMBOL } from './planStyle.ts'

export interface View {
	readonly hand: HandedChart['hand']
	/** what is drawn, later ones over earlier ones */
	readonly items: readonly Item[]
	/** in the order in which they choose their places */
	readonly labels: readonly Label[]
	/** marks: not to be covered */
	readonly marks: readonly Box[]
	/** better not covered */
	readonly lines: readonly (readonly PlanePoint[])[]
	/** round the panel itself */
	readonly box: Box
	/** where g = 0 lies */
	readonly baseY: number
	/** which way the front is: -1 left */
	readonly frontX: 1 | -1
}

export interface ViewInput {
	readonly panel: PanelResult
	readonly chart: Chart
	readonly hand: HandedChart['hand']
	readonly colours: ReadonlyMap<string, { readonly name: string; readonly colour: string }>
	readonly unit: Unit
	readonly textMm: number
}

/** Points of a plan need be no nearer to their curve than its thinnest line is wide. */
const CHORD_MM = 0.03
/** Good enough to keep labels off a line. */
const ROUGH_MM = 0.3
const MARK_MM = 1.4
const DATUM_MM = 1.9
/** A centre line runs on past the panel. */
const BEYOND_MM = 9
const STATION_BEYOND_MM = 3
const SYMMETRY = { strokeMm: 7, apartMm: 1.4, inMm: 4 }

/** The view, in mm on paper with station 0, girth 0 at the origin; undefined where nothing of the panel has a place. */
export function planView(input: ViewInput): View | undefined {
	const { panel, chart, hand } = input
	const { lines } = panel
	if (!lines) return undefined
	const to = (p: ChartPoint) => toPaper(chart, { x: p.s, y: p.g })
	const places = placesOn(panel, hand)
	const box = boxOf([...(lines.area?.region.flat() ?? []), ...places.map(({ at }) => at)].map(to))
	if (!box) return undefined
	const parts = [
		painted(input, to),
		fittedLines(input, to),
		stations(input, to, box),
		baseline(input, to, box),
		marks(input, to, places),
		pieceNumbers(input, to),
	]
	return {
		hand,
		items: parts.flatMap((part) => part.items ?? []),
		// marks first: they have one place only; then what may stand anywhere along a line
		labels: [parts[4], parts[2], parts[3], parts[5], parts[0], parts[1]].flatMap((part) => part?.labels ?? []),
		marks: parts.flatMap((part) => part.marks ?? []),
		lines: parts.flatMap((part) => part.lines ?? []).map((points) => simplify(points, ROUGH_MM)),
		box,
		baseY: 0,
		frontX: chart.orientation === 1 ? -1 : 1,
	}
}

interface Part {
	readonly items?: readonly Item[]
	readonly labels?: readonly Label[]
	readonly marks?: readonly Box[]
	readonly lines?: readonly (readonly PlanePoint[])[]
}

type To = (p: ChartPoint) => PlanePoint

const path = (segments: readonly Segment[], stroke: Stroke | undefined, title?: string, fill?: string): PathItem => ({
	kind: 'path',
	role: fill === undefined ? 'guide' : 'fill',
	segments,
	...(stroke ? { stroke } : {}),
	...(fill === undefined ? {} : { fill }),
	...(title === undefined ? {} : { title }),
})

const regionPoints = (region: ChartRegion, to: To) => region.map((loop) => simplify(loop.map(to), CHORD_MM, true))
const rough = (loops: readonly (readonly PlanePoint[])[]) => loops.map((loop) => simplify(loop, ROUGH_MM, true))
/** Places inside an area, the roomiest first. */
const inside = (loops: readonly (readonly PlanePoint[])[]) => innerPoints(rough(loops)).map(({ p }) => p)
const regionSegments = (loops: readonly (readonly PlanePoint[])[]) => loops.flatMap((loop) => polyline(loop, true))

/** Marks and datums of this hand, where they are now. */
function placesOn({ survey, lines }: PanelResult, hand: HandedChart['hand']) {
	return Object.values(survey?.survey.marks ?? {})
		.filter(({ side }) => hand === 'centre' || side === undefined || side === hand)
		.map((mark) => ({ id: mark.id, datum: mark.fixed, at: lines?.places.get(mark.key) ?? mark.at }))
}

/** Outline, fields and bands in their paints. */
function painted({ panel, hand, colours, textMm }: ViewInput, to: To): Part {
	const items: Item[] = []
	const labels: Label[] = []
	const lines: (readonly PlanePoint[])[] = []
	const { area } = panel.lines ?? {}
	const outline = area ? regionPoints(area.region, to) : []
	items.push(path(regionSegments(outline), undefined, 'panel', BARE))
	const scheme = panel.schemes?.find((each) => each.hand === hand)?.scheme
	for (const field of scheme?.fields ?? []) {
		const paint = colours.get(field.paint)
		const loops = regionPoints(field.region, to)
		const what = panel.panel.fields.find(({ id }) => id === field.field)?.what ?? field.field
		items.push(path(regionSegments(loops), PAINTED, `${what}: ${paint?.name ?? field.paint}`, paint?.colour ?? BARE))
		labels.push({
			text: paint?.name ?? field.paint,
			anchors: inside(loops),
			sizeMm: textMm,
			on: true,
		})
	}
	for (const band of scheme?.bands ?? []) {
		const paint = colours.get(band.paint)
		const loops = regionPoints(band.region, to)
		const what = panel.panel.stripes.find(({ id }) => id === band.stripe)?.what ?? band.stripe
		items.push(path(regionSegments(loops), PAINTED, `${what}: ${paint?.name ?? band.paint}`, paint?.colour ?? BARE))
		lines.push(...loops.map(closed))
		const wide = band.areaMm2 / band.lengthMm > 1.8 * textMm
		const anchors = wide ? inside(loops) : along(loops[0] ?? [])
		const several = scheme?.bands.some((other) => other.stripe === band.stripe && other.side === band.side && other !== band)
		const number = several ? ` ${band.id.slice(band.id.lastIndexOf('/') + 1)}` : ''
		labels.push({ text: `${what}${number}, ${paint?.name ?? band.paint}`, anchors, sizeMm: textMm, on: wide })
	}
	const stroke = area?.from === 'outline' ? OUTLINE : OPEN_OUTLINE
	items.push(path(regionSegments(outline), stroke, 'outline'))
	lines.push(...outline.map(closed))
	for (const hole of panel.panel.holes) {
		const g = hole.side === 'left' || hole.side === 'below' ? -hole.girth : hole.girth
		labels.push({
			text: hole.what ?? hole.id,
			anchors: [to({ s: hole.station, g })],
			sizeMm: textMm,
			reachMm: hole.diameter / 2 + 0.5,
		})
	}
	return { items, labels, lines }
}

const closed = (loop: readonly PlanePoint[]) => [...loop, ...loop.slice(0, 1)]

/** A few places round a loop, from its most outward one on. */
function along(loop: readonly PlanePoint[]): readonly PlanePoint[] {
	const count = Math.min(12, loop.length)
	return Array.from({ length: count }, (_, i) => loop[Math.floor((i * loop.length) / count)] as PlanePoint)
}

/** Lines of the scheme as far as the panel reaches; those that no stripe covers are named. */
function fittedLines({ panel, chart, hand, textMm }: ViewInput, to: To): Part {
	const items: Item[] = []
	const labels: Label[] = []
	const lines: (readonly PlanePoint[])[] = []
	const striped = new Set(panel.panel.stripes.map(({ edge }) => edge))
	// a line goes on over a hole
	const reach = (panel.lines?.area?.region ?? [])
		.map((loop) => loop.map(to))
		.filter((loop) => signedArea(loop) * chart.orientation > 0)
	for (const edge of panel.lines?.edges ?? []) {
		for (const { side, curve } of edge.sided) {
			if (hand !== 'centre' && side !== hand) continue
			const what = panel.panel.edges.find(({ id }) => id === edge.id)?.what ?? edge.id
			const points = curvePoints(chart, curve, CHORD_MM).map(to)
			const within = clipPolyline(curve.closed ? closed(points) : points, reach).map((piece) => piece.points)
			items.push(
				path(
					within.flatMap((part) => polyline(part)),
					LINE,
					what,
				),
			)
			lines.push(...within)
			if (!striped.has(edge.id)) labels.push({ text: what, anchors: along(within[0] ?? points), sizeMm: textMm })
		}
	}
	return { items, labels, lines }
}

/** Where the girth strips lie. */
function stations({ panel, hand, unit, textMm }: ViewInput, to: To, box: Box): Part {
	const items: Item[] = []
	const labels: Label[] = []
	const lines: (readonly PlanePoint[])[] = []
	const region = panel.lines?.area?.region.map((loop) => loop.map(to)) ?? []
	for (const [i, s] of (panel.stations ?? []).entries()) {
		const x = to({ s, g: 0 }).x
		const within = clipPolyline(
			[
				{ x, y: box.minY - 1 },
				{ x, y: box.maxY + 1 },
			],
			region,
		).flatMap((piece) => piece.points)
		const reach = boxOf(within)
		const top = (reach?.maxY ?? box.maxY) + STATION_BEYOND_MM
		const bottom = (reach?.minY ?? box.minY) - STATION_BEYOND_MM
		const ends = [
			{ x, y: bottom },
			{ x, y: top },
		] as const
		items.push(path(line(...ends), STATION, `station ${sayLength(s, unit)}`))
		lines.push(ends)
		const strip = stripAt(panel, hand, i)
		labels.push({
			text: `${strip === undefined ? 'station' : `strip ${strip},`} ${sayLength(s, unit)}`,
			anchors: [ends[1]],
			sizeMm: textMm,
			towards: Math.PI / 2,
		})
	}
	return { items, labels, lines }
}

/** The number of the strip at a station: its id ends in the station's place in their list, and in the hand on a pair. */
function stripAt({ id, pieces }: PanelResult, hand: HandedChart['hand'], index: number): number | undefined {
	const stem = `${id}/strip/${index + 1}`
	return pieces?.find((piece) => piece.kind === 'strip' && (piece.id === stem || piece.id === `${stem}/${hand}`))?.number
}

/** "70 mm", "2.75 in": no noughts that nobody measured. */
export const sayLength = (mm: number, unit: Unit): string =>
	formatLength(mm, unit)
		.text.replace(/\.0+ /, ' ')
		.replace(/(\.\d*?)0+ /, '$1 ')

/** The baseline, with gaps where the tape could not lie; the symbol of symmetry at both ends of a centreline. */
function baseline({ panel, hand, textMm }: ViewInput, to: To, box: Box): Part {
	const items: Item[] = []
	const labels: Label[] = []
	const lines: (readonly PlanePoint[])[] = []
	const gaps = panel.panel.baseline.interruptions
		.map(({ from, to: end, what, width }) => ({
			what,
			width,
			ends: [to({ s: from, g: 0 }).x, to({ s: end, g: 0 }).x].sort((a, b) => a - b) as [number, number],
		}))
		.sort((a, b) => a.ends[0] - b.ends[0])
	const [from, end] = [box.minX - BEYOND_MM, box.maxX + BEYOND_MM]
	let x = from
	const stretch = (x1: number) => {
		if (x1 <= x) return
		const ends = [
			{ x, y: 0 },
			{ x: x1, y: 0 },
		] as const
		items.push(path(line(...ends), CENTRE, hand === 'centre' ? 'centreline' : 'baseline'))
		lines.push(ends)
	}
	for (const { what, width, ends } of gaps) {
		stretch(ends[0])
		x = Math.max(x, ends[1])
		if (width === undefined) items.push(...ends.map((at) => path(line({ x: at, y: -2 }, { x: at, y: 2 }), SYMBOL, what)))
		else items.push(path(rect({ minX: ends[0], maxX: ends[1], minY: -width / 2, maxY: width / 2 }), OPEN_OUTLINE, what))
		labels.push({ text: what, anchors: [{ x: (ends[0] + ends[1]) / 2, y: 0 }], sizeMm: textMm, on: true })
	}
	stretch(end)
	if (hand === 'centre') {
		const stroke = (at: number) =>
			path(line({ x: at, y: -SYMMETRY.strokeMm / 2 }, { x: at, y: SYMMETRY.strokeMm / 2 }), SYMBOL, 'symmetry')
		for (const at of [from + SYMMETRY.inMm, end - SYMMETRY.inMm]) items.push(stroke(at), stroke(at + SYMMETRY.apartMm))
	}
	return { items, labels, lines }
}

/** Marks as crosses, datums as a ring with a cross. */
function marks({ textMm }: ViewInput, to: To, places: ReturnType<typeof placesOn>): Part {
	const items: Item[] = []
	const labels: Label[] = []
	const boxes: Box[] = []
	for (const { id, datum, at } of places) {
		const p = to(at)
		const size = datum ? DATUM_MM : MARK_MM
		items.push(path(markSegments(p, datum), SYMBOL, id))
		boxes.push(grown({ minX: p.x, minY: p.y, maxX: p.x, maxY: p.y }, size + 0.2))
		labels.push({ text: id, anchors: [p], sizeMm: textMm * 0.9, bold: datum, reachMm: size + 0.4 })
	}
	return { items, labels, marks: boxes }
}

export function markSegments(p: PlanePoint, datum: boolean): readonly Segment[] {
	if (!datum) {
		const d = MARK_MM / Math.SQRT2
		return [
			...line({ x: p.x - d, y: p.y - d }, { x: p.x + d, y: p.y + d }),
			...line({ x: p.x - d, y: p.y + d }, { x: p.x + d, y: p.y - d }),
		]
	}
	const r = DATUM_MM
	return [
		...circle(p, r * 0.7),
		...line({ x: p.x - r, y: p.y }, { x: p.x + r, y: p.y }),
		...line({ x: p.x, y: p.y - r }, { x: p.x, y: p.y + r }),
	]
}

/** Numbers of guides and pieces beside the lines and inside the areas that they are for. */
function pieceNumbers({ panel, hand, chart, textMm }: ViewInput, to: To): Part {
	const scheme = panel.schemes?.find((each) => each.hand === hand)?.scheme
	if (!scheme) return {}
	const guides = guidePlaces(panel, scheme, chart)
	const labels = (panel.pieces ?? []).flatMap(({ id, number }): Label[] => {
		const style = { text: String(number), sizeMm: textMm, bold: true, framed: true, reachMm: 1 }
		const guided = guides.get(number)
		if (guided) return [{ ...style, anchors: guided.map(to) }]
		const band = scheme.bands.find((each) => id === `${panel.id}/${each.id}/piece`)
		const area = band ?? scheme.fields.find((each) => id === `${panel.id}/${each.id}/piece`)
		if (!area) return []
		const narrow = band !== undefined && band.areaMm2 / band.lengthMm < 2 * textMm
		const loops = regionPoints(area.region, to)
		return [{ ...style, anchors: narrow ? along(loops[0] ?? []) : inside(loops), on: !narrow }]
	})
	return { labels }
}
