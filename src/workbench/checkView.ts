/** Where taped edges are to be measured before anything is sprayed, and what each figure says: go, look at it, or lay it again. */
import type { PanelResult } from '../engine/panel.ts'
import { checksFor } from '../engine/taped.ts'
import { tableFigure } from '../report/blankTable.ts'
import type { Verdict } from '../sides/tapedPanel.ts'
import { placeWords } from '../sides/tapedWords.ts'
import type { Unit } from '../units/length.ts'
import { entryFor, type ToldRow } from './toldRows.ts'

export interface CheckRow extends ToldRow {
	readonly name: string
	/** as it is printed on the sheet, in the job's unit */
	readonly station: string
	readonly plan: string
	/** of the figure that was typed, once it has been worked out */
	readonly answer?: { readonly verdict: Verdict; readonly says: string }
}

/** The telling stations of every edge as the check sheet has them, then places that were checked besides. None before its stations are known. */
export function checksOf(panel: PanelResult, unit: Unit): readonly CheckRow[] {
	if (!panel.stations) return []
	const answers = new Map(
		(panel.taped?.lines ?? []).flatMap((line) => line.places.map((place) => [place.index, { line, place }] as const)),
	)
	const answerOf = (index: number) => {
		const found = answers.get(index)
		if (!found) return {}
		return { answer: { verdict: found.place.verdict, says: placeWords(found.place, panel.panel, unit) } }
	}
	const sided = panel.hand === 'centre' || panel.hand === 'pair'
	const sideOf = (side: 'left' | 'right' | 'both' | undefined): Pick<ToldRow, 'side'> =>
		sided && side !== undefined && side !== 'both' ? { side } : {}
	const checks = panel.panel.checks ?? []
	const asked = new Set<number>()
	const rows = checksFor(panel).flatMap(({ line, name, side, places }) =>
		places.map(({ station, girth }): CheckRow => {
			const figure = tableFigure(station, unit)
			const row = { line, name, ...sideOf(side), station: figure, stationMm: station, plan: tableFigure(tenth(girth), unit) }
			const index = entryFor(checks, row, 'mm')
			asked.add(index)
			return { ...row, ...answerOf(index) }
		}),
	)
	const besides = checks.flatMap((check, index): readonly CheckRow[] => {
		if (asked.has(index)) return []
		const found = answers.get(index)
		const planned = found ? tableFigure(tenth(found.place.planned), unit) : ''
		const same = rows.find((row) => row.line.toLowerCase() === check.line.trim().toLowerCase())
		return [
			{
				...{ line: same?.line ?? check.line, name: found?.line.name ?? same?.name ?? check.line, ...sideOf(check.side) },
				...{ station: tableFigure(check.station, unit), stationMm: check.station, plan: planned },
				...answerOf(index),
			},
		]
	})
	return [...rows, ...besides]
}

const tenth = (mm: number) => Math.round(10 * mm) / 10
