import type { Chart } from '../chart/chart.ts'
import { crossStation } from '../chart/cross.ts'
import { toPaper } from '../chart/orient.ts'
import { grown } from '../drawing/box.ts'
import type { Item } from '../drawing/drawing.ts'
import { textWidth } from '../drawing/metrics.ts'
import { polyline } from '../drawing/path.ts'
import type { PlanePoint } from '../plane/point.ts'
import { boxAround, figure, filled, frontArrow, MIDDLE, path, stroke, text } from './marks.ts'
import type { PaintEdge } from './paintEdge.ts'
import type { Piece, PieceSide } from './piece.ts'
import { BOLD, CENTRE, FAINT, KNIFE, SMALL_MM, TEXT_MM, THIN } from './style.ts'

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
	/** a datum to measure the station from: its name and the distance to it, rearward */
	readonly from?: { readonly name: string; readonly distance: number }
	readonly edges: readonly PaintEdge[]
	readonly datums: readonly { readonly id: string; readonly s: number; readonly g: number }[]
	readonly unit: 'mm' | 'in'
	/** the baseline is interrupted here (a filler, a badge): what by */
	readonly interruption?: string
}

/** The head lies along the taped baseline and squares the strip: long enough that half a degree shows as half a millimetre. */
const HEAD_MM = 130
const HEAD_HALF_MM = 11
const WINDOW_HALF_MM = 3.5
/** Beyond the outermost crossing. */
const TAIL_MM = 14
const TICK_MM = 9
const LABEL_X = 14
const MIN_BODY_MM = 26
/** Labels stand at least this far apart, each led to its tick. */
const LABEL_STEP_MM = SMALL_MM * 1.25

/**
 * A girth strip: laid square off the baseline at a station it lies on a straightest path, so that its straight working edge is
 * true on any panel. Undefined where no line crosses the station.
 */
