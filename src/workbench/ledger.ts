/** The ledger of readings: rows of cells as they are typed, and the entries of the job file that they stand for. */
import { readLength, type Unit } from '../units/length.ts'

export const COLUMNS = ['kind', 'name', 'to', 'station', 'reading', 'side'] as const
export type Column = (typeof COLUMNS)[number]
/** A row as it is typed: texts. */
export type Cells = Readonly<Record<Column, string>>

export const EMPTY: Cells = { kind: 'square', name: '', to: '', station: '', reading: '', side: '' }

/** What a kind of reading is called, which cells it has, and the keys they stand for. */
export interface KindOfRow {
	readonly kind: string
	readonly says: string
	readonly name: string
	/** a second name, or two; absent where the kind has none */
	readonly to?: string
	readonly station?: 'must' | 'may'
	/** what the length is called */
	readonly reading: string
	readonly side: boolean
	/** keys of the entry, by cell; of two names the list that holds them */
	readonly keys: Partial<Record<Column, string>>
	/** 0 is a reading too */
	readonly zero?: true
	/** the names are names alone, without left/ or right/ before them */
	readonly plain?: true
	/** only left or right */
	readonly which?: true
	/** a list of two names: both in `to`, or one in `name` and one in `to` */
	readonly pair?: 'to' | 'both'
}

export const KINDS: readonly KindOfRow[] = [
	{
		kind: 'square',
		zero: true,
		plain: true,
		says: 'girth',
		name: 'mark',
		station: 'must',
		reading: 'girth',
		side: true,
		keys: { name: 'mark', station: 'station', reading: 'girth', side: 'side' },
	},
	{
		kind: 'tape',
		says: 'tape',
		name: 'from',
		to: 'to',
		reading: 'length',
		side: false,
		keys: { name: 'from', to: 'to', reading: 'length' },
	},
	{
		kind: 'straight',
		says: 'straight',
		name: 'from',
		to: 'to',
		reading: 'length',
		side: false,
		keys: { name: 'from', to: 'to', reading: 'length' },
	},
	{
		kind: 'width',
		says: 'width',
		name: 'from',
		to: 'to',
		reading: 'width',
		side: false,
		keys: { name: 'from', to: 'to', reading: 'length' },
	},
	{
		kind: 'gap',
		says: 'gap',
		name: 'from',
		to: 'to',
		reading: 'gap',
		side: false,
		keys: { name: 'from', to: 'to', reading: 'length' },
	},
	{
		kind: 'toLine',
		zero: true,
		says: 'to a line',
		name: 'mark',
		to: 'two marks of the line',
		reading: 'distance',
		side: false,
		keys: { name: 'mark', to: 'line', reading: 'distance' },
		pair: 'to',
	},
	{
		kind: 'crossing',
		zero: true,
		plain: true,
		says: 'line crosses',
		name: 'line',
		station: 'must',
		reading: 'girth',
		side: true,
		keys: { name: 'edge', station: 'station', reading: 'girth', side: 'side' },
	},
	{
		kind: 'between',
		plain: true,
		which: true,
		says: 'line to line',
		name: 'one line',
		to: 'other line',
		station: 'may',
		reading: 'width',
		side: true,
		keys: { name: 'lines', to: 'lines', station: 'station', reading: 'width', side: 'side' },
		pair: 'both',
	},
]

export const kindOf = (cells: Pick<Cells, 'kind'>): KindOfRow =>
	KINDS.find(({ kind }) => kind === cells.kind) ?? (KINDS[0] as KindOfRow)

type Entry = Readonly<Record<string, unknown>>

/** An entry as a row of texts, lengths as they are written. */
export function rowOf(entry: Entry): Cells {
	const kind = kindOf({ kind: String(entry.kind ?? '') })
	const text = (key: string | undefined) => {
		const value = key === undefined ? undefined : entry[key]
		return value === undefined || value === null || Array.isArray(value) ? '' : String(value)
	}
	const list = (key: string | undefined) =>
		key !== undefined && Array.isArray(entry[key]) ? (entry[key] as unknown[]).map(String) : []
	const two = list(kind.pair === 'both' ? kind.keys.name : kind.keys.to)
	return {
		kind: kind.kind,
		name: kind.pair === 'both' ? (two[0] ?? '') : text(kind.keys.name),
		to: kind.pair === 'both' ? (two[1] ?? '') : kind.pair === 'to' ? two.join(' ') : text(kind.keys.to),
		station: text(kind.keys.station),
		reading: text(kind.keys.reading),
		side: text(kind.keys.side),
	}
}

/** What a typed row becomes, or what is still missing or wrong in it, cell by cell. */
export type RowAnswer =
	| { readonly entry: Readonly<Record<string, unknown>>; readonly notes: readonly string[] }
	| { readonly wrong: Partial<Record<Column, string>> }

