/** A table of figures: a row for each entry of a list, one more to write into, and one bar below for what is done with a row. */
import { useRef, useState } from 'preact/hooks'
import { type Cell, keysOf, readCell, valueAt } from '../cells.ts'
import { type Path, withEntry, withoutEntry } from '../document.ts'
import { pastedRows } from '../ledger.ts'
import type { Bench } from './bench.ts'
import { Control, unitOf } from './fields.tsx'
import { NotYet } from './notYet.tsx'

export interface RowsProps {
	readonly bench: Bench
	readonly list: Path
	readonly rows: readonly unknown[]
	readonly cells: readonly Cell[]
	readonly caption: string
	/** what one row is called: "datum" */
	readonly one: string
	/** what a new row holds before anything is typed; absent where rows are not written in here */
	readonly begin?: (() => unknown) | undefined
	/** keys shown elsewhere */
	readonly also?: readonly string[]
	/** the order of the rows says something, so they can be moved */
	readonly ordered?: boolean
	/** at least so many stay */
	readonly least?: number
	/** entries that are written in several forms: as cells see them, and an entry with one cell changed */
	readonly form?: {
		readonly show: (entry: unknown) => unknown
		readonly put: (entry: unknown, key: string, value: unknown) => unknown
	}
	/** what else can be done with a row */
	readonly more?: (row: number) => preact.ComponentChildren
	readonly chosen?: (row: number) => void
}

/** Another list starts afresh: what was half typed for one is not for the other. */
export const Rows = (props: RowsProps) => <RowsOf key={props.list.join('/')} {...props} />

