/** Readings from a table that a spreadsheet saved (CSV): one row for each mark, or for each length from mark to mark. */
import Papa from 'papaparse'
import type { Unit } from '../units/length.ts'
import { panelIdOf } from './answers.ts'
import { KINDS, READING_KINDS, type Row } from './csvCell.ts'
import { type Column, headingOf, isBlank, readHeading } from './csvHeading.ts'
import { entriesOfRow, type RowEntry } from './csvRow.ts'
import { READING_LIMIT } from './load.ts'
import { nearest } from './nearest.ts'
import type { Outcome, Problem } from './problem.ts'
import { listedShort, plural, quoteValue } from './say.ts'
import type { ReadingInput } from './schema.ts'
import { inOrder, TEXT_LIMIT } from './source.ts'

export interface CsvMark {
	readonly id: string
	/** mean of its stations, mm */
	readonly stationMm: number
	/** largest of its girths, mm */
	readonly girthMm: number
}

export interface CsvReadings {
	/** as they would stand in a job file whose unit is `unit`, in the order of the table */
	readonly readings: readonly ReadingInput[]
	/** marks that have a station, front to rear */
	readonly marks: readonly CsvMark[]
	/** the same and what goes into other lists, row by row */
	readonly rows: readonly CsvRow[]
	/** rows without a figure, where they are passed over */
	readonly blank: readonly CsvRow[]
	readonly unit: Unit
}

export interface CsvRow {
	readonly line: number
	/** the panel of the job that it names */
	readonly panel?: string
	/** none in a blank row */
	readonly entries: readonly RowEntry[]
	/** cells that are not empty, by the name of their column */
	readonly cells: ReadonlyMap<string, string>
}

export interface CsvOptions {
	/** unit of figures that have none, in their cell or in the heading of their column */
	readonly unit: Unit
	readonly file?: string
	/** unit of figures that say none, where it is not that of the job */
	readonly bare?: Unit
	/** panels of a job that the column `panel` may name, beside left and right */
	readonly panels?: readonly string[]
	/** for a job that there is: rows without a figure are passed over and listed, and rows of a proof and of checks are taken too */
	readonly forJob?: boolean
	/** for a job that is begun with it: rows without a figure are passed over, and rows may name any panel */
	readonly begin?: boolean
}

/**
 * The readings of a table with a heading row. Columns (in any order, a unit may follow in brackets): mark, station, and
 * left / right / above / below (girths) or girth and side; with, note, sd, panel, squared; for lengths from mark to mark kind,
 * from, to, length, pull; of a proof and of taped edges kind, line, station, misses, towards. Commas, semicolons or tabs between cells; decimal commas are converted, which is noted. A row
 * that cannot be read is a problem with its line, the others are kept: the value is there unless the whole is no such table.
 */
export function readCsv(text: string, options: CsvOptions): Outcome<CsvReadings> {
	const { unit, file } = options
	const say = (problems: readonly Problem[]) => inOrder(problems.map((problem) => (file ? { ...problem, file } : problem)))
	if (text.length > TEXT_LIMIT) return { problems: say([tooLarge(text.length)]) }
	const rows = rowsOf(text)
	const first = rows.findIndex(({ cells }) => !isEmpty(cells))
	if (first < 0) return { problems: say([empty()]) }
	const heading = readHeading(rows[first]!.cells, rows[first]!.line)
	if (!heading.value) return { problems: say(heading.problems) }

	const columns = heading.value.map((column) => (options.bare ? { unit: options.bare, ...column } : column))
	const read = readRows(rows.slice(first + 1), columns, options)
	const { readings, blank } = read
	const value = { readings, marks: inStationOrder(read.stations), rows: read.rows, blank, unit }
	return { value, problems: say([...heading.problems, ...read.problems]) }
}

interface TableRow {
	readonly cells: readonly string[]
	readonly line: number
	/** a quote mark in it is never closed, or closed too early */
	readonly quotes: boolean
}

