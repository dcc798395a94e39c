/** The gate before the gun: where the lines of one stage are measured as taped, and what they should read. */
import { polyline } from '../chart/region.ts'
import { closestOnPolyline } from '../plane/closest.ts'
import type { Seen, Stage } from '../stages/parts.ts'
import type { PanelResult } from './panelResult.ts'
import { checksFor, type ToCheck } from './taped.ts'

/** A place is on a line that is taped where it lies as near as this to it, mm. */
const ON_MM = 0.3
const CHORD_MM = 0.05
/** Judged three stations at a time: at either end and in the middle. */
const STATIONS = 3

export interface GateRow extends Omit<ToCheck, 'side'> {
	readonly side: 'left' | 'right' | 'both'
}

export interface GateInput {
	readonly work: { readonly id: string; readonly hand: Seen['hand']; readonly seen: Seen }
	readonly stage: Stage
}

/** Of every painted line that is taped for this stage up to three stations; none of lines that will be hidden. */
export function gateRows({ work, stage }: GateInput, panels: readonly PanelResult[]): readonly GateRow[] {
	const panel = panels.find(({ id }) => id === work.id)
	if (!panel) return []
	const lines = stage.edges
		.filter(({ kind }) => kind === 'line')
		.map(({ curve }) => polyline(work.seen.chart, curve, CHORD_MM).map(({ s, g }) => ({ x: s, y: g })))
	const isTaped = (side: GateRow['side'], station: number, girth: number) => {
		const signs = work.hand !== 'centre' || side === 'both' ? [1, -1] : [side === 'left' ? -1 : 1]
		return lines.some((points) =>
			signs.some((sign) => closestOnPolyline({ x: station, y: sign * girth }, points, false).distance <= ON_MM),
		)
	}
	// a bare line that stripes are laid off is said by their own edges
	const striped = new Set(panel.panel.stripes.map(({ edge }) => edge))
	const own = checksFor(panel).filter(
		({ line, side }) => !striped.has(line) && (work.hand === 'centre' || side === work.hand || side === 'both'),
	)
	const rows = own.flatMap((check): GateRow[] => {
		const places = check.places.filter(({ station, girth }) => isTaped(check.side, station, girth))
		return 2 * places.length > check.places.length ? [{ ...check, places: spread(places) }] : []
	})
	// one line has one row, by whichever of its names comes first
	const seen = new Set<string>()
	return rows.filter(({ side, places }) => {
		const key = `${side} ${places.map(({ station, girth }) => `${station.toFixed(1)},${girth.toFixed(1)}`).join(' ')}`
		if (seen.has(key)) return false
		seen.add(key)
		return true
	})
}

function spread<T>(places: readonly T[]): readonly T[] {
	if (places.length <= STATIONS) return places
	const last = places.length - 1
	return [0, Math.floor(last / 2), last].map((i) => places[i] as T)
}
