import type { Chart } from '../chart/chart.ts'
import type { Curve } from '../chart/point.ts'
import { printedName } from '../job/printedName.ts'
import type { Panel } from '../job/schema.ts'
import type { Band, Scheme } from '../scheme/scheme.ts'
import { formatLength } from '../units/format.ts'
import type { Unit } from '../units/length.ts'
import { BY_TAPE_MM, bandName, edgeOf, widthOf } from './bands.ts'
import type { PaintEdge } from './paintEdge.ts'

export interface PaintEdgesInput {
	readonly panel: Panel
	readonly scheme: Scheme
	/** id -> #rrggbb */
	readonly colours: ReadonlyMap<string, string>
	/** how well the line of each edge is known (1 sd), by edge id */
	readonly sdOf: (edge: string) => number | undefined
	/** in which tape is named; mm */
	readonly unit?: Unit
}

/** As tape is sold. */
const tapeWidth = (mm: number, unit: Unit = 'mm') =>
	unit === 'mm' ? `${Math.round(mm * 10) / 10} mm` : formatLength(mm, unit, { fraction: 64 }).text

/** Every line to tape along: both edges of each band, and colour breaks that are no band's edge. */
export function paintEdges(input: PaintEdgesInput): PaintEdge[] {
	const { panel, scheme } = input
	const out: PaintEdge[] = []
	for (const band of scheme.bands) {
		const sdMm = input.sdOf(edgeOf(panel, band))
		const colour = input.colours.get(band.paint) ?? '#888888'
		const inner = innerIsNear(panel, band)
		const narrow = widthOf(panel, band) < BY_TAPE_MM
		const add = (curves: readonly Curve[], isNear: boolean) =>
			curves.forEach((curve, i) => {
				const isInner = isNear === inner
				const number = Number(band.id.slice(band.id.lastIndexOf('/') + 1))
				const short = printedName(band.stripe, number, panel.hand, isInner)
				const which = short.slice(short.lastIndexOf(' ') + 1)
				out.push({
					id: `${band.id}/${isNear ? 'near' : 'far'}${curves.length > 1 ? `/${i + 1}` : ''}`,
					name: `${bandName(panel, band)}, ${which} edge${narrow && isInner ? ` (the other edge by ${tapeWidth(widthOf(panel, band), input.unit)} tape)` : ''}`,
					short,
					side: band.side,
					curve,
					open: isNear ? band.sign : (-band.sign as 1 | -1),
					colour,
					sdMm,
					...(narrow && !isInner ? { byTape: true } : {}),
				})
			})
		add(band.near, true)
		add(band.far, false)
	}
	const striped = new Set(
		scheme.bands.flatMap((band) => (servesLine(panel, band) ? [`${edgeOf(panel, band)}/${band.side}`] : [])),
	)
	const seen = new Set<string>()
	for (const field of scheme.fields) {
		for (const b of field.boundaries) {
			// A band whose edge lies on this line, or hides it, has guides already; two fields that share a break need one.
			const key = `${b.edge}/${b.side}`
			if (striped.has(key) || seen.has(key)) continue
			seen.add(key)
			// A field across the centreline has the line of either side.
			const across = b.side !== field.side
			const where = across && b.side !== 'both' ? `, ${b.side}` : ''
			out.push({
				id: `${field.id}/${b.edge}${across ? `/${b.side}` : ''}`,
				name: `colour break ${panel.edges.find((e) => e.id === b.edge)?.what ?? b.edge}${where}`,
				short: b.edge,
				side: b.side,
				curve: b.curve,
				open: b.sign,
				colour: input.colours.get(field.paint) ?? '#888888',
				sdMm: input.sdOf(b.edge),
			})
		}
	}
	return out
}

/** Less than this apart two lines are one, mm. */
const SAME_LINE_MM = 1e-6

/** A colour break this far below a band's edge on both sides does not show (hidden lap 1 to 3 mm: common practice, no source). */
const HIDDEN_MM = 1

/**
 * Whether the line that a band's stripe is laid from needs no guide of its own: an edge of the band lies on it, and has one; or
 * the band hides it, so that it may be masked anywhere below.
 */
function servesLine(panel: Panel, band: Band): boolean {
	const stripe = panel.stripes.find((s) => s.id === band.stripe)
	if (!stripe) return false
	const widths = stripe.bands.map((part): unknown => ('gap' in part ? part.gap : part.width))
	// With a width that changes nothing keeps to one distance.
	if (!widths.every((w) => typeof w === 'number')) return false
	const total = widths.reduce((sum, w) => sum + w, 0)
	let at = stripe.lay === 'centred' ? stripe.offset - total / 2 : stripe.offset
	let number = 0
	for (const [i, part] of stripe.bands.entries()) {
		const near = at
		at += widths[i] as number
		if ('gap' in part) continue
		number++
		if (!band.id.endsWith(`/${number}`)) continue
		return [near, at].some((w) => Math.abs(w) < SAME_LINE_MM) || (near <= -HIDDEN_MM && at >= HIDDEN_MM)
	}
	return false
}

/** Whether the near edge is the inner one, nearer the centreline half-way along; on a panel of one side, the lower one. */
function innerIsNear(panel: Panel, band: Band): boolean {
	const height = (curves: readonly Curve[]) => {
		const c = curves[0]
		const g = c?.cubics[Math.floor(c.cubics.length / 2)]?.[0].g ?? 0
		return panel.hand === 'centre' ? Math.abs(g) : g
	}
	// Of a band round a closed line the inner edge is the shorter one, wherever the baseline lies.
	const closed = panel.edges.find(({ id }) => id === edgeOf(panel, band))?.closed
	if (closed) return extent(band.near) <= extent(band.far)
	return height(band.near) <= height(band.far)
}

/** How far lines reach in girth. */
function extent(curves: readonly Curve[]): number {
	const g = curves.flatMap(({ cubics }) => cubics.map(([p]) => p.g))
	return g.reduce((a, b) => Math.max(a, b)) - g.reduce((a, b) => Math.min(a, b))
}

/** Those of the painted edges that get guides: on a panel that lies flat whole, wide bands and fields are pieces instead. */
export function guidedEdges(
	input: Pick<PaintEdgesInput, 'panel' | 'scheme'> & { readonly chart: Chart },
	edges: readonly PaintEdge[],
): PaintEdge[] {
	const { chart, panel, scheme } = input
	if (!chart.developable) return edges.filter((e) => !e.byTape)
	const narrow = scheme.bands.filter((b) => widthOf(panel, b) < BY_TAPE_MM)
	return edges.filter((e) => !e.byTape && narrow.some((b) => e.id.startsWith(`${b.id}/`)))
}
