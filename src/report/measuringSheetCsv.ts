/** The table beside a measuring sheet: its blanks as rows for a spreadsheet, to be filled and entered into the job. */
import Papa from 'papaparse'
import type { Panel } from '../job/schema.ts'
import type { Unit } from '../units/length.ts'
import type { Blank, MarkRow, MeasuringRows } from './measuringSheetBlanks.ts'

export interface SheetPanel {
	readonly panel: Panel
	readonly rows: MeasuringRows
}

/**
 * One row for each blank, in the order of the sheet: a mark's station and girth on one side, or a length. Figures of before stand in a
 * column of their own, which is not read back. A remark line says which job it is of; every row names its panel.
 */
export function measuringCsv(title: string, panels: readonly SheetPanel[], unit: Unit): string {
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
				const side = kind === 'between' && panel.hand === 'centre' ? (blank.side ?? '') : ''
				const was = station === undefined ? before(blank) : `${before(blank)} at station ${station}`
				return [kind, panelCell(panel, blank), mark, '', side, '', '', ...ends, '', '', tight ? 'tight' : '', '', '', was]
			}),
		),
	])
	const table = Papa.unparse([[...heading, 'with', 'pull', 'squared', 'note', 'before'], ...rows], { newline: '\r\n' })
	const text = `# ${remark(title)}: fill the blanks and enter it into the job\r\n${table}\r\n`
	// without it a spreadsheet takes letters with accents for something else
	return /^[ -~\r\n]*$/.test(text) ? text : `\ufeff${text}`
}

function markRow(panel: Panel, { mark, crossing }: MarkRow, blank: Blank): string[] {
	const side = panel.hand === 'centre' ? (blank.side ?? '') : ''
	const of = crossing ? ['crossing', panelCell(panel, blank), '', mark] : ['square', panelCell(panel, blank), mark, '']
	return [...of, side, '', '', '', '', '', '', '', '', '', before(blank)]
}

const panelCell = ({ id, hand }: Panel, { side }: Blank) => (hand === 'pair' && side ? `${id} ${side}` : id)
/** In words: a spreadsheet takes 10/12 for a date. */
const before = (blank: Blank) =>
	blank.before.map(([first = '', girth]) => (girth === undefined ? first : `station ${first} girth ${girth}`)).join('; ')

/** Nothing that could be taken for a new cell. */
const remark = (title: string) => title.replace(/[",;\t\r\n]+/g, ' ')
