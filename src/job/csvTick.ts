/** Rows of a table that are no readings: what a tick misses the old paint by, and where an edge was taped. */
import { type CellLength, lengthOf, type Row, refuse, SIDE_WORDS } from './csvCell.ts'
import { quoteValue } from './say.ts'
import type { CheckInput, ProofTickInput } from './schema.ts'

/** As they are printed beside the blanks, and longer. */
const WAYS: Readonly<Record<string, 'inboard' | 'outboard'>> = {
	in: 'inboard',
	inb: 'inboard',
	inboard: 'inboard',
	out: 'outboard',
	outb: 'outboard',
	outboard: 'outboard',
}

/** A tick held against the old paint; undefined when the row was refused. */
export function tickOf(row: Row): ProofTickInput | undefined {
	const where = whereOf(row)
	const misses = where && lengthOf(row, 'misses', { unsigned: true, as: 'with its way in the column towards' })
	if (!where || !misses) return undefined
	const written = row.cells.get('towards')
	const towards = WAYS[written?.toLowerCase() ?? '']
	if (written !== undefined && !towards) {
		const fix = 'Write inboard where the old paint lies nearer the baseline, else outboard.'
		return refuse(row, `towards ${quoteValue(written)}`, 'inboard or outboard', fix)
	}
	if (misses.mm > 0 && !towards) {
		const fix = 'Write in the column towards which way from the tick the old paint lies.'
		return refuse(row, `a miss of ${misses.input} with no way to it`, 'inboard (towards the baseline) or outboard', fix)
	}
	const { side, note, line, station } = where
	return { line, ...side, station: station.input, misses: misses.input, ...(towards ? { towards } : {}), ...note }
}

/** An edge as taped; undefined when the row was refused. */
export function checkOf(row: Row): CheckInput | undefined {
	const where = whereOf(row)
	const girth = where && lengthOf(row, 'girth', { unsigned: true })
	if (!where || !girth) return undefined
	const { side, note, line, station } = where
	const written = row.cells.get('with')?.toLowerCase()
	const instrument = written === undefined ? {} : { with: written.replace(/[\s_]+/g, '-') }
	return { line, ...side, station: station.input, girth: girth.input, ...instrument, ...note }
}

interface Where {
	readonly line: string
	readonly side: { readonly side?: 'left' | 'right' }
	readonly station: CellLength
	readonly note: { readonly note?: string }
}

/** The line as the paper names it, the station, and the side, which on a pair may stand with the panel. */
function whereOf(row: Row): Where | undefined {
	const { cells } = row
	const line = cells.get('line')?.replace(/\s+/g, ' ')
	if (line === undefined) return refuse(row, 'no line', 'the name of a line as it is printed', 'Write it in the column line.')
	const written = [cells.get('panel'), cells.get('side')].filter((cell) => cell !== undefined)
	const sides = written.map((cell) => SIDE_WORDS[cell.toLowerCase()])
	const odd = written[sides.findIndex((side) => side !== 'left' && side !== 'right')]
	if (odd !== undefined) return refuse(row, `the side ${quoteValue(odd)}`, 'left or right', 'Write left or right.')
	if (sides.length === 2 && sides[0] !== sides[1])
		return refuse(row, `the ${sides[0]} panel and the side ${sides[1]}`, 'one side', 'Correct one of them.')
	const station = lengthOf(row, 'station')
	if (!station) return undefined
	const side = sides[0] as 'left' | 'right' | undefined
	const note = cells.get('note')
	return { line, side: side ? { side } : {}, station, note: note === undefined ? {} : { note } }
}
