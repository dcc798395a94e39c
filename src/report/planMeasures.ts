/** What was measured, on a plan: baseline, stations, marks and datums. */
import { boxOf, grown } from '../drawing/box.ts'
import type { Box, Item, Segment } from '../drawing/drawing.ts'
import { circle, line, rect } from '../drawing/path.ts'
import type { HandedChart, PanelResult } from '../engine/panel.ts'
import type { PlanePoint } from '../plane/point.ts'
import { clipPolyline } from '../plane/region.ts'
import { crossingsIn, formatLength } from '../units/format.ts'
import type { Unit } from '../units/length.ts'
import type { Label } from './labels.ts'
import { type Part, path, type To, type ViewInput } from './planPart.ts'
import { CENTRE, HALO, OPEN_OUTLINE, STATION, SYMBOL } from './planStyle.ts'

const MARK_MM = 1.4
const DATUM_MM = 1.9
/** A centre line runs on past the panel. */
const BEYOND_MM = 9
const STATION_BEYOND_MM = 3
/** The two short strokes across each end of a line of symmetry (ISO 128, from memory). */
const SYMMETRY = { strokeMm: 7, apartMm: 1.4, inMm: 4 }

/** Marks and datums of this hand, where they are now. */
export function placesOn({ survey, lines }: PanelResult, hand: HandedChart['hand'], unit: Unit) {
	return Object.values(survey?.survey.marks ?? {})
		.filter(({ side }) => hand === 'centre' || side === undefined || side === hand)
		.map((mark) => ({ id: crossingsIn(mark.id, unit), datum: mark.fixed, at: lines?.places.get(mark.key) ?? mark.at }))
}

/** Where the girth strips lie. */
export function stations({ panel, hand, unit, textMm }: ViewInput, to: To, box: Box): Part {
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
export function baseline({ panel, hand, textMm }: ViewInput, to: To, box: Box): Part {
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
export function marks({ textMm }: ViewInput, to: To, places: ReturnType<typeof placesOn>): Part {
	const items: Item[] = []
	const labels: Label[] = []
	const boxes: Box[] = []
	for (const { id, datum, at } of places) {
		const p = to(at)
		const size = datum ? DATUM_MM : MARK_MM
		const segments = markSegments(p, datum)
		items.push(path(segments, HALO), path(segments, SYMBOL, id))
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
