/** One row of a table as entries of a job file. */
import { type CellLength, type Kind, kindNamed, lengthOf, type Row, refuse, SIDE_WORDS, SIDES, type Side } from './csvCell.ts'
import { checkOf, tickOf } from './csvTick.ts'
import { nearest } from './nearest.ts'
import { listed, quoteValue } from './say.ts'
import type { CheckInput, ProofTickInput, ReadingInput } from './schema.ts'

/** The lists of a panel that rows go into. */
export const LISTS = ['readings', 'proof', 'checks'] as const
export type List = (typeof LISTS)[number]

/** What a row adds to one of the lists of a panel. */
export type RowEntry = RowReading | RowTick | RowCheck
export interface RowReading {
	readonly list: 'readings'
	readonly input: ReadingInput
	readonly mark?: { readonly id: string; readonly stationMm: number; readonly girthMm: number }
}
interface RowTick {
	readonly list: 'proof'
	readonly input: ProofTickInput
}
interface RowCheck {
	readonly list: 'checks'
	readonly input: CheckInput
}

/** The entries of a row; undefined when it was refused, with the reasons added to its problems. */
export function entriesOfRow(row: Row): readonly RowEntry[] | undefined {
	const kind = kindOfRow(row)
	const entries = kind && entriesOf(row, kind)
	return row.problems.length > 0 ? undefined : entries
}

function entriesOf(row: Row, kind: Kind): readonly RowEntry[] | undefined {
	if (kind === 'proof') {
		const input = tickOf(row)
		return input && [{ list: 'proof', input }]
	}
	if (kind === 'check') {
		const input = checkOf(row)
		return input && [{ list: 'checks', input }]
	}
	const common = commonOf(row)
	if (!common) return undefined
	if (kind === 'square' || kind === 'crossing') return squares(row, kind, common)
	return kind === 'between' ? between(row, common) : fromTo(row, kind, common)
}

function kindOfRow(row: Row): Kind | undefined {
	const written = row.cells.get('kind')
	if (written === undefined) {
		if (!row.cells.has('from') && !row.cells.has('to')) {
			return row.cells.has('line') && !row.cells.has('mark') ? 'crossing' : 'square'
		}
		return row.cells.has('mark') ? 'toLine' : 'tape'
	}
	const kind = kindNamed(written, row.kinds)
	if (!kind) {
		const fix = `Write ${nearest(written, row.kinds) ?? 'one of these'}.`
		refuse(row, `the kind ${quoteValue(written)}`, listed(row.kinds), fix)
	}
	return kind
}

type Common = Partial<Pick<Extract<ReadingInput, { kind: 'square' }>, 'with' | 'sd' | 'panel' | 'note'>>

function commonOf(row: Row): Common | undefined {
	const common: Common = {}
	if (row.cells.has('with'))
		common.with = row.cells
			.get('with')!
			.toLowerCase()
			.replace(/[\s_]+/g, '-')
	if (row.cells.has('sd')) {
		const sd = lengthOf(row, 'sd', { positive: true })
		if (!sd) return undefined
		common.sd = sd.input
	}
	if (row.cells.has('panel')) {
		const side = SIDE_WORDS[row.cells.get('panel')!.toLowerCase()]
		if (side !== 'left' && side !== 'right')
			return refuse(row, `the panel ${quoteValue(row.cells.get('panel'))}`, 'left or right', 'Write left or right.')
		common.panel = side
	}
	if (row.cells.has('note')) common.note = row.cells.get('note')!
	return common
}

/** Of a mark, or where a line crosses a station. */
function squares(row: Row, kind: 'square' | 'crossing', common: Common): RowReading[] | undefined {
	const id = kind === 'square' ? markOf(row, 'mark') : lineOf(row, 'line')
	const station = lengthOf(row, 'station')
	if (id === undefined || !station) return undefined
	const girths = girthsOf(row)
	if (!girths) return undefined
	const squared = row.cells
		.get('squared')
		?.toLowerCase()
		.replace(/[\s_]+/g, '-')
	if (squared !== undefined && squared !== 't-strip' && squared !== 'by-eye') {
		return refuse(row, `squared ${quoteValue(squared)}`, 't-strip or by-eye', 'Write t-strip or by-eye.')
	}
	const how: Pick<Extract<ReadingInput, { kind: 'square' }>, 'squared'> = squared ? { squared } : {}
	return girths.map(({ girth, side }): RowReading => {
		const read = { station: station.input, ...(side ? { girth: girth.input, side } : {}), ...how, ...common }
		return kind === 'square'
			? { list: 'readings', input: { kind, mark: id, ...read }, mark: { id, stationMm: station.mm, girthMm: girth.mm } }
			: { list: 'readings', input: { kind, edge: id, ...read } }
	})
}

