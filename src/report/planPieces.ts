/** The numbers of pieces on a plan, beside what they are for. */
import type { Chart } from '../chart/chart.ts'
import { evaluate } from '../chart/curve.ts'
import { type Measure, measure } from '../chart/measure.ts'
import type { ChartPoint, Curve } from '../chart/point.ts'
import { type PanelResult, patchesOn } from '../engine/panelResult.ts'
import { bandWidth } from '../scheme/areas.ts'
import type { Scheme } from '../scheme/scheme.ts'
import { clearParts, type KeepOff, keepOffOf, partsOutside } from '../template/keepOff.ts'
import { paintEdges } from '../template/paintEdges.ts'
import type { Label } from './labels.ts'
import { along, inside, type Part, regionPoints, type To, type ViewInput } from './planPart.ts'

/** Where along its stretch a guide's number may stand: its middle first. */
const PARTS = [0.5, 0.4, 0.6, 0.3, 0.7]

/** Numbers of guides and pieces beside the lines and inside the areas that they are for. */
export function pieceNumbers({ panel, hand, chart, textMm }: ViewInput, to: To): Part {
	const scheme = panel.schemes?.find((each) => each.hand === hand)?.scheme
	if (!scheme) return {}
	const keepOff = keepOffOf(chart, panel.lines ? patchesOn(panel.lines, hand) : [])
	const guides = guidePlaces(panel, scheme, chart, keepOff)
	const labels = (panel.pieces ?? []).flatMap(({ id, number }): Label[] => {
		const style = { text: String(number), sizeMm: textMm, bold: true, framed: true, reachMm: 1 }
		const guided = guides.filter((guide) => guide.number === number)
		if (guided.length > 0) return guided.map(({ at }) => ({ ...style, anchors: at.map(to) }))
		// A piece that a patch divides is several parts.
		const [of, part] = id.split(/\/piece(?:\/|$)/) as [string, string | undefined]
		const band = scheme.bands.find((each) => of === `${panel.id}/${each.id}`)
		const area = band ?? scheme.fields.find((each) => of === `${panel.id}/${each.id}`)
		const parts = area && partsOutside(chart, area.region, [], keepOff)
		const covered = parts?.[part ? Number(part) - 1 : 0]
		if (!covered) return []
		const narrow = band !== undefined && bandWidth(chart, band) < 2 * textMm
		const loops = regionPoints(covered.region, to)
		return [{ ...style, anchors: narrow ? along(loops[0] ?? []) : inside(loops), on: !narrow }]
	})
	return { labels }
}

interface GuidePlace {
	readonly number: number
	readonly at: readonly ChartPoint[]
}

/** A few places along each stretch of line that a guide, or an arm of a piece over the crown, is for. */
function guidePlaces(
	{ id, panel, pieces = [] }: PanelResult,
	scheme: Scheme,
	chart: Chart,
	keepOff: KeepOff | undefined,
): GuidePlace[] {
	const places: GuidePlace[] = []
	for (const edge of paintEdges({ panel, scheme, colours: new Map(), sdOf: () => undefined })) {
		const both = edge.id.replace(/\/(left|right)(?=\/|$)/, '')
		const guides = pieces.filter(
			(piece) => piece.id.startsWith(`${id}/${edge.id}/guide/`) || piece.id.startsWith(`${id}/${both}/over-crown/`),
		)
		if (guides.length === 0) continue
		const parts = clearParts(chart, edge.curve, keepOff).map(({ curve }) => ({ curve, ...measure(chart, curve) }))
		if (parts.length === 0) continue
		const step = parts.reduce((sum, part) => sum + part.length, 0) / guides.length
		for (const [i, guide] of guides.entries()) {
			places.push({ number: guide.number, at: PARTS.map((part) => placeAlong(parts, (i + part) * step)) })
		}
	}
	return places
}

/** The place at a length along the parts of a line, one after the other. */
function placeAlong(parts: readonly (Measure & { readonly curve: Curve })[], length: number): ChartPoint {
	let left = length
	const found = parts.find((part, i) => {
		if (left <= part.length || i === parts.length - 1) return true
		left -= part.length
		return false
	}) as (typeof parts)[number]
	return evaluate(found.curve, found.at(Math.min(left, found.length))).at
}