function RowsOf(props: RowsProps) {
	const { bench, list, rows, cells, begin, one, least = 0 } = props
	const unit = unitOf(bench)
	const table = useRef<HTMLTableElement>(null)
	const [typed, setTyped] = useState<unknown>()
	const draft = typed ?? begin?.()
	const [current, setCurrent] = useState(0)
	const [said, setSaid] = useState<string>()
	const all = begin ? [...rows, draft] : rows
	const { show = same, put } = props.form ?? {}
	const changed = (entry: unknown, { key }: Cell, value: unknown) =>
		put ? put(entry, String(key), value) : withKey(entry, keysOf(key), value)
	const write = (row: number, cell: Cell, value: unknown) => {
		const doing = `${list.join('/')}/${row}/${cell.key}`
		if (row < rows.length && put) return bench.set([...list, row], changed(rows[row], cell, value), doing)
		if (row < rows.length) return bench.set([...list, row, ...keysOf(cell.key)], value, doing)
		const next = changed(draft, cell, value)
		if (!isWhole(show(next), cells)) return setTyped(next)
		bench.insert(list, row, next)
		setTyped(undefined)
	}
	const paste = (row: number, column: number, text: string): boolean => {
		if (!/[\t\n]/.test(text.trim())) return false
		const next = [...rows]
		let unread = 0
		pastedRows(text).forEach((texts, k) => {
			let entry: unknown = next[row + k] ?? begin?.()
			if (entry === undefined) return
			texts.forEach((one_, c) => {
				const cell = cells[column + c]
				const answer = cell && readCell(cell, one_, unit)
				if (!cell || !answer || 'why' in answer) unread++
				else entry = changed(entry, cell, answer.value)
			})
			// a new row follows the last one: none leaves a hole before it
			if (isWhole(show(entry), cells)) next[Math.min(row + k, next.length)] = entry
			else unread++
		})
		bench.list(list, rows, next)
		setSaid(unread > 0 ? `${unread} of the pasted cells could not be read and are left out.` : undefined)
		return true
	}
	const pressed = (event: KeyboardEvent, row: number, column: number) => {
		const select = event.currentTarget instanceof HTMLSelectElement
		const down = event.key === 'Enter' ? !event.shiftKey : event.key === 'ArrowDown' && !select
		const up = event.key === 'Enter' ? event.shiftKey : event.key === 'ArrowUp' && !select
		if (!down && !up) return
		event.preventDefault()
		const to = Math.min(all.length - 1, Math.max(0, row + (down ? 1 : -1)))
		table.current?.querySelector<HTMLElement>(`[data-row="${to}"][data-column="${column}"]`)?.focus()
	}
	const move = (by: number) => {
		const without = withoutEntry(bench.text, list, current)
		bench.write(withEntry(without, list, current + by, rows[current]))
		setCurrent(current + by)
	}
	const there = current < rows.length
	const name = there ? nameOf(one, show(rows[current]), cells, current) : undefined
	return (
		<div class="rows">
			<div class="ledger-holder">
				<table class="ledger" ref={table}>
					<caption>{props.caption}</caption>
					<thead>
						<tr>
							{cells.map((cell) => (
								<th key={String(cell.key)} scope="col">
									{cell.says}
								</th>
							))}
						</tr>
					</thead>
					<tbody>
						{all.map((entry, i) => (
							<tr
								key={i}
								class={i === current && there ? 'current' : ''}
								onFocusIn={() => {
									setCurrent(i)
									props.chosen?.(i)
								}}
							>
								{cells.map((cell, c) => (
									<td key={String(cell.key)} class={`of-${cell.kind}`}>
										<Control
											cell={cell}
											value={valueAt(show(entry), cell.key)}
											unit={unit}
											label={`${i < rows.length ? `${one} ${i + 1}` : `new ${one}`}, ${cell.says}`}
											{...(i === rows.length && c === 0 ? { placeholder: `new ${one}` } : {})}
											row={i}
											column={c}
											at={[...list, i, ...keysOf(cell.key)]}
											write={(value) => write(i, cell, value)}
											pressed={(event) => pressed(event, i, c)}
											pasted={(text) => paste(i, c, text)}
										/>
									</td>
								))}
							</tr>
						))}
					</tbody>
				</table>
			</div>
			{said && <p role="status">{said}</p>}
			{rows.length > 0 && (
				<div class="row-bar">
					<span>{name ?? `Choose a ${one}`}</span>
					{props.ordered && (
						<>
							<button type="button" disabled={!there || current === 0} onClick={() => move(-1)}>
								Up
							</button>
							<button type="button" disabled={!there || current >= rows.length - 1} onClick={() => move(1)}>
								Down
							</button>
						</>
					)}
					{there && props.more?.(current)}
					<button type="button" disabled={!there || rows.length <= least} onClick={() => bench.remove(list, current)}>
						Take away
					</button>
				</div>
			)}
			{props.also &&
				rows.map((entry, i) => (
					<NotYet
						key={i}
						bench={bench}
						at={[...list, i]}
						entry={show(entry)}
						shown={[...cells.map(({ key }) => key), ...(props.also ?? [])]}
					/>
				))}
		</div>
	)
}

const same = (entry: unknown) => entry

const nameOf = (one: string, entry: unknown, cells: readonly Cell[], index: number) => {
	const cell = cells.find(({ kind }) => kind === 'name')
	const own = cell && valueAt(entry, cell.key)
	return `${one} ${typeof own === 'string' ? own : index + 1}`
}

const isWhole = (entry: unknown, cells: readonly Cell[]) =>
	cells.every((cell) => !('must' in cell && cell.must) || valueAt(entry, cell.key) !== undefined)

/** An entry, an object or a list, with one more value in it. */
function withKey(entry: unknown, [key, ...deeper]: readonly (string | number)[], value: unknown): unknown {
	if (key === undefined) return value
	const inner = deeper.length > 0 ? withKey(valueAt(entry, key), deeper, value) : value
	if (typeof key === 'number' || Array.isArray(entry)) {
		const out = Array.isArray(entry) ? [...entry] : []
		out[Number(key)] = inner
		return out
	}
	const own = (typeof entry === 'object' && entry !== null ? entry : {}) as Readonly<Record<string, unknown>>
	if (inner !== undefined) return { ...own, [key]: inner }
	const { [key]: _, ...rest } = own
	return rest
}
