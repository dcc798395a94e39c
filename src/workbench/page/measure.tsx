/** Measure: the ledger of readings, keyboard first, each row with how it fits the others. */
import { useEffect, useRef, useState } from 'preact/hooks'
import { formatLength, lengthsIn } from '../../units/format.ts'
import type { Unit } from '../../units/length.ts'
import { type Drafts, type Entry, type Ledger, NO_DRAFTS, rowsOf, withoutRow, withPaste, withTyped } from '../drafts.ts'
import { type Cells, COLUMNS, type Column, entryOf, KINDS, kindOf, pastedRows, type RowAnswer } from '../ledger.ts'
import type { ReadingView } from '../readings.ts'
import type { LineProps } from './lineProps.ts'
import { Problems } from './problems.tsx'
import { ProofPart } from './proofPart.tsx'

export function Measure(props: LineProps) {
	const { bench, panel, index, view, problems, focus, focused } = props
	const unit: Unit = bench.job?.unit === 'in' ? 'in' : 'mm'
	const readings = panel.readings ?? []
	const [drafts, setDrafts] = useDrafts(`${bench.name}/${panel.id}`)
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
	const focusCell = (row: number, column: Column) =>
		table.current?.querySelector<HTMLElement>(`[data-row="${row}"][data-column="${column}"]`)?.focus()
	const pressed = (event: KeyboardEvent, row: number, column: Column) => {
		const down = event.key === 'Enter' ? !event.shiftKey : event.key === 'ArrowDown'
		const up = event.key === 'Enter' ? event.shiftKey : event.key === 'ArrowUp'
		if ((!down && !up) || (column === 'kind' && event.key !== 'Enter')) return
		event.preventDefault()
		focusCell(Math.min(count - 1, Math.max(0, row + (down ? 1 : -1))), column)
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
					<strong>Look here first:</strong> row {worst.index + 1}. {worst.text}{' '}
					<button type="button" onClick={() => focus(worst.index)}>
						Go there
					</button>
				</p>
			)}
			<div class="ledger-holder">
				<table class="ledger" ref={table}>
					<caption>
						Readings in {unit === 'in' ? 'inches' : 'mm'}, as the tape showed them. Enter goes down a row; a table can be pasted
						in.
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
							<Row
								key={i}
								row={i}
								cells={shown(i)}
								draft={rows[i]?.draft === true}
								unit={unit}
								view={rows[i]?.draft ? undefined : view?.readings[i]}
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
											}
								}
							/>
						))}
					</tbody>
				</table>
			</div>
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

interface RowProps {
	readonly row: number
	readonly cells: Cells
	readonly draft: boolean
	readonly unit: Unit
	readonly view: ReadingView | undefined
	readonly current: boolean
	readonly typed: (row: number, column: Column, text: string) => void
	readonly pasted: (row: number, column: Column, text: string) => void
	readonly pressed: (event: KeyboardEvent, row: number, column: Column) => void
	readonly focus: () => void
	readonly left: () => void
	readonly remove: (() => void) | undefined
}

function Row({ row, cells, draft, unit, view, current, typed, pasted, pressed, focus, left, remove }: RowProps) {
	const kind = kindOf(cells)
	const answer = draft ? entryOf(cells, unit) : undefined
	const wrong = answer && 'wrong' in answer ? answer.wrong : {}
	const started = COLUMNS.some((c) => c !== 'kind' && cells[c] !== '')
	const shows: Readonly<Record<Column, boolean>> = {
		...{ kind: true, name: true, reading: true },
		...{ to: kind.to !== undefined, station: kind.station !== undefined, side: kind.side },
	}
	const label: Readonly<Record<Exclude<Column, 'kind'>, string>> = {
		...{ name: kind.name, to: kind.to ?? '', station: 'station', reading: kind.reading, side: 'side' },
	}
	const cell = (column: Exclude<Column, 'kind'>) => (
		<input
			class={column}
			aria-label={`Row ${row + 1}, ${label[column]}`}
			aria-invalid={started && wrong[column] !== undefined}
			title={started ? wrong[column] : undefined}
			placeholder={column === 'to' ? label.to : undefined}
			data-row={row}
			data-column={column}
			autocomplete="off"
			autocapitalize="off"
			spellcheck={false}
			inputMode={column === 'station' || column === 'reading' ? 'decimal' : 'text'}
			value={cells[column]}
			onInput={(event) => typed(row, column, event.currentTarget.value)}
			onKeyDown={(event) => pressed(event, row, column)}
			onPaste={(event) => {
				const text = event.clipboardData?.getData('text/plain') ?? ''
				if (!/[\t\n]/.test(text.trim())) return
				event.preventDefault()
				pasted(row, column, text)
			}}
		/>
	)
	return (
		<tr data-index={row} class={current ? 'current' : ''} onFocusIn={focus} onFocusOut={left}>
			<td class="kind">
				<select
					aria-label={`Row ${row + 1}, kind of reading`}
					data-row={row}
					data-column="kind"
					value={cells.kind}
					onChange={(event) => typed(row, 'kind', event.currentTarget.value)}
					onKeyDown={(event) => pressed(event, row, 'kind')}
				>
					{KINDS.map(({ kind: id, says }) => (
						<option key={id} value={id}>
							{says}
						</option>
					))}
				</select>
			</td>
			<td class="names" colSpan={shows.station ? 1 : 2}>
				<span>
					{cell('name')}
					{shows.to && cell('to')}
				</span>
			</td>
			{(['station', 'reading', 'side'] as const).map(
				(column) =>
					(column !== 'station' || shows.station) && (
						<td key={column} class={column}>
							{shows[column] && cell(column)}
						</td>
					),
			)}
			<td class="fits">
				<div>
					{started && draft ? (
						<span class="unfinished">{Object.values(wrong)[0] ?? 'waits for the row above'}</span>
					) : (
						<Fits view={view} unit={unit} />
					)}
					{remove && (
						<button type="button" class="remove" aria-label={`Take row ${row + 1} away`} onClick={remove}>
							×
						</button>
					)}
				</div>
			</td>
		</tr>
	)
}

