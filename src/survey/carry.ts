import type { ChartPoint } from '../chart/point.ts'
import { signedGirth } from '../job/place.ts'
import type { Decal, Panel } from '../job/schema.ts'
import { leastSquares } from '../numeric/leastSquares.ts'

/** A datum as found and as measured again after preparation. */
export interface DatumPair {
	readonly id: string
	readonly found: ChartPoint
	readonly prepared: ChartPoint
}

export interface Carried {
	/** a place of the found panel on the prepared one */
	readonly to: (p: ChartPoint) => ChartPoint
	/** largest distance by which a datum is missed, mm: more than a tape's reading means that the panel has changed shape */
	readonly missMm: number
	/** what could be told from the datums */
	readonly by: 'nothing' | 'shift' | 'stations' | 'both'
}

export type CarryWay = NonNullable<NonNullable<Panel['prepared']>['carry']>

/** Datums must spread this far for a stretch in that direction to be told from a misreading, mm. */
const SPREAD_MM = 60

/**
 * How a scheme carries over from the panel as found to the panel as prepared: shifted by one datum, stretched along the
 * baseline by two or more, and across it too where they spread to both sides (least squares over all of them); no more of that
 * than `way` asks for.
 */
export function carryOver(pairs: readonly DatumPair[], way: CarryWay = 'proportion'): Carried {
	if (pairs.length === 0) return { to: (p) => p, missMm: 0, by: 'nothing' }
	const range = (f: (p: DatumPair) => number) => Math.max(...pairs.map(f)) - Math.min(...pairs.map(f))
	const along = way !== 'shift' && pairs.length >= 2 && range((p) => p.found.s) > SPREAD_MM
	const across = way === 'proportion' && pairs.length >= 3 && range((p) => p.found.g) > SPREAD_MM
	const row = (p: ChartPoint) => [1, ...(along ? [p.s] : []), ...(across ? [p.g] : [])]
	const columns = row({ s: 0, g: 0 }).length
	const fit = (of: (p: DatumPair) => number) =>
		leastSquares(
			Float64Array.from(pairs.flatMap((p) => row(p.found))),
			pairs.map(of),
			pairs.map(() => 1),
			columns,
		)
	const s = fit((p) => p.prepared.s - p.found.s)
	const g = fit((p) => p.prepared.g - p.found.g)
	const dot = (x: Float64Array, p: ChartPoint) => row(p).reduce((sum, v, i) => sum + v * (x[i] as number), 0)
	return {
		to: (p) => ({ s: p.s + dot(s.x, p), g: p.g + dot(g.x, p) }),
		missMm: Math.max(...pairs.map((_, i) => Math.hypot(s.residuals[i] as number, g.residuals[i] as number))),
		by: across ? 'both' : along ? 'stations' : 'shift',
	}
}

/** Two readings of a tape leave so much between datums by themselves, mm (half a millimetre each, common practice). */
const READ_MM = 1
/** Filler and primer stretch a panel by less than this; a slip of the pen is more: a share, and mm. */
const STRETCH_SHARE = 0.01
const STRETCH_MM = 2

/** Two neighbouring datums that no longer lie to each other as they did. */
export interface MovedPair {
	readonly from: string
	readonly to: string
	/** length of the difference of what separates them, mm, and what separated them as found */
	readonly changeMm: number
	readonly apartMm: number
}

/**
 * Neighbours along the baseline whose separation in station and girth changed by more than 2 mm, or by more than 1 % of itself
 * and more than their readings leave. A fit through two datums never misses them, so that this is judged by itself.
 */
export function movedPairs(pairs: readonly DatumPair[]): MovedPair[] {
	const list = [...pairs].sort((a, b) => a.found.s - b.found.s || a.found.g - b.found.g)
	return list.slice(1).flatMap((b, i) => {
		const a = list[i] as DatumPair
		const was = { s: b.found.s - a.found.s, g: b.found.g - a.found.g }
		const is = { s: b.prepared.s - a.prepared.s, g: b.prepared.g - a.prepared.g }
		const changeMm = Math.hypot(is.s - was.s, is.g - was.g)
		const apartMm = Math.hypot(was.s, was.g)
		const moved = changeMm > STRETCH_MM || (changeMm > READ_MM && changeMm > STRETCH_SHARE * apartMm)
		return moved ? [{ from: a.id, to: b.id, changeMm, apartMm }] : []
	})
}

type Spot = { readonly station: number; readonly girth: number; readonly side?: 'left' | 'right' | 'above' | 'below' }

/** The panel with every place that was given by station and girth as found, not by a mark's name, where it is now. */
export function carryPanel(panel: Panel, to: Carried['to']): Panel {
	if (!panel.prepared) return panel
	const spot = <T extends Spot>(at: T): T => {
		const { s, g } = to({ s: at.station, g: signedGirth(at.girth, at.side) })
		const side = panel.hand === 'centre' ? (g < 0 ? 'left' : 'right') : g < 0 ? 'below' : 'above'
		return { ...at, station: s, girth: Math.abs(g), side }
	}
	const station = (s: number) => to({ s, g: 0 }).s
	const carriedPlace = (place: Decal['place']): Decal['place'] => {
		if (place.kind === 'spot') return spot(place)
		return place.kind === 'marks' ? place : { ...place, station: station(place.station) }
	}
	const { outline, strips } = panel
	return {
		...panel,
		...(outline && {
			outline: { ...outline, points: outline.points.map((p) => (typeof p === 'string' || 'mark' in p ? p : spot(p))) },
		}),
		holes: panel.holes.map(spot),
		...(panel.patches && {
			patches: panel.patches.map((patch) => ({
				...patch,
				outline: patch.outline.map((p) => (typeof p === 'string' || 'mark' in p ? p : spot(p))),
			})),
		}),
		fields: panel.fields.map((f) => (f.seed ? { ...f, seed: spot(f.seed) } : f)),
		...(panel.decals && { decals: panel.decals.map((decal) => ({ ...decal, place: carriedPlace(decal.place) })) }),
		baseline: {
			...panel.baseline,
			interruptions: panel.baseline.interruptions.map((i) => ({ ...i, from: station(i.from), to: station(i.to) })),
		},
		...(strips?.stations && { strips: { ...strips, stations: strips.stations.map(station) } }),
	}
}