function rowsOf(text: string): TableRow[] {
	const clean = text.startsWith('\ufeff') ? text.slice(1) : text
	const { data, errors } = Papa.parse<string[]>(clean, { delimiter: delimiterOf(clean) })
	const broken = new Set(errors.filter(({ type }) => type === 'Quotes').map(({ row }) => row))
	let line = 1
	return data.map((cells, index) => {
		const row = { cells: cells.map((cell) => cell.trim()), line, quotes: broken.has(index) }
		// a cell in quote marks may go on over several lines
		line += 1 + cells.join('').split(/\r\n|\r|\n/).length - 1
		return row
	})
}

/** What parts the cells of the heading, whose names have neither commas nor semicolons in them. */
function delimiterOf(text: string): string {
	const heading = text.split(/\r\n|\r|\n/).find((line) => line.trim() !== '' && !line.startsWith('#')) ?? ''
	if (heading.includes(';')) return ';'
	return heading.includes('\t') ? '\t' : ','
}

function isEmpty(cells: readonly string[]): boolean {
	return cells.every((cell) => cell === '') || cells[0]!.startsWith('#')
}

interface ReadRows {
	readonly readings: ReadingInput[]
	readonly rows: CsvRow[]
	readonly blank: CsvRow[]
	readonly stations: Map<string, { total: number; count: number; girth: number }>
	readonly problems: Problem[]
}

function readRows(rows: readonly TableRow[], columns: readonly Column[], { unit, panels, forJob, begin }: CsvOptions): ReadRows {
	const read: ReadRows = { readings: [], rows: [], blank: [], stations: new Map(), problems: [] }
	const commas: { text: string; line: number }[] = []
	let count = 0
	/** ids, with the first name in the table that became this one */
	const names = new Map<string, string>()
	for (const { cells, line, quotes } of rows) {
		if (isEmpty(cells)) continue
		if (quotes) {
			read.problems.push(openQuote(line))
			continue
		}
		const named = panelOf(cellsOf(cells, columns), panels, begin)
		if (!named) {
			read.problems.push(unknownPanel(line, cellsOf(cells, columns).get('panel'), panels))
			continue
		}
		const kinds = forJob ? KINDS : READING_KINDS
		const row: Row = { cells: named.cells, columns, unit, line, kinds, names, commas: [], problems: [] }
		const overflow = cells.slice(columns.length).filter((cell) => cell !== '')
		if ((forJob || begin) && overflow.length === 0 && isBlank(row.cells)) {
			read.blank.push({ line, ...named, entries: [] })
			continue
		}
		const entries = overflow.length > 0 ? undefined : entriesOfRow(row)
		if (overflow.length > 0) read.problems.push(tooManyCells(line, cells.length, columns))
		read.problems.push(...row.problems)
		if (!entries) continue
		count += entries.length
		if (count > READING_LIMIT) {
			read.problems.push(tooManyReadings(line))
			break
		}
		commas.push(...row.commas)
		read.rows.push({ line, ...named, entries })
		for (const entry of entries) {
			if (entry.list !== 'readings') continue
			read.readings.push(entry.input)
			const { mark } = entry
			if (!mark) continue
			const so = read.stations.get(mark.id) ?? { total: 0, count: 0, girth: 0 }
			so.total += mark.stationMm
			so.count++
			so.girth = Math.max(so.girth, mark.girthMm)
			read.stations.set(mark.id, so)
		}
	}
	if (commas.length > 0) read.problems.push(commaNote(commas))
	const renamed = [...names].filter(([id, name]) => id !== name)
	if (renamed.length > 0) read.problems.push(renamedNote(renamed))
	return read
}

/**
 * The panel of the job that a row names, and its cells with left or right alone in that column: "tank", "side-cover left".
 * Undefined where there is no such panel; a job that is begun has whatever panels are named.
 */
