/** The paint on a plan: fields, bands, and the lines of the scheme. */

import type { Chart } from '../chart/chart.ts'
import type { ChartPoint } from '../chart/point.ts'
import { polyline as curvePoints } from '../chart/region.ts'
import { laidInks } from '../decal/inks.ts'
import type { Item } from '../drawing/drawing.ts'
import { polyline } from '../drawing/path.ts'
import type { PanelEdge } from '../engine/edges.ts'
import { patchesOn } from '../engine/panelResult.ts'
import { SD_95 } from '../engine/ready.ts'
import type { PlanePoint } from '../plane/point.ts'
import { signedArea } from '../plane/polyline.ts'
import { clipPolyline } from '../plane/region.ts'
import { bandWidth } from '../scheme/areas.ts'
import { onceRound } from '../scheme/outline.ts'
import { patchRegion } from '../scheme/patch.ts'
import type { Label } from './labels.ts'
import {
	along,
	CHORD_MM,
	closed,
	inside,
	type Part,
	path,
	regionPoints,
	regionSegments,
	type To,
	type ViewInput,
} from './planPart.ts'
import { BARE, FILM, KNOWN, LINE, OPEN_OUTLINE, OUTLINE, PAINTED, PATCH } from './planStyle.ts'

/** Outline, fields and bands in their paints. */
export function painted({ panel, hand, chart, colours, textMm }: ViewInput, to: To): Part {
	const items: Item[] = []
	const labels: Label[] = []
	const lines: (readonly PlanePoint[])[] = []
	const { area } = panel.lines ?? {}
	const outline = area ? regionPoints(area.region, to) : []
	items.push(path(regionSegments(outline), undefined, 'panel', BARE))
	const scheme = panel.schemes?.find((each) => each.hand === hand)?.scheme
	for (const field of scheme?.fields ?? []) {
		const paint = colours.get(field.paint)
		const loops = regionPoints(onceRound(chart, field.region), to)
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
		const loops = regionPoints(onceRound(chart, band.region), to)
		const what = panel.panel.stripes.find(({ id }) => id === band.stripe)?.what ?? band.stripe
		items.push(path(regionSegments(loops), PAINTED, `${what}: ${paint?.name ?? band.paint}`, paint?.colour ?? BARE))
		lines.push(...loops.map(closed))
		const wide = bandWidth(chart, band) > 1.8 * textMm
		const anchors = wide ? inside(loops) : along(loops[0] ?? [])
		const several = scheme?.bands.some((other) => other.stripe === band.stripe && other.side === band.side && other !== band)
		const number = several ? ` ${band.id.slice(band.id.lastIndexOf('/') + 1)}` : ''
		labels.push({ text: sayBand(`${what}${number}`, paint?.name ?? band.paint), anchors, sizeMm: textMm, on: wide })
	}
	for (const placed of panel.decals?.placed ?? []) {
		// A painted emblem is a field of the scheme.
		if (placed.hand !== hand || placed.material === 'paint') continue
		const what = panel.panel.decals?.find(({ id }) => id === placed.decal)?.what ?? placed.artwork.title
		for (const { region, colour } of laidInks(chart, placed)) {
			items.push(path(regionSegments(regionPoints(onceRound(chart, region), to)), undefined, what, colour))
		}
		const film = regionPoints(onceRound(chart, placed.film), to)
		items.push(path(regionSegments(film), FILM, `film of ${what}`))
		lines.push(...film.map(closed))
		labels.push({ text: what, anchors: along(film[0] ?? []), sizeMm: textMm })
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
	for (const patch of panel.lines ? patchesOn(panel.lines, hand) : []) {
		const loops = regionPoints(patchRegion(chart, patch), to)
		items.push(path(regionSegments(loops), PATCH, patch.what))
		lines.push(...loops.map(closed))
		for (const loop of loops) labels.push({ text: patch.what, anchors: inside([loop]), sizeMm: textMm, on: true })
	}
	return { items, labels, lines }
}

/** "coach line, Gold"; the name alone where the paint is called the same */
const sayBand = (what: string, paint: string) => (what.toLowerCase() === paint.toLowerCase() ? what : `${what}, ${paint}`)

/** Lines of the scheme as far as the panel reaches; those that no stripe covers are named. */
export function fittedLines({ panel, chart, hand, textMm }: ViewInput, to: To): Part {
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
			const points = curvePoints(chart, curve, CHORD_MM)
			const within = turnsOf(chart, curve.closed ? closed(points) : points)
				.flatMap((turn) => clipPolyline(turn.map(to), reach))
				.map((piece) => piece.points)
			items.push(
				path(
					within.flatMap((part) => polyline(part)),
					LINE,
					what,
				),
			)
			lines.push(...within)
			const limits = knownLimits(chart, edge, side === 'left' && curve !== edge.fitted.curve).flatMap((points) =>
				chart.periodS === undefined
					? [points.map(to)]
					: turnsOf(chart, points).flatMap((turn) => clipPolyline(turn.map(to), reach).map((piece) => piece.points)),
			)
			items.push(...limits.map((points) => path(polyline(points), KNOWN, `${what}: known to here`)))
			if (!striped.has(edge.id)) labels.push({ text: what, anchors: along(within[0] ?? points.map(to)), sizeMm: textMm })
		}
	}
	return { items, labels, lines }
}

/** On a ring the same places a turn before and behind too. */
const turnsOf = ({ periodS }: Chart, points: readonly ChartPoint[]): readonly (readonly ChartPoint[])[] =>
	periodS === undefined ? [points] : [0, -periodS, periodS].map((by) => points.map(({ s, g }) => ({ s: s + by, g })))

/** Both sides of the line, as far from it as it may lie (95 %). */
export function knownLimits(chart: Chart, { fitted }: PanelEdge, mirrored: boolean): readonly (readonly ChartPoint[])[] {
	return [SD_95, -SD_95].map((sds) =>
		fitted.known.map(({ at, angle, sdMm }) => {
			const { j } = chart.metric(at.s, at.g)
			const g = at.g + sds * sdMm * Math.cos(angle)
			return { s: at.s - (sds * sdMm * Math.sin(angle)) / j, g: mirrored ? -g : g }
		}),
	)
}