/** Beyond so many of its own standard deviations a reading does not fit (one in a thousand by chance). */
const LIMIT_SDS = 3.29

/** The figure by which a reading is off the others, and a bar from zero that is full at the limit. */
function Fits({ view, unit }: { readonly view: ReadingView | undefined; readonly unit: Unit }) {
	if (!view || view.numbers.length === 0) return null
	const one = view.numbers.reduce((a, b) => (Math.abs(b.sds ?? 0) > Math.abs(a.sds ?? 0) ? b : a))
	if (one.sds === undefined) return <span class="unchecked">nothing checks it</span>
	const share = Math.max(-1, Math.min(1, one.sds / LIMIT_SDS))
	const bad = Math.abs(one.sds) > LIMIT_SDS || one.setAside
	const figure = formatLength(one.offMm, unit, { decimals: unit === 'mm' ? 1 : 3 }).text.replace(/ (mm|in)$/, '')
	return (
		<span class={bad ? 'off bad' : 'off'}>
			<span class="figure">
				{one.offMm > 0 && Number(figure) !== 0 ? '+' : ''}
				{Number(figure) === 0 ? figure.replace('-', '') : figure}
			</span>
			<span class="bar" aria-hidden="true">
				<span style={{ left: `${50 + Math.min(0, share) * 50}%`, width: `${Math.abs(share) * 50}%` }} />
			</span>
			{bad && <span class="bad-word">does not fit</span>}
		</span>
	)
}

/** The row that is most likely wrong, with what is said of it. */
function worstRow(readings: readonly ReadingView[]): { readonly index: number; readonly text: string } | undefined {
	const bad = readings.filter(({ said }) => said.some(({ severity }) => severity !== 'note'))
	const worst = (r: ReadingView) => Math.max(0, ...r.numbers.map(({ sds }) => Math.abs(sds ?? 0)))
	const one = bad.reduce<ReadingView | undefined>((a, b) => (!a || worst(b) > worst(a) ? b : a), undefined)
	const text = one?.said.find(({ severity }) => severity !== 'note')?.text
	return one && text ? { index: one.index, text: lengthsIn(text, 'mm') } : undefined
}

/** Whether two rows stand for one entry. */
const alike = (a: RowAnswer, b: RowAnswer) => 'entry' in a && 'entry' in b && JSON.stringify(a.entry) === JSON.stringify(b.entry)

/** Half-typed rows outlive the page: a reload, or a browser that was killed. */
function useDrafts(of: string): readonly [Drafts, (drafts: Drafts) => void] {
	const key = `rows ${of}`
	const read = (): Drafts => {
		try {
			return JSON.parse(localStorage.getItem(key) ?? '') as Drafts
		} catch {
			return NO_DRAFTS
		}
	}
	const [state, setState] = useState(() => ({ key, drafts: read() }))
	const drafts = state.key === key ? state.drafts : read()
	return [
		drafts,
		(next) => {
			setState({ key, drafts: next })
			if (next.fresh.length === 0 && Object.keys(next.mended).length === 0) localStorage.removeItem(key)
			else localStorage.setItem(key, JSON.stringify(next))
		},
	]
}
