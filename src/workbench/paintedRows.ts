/** Edges as they came out of the paint: a blank for each telling station of a line, and how far each is off what was planned. */
import { lengthsIn } from '../units/format.ts'
import type { Unit } from '../units/length.ts'
import type { CheckRow } from './checkView.ts'
import { entryFor, lengthIn, type ToldRow } from './toldRows.ts'

export interface PaintedRow extends ToldRow {
	readonly name: string
	readonly station: string
	/** as planned, in the job's unit; empty where it is not known */
	readonly plan: string
	/** what was read, against the plan */
	readonly off?: string
}

type Entry = Readonly<Record<string, unknown>>

/** Less cannot be read off a tape, mm. */
const SAME_MM = 0.05

/** The rows of the check sheet, then places that were read besides. */
export function paintedRows(checks: readonly CheckRow[], entries: readonly Entry[], unit: Unit): readonly PaintedRow[] {
	const asked = new Set<number>()
	const rows = checks.map(({ line, name, side, station, stationMm, plan }): PaintedRow => {
		const row = { line, name, ...(side ? { side } : {}), station, stationMm, plan }
		const index = entryFor(entries, row, unit)
		asked.add(index)
		return { ...row, ...offOf(entries[index]?.girth, plan, unit) }
	})
	const besides = entries.flatMap((entry, i): PaintedRow[] => {
		const stationMm = lengthIn(entry.station, unit)
		if (asked.has(i) || Number.isNaN(stationMm)) return []
		const line = String(entry.line ?? '')
		const same = rows.find((row) => row.line.toLowerCase() === line.trim().toLowerCase())
		const side: Pick<ToldRow, 'side'> = entry.side === 'left' || entry.side === 'right' ? { side: entry.side } : {}
		return [{ line: same?.line ?? line, name: same?.name ?? line, ...side, station: String(entry.station), stationMm, plan: '' }]
	})
	return [...rows, ...besides]
}

function offOf(girth: unknown, plan: string, unit: Unit): { readonly off?: string } {
	const mm = lengthIn(girth, unit) - lengthIn(plan, unit)
	if (Number.isNaN(mm)) return {}
	if (Math.abs(mm) < SAME_MM) return { off: 'as planned' }
	return { off: `${lengthsIn(`${Math.abs(mm).toFixed(1)} mm`, unit)} ${mm > 0 ? 'more' : 'less'} than planned` }
}
