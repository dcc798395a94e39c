/** The ledger while it is typed in: readings of the file, rows of them that are being mended, and new rows that are not whole yet. */
import type { Unit } from '../units/length.ts'
import { type Cells, type Column, EMPTY, entryOf, rowOf, withPasted } from './ledger.ts'

export type Entry = Readonly<Record<string, unknown>>

export interface Drafts {
	/** by place: the cells as typed, and the entry that they were made from; with any other entry there they count no more */
	readonly mended: Readonly<Record<number, { readonly of: string; readonly cells: Cells }>>
	/** rows after the readings, in order; none of them is a reading yet */
	readonly fresh: readonly Cells[]
}
export const NO_DRAFTS: Drafts = { mended: {}, fresh: [] }

export interface Ledger {
	readonly readings: readonly Entry[]
	readonly drafts: Drafts
}

export interface Row {
	readonly cells: Cells
	/** it differs from what the file holds, or is not in it yet */
	readonly draft: boolean
}

const mark = (entry: Entry) => JSON.stringify(entry)

/** Every row with the blank one below them. */
export function rowsOf({ readings, drafts }: Ledger): readonly Row[] {
	const kind = String(readings[readings.length - 1]?.kind ?? EMPTY.kind)
	return [
		...readings.map((entry, i): Row => {
			const draft = drafts.mended[i]
			return draft && draft.of === mark(entry) ? { cells: draft.cells, draft: true } : { cells: rowOf(entry), draft: false }
		}),
		...drafts.fresh.map((cells): Row => ({ cells, draft: true })),
		{ cells: { ...EMPTY, kind }, draft: false },
	]
}

/** A cell typed in; `start`: the row's entry when its cell was come to. A row that is whole becomes its entry; new rows do so in order, so that none jumps over another. */
export function withTyped(ledger: Ledger, unit: Unit, at: number, column: Column, text: string, start?: Entry): Ledger {
	const row = rowsOf(ledger)[at]
	if (!row) return ledger
	const cells = { ...row.cells, [column]: text }
	// "3" on the way to "3 1/" was no reading: what stood there before the typing stands there again.
	const back = start && at < ledger.readings.length && 'wrong' in entryOf(cells, unit)
	const from = back ? { ...ledger, readings: ledger.readings.map((entry, i) => (i === at ? start : entry)) } : ledger
	return withRow(from, unit, at, cells)
}

/** Cells pasted from a row and a column on. Rows that are not whole stay in their places, to be finished. */
export function withPaste(
	ledger: Ledger,
	unit: Unit,
	at: number,
	column: Column,
	pasted: readonly (readonly string[])[],
): Ledger {
	const before = rowsOf(ledger)
		.slice(0, -1)
		.map(({ cells }) => cells)
	return withPasted(before, at, column, pasted).reduce(
		(made, cells, i) => (cells === before[i] ? made : withRow(made, unit, i, cells)),
		ledger,
	)
}

/** A row taken away; the entry's place is undefined where it was none yet. */
export function withoutRow(
	{ readings, drafts }: Ledger,
	at: number,
): { readonly drafts: Drafts; readonly entry: number | undefined } {
	if (at >= readings.length) {
		return { drafts: { ...drafts, fresh: drafts.fresh.filter((_, k) => k !== at - readings.length) }, entry: undefined }
	}
	const moved = Object.entries(drafts.mended).flatMap(([k, draft]) => {
		const place = Number(k)
		return place === at ? [] : [[place > at ? place - 1 : place, draft] as const]
	})
	return { drafts: { ...drafts, mended: Object.fromEntries(moved) }, entry: at }
}

function withRow({ readings, drafts }: Ledger, unit: Unit, at: number, cells: Cells): Ledger {
	const answer = entryOf(cells, unit)
	const there = readings[at]
	if (there) {
		const { [at]: _, ...others } = drafts.mended
		if ('wrong' in answer) return { readings, drafts: { ...drafts, mended: { ...others, [at]: { of: mark(there), cells } } } }
		const entry = { ...besides(there, answer.entry), ...answer.entry }
		return { readings: readings.map((old, i) => (i === at ? entry : old)), drafts: { ...drafts, mended: others } }
	}
	const fresh = [...drafts.fresh]
	fresh[Math.min(at - readings.length, fresh.length)] = cells
	return settled(readings, { ...drafts, fresh }, unit)
}

/** New rows that are whole, from the first on, are readings. */
function settled(readings: readonly Entry[], drafts: Drafts, unit: Unit): Ledger {
	const made: Entry[] = []
	for (const cells of drafts.fresh) {
		const answer = entryOf(cells, unit)
		if ('wrong' in answer) break
		made.push(answer.entry)
	}
	return { readings: [...readings, ...made], drafts: { ...drafts, fresh: drafts.fresh.slice(made.length) } }
}

/** Keys of every kind of reading, and of some, that no cell shows. */
const OF_ALL = ['with', 'sd', 'panel', 'note']
const OF_SOME: Readonly<Record<string, readonly string[]>> = {
	...{ square: ['squared'], crossing: ['squared'] },
	...{ tape: ['pull'], width: ['pull'] },
}

/** What an entry holds beside the cells of its row, as far as the kind that it now is knows it. */
function besides(entry: Entry, made: Entry): Entry {
	const keys = entry.kind === made.kind ? Object.keys(entry) : [...OF_ALL, ...(OF_SOME[String(made.kind)] ?? [])]
	const cells = new Set([
		'kind',
		'mark',
		'edge',
		'from',
		'to',
		'line',
		'lines',
		'station',
		'girth',
		'length',
		'distance',
		'width',
		'side',
	])
	return Object.fromEntries(keys.flatMap((key) => (cells.has(key) || entry[key] === undefined ? [] : [[key, entry[key]]])))
}

/** Drafts that were typed in one unit, for a job that is in another now: figures without a unit say the old one. */
export function draftsIn(drafts: Drafts, old: Unit, unit: Unit): Drafts {
	if (old === unit) return drafts
	const said = (text: string) => (/\d/.test(text) && !/[a-z'"\u2032\u2033]/i.test(text) ? `${text.trim()} ${old}` : text)
	const row = (cells: Cells): Cells => ({ ...cells, station: said(cells.station), reading: said(cells.reading) })
	const mended = Object.entries(drafts.mended).map(([at, { of, cells }]) => [at, { of, cells: row(cells) }] as const)
	return { mended: Object.fromEntries(mended), fresh: drafts.fresh.map(row) }
}
