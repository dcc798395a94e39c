/** Figures that fill the rows of a sheet, in the lists of the job file: ticks on the old paint, edges as taped. */
import type { Unit } from '../../units/length.ts'
import type { Path } from '../document.ts'
import { entryFor, type ToldRow, writtenFigure } from '../toldRows.ts'
import type { Bench, Data } from './bench.ts'

export interface ToldList {
	readonly bench: Bench
	readonly list: Path
	readonly entries: readonly Data[]
	readonly unit: Unit
}

/** What the job holds for a row. */
export function entryOfRow({ entries, unit }: ToldList, row: ToldRow): Data | undefined {
	return entries[entryFor(entries, row, unit)]
}

/** Writes one value of a row; without its figure the row is no entry any more, and a list without entries is none. */
export function writeRow(
	{ bench, list, entries, unit }: ToldList,
	row: ToldRow & { readonly station: string },
	key: string,
	value: unknown,
	figure: string,
): void {
	const index = entryFor(entries, row, unit)
	const there = entries[index]
	if (value === undefined && key === figure) {
		if (!there) return
		if (entries.length === 1) bench.set(list, undefined)
		else bench.remove(list, index)
		return
	}
	const { line, side, station } = row
	const doing = `${list.join('/')} ${line} ${side ?? ''} ${station} ${key}`
	if (there) {
		bench.set([...list, index, key], value, doing)
		return
	}
	const entry = { line, ...(side ? { side } : {}), station: writtenFigure(station), [key]: value }
	bench.set([...list, entries.length], entry, doing)
}

/** Enter and the arrows go down and up a column of blanks. */
export function downColumn(event: KeyboardEvent): void {
	const cell = event.currentTarget as HTMLElement
	const down = event.key === 'Enter' ? !event.shiftKey : event.key === 'ArrowDown'
	const up = event.key === 'Enter' ? event.shiftKey : event.key === 'ArrowUp'
	if (!down && !up) return
	event.preventDefault()
	const all = Array.from(cell.closest('.told')?.querySelectorAll<HTMLElement>(`[data-column="${cell.dataset.column}"]`) ?? [])
	all[all.indexOf(cell) + (down ? 1 : -1)]?.focus()
}