/** The two lines stand under from and to, their width under length; a station and a side where they are said. */
function between(row: Row, common: Common): RowReading[] | undefined {
	const from = lineOf(row, 'from')
	const to = lineOf(row, 'to')
	const width = lengthOf(row, 'length', { positive: true })
	const station = row.cells.has('station') ? lengthOf(row, 'station') : undefined
	if (from === undefined || to === undefined || !width || (row.cells.has('station') && !station)) return undefined
	const written = row.cells.get('side')
	const side = SIDE_WORDS[written?.toLowerCase() ?? '']
	if (written !== undefined && side !== 'left' && side !== 'right')
		return refuse(row, `the side ${quoteValue(written)}`, 'left or right', 'Write left or right, or leave that cell empty.')
	const where = { ...(station ? { station: station.input } : {}), ...(side === 'left' || side === 'right' ? { side } : {}) }
	return [{ list: 'readings', input: { kind: 'between', lines: [from, to], width: width.input, ...where, ...common } }]
}

interface SidedGirth {
	readonly girth: CellLength
	/** none on the baseline */
	readonly side?: Side
}

function girthsOf(row: Row): SidedGirth[] | undefined {
	const columns = row.columns.map(({ name }) => name)
	const sided = SIDES.filter((side) => row.cells.has(side))
	if (row.cells.has('girth')) {
		if (sided.length > 0) {
			return refuse(row, `a girth and ${listed(sided.map(quoteValue), 'and')} too`, 'one or the other', 'Take one of them away.')
		}
		const girth = lengthOf(row, 'girth', { unsigned: true })
		if (!girth) return undefined
		if (girth.mm === 0) return [{ girth }]
		const written = row.cells.get('side')
		const side = SIDE_WORDS[written?.toLowerCase() ?? '']
		if (side) return [{ girth, side }]
		const found = written === undefined ? 'a girth with no side' : `the side ${quoteValue(written)}`
		return refuse(row, found, listed(SIDES), 'Write the side in the column side.')
	}
	if (sided.length === 0) {
		if (!columns.some((name) => name === 'girth' || SIDES.includes(name as Side))) return [{ girth: { input: 0, mm: 0 } }]
		return refuse(row, 'a station with no girth', 'a girth, or 0 for a mark on the baseline', 'Write the girth, or 0.')
	}
	const girths: SidedGirth[] = []
	for (const side of sided) {
		const girth = lengthOf(row, side, { unsigned: true })
		if (!girth) return undefined
		if (girth.mm > 0) girths.push({ girth, side })
	}
	return girths.length > 0 ? girths : [{ girth: { input: 0, mm: 0 } }]
}

function fromTo(
	row: Row,
	kind: Exclude<Kind, 'square' | 'crossing' | 'between' | 'proof' | 'check'>,
	common: Common,
): RowReading[] | undefined {
	const from = markOf(row, 'from')
	const to = markOf(row, 'to')
	const column = row.cells.has('length') || !row.cells.has('distance') ? 'length' : 'distance'
	const length = lengthOf(row, column, kind === 'toLine' ? { unsigned: true } : { positive: true })
	if (from === undefined || to === undefined || !length) return undefined
	if (kind === 'toLine') {
		const mark = markOf(row, 'mark')
		if (mark === undefined) return undefined
		return [{ list: 'readings', input: { kind, mark, line: [from, to], distance: length.input, ...common } }]
	}
	const base = { from, to, length: length.input, ...common }
	const pull = row.cells.get('pull')?.toLowerCase()
	if (pull === undefined) return [{ list: 'readings', input: { kind, ...base } }]
	if (pull !== 'pressed' && pull !== 'tight')
		return refuse(row, `pull ${quoteValue(pull)}`, 'pressed or tight', 'Write pressed or tight.')
	if (kind === 'straight' || kind === 'gap')
		return refuse(row, `pull with a reading of kind ${kind}`, 'no pull there', 'Leave that cell empty.')
	return [{ list: 'readings', input: { kind, ...base, pull } }]
}

/** The name of a mark in the form that a job has: "U 1" is u-1, and "1" is m1. left/NAME stays what it is. */
function markOf(row: Row, column: string): string | undefined {
	const written = row.cells.get(column)
	if (written === undefined) return refuse(row, `no ${column}`, 'the name of a mark', `Write it in the column ${column}.`)
	const [, prefix = '', name = ''] = /^((?:left|right)\/)?(.*)$/is.exec(written)!
	const plain = name
		.toLowerCase()
		.replace(/[\s_.]+/g, '-')
		.replace(/^-+|-+$/g, '')
	const id = /^\d/.test(plain) ? `m${plain}` : plain
	if (!/^[a-z][a-z0-9-]*$/.test(id)) {
		return refuse(
			row,
			`the name ${quoteValue(written)}`,
			'letters, figures and hyphens',
			'Give the mark another name, such as u1.',
		)
	}
	const before = row.names.get(id)
	if (before === undefined) row.names.set(id, name)
	else if (before.toLowerCase() !== name.toLowerCase()) {
		return refuse(
			row,
			`the name ${quoteValue(name)}, which becomes ${id} as ${quoteValue(before)} does`,
			'names that stay different',
			'Give one of the two another name.',
		)
	}
	return prefix.toLowerCase() + id
}

/** The name of a line, in the same form; it has no side. */
function lineOf(row: Row, column: string): string | undefined {
	const id = markOf(row, column)
	if (!id?.includes('/')) return id
	return refuse(
		row,
		`the line ${quoteValue(row.cells.get(column))}`,
		'the name of a line alone',
		'Write the side in the column side.',
	)
}
