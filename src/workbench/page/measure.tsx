/** Measure: the ledger of readings, keyboard first, each row with how it fits the others. */
import { useEffect, useRef, useState } from 'preact/hooks'
import { listed } from '../../job/say.ts'
import type { Unit } from '../../units/length.ts'
import { type Entry, type Ledger, rowsOf, withoutRow, withPaste, withTyped } from '../drafts.ts'
import { type Cells, type Column, entryOf, pastedRows, type RowAnswer } from '../ledger.ts'
import { goneTo, type Stop } from '../ledgerKeys.ts'
import type { ReadingView } from '../readings.ts'
import type { LineProps } from './lineProps.ts'
import { MoreOfReading } from './moreOfReading.tsx'
import { Problems } from './problems.tsx'
import { ProofPart } from './proofPart.tsx'
import { caretOf, ReadingRow, stopsOf } from './readingRow.tsx'
import { useDrafts } from './useDrafts.ts'

export function Measure(props: LineProps) {
	const { bench, place, panel, index, view, problems, focus, focused } = props
	const unit: Unit = bench.job?.unit === 'in' ? 'in' : 'mm'
	const readings = panel.readings ?? []
	const [drafts, setDrafts] = useDrafts(`${place}/${panel.id}`, unit)
	// A cell shows what was typed, to the letter, for as long as it has the focus: "46.0" on the way to "46.05" is 46 in the file.
	const [typing, setTyping] = useState<{ readonly at: number; readonly column: Column; readonly text: string }>()
	/** the reading of the row that was come to, as it was then */
	const start = useRef<{ readonly at: number; readonly entry: Entry | undefined } | undefined>(undefined)
	const table = useRef<HTMLTableElement>(null)
	const ledger = { readings, drafts }
	const rows = rowsOf(ledger)
	const count = rows.length
	const shown = (i: number): Cells => {
		const { cells, draft } = rows[i] as (typeof rows)[number]
		if (typing?.at !== i || draft) return cells
		const typed = { ...cells, [typing.column]: typing.text }
		return alike(entryOf(typed, unit), entryOf(cells, unit)) ? typed : cells
	}
	const list = ['panels', index, 'readings'] as const
	const take = (next: Ledger, doing?: string) => {
		if (next.drafts !== drafts) setDrafts(next.drafts)
		if (next.readings !== readings) bench.list(list, readings, next.readings, doing)
	}

	const type = (at: number, column: Column, text: string) => {
		setTyping({ at, column, text })
		take(
			withTyped(ledger, unit, at, column, text, start.current?.at === at ? start.current.entry : undefined),
			`${panel.id} ${at} ${column}`,
		)
	}
	const paste = (at: number, column: Column, text: string) => take(withPaste(ledger, unit, at, column, pastedRows(text)))
	const focusCell = (row: number, stop: Stop) => {
		const cell = table.current?.querySelector<HTMLElement>(`[data-row="${row}"][data-column="${stop}"]`)
		cell?.focus()
		// As after Tab: what is typed takes the place of what stands there.
		if (cell instanceof HTMLInputElement) cell.select()
	}
	const pressed = (event: KeyboardEvent, row: number, stop: Stop) => {
		if (event.ctrlKey || event.metaKey || event.altKey) return
		const { key, shiftKey: shift } = event
		const stops = rows.map((_, i) => stopsOf(shown(i), i < count - 1))
		const to = goneTo({ key, shift, ...caretOf(event.currentTarget) }, { row, stop }, stops)
		if (!to) {
			// Else the keys that go from cell to cell would choose another kind.
			if (stop === 'kind' && /^(Arrow(Left|Right)|Enter)$/.test(key)) event.preventDefault()
			return
		}
		event.preventDefault()
		focusCell(to.row, to.stop)
	}
	// A touch on the picture brings the row into view.
	useEffect(() => {
		if (focused === undefined) return
		const row = table.current?.querySelector(`tr[data-index="${focused}"]`)
		row?.scrollIntoView({ block: 'nearest' })
		if (row && !row.contains(document.activeElement)) row.querySelector<HTMLElement>('[data-column="reading"]')?.focus()
	}, [focused])

	const ready = bench.ready?.panel === panel.id ? bench.ready : undefined
	const worst = worstRow(view?.readings ?? [])
	return (
		<div class="measure">
			{worst && (
				<p class="worst" role="status">
					<strong>Look here first:</strong> row {listed(worst.rows.map(String), 'or')}. {worst.text}{' '}
					{worst.rows.map((row) => (
						<button key={row} type="button" onClick={() => focus(row - 1)}>
							{worst.rows.length === 1 ? 'Go there' : `Go to row ${row}`}
						</button>
					))}
				</p>
			)}
			<div class="ledger-holder">
				<table class="ledger" ref={table}>
					<caption>
						Readings in {unit === 'in' ? 'inches' : 'mm'}, as the tape showed them. Tab goes from figure to figure, Enter down a
						row, the arrows also to the kind and to ×. A table can be pasted in.
					</caption>
					<thead>
						<tr>
							<th scope="col">Reading</th>
							<th scope="col">Mark, to mark</th>
							<th scope="col">Station</th>
							<th scope="col">Girth, length</th>
							<th scope="col">Side</th>
							<th scope="col">Off the others</th>
						</tr>
					</thead>
					<tbody>
						{rows.map((_, i) => (
							<ReadingRow
								key={i}
								row={i}
								cells={shown(i)}
								draft={rows[i]?.draft === true}
								unit={unit}
								view={rows[i]?.draft ? undefined : view?.readings[i]}
								shownBy={ready?.shownBy}
								current={focused === i}
								typed={type}
								pasted={paste}
								pressed={pressed}
								focus={() => {
									start.current = { at: i, entry: readings[i] }
									focus(i < readings.length ? i : undefined)
								}}
								left={() => setTyping(undefined)}
								remove={
									i === count - 1
										? undefined
										: () => {
												const { drafts: left, entry } = withoutRow(ledger, i)
												setDrafts(left)
												if (entry !== undefined) bench.remove([...list], entry)
												focusCell(i, 'name')
											}
								}
							/>
						))}
					</tbody>
				</table>
			</div>
			{focused !== undefined && <MoreOfReading bench={bench} panel={panel} index={index} row={focused} />}
			{ready && ready.next.length > 0 && (
				<section class="next">
					<h3>Measure these next</h3>
					<ol>
						{ready.next.map((text) => (
							<li key={text}>{text}</li>
						))}
					</ol>
				</section>
			)}
			{ready && ready.lines.length > 0 && (
				<section class="next">
					<h3>Before you strip</h3>
					<ul>
						{ready.lines.map((text) => (
							<li key={text}>{text}</li>
						))}
					</ul>
				</section>
			)}
			<Problems problems={problems} bench={bench} />
			<ProofPart {...props} />
		</div>
	)
}

/** The row that is most likely wrong, or those of which one is and nothing tells which, with what is said of it. */
function worstRow(readings: readonly ReadingView[]): { readonly rows: readonly number[]; readonly text: string } | undefined {
	const bad = readings.filter(({ said }) => said.some(({ severity }) => severity !== 'note'))
	const worst = (r: ReadingView) => Math.max(0, ...r.numbers.map(({ sds }) => Math.abs(sds ?? 0)))
	const one = bad.reduce<ReadingView | undefined>((a, b) => (!a || worst(b) > worst(a) ? b : a), undefined)
	const said = one?.said.find(({ severity }) => severity !== 'note')
	return said && { rows: said.oneOf.map((index) => index + 1), text: said.text }
}

/** Whether two rows stand for one entry. */
const alike = (a: RowAnswer, b: RowAnswer) => 'entry' in a && 'entry' in b && JSON.stringify(a.entry) === JSON.stringify(b.entry)
