/** Where a key goes in the ledger of readings. */
import type { Column } from './ledger.ts'

/** What can have the focus in a row, from left to right: its cells, and what takes it away. */
export type Stop = Column | 'remove'

export interface StopAt {
	readonly row: number
	readonly stop: Stop
}

export interface Pressed {
	readonly key: string
	readonly shift: boolean
	/** the caret stands before the first letter, after the last one: from there an arrow leaves the cell */
	readonly atStart: boolean
	readonly atEnd: boolean
}

/**
 * `rows`: the stops of every row in order. Enter and the arrows up and down stay in their column where the other row has it; Enter in a
 * row's last figure begins the next row, and left and right pass every stop, also those that Tab leaves out. Undefined where the key
 * has its usual meaning.
 */
export function goneTo(
	{ key, shift, atStart, atEnd }: Pressed,
	{ row, stop }: StopAt,
	rows: readonly (readonly Stop[])[],
): StopAt | undefined {
	const own = rows[row] ?? []
	const at = own.indexOf(stop)
	const inRow = (to: number) => (own[to] === undefined ? undefined : { row, stop: own[to] })
	const inColumn = (to: number, column: Stop) => {
		const there = rows[to]
		return there && { row: to, stop: there.includes(column) ? column : ('name' as const) }
	}
	switch (key) {
		case 'ArrowLeft':
			return atStart ? inRow(at - 1) : undefined
		case 'ArrowRight':
			return atEnd ? inRow(at + 1) : undefined
		// A list of choices has these keys for itself.
		case 'ArrowUp':
			return stop === 'kind' ? undefined : inColumn(row - 1, stop)
		case 'ArrowDown':
			return stop === 'kind' ? undefined : inColumn(row + 1, stop)
		case 'Enter':
			if (stop === 'remove') return undefined
			if (shift) return inColumn(row - 1, stop)
			return inColumn(row + 1, stop === lastFigure(own) ? 'name' : stop)
		default:
			return undefined
	}
}

const lastFigure = (stops: readonly Stop[]) => stops.filter((stop) => stop !== 'remove').at(-1)
