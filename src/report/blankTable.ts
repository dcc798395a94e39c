/** Blanks as a table for a spreadsheet, to be filled and entered into the job. */
import Papa from 'papaparse'
import type { Panel } from '../job/schema.ts'
import { girthFigure } from '../template/measured.ts'
import type { Unit } from '../units/length.ts'
import { sayFigure } from './measuringSheetFigure.ts'

export interface TableOptions {
	/** for spreadsheets that part cells by semicolons and write decimals with a comma */
	readonly semicolons?: boolean
}

/** The heading and a row for each blank, under a remark that says which job it is of. */
export function blankTable(
	title: string,
	heading: readonly string[],
	rows: readonly (readonly string[])[],
	{ semicolons = false }: TableOptions,
): string {
	const cells = semicolons ? rows.map((row) => row.map((cell) => cell.replace(/^(-?\d+)\.(\d+)$/, '$1,$2'))) : rows
	const table = Papa.unparse([[...heading], ...cells.map((row) => [...row])], {
		newline: '\r\n',
		delimiter: semicolons ? ';' : ',',
	})
	const text = `# ${remark(title)}: fill the blanks and enter it into the job\r\n${table}\r\n`
	// without it a spreadsheet takes letters with accents for something else
	return /^[ -~\r\n]*$/.test(text) ? text : `\ufeff${text}`
}

/** A figure as it is printed, with its unit where a spreadsheet would take it for a date: "5/32 in". */
export const tableFigure = (mm: number, unit: Unit) =>
	undated(unit === 'mm' ? sayFigure(mm, unit) : girthFigure(mm, unit).replace(/ in$/, ''))
export const undated = (figure: string) => (figure.includes('/') ? `${figure} in` : figure)

/** The panel as a row names it: of a pair with its side, which then has no cell of its own. */
export const panelCell = ({ id, hand }: Panel, side: string | undefined) =>
	hand === 'pair' && (side === 'left' || side === 'right') ? `${id} ${side}` : id

/** The side as a row says it: only of a panel on the centreline. */
export const sideCell = ({ hand }: Panel, side: string | undefined) =>
	hand === 'centre' && (side === 'left' || side === 'right') ? side : ''

/** Nothing that could be taken for a new cell. */
const remark = (title: string) => title.replace(/[",;\t\r\n]+/g, ' ')
