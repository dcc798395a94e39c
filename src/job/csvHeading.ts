/** The heading row of a table of readings: which column is what, and in which unit. */

import { nearest } from './nearest.ts'
import type { Outcome, Problem } from './problem.ts'
import { listed, quoteValue } from './say.ts'

/** Every heading that is known; those of lengths may carry a unit. */
export const HEADINGS = ['mark', 'station', 'left', 'right', 'above', 'below', 'girth', 'side', 'panel', 'with', 'note'] as const
const MORE_HEADINGS = [
	'sd',
	'squared',
	'kind',
	'from',
	'to',
	'length',
	'distance',
	'pull',
	'before',
	'line',
	'misses',
	'towards',
	'piece',
	'plan',
] as const
/** Columns of what is measured: where all of them are empty nothing was. */
export const FIGURES: readonly string[] = ['station', 'left', 'right', 'above', 'below', 'girth', 'length', 'distance', 'misses']
/** Of rows that come with their station: what is left to measure. */
const MEASURED: Readonly<Record<string, string>> = { proof: 'misses', check: 'girth', between: 'length' }

/** A row in which nothing was measured yet. */
export function isBlank(cells: ReadonlyMap<string, string>): boolean {
	const own = MEASURED[cells.get('kind')?.toLowerCase() ?? '']
	return own === undefined ? !FIGURES.some((name) => cells.has(name)) : !cells.has(own)
}

export interface Column {
	readonly name: string
	/** unit of plain figures in this column */
	readonly unit?: string
}

const KNOWN: readonly string[] = [...HEADINGS, ...MORE_HEADINGS]

/** A good heading, for advice. */
export function headingOf(): string {
	return 'mark,station,left,right'
}

/** The columns in order. No value when a mark could not be told from it; a column that is not known is an error, its cells are left out. */
export function readHeading(cells: readonly string[], line: number): Outcome<readonly Column[]> {
	const columns = cells.map(columnOf)
	const problems: Problem[] = []
	const names = columns.map(({ name }) => name)
	if (!names.some((name) => KNOWN.includes(name))) {
		const found = `a first row that is no heading: ${cells.slice(0, 6).map(quoteValue).join(', ')}`
		const fix = `Put a heading above the readings, such as ${headingOf()}.`
		return { problems: [{ code: 'CSV_NO_HEADING', severity: 'error', path: '', line, found, expected: listed(KNOWN), fix }] }
	}
	for (const [index, name] of names.entries()) {
		if (name === '') continue
		if (!KNOWN.includes(name)) problems.push(unknownColumn(cells[index]!, name, names, line))
		else if (names.indexOf(name) < index) problems.push(columnTwice(name, line))
	}
	const all = (...wanted: readonly string[]) => wanted.every((name) => names.includes(name))
	const enough = all('mark', 'station') || all('from', 'to') || all('line', 'station')
	if (!enough) {
		const found = `a heading with ${listed(
			names.filter((name) => KNOWN.includes(name)),
			'and',
		)}`
		const expected = 'mark and station, or from, to and length'
		const fix = `Add what is missing: ${headingOf()}.`
		problems.push({ code: 'CSV_COLUMN_MISSING', severity: 'error', path: '', line, found, expected, fix })
	}
	const good = enough && !problems.some(({ code }) => code === 'CSV_COLUMN_TWICE')
	return { ...(good ? { value: columns } : {}), problems }
}

/** "Station (mm)", "left [in]", "girth_mm": a name and perhaps a unit. */
function columnOf(cell: string): Column {
	const text = cell.trim().toLowerCase()
	const parts = /^([a-z]+)[\s_]*[([\s_]\s*(mm|cm|in|inch|inches)\s*[)\]]?$/.exec(text)
	return parts ? { name: parts[1]!, unit: parts[2]! } : { name: text }
}

function unknownColumn(cell: string, name: string, names: readonly string[], line: number): Problem {
	const near = nearest(
		name,
		KNOWN.filter((each) => !names.includes(each)),
	)
	const fix = near ? `Call it ${near}, or take it away.` : 'Take it away, or call it note.'
	const found = `the column ${quoteValue(cell)}, which is not known; its cells were left out`
	return { code: 'CSV_COLUMN_UNKNOWN', severity: 'error', path: '', line, found, expected: listed(KNOWN), fix }
}

function columnTwice(name: string, line: number): Problem {
	const rest = { found: `two columns called ${name}`, expected: 'each column once', fix: 'Rename or take away one of them.' }
	return { code: 'CSV_COLUMN_TWICE', severity: 'error', path: '', line, ...rest }
}
