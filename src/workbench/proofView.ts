/** Where strips have their ticks on the old paint, and what the misses that were read there say of each line. */
import type { PanelResult } from '../engine/panel.ts'
import { ticksFor } from '../engine/proof.ts'
import { tableFigure } from '../report/blankTable.ts'
import { sayProven } from '../report/readyWords.ts'
import type { Unit } from '../units/length.ts'
import { entryFor, type ToldRow } from './toldRows.ts'

export interface ProofRow extends ToldRow {
	readonly name: string
	/** as it is printed on the strip, in the job's unit */
	readonly station: string
	/** what was read there is more than a line may miss by */
	readonly over: boolean
}

export interface ProofView {
	readonly rows: readonly ProofRow[]
	/** of each line that has ticks: whether it is safe to strip, and what to do where it is not */
	readonly lines: readonly { readonly safe: boolean; readonly says: string }[]
}

/** `limitMm`: how far a line may miss the old paint. No rows before its stations are known. */
export function proofViewOf(panel: PanelResult, limitMm: number, unit: Unit): ProofView {
	const misses = new Map(
		(panel.proof ?? []).flatMap((line) => line.misses.map(({ index, acrossMm }) => [index, acrossMm] as const)),
	)
	const ticks = panel.panel.proof ?? []
	const sided = panel.hand === 'centre' || panel.hand === 'pair'
	const asked = new Set<number>()
	const over = (index: number) => {
		asked.add(index)
		return Math.abs(misses.get(index) ?? 0) > limitMm
	}
	const rows = panel.stations
		? ticksFor(panel).map(({ line, name, side, station }): ProofRow => {
				const own = sided && side !== 'both' ? { side } : {}
				const row = { line, name, ...own, station: tableFigure(station, unit), stationMm: station }
				return { ...row, over: over(entryFor(ticks, row, 'mm')) }
			})
		: []
	const besides = panel.stations
		? ticks.flatMap((tick, index): readonly ProofRow[] => {
				if (asked.has(index)) return []
				const { line, side, station } = tick
				const same = rows.find((row) => row.line.toLowerCase() === line.trim().toLowerCase())
				const own = sided && side ? { side } : {}
				return [
					{
						...{ line: same?.line ?? line, name: same?.name ?? line, ...own },
						...{ station: tableFigure(station, unit), stationMm: station, over: over(index) },
					},
				]
			})
		: []
	return {
		rows: [...rows, ...besides],
		lines: (panel.proof ?? []).map((line) => ({ safe: line.verdict === 'safe', says: sayProven(line, unit) })),
	}
}