export function girthStrip(input: StripInput): Piece | undefined {
	const { chart, station } = input
	const hits = input.edges
		.flatMap((edge) => crossStation(chart, edge.curve, station).map((c) => ({ edge, g: c.at.g, angle: c.angle })))
		.sort((a, b) => a.g - b.g || (a.edge.id < b.edge.id ? -1 : 1))
	if (hits.length === 0) return undefined
	const hi = Math.max(0, ...hits.map((h) => h.g))
	const lo = Math.min(0, ...hits.map((h) => h.g))
	const top = hi > 0 ? hi + TAIL_MM : HEAD_HALF_MM
	const bottom = lo < 0 ? lo - TAIL_MM : -HEAD_HALF_MM
	const length = (h: (typeof hits)[number]) => `${h.edge.short} ${girthFigure(Math.abs(h.g), input.unit)}`
	const body = Math.max(MIN_BODY_MM, LABEL_X + 2 + Math.max(...hits.map((h) => textWidth(length(h), { sizeMm: SMALL_MM }))))
	const P = (x: number, y: number): PlanePoint => toPaper(chart, { x, y })
	const way = chart.orientation
	const anchor = way === 1 ? 'start' : 'end'

	const knife = [P(0, top), P(body, top), ...(top > HEAD_HALF_MM ? [P(body, HEAD_HALF_MM)] : [])]
	if (top > HEAD_HALF_MM) knife.push(P(HEAD_MM / 2, HEAD_HALF_MM))
	else knife.splice(1, 1, P(HEAD_MM / 2, top))
	if (bottom < -HEAD_HALF_MM)
		knife.push(
			P(HEAD_MM / 2, -HEAD_HALF_MM),
			P(body, -HEAD_HALF_MM),
			P(body, bottom),
			P(0, bottom),
			P(0, -HEAD_HALF_MM),
			P(-HEAD_MM / 2, -HEAD_HALF_MM),
		)
	else knife.push(P(HEAD_MM / 2, bottom), P(-HEAD_MM / 2, bottom))
	if (top > HEAD_HALF_MM) knife.push(P(-HEAD_MM / 2, HEAD_HALF_MM), P(0, HEAD_HALF_MM))
	else knife.push(P(-HEAD_MM / 2, top))
	const window = (from: number, to: number) => [
		P(from, -WINDOW_HALF_MM),
		P(to, -WINDOW_HALF_MM),
		P(to, WINDOW_HALF_MM),
		P(from, WINDOW_HALF_MM),
	]
	const windows = [window(-HEAD_MM / 2 + 6, -5), window(body + 2 < HEAD_MM / 2 - 14 ? body + 2 : 5, HEAD_MM / 2 - 6)]

	const items: Item[] = [
		path('knife', polyline(knife, true), KNIFE, 'cut'),
		...windows.map((w) => path('knife', polyline(w, true), KNIFE, 'window over the taped line')),
		path('working', polyline([P(0, bottom), P(0, top)]), BOLD, 'working edge'),
		path('guide', polyline([P(-HEAD_MM / 2, 0), P(HEAD_MM / 2, 0)]), CENTRE, 'the taped line'),
		...ruling(
			P,
			lo,
			hi,
			hits.map((h) => h.g),
			input.unit,
			anchor,
		),
	]
	for (const h of hits) {
		const c = Math.cos(h.angle) >= 0 ? 1 : -1
		const tip = P(c * TICK_MM * Math.cos(h.angle), h.g + c * TICK_MM * Math.sin(h.angle))
		items.push(stroke('tick', P(0, h.g), tip, { ...BOLD, widthMm: 0.3 }))
		items.push(swatch(P, h.g, c, h.angle, h.edge))
	}
	const heights = spread(
		hits.map((h) => h.g + (TICK_MM * Math.sin(h.angle)) / (Math.cos(h.angle) || 1)),
		LABEL_STEP_MM,
		[-HEAD_HALF_MM - 1, HEAD_HALF_MM + 1],
	)
	hits.forEach((h, i) => {
		const c = Math.cos(h.angle) >= 0 ? 1 : -1
		const y = heights[i] as number
		items.push(
			stroke(
				'label',
				P(c * TICK_MM * Math.cos(h.angle) + 0.3, h.g + c * TICK_MM * Math.sin(h.angle)),
				P(LABEL_X - 0.7, y),
				FAINT,
			),
		)
		items.push(text(shift(P(LABEL_X, y), 0, -SMALL_MM * MIDDLE), length(h), { anchor }))
	})
	for (const d of input.datums.filter((d) => Math.abs(d.s - station) < body && d.s >= station && d.g >= bottom && d.g <= top)) {
		items.push(
			stroke('guide', P(d.s - station - 2, d.g), P(d.s - station + 2, d.g), THIN),
			stroke('guide', P(d.s - station, d.g - 2), P(d.s - station, d.g + 2), THIN),
		)
	}
	items.push(...headWords(input, P, way, body, top, bottom))

	const at = `${girthFigure(station, input.unit)}${input.from && input.from.distance > 0.05 ? ` (${girthFigure(input.from.distance, input.unit)} behind ${input.from.name})` : ''}`
	const notes = [
		`Lay the head along the taped baseline, its centre line on the tape, arrow to the front, the working edge at station ${at}.`,
		'Let the strip lie free. Put a pencil dot on the panel at each tick, beside the working edge.',
		...(input.interruption
			? [`The baseline is interrupted here by ${input.interruption}: set the head from the datums on either side.`]
			: []),
		'Exact: a straight strip on a straight path.',
	]
	return {
		id: input.id,
		number: input.number,
		kind: 'strip',
		panel: input.panel,
		panelTitle: input.panelTitle,
		side: input.side,
		title: `Girth strip, station ${girthFigure(station, input.unit)}`,
		knife: [knife, ...windows],
		working: [[P(0, bottom), P(0, top)]],
		items,
		bounds: grown(boxAround(knife), 1),
		errorMm: 0,
		notes,
	}
}

const shift = (p: PlanePoint, x: number, y: number): PlanePoint => ({ x: p.x + x, y: p.y + y })

export const girthFigure = (mm: number, unit: 'mm' | 'in') => (unit === 'mm' ? figure(mm) : `${(mm / 25.4).toFixed(3)} in`)