/** The entry that a row stands for. */
export function entryOf(cells: Cells, unit: Unit): RowAnswer {
	const kind = kindOf(cells)
	const wrong: Partial<Record<Column, string>> = {}
	const notes: string[] = []
	const entry: Record<string, unknown> = { kind: kind.kind }
	const names = (text: string) =>
		text
			.trim()
			.split(/[\s,;]+/)
			.filter((n) => n !== '')
	const own = kind.plain ? plainName : nameOf
	const name = own(cells.name)
	if (!name) wrong.name = cells.name.trim() === '' ? `${kind.name} is missing` : NAME_FORM
	if (kind.to !== undefined) {
		const to = names(cells.to)
		const need = kind.pair === 'to' ? 2 : 1
		if (to.length !== need) wrong.to = need === 2 ? 'two names with a space between them' : `${kind.to} is missing`
		else if (to.some((n) => !own(n))) wrong.to = NAME_FORM
		if (kind.pair === 'both') entry[kind.keys.name as string] = [name, to[0]]
		else entry[kind.keys.to as string] = kind.pair === 'to' ? to : to[0]
	}
	if (kind.pair !== 'both') entry[kind.keys.name as string] = name
	for (const column of ['station', 'reading'] as const) {
		const key = kind.keys[column]
		if (key === undefined || (column === 'station' && kind.station === undefined)) continue
		if (cells[column].trim() === '') {
			if (!(column === 'station' && kind.station === 'may'))
				wrong[column] = `${column === 'station' ? 'station' : kind.reading} is missing`
			continue
		}
		const length = typedLength(cells[column], unit)
		if ('why' in length) wrong[column] = length.why
		else if (column === 'reading' && length.mm < 0) wrong.reading = 'a length is never below 0: say the side instead'
		else if (column === 'reading' && length.mm === 0 && !kind.zero) wrong.reading = 'a length above 0'
		else {
			entry[key] = length.value
			if (length.note) notes.push(length.note)
		}
	}
	const side = SIDES[cells.side.trim().toLowerCase()]
	if (kind.side && cells.side.trim() !== '') {
		if (side && !(kind.which && (side === 'above' || side === 'below'))) entry[kind.keys.side as string] = side
		else wrong.side = kind.which ? 'left or right' : 'left, right, above or below'
	}
	return Object.keys(wrong).length > 0 ? { wrong } : { entry, notes }
}

const NAME_FORM = 'small letters, figures and hyphens, starting with a letter'
const nameOf = (text: string): string | undefined =>
	/^((left|right)\/)?[a-z][a-z0-9-]*$/.test(text.trim()) ? text.trim() : undefined

const plainName = (text: string): string | undefined => (text.includes('/') ? undefined : nameOf(text))

const SIDES: Readonly<Record<string, string>> = {
	...{ l: 'left', left: 'left', r: 'right', right: 'right' },
	...{ a: 'above', above: 'above', up: 'above', b: 'below', below: 'below', down: 'below' },
}

/** A length as it is to be written into the file: a plain figure as a number, all else as it was typed. */
export function typedLength(
	text: string,
	unit: Unit,
): { readonly value: number | string; readonly mm: number; readonly note?: string } | { readonly why: string } {
	const trimmed = text.trim()
	// "35." is on its way to 35.5.
	if (/\d[.,/]$/.test(trimmed)) return { why: `${JSON.stringify(trimmed)}, which is not finished` }
	const answer = readLength(trimmed, unit, { decimalComma: true })
	if (!answer.ok) return { why: `${answer.found}; expected ${answer.expected}` }
	const plain = trimmed.replace(',', '.')
	const value = /^-?\d+(\.\d+)?$/.test(plain) ? Number(plain) : trimmed
	return { value, mm: answer.mm, ...(answer.note ? { note: answer.note } : {}) }
}

/** What a kind of cell a pasted text starts from fills: rows of texts, tab-, semicolon- or comma-separated, also of one column. */
export function pastedRows(text: string): readonly (readonly string[])[] {
	const lines = text.replace(/\r\n?/g, '\n').replace(/\n+$/, '').split('\n')
	const by = lines.some((l) => l.includes('\t')) ? '\t' : lines.some((l) => l.includes(';')) ? ';' : undefined
	// a comma alone may be a decimal comma: it parts cells only where there are as many in every line, and more than one
	const commas = lines.map((l) => l.split(',').length - 1)
	const split = by ?? (commas.every((n) => n === commas[0]) && (commas[0] ?? 0) > 1 ? ',' : undefined)
	return lines.map((line) =>
		split === undefined ? [line.trim()] : line.split(split).map((cell) => cell.trim().replace(/^"(.*)"$/, '$1')),
	)
}

/** Rows with pasted cells in them, from a row and a column on; the kind of a new row is what its cells make likely. */
export function withPasted(
	rows: readonly Cells[],
	at: number,
	column: Column,
	pasted: readonly (readonly string[])[],
): readonly Cells[] {
	const out = [...rows]
	const from = COLUMNS.indexOf(column)
	for (const [k, cells] of pasted.entries()) {
		const index = at + k
		const base = out[index] ?? { ...EMPTY, kind: guessed(cells, from) }
		const filled: Record<Column, string> = { ...base }
		cells.forEach((cell, c) => {
			const key = COLUMNS[from + c]
			if (key) filled[key] = key === 'kind' ? kindSaid(cell, base.kind) : cell
		})
		out[index] = filled
	}
	return out
}

/** Of a row that does not say its kind: with two names it is a tape, else station and girth. */
function guessed(cells: readonly string[], from: number): string {
	const of = (column: Column) => cells[COLUMNS.indexOf(column) - from] ?? ''
	return of('to') !== '' && of('station') === '' ? 'tape' : 'square'
}

const kindSaid = (text: string, otherwise: string) =>
	KINDS.find(({ kind, says }) => kind.toLowerCase() === text.toLowerCase() || says === text.toLowerCase())?.kind ?? otherwise
