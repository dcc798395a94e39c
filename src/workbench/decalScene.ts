/** Decals as the page draws them: inks, film and cuts on the flat spread, and what a drag of one changes in the job. */
import type { Chart } from '../chart/chart.ts'
import { crossStation } from '../chart/cross.ts'
import type { ChartPoint } from '../chart/point.ts'
import { onPanel, type PlacedDecal } from '../decal/decal.ts'
import type { PanelDecal } from '../decal/panelDecals.ts'
import type { HandedChart, PanelResult } from '../engine/panel.ts'
import { signedGirth } from '../job/place.ts'
import type { Decal } from '../job/schema.ts'
import type { PlanePoint } from '../plane/point.ts'
import { simplify } from '../plane/simplify.ts'
import { laySign, type Side } from '../scheme/side.ts'
import { type Line, lineOf } from './flatLine.ts'

/** A figure of the job that moves with the decal. */
export interface MovedFigure {
	/** below the decal's place */
	readonly key: 'station' | 'girth' | 'distance'
	readonly what: string
	readonly startMm: number
	/** mm of the figure for each mm to the right and up in the picture */
	readonly perX: number
	readonly perY: number
	/** it is not below nothing */
	readonly notNegative?: true
	/** the sides that it is counted to: for more and for less than nothing */
	readonly sides?: readonly [more: string, less: string]
}

export type DecalHold =
	| {
			readonly figures: readonly MovedFigure[]
			/** degrees by which its baseline rises towards the rear, or turns anticlockwise; else why it is not turned */
			readonly turn: { readonly deg: number } | { readonly why: string }
	  }
	| { readonly why: string }

export interface SceneDecal {
	/** JSON pointer to it */
	readonly path: string
	/** decal/side */
	readonly id: string
	readonly side: Side
	readonly what: string
	readonly inks: readonly { readonly loops: readonly Line[]; readonly colour: string }[]
	readonly film: readonly Line[]
	readonly cuts: readonly Line[]
	/** the place of it that was set or measured */
	readonly at: readonly [x: number, y: number]
	readonly hold: DecalHold
}

/** Chords of what is drawn leave it by no more, mm. */
const CHORD_MM = 0.03

type Flat = (p: ChartPoint) => PlanePoint

/** What is laid is laid once: `written` is the panel's list as the job file has it. */
export function decalsOf(
	panel: PanelResult,
	written: readonly Decal[],
	path: string,
	{ hand, chart }: HandedChart,
	to: Flat,
): readonly SceneDecal[] {
	return (panel.decals?.placed ?? []).flatMap((placed) => {
		const index = written.findIndex(({ id }) => id === placed.decal)
		const decal = written[index]
		if (placed.hand !== hand || !decal) return []
		const at = to(placed.place.anchor.at)
		return [
			{
				...{ path: `${path}/decals/${index}`, id: placed.id, side: placed.side, what: decal.what ?? placed.artwork.title },
				...drawn(placed, to),
				at: lineOf([at]) as readonly [number, number],
				hold: holdOf(panel, decal, placed, chart),
			},
		]
	})
}

/** Inks by how they were laid: that is kept as long as chart, artwork and place are the same. */
const known = new WeakMap<PlacedDecal['laying'], SceneDecal['inks']>()

function drawn(placed: PanelDecal, to: Flat): Pick<SceneDecal, 'inks' | 'film' | 'cuts'> {
	const flat = (points: readonly ChartPoint[]) => lineOf(simplify(points.map(to), CHORD_MM, true))
	// A painted emblem is a field of the scheme, in its own paint.
	const printed = placed.material === 'paint' ? [] : placed.artwork.inks
	const inks =
		known.get(placed.laying) ??
		printed.map(({ region, colour }) => ({
			colour,
			loops: region.map((loop) => flat(simplify(loop, CHORD_MM, true).map((p) => onPanel(placed, p)))),
		}))
	known.set(placed.laying, inks)
	return {
		inks,
		film: (placed.material === 'paint' ? placed.outline : placed.film).map(flat),
		// cuts are told in the decal's own frame, as it lies on the panel
		cuts: placed.relief.map(({ from, to: end }) => lineOf([from, end].map((p) => to(placed.laying.place(p).at)))),
	}
}

const BY_MARKS = 'it lies by marks that were measured on the old panel: measure them again, or choose another kind of place'
const LEVEL = 'its baseline is level: give degrees in place of that to turn it'
const ALONG = 'its baseline runs along its line: give degrees in place of that to turn it'

function holdOf(panel: PanelResult, { place }: Decal, { side }: PlacedDecal, chart: Chart): DecalHold {
	const turnOf = (angle: number | 'level' | 'along') =>
		typeof angle === 'number' ? { deg: angle } : { why: angle === 'level' ? LEVEL : ALONG }
	if (place.kind === 'marks') return { why: BY_MARKS }
	const station: MovedFigure = { key: 'station', what: 'station', startMm: place.station, perX: chart.orientation, perY: 0 }
	switch (place.kind) {
		case 'spot':
			return { figures: [station, girthOf(panel, place, side)], turn: turnOf(place.angle) }
		case 'between':
			return { figures: [station], turn: turnOf(place.angle) }
		case 'follow':
			return { figures: [station], turn: { why: 'its baseline runs along its line, bend for bend' } }
		case 'off':
			return { figures: offLine(panel, place, side, chart) ?? [station], turn: turnOf(place.angle) }
	}
}

type PlaceOf<K extends Decal['place']['kind']> = Extract<Decal['place'], { kind: K }>

function girthOf({ hand }: PanelResult, { girth, side: said }: PlaceOf<'spot'>, side: Side): MovedFigure {
	const figure = { key: 'girth', what: 'girth', perX: 0 } as const
	// On both sides of a centreline girth is counted away from it on either.
	if (hand === 'centre' && side !== 'both')
		return { ...figure, startMm: girth, perY: side === 'left' ? -1 : 1, notNegative: true }
	const sides = hand === 'centre' ? (['right', 'left'] as const) : (['above', 'below'] as const)
	return { ...figure, startMm: signedGirth(girth, said), perY: 1, sides }
}

/** Along the line the station changes, square off it the distance; undefined where the line is not met. */
function offLine({ lines }: PanelResult, place: PlaceOf<'off'>, side: Side, chart: Chart): readonly MovedFigure[] | undefined {
	const sided = lines?.edges.find(({ id }) => id === place.edge)?.sided
	const curve = (sided?.find((one) => one.side === side) ?? sided?.find((one) => one.side === 'both'))?.curve
	const met = curve && crossStation(chart, curve, place.station)[0]
	if (!curve || !met) return undefined
	const { j } = chart.metric(met.at.s, met.at.g)
	const [ts, tg] = [Math.cos(met.angle), Math.sin(met.angle)]
	const away = laySign(chart, curve, place.lay)
	const { orientation } = chart
	return [
		{ key: 'station', what: 'station', startMm: place.station, perX: orientation * ts * ts, perY: (tg * ts) / j },
		{
			...{ key: 'distance', what: 'off its line', startMm: place.distance, notNegative: true },
			...{ perX: -away * orientation * j * tg, perY: away * ts },
		},
	]
}