function panelOf(
	cells: ReadonlyMap<string, string>,
	panels: readonly string[] = [],
	begin = false,
): Pick<CsvRow, 'cells' | 'panel'> | undefined {
	const cell = cells.get('panel')
	if (cell === undefined || (panels.length === 0 && !begin) || /^(l|r|left|right)$/i.test(cell)) return { cells }
	const [, name = '', side] = /^(.*?)(?:[\s/]+(left|right))?$/i.exec(cell) ?? []
	const panel = begin ? panelIdOf(name) : panels.find((id) => id === name.toLowerCase())
	if (panel === undefined) return undefined
	const rest = new Map(cells)
	rest.delete('panel')
	if (side) rest.set('panel', side)
	return { panel, cells: rest }
}

function cellsOf(cells: readonly string[], columns: readonly Column[]): ReadonlyMap<string, string> {
	return new Map(columns.flatMap(({ name }, index) => (cells[index] ? [[name, cells[index]] as const] : [])))
}

function inStationOrder(stations: ReadRows['stations']): CsvMark[] {
	const marks = [...stations].map(([id, { total, count, girth }]) => ({ id, stationMm: total / count, girthMm: girth }))
	return marks.sort((a, b) => a.stationMm - b.stationMm)
}

function tooManyCells(line: number, count: number, columns: readonly Column[]): Problem {
	const found = `${plural(count, 'cell')} in a row under ${plural(columns.length, 'heading')}`
	const fix = 'Look for a decimal comma: part the cells by semicolons, or put such figures in quote marks. This row was left out.'
	return { code: 'CSV_ROW', severity: 'error', path: '', line, found, expected: `at most ${columns.length} cells`, fix }
}

function unknownPanel(line: number, name = '', panels: readonly string[] = []): Problem {
	const near = nearest(name, panels)
	const fix = `Write ${near ?? 'one of these'}. This row was left out.`
	return {
		...{
			code: 'CSV_ROW',
			severity: 'error',
			path: '',
			line,
			found: `the panel ${quoteValue(name)}, which the job does not have`,
		},
		...{ expected: listedShort(panels), fix },
	}
}

function openQuote(line: number): Problem {
	const found = 'a cell whose quote marks do not match; it may have swallowed the rows after it'
	const fix = 'Close it, or write an inch mark inside quote marks twice: "1 13/16""". This row was left out.'
	return { code: 'CSV_ROW', severity: 'error', path: '', line, found, expected: 'a quote mark at both ends of a cell', fix }
}

function tooManyReadings(line: number): Problem {
	const found = `more than ${READING_LIMIT} readings`
	const fix = 'Split the table, one for each panel. The rows from here on were left out.'
	return { code: 'TOO_MANY_READINGS', severity: 'error', path: '', line, found, expected: `at most ${READING_LIMIT}`, fix }
}

function commaNote(commas: readonly { text: string; line: number }[]): Problem {
	const { text, line } = commas[0]!
	const found = `${plural(commas.length, 'figure')} with a decimal comma, read with a point (the first: ${text})`
	const fix = 'Nothing, if they were meant so.'
	return { code: 'CSV_DECIMAL_COMMA', severity: 'note', path: '', line, found, expected: 'decimal points or commas', fix }
}

function renamedNote(renamed: readonly (readonly [string, string])[]): Problem {
	const pairs = renamed.map(([id, name]) => `${quoteValue(name)} is ${id}`)
	const found = `names of marks in another form: ${listedShort(pairs, 'and')}`
	const expected = 'small letters, figures and hyphens, starting with a letter'
	return { code: 'CSV_NAMES', severity: 'note', path: '', found, expected, fix: 'Nothing; use the new names in the job.' }
}

function tooLarge(length: number): Problem {
	const found = `a table of ${(length / 1e6).toFixed(1)} million characters`
	const fix = 'Split the table, one for each panel.'
	return { code: 'FILE_TOO_LARGE', severity: 'error', path: '', line: 1, found, expected: 'at most 5 million', fix }
}

function empty(): Problem {
	const fix = `Begin with the heading ${headingOf()}.`
	return {
		code: 'CSV_NO_HEADING',
		severity: 'error',
		path: '',
		line: 1,
		found: 'an empty table',
		expected: 'a heading row and readings',
		fix,
	}
}
