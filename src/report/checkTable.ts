/** The table beside a check sheet: a row for each place where a taped edge is to be measured. */
import type { Result } from '../engine/compute.ts'
import { checksFor } from '../engine/taped.ts'
import { blankTable, panelCell, sideCell, type TableOptions, tableFigure } from './blankTable.ts'

/** In the order of the sheet; what the plan says stands in a column of its own, which is not read back. */
export function checkTable(result: Result, options: TableOptions = {}): string {
	const { unit, title } = result.job
	const heading = ['kind', 'panel', 'line', 'side', `station (${unit})`, `girth (${unit})`, 'with', 'note', 'plan']
	const rows = result.panels.flatMap((panel) =>
		checksFor(panel).flatMap(({ line, side, places }) =>
			places.map(({ station, girth }) => [
				...['check', panelCell(panel.panel, side), line, sideCell(panel.panel, side), tableFigure(station, unit)],
				...['', '', '', tableFigure(Math.round(girth * 10) / 10, unit)],
			]),
		),
	)
	return blankTable(title, heading, rows, options)
}
