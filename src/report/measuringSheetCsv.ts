/** The table beside a measuring sheet: its blanks as rows for a spreadsheet, to be filled and entered into the job. */
import type { Panel } from '../job/schema.ts'
import type { Unit } from '../units/length.ts'
import { blankTable, panelCell, sideCell, type TableOptions, undated } from './blankTable.ts'
import type { Blank, MarkRow, MeasuringRows } from './measuringSheetBlanks.ts'

export interface SheetPanel {
	readonly panel: Panel
	readonly rows: MeasuringRows
}

/**
 * One row for each blank, in the order of the sheet: a mark's station and girth on one side, or a length. Figures of before stand in a
 * column of their own, which is not read back. A remark line says which job it is of; every row names its panel.
 */
export function measuringCsv(title: string, panels: readonly SheetPanel[], unit: Unit, options: TableOptions = {}): string {
	const heading = [
		'kind',
		'panel',
		'mark',
		'line',
		'side',
		`station (${unit})`,
		`girth (${unit})`,
		'from',
		'to',
		`length (${unit})`,
	]
	const rows = panels.flatMap(({ panel, rows: { marks, lengths } }) => [
		...marks.flatMap((row) => row.blanks.map((blank) => markRow(panel, row, blank))),
		...lengths.flatMap(({ kind, mark = '', tight, station, blanks }) =>
			blanks.map((blank) => {
				const ends = [blank.from, blank.to]
				const side = kind === 'between' ? sideCell(panel, blank.side) : ''
				const own = panelCell(panel, blank.side)
				return [
					kind,
					own,
					mark,
					'',
					side,
					undated(station ?? ''),
					'',
					...ends,
					'',
					'',
					tight ? 'tight' : '',
					'',
					'',
					before(blank),
				]
			}),
		),
	])
	return blankTable(title, [...heading, 'with', 'pull', 'squared', 'note', 'before'], rows, options)
}

function markRow(panel: Panel, { mark, crossing }: MarkRow, blank: Blank): string[] {
	const own = panelCell(panel, blank.side)
	const of = crossing ? ['crossing', own, '', mark] : ['square', own, mark, '']
	return [...of, sideCell(panel, blank.side), '', '', '', '', '', '', '', '', '', before(blank)]
}

/** In words: a spreadsheet takes 10/12 for a date. */
const before = (blank: Blank) =>
	blank.before.map(([first = '', girth]) => (girth === undefined ? first : `station ${first} girth ${girth}`)).join('; ')