/** The working edge ruled from zero at the baseline: every millimetre, or every sixteenth of an inch. */
function ruling(
	P: (x: number, y: number) => PlanePoint,
	lo: number,
	hi: number,
	taken: readonly number[],
	unit: 'mm' | 'in',
	anchor: 'start' | 'end',
): Item[] {
	const step = unit === 'mm' ? 1 : 25.4 / 16
	const [five, ten] = unit === 'mm' ? [5, 10] : [4, 16]
	const items: Item[] = []
	for (let i = Math.ceil((lo - TAIL_MM + 2) / step); i <= (hi + TAIL_MM - 2) / step; i++) {
		const y = i * step
		const long = i % ten === 0 ? 4 : i % five === 0 ? 3 : 1.8
		items.push(stroke('tick', P(0, y), P(long, y), { ...THIN, widthMm: 0.1 }))
		const clear = taken.every((g) => Math.abs(g - y) > 2.6) && Math.abs(y) > HEAD_HALF_MM
		if (i !== 0 && i % ten === 0 && clear) {
			items.push(text(shift(P(4.6, y), 0, -1.9 * MIDDLE), String(Math.abs(unit === 'mm' ? i : i / 16)), { sizeMm: 1.9, anchor }))
		}
	}

	return items
}

/** A patch of the paint, on the side of the tick on which it will show. */
function swatch(P: (x: number, y: number) => PlanePoint, g: number, c: 1 | -1, angle: number, edge: PaintEdge): Item {
	// Plus side of the curve is towards +g where it runs rearward.
	const up = c * edge.open
	const slope = Math.tan(angle)
	const at = (x: number, h: number) => P(x, g + x * slope + up * h)
	return filled('fill', [[at(5, 0.3), at(TICK_MM - 0.3, 0.3), at(TICK_MM - 0.3, 1.3), at(5, 1.3)]], edge.colour)
}

/** Heights moved apart to at least `step`, each as near its own as can be, and out of the head's strip. */
export function spread(wanted: readonly number[], step: number, without: readonly [number, number]): number[] {
	const place = (list: number[], floor: number) => {
		const out: number[] = []
		for (const w of list) out.push(Math.max(w, (out[out.length - 1] ?? floor - step) + step))
		// Push back down where the last was moved further than need be, half each way.
		for (let i = out.length - 2; i >= 0; i--) {
			const over = (out[i] as number) - (list[i] as number)
			if (over > 0) out[i] = Math.max(list[i] as number, Math.min(out[i] as number, (out[i + 1] as number) - step))
		}
		return out
	}
	const above = wanted.filter((w) => w >= 0)
	const below = wanted.filter((w) => w < 0)
	const up = place(
		above.map((w) => Math.max(w, without[1] + step / 2)),
		without[1] + step / 2,
	)
	const down = place(below.map((w) => -Math.min(w, without[0] - step / 2)).reverse(), -without[0] + step / 2)
		.reverse()
		.map((w) => -w)
	return [...down, ...up]
}

function headWords(
	input: StripInput,
	P: (x: number, y: number) => PlanePoint,
	way: 1 | -1,
	body: number,
	top: number,
	bottom: number,
): Item[] {
	const items: Item[] = []
	const front = way === 1 ? Math.PI : 0
	items.push(...frontArrow(P(-HEAD_MM / 2 + 26, HEAD_HALF_MM - 3.4), front, 12))
	const rear = P(-5, HEAD_HALF_MM - 4.4)
	items.push(text(rear, `${input.number}`, { sizeMm: TEXT_MM * 1.2, bold: true, anchor: way === 1 ? 'end' : 'start' }))
	items.push(
		text(P(-5, -HEAD_HALF_MM + 2), `station ${girthFigure(input.station, input.unit)}`, {
			sizeMm: TEXT_MM,
			bold: true,
			anchor: way === 1 ? 'end' : 'start',
		}),
	)
	items.push(
		text(P(-HEAD_MM / 2 + (way === 1 ? 3 : 3), -HEAD_HALF_MM + 2), 'this face up', { anchor: way === 1 ? 'start' : 'end' }),
	)
	const name = (half: string, y: number) => text(P(body / 2, y), half, { sizeMm: TEXT_MM, bold: true, anchor: 'middle' })
	if (top > HEAD_HALF_MM) items.push(name(input.halves[0], top - TEXT_MM - 1))
	if (bottom < -HEAD_HALF_MM) items.push(name(input.halves[1], bottom + 2))
	return items
}
