/** The cells of one row of a table: lengths, sides, and what is wrong with them. */
import { readLength, type Unit } from '../units/length.ts'
import type { Column } from './csvHeading.ts'
import type { Problem } from './problem.ts'
import { quoteValue } from './say.ts'

export const READING_KINDS = ['square', 'tape', 'straight', 'width', 'gap', 'toLine', 'crossing', 'between'] as const
/** With rows of a proof and of checks of taped edges. */
export const KINDS = [...READING_KINDS, 'proof', 'check'] as const
export type Kind = (typeof KINDS)[number]

/** "to line" is toLine. */
export const kindNamed = (written: string, kinds: readonly Kind[]) =>
	kinds.find((each) => each.toLowerCase() === written.toLowerCase().replace(/[\s_-]/g, ''))

export interface Row {
	/** cells that are not empty, by the name of their column */
	readonly cells: ReadonlyMap<string, string>
	readonly columns: readonly Column[]
	readonly unit: Unit
	readonly line: number
	/** the kinds of rows that the table may have */
	readonly kinds: readonly Kind[]
	/** ids so far, with the name that each came from; grows */
	readonly names: Map<string, string>
	/** figures with a decimal comma; grows */
	readonly commas: { text: string; line: number }[]
	/** grows */
	readonly problems: Problem[]
}

/** Columns of girth whose heading is the side. */
export const SIDES = ['left', 'right', 'above', 'below'] as const
export type Side = (typeof SIDES)[number]

export const SIDE_WORDS: Readonly<Record<string, Side>> = {
	l: 'left',
	r: 'right',
	left: 'left',
	right: 'right',
	above: 'above',
	below: 'below',
}

export interface CellLength {
	/** as it would stand in the job file */
	readonly input: number | string
	readonly mm: number
}

/** A thousand or a decimal? In inches a table may say 1,250 for one and a quarter thousand; with three figures after a comma nobody can tell. */
const THREE_AFTER_COMMA = /^-?\d{1,3},\d{3}(?!\d)/

export interface Range {
	readonly unsigned?: boolean
	readonly positive?: boolean
	/** how a length without a sign is written; with its side where not said */
	readonly as?: string
}

/** The length in a cell; undefined when it was refused. */
export function lengthOf(row: Row, column: string, range: Range = {}): CellLength | undefined {
	const written = row.cells.get(column)
	if (written === undefined) return refuse(row, `no ${column}`, 'a length', `Write it in the column ${column}.`)
	if (THREE_AFTER_COMMA.test(written)) {
		const [point, none] = [written.replace(',', '.'), written.replace(',', '')]
		return refuse(
			row,
			`${column} ${quoteValue(written)}, which may be either of two lengths`,
			`${point} or ${none}`,
			'Write the one that was meant.',
		)
	}
	const headed = row.columns.find(({ name }) => name === column)?.unit
	const bareFigures = /^[-+\d.,/ ½¼¾⅛⅜⅝⅞⁄-]+$/.test(written)
	const text = headed && bareFigures ? `${written} ${headed}` : written
	const answer = readLength(text, row.unit, { decimalComma: true })
	if (!answer.ok) return refuse(row, `${column} ${answer.found}`, answer.expected, answer.fix)
	if (answer.mm < 0 && (range.unsigned || range.positive)) {
		const fix = range.unsigned ? `Write it without a sign, ${range.as ?? 'with its side'}.` : 'Write the length as measured.'
		return refuse(row, `${column} ${quoteValue(written)}`, 'a length of 0 or more', fix)
	}
	if (answer.mm === 0 && range.positive)
		return refuse(row, `${column} ${quoteValue(written)}`, 'a length above 0', 'Write the length as measured.')
	const point = text.replace(',', '.')
	if (answer.note) row.commas.push({ text: answer.note, line: row.line })
	const own = headed ? point.replace(new RegExp(`^(.*) ${row.unit}$`), '$1') : point
	return { input: /^-?\d+(\.\d+)?$/.test(own) ? Number(own) : point, mm: answer.mm }
}

/** Adds a problem of this row, and returns undefined for the caller to hand on. */
export function refuse(row: Row, found: string, expected: string, fix: string): undefined {
	row.problems.push({
		code: 'CSV_ROW',
		severity: 'error',
		path: '',
		line: row.line,
		found,
		expected,
		fix: `${fix} This row was left out.`,
	})
	return undefined
}
