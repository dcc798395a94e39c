/** One row of the ledger: its cells, how it fits the others, and what takes it away. */
import { formatLength } from '../../units/format.ts'
import type { Unit } from '../../units/length.ts'
import { type Cells, COLUMNS, type Column, entryOf, KINDS, kindOf } from '../ledger.ts'
import type { Stop } from '../ledgerKeys.ts'
import type { ReadingView } from '../readings.ts'
import type { Ready } from './messages.ts'

interface RowProps {
	readonly row: number
	readonly cells: Cells
	readonly draft: boolean
	readonly unit: Unit
	readonly view: ReadingView | undefined
	/** undefined before it has been worked out */
	readonly shownBy: Ready['shownBy'] | undefined
	readonly current: boolean
	readonly typed: (row: number, column: Column, text: string) => void
	readonly pasted: (row: number, column: Column, text: string) => void
	readonly pressed: (event: KeyboardEvent, row: number, stop: Stop) => void
	readonly focus: () => void
	readonly left: () => void
	readonly remove: (() => void) | undefined
}

export function ReadingRow({
	row,
	cells,
	draft,
	unit,
	view,
	shownBy,
	current,
	typed,
	pasted,
	pressed,
	focus,
	left,
	remove,
}: RowProps) {
	const kind = kindOf(cells)
	const answer = draft ? entryOf(cells, unit) : undefined
	const wrong = answer && 'wrong' in answer ? answer.wrong : {}
	const started = COLUMNS.some((c) => c !== 'kind' && cells[c] !== '')
	const stops = stopsOf(cells, remove !== undefined)
	const shows = (column: Column) => stops.includes(column)
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
					tabIndex={-1}
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
			<td class="names" colSpan={shows('station') ? 1 : 2}>
				<span>
					{cell('name')}
					{shows('to') && cell('to')}
				</span>
			</td>
			{(['station', 'reading', 'side'] as const).map(
				(column) =>
					(column !== 'station' || shows('station')) && (
						<td key={column} class={column}>
							{shows(column) && cell(column)}
						</td>
					),
			)}
			<td class="fits">
				<div>
					{started && draft ? (
						<span class="unfinished">{Object.values(wrong)[0] ?? 'waits for the row above'}</span>
					) : (
						<Fits view={view} unit={unit} shownBy={shownBy} />
					)}
					{remove && (
						<button
							type="button"
							class="remove"
							aria-label={`Take row ${row + 1} away`}
							tabIndex={-1}
							data-row={row}
							data-column="remove"
							onClick={remove}
							onKeyDown={(event) => pressed(event, row, 'remove')}
						>
							×
						</button>
					)}
				</div>
			</td>
		</tr>
	)
}

/** What of a row can have the focus. */
export function stopsOf(cells: Cells, removable: boolean): readonly Stop[] {
	const kind = kindOf(cells)
	const has = { to: kind.to !== undefined, station: kind.station !== undefined, side: kind.side }
	return [
		...COLUMNS.filter((column) => !(column in has) || has[column as keyof typeof has]),
		...(removable ? ['remove' as const] : []),
	]
}

/** Where the caret of a cell stands; what holds no text is left at once. */
export function caretOf(cell: EventTarget | null) {
	if (!(cell instanceof HTMLInputElement)) return { atStart: true, atEnd: true }
	const { selectionStart, selectionEnd, value } = cell
	const whole = selectionStart === 0 && selectionEnd === value.length
	return { atStart: whole || selectionEnd === 0, atEnd: whole || selectionStart === value.length }
}

/** Beyond so many of its own standard deviations a reading does not fit (one in a thousand by chance). */
const LIMIT_SDS = 3.29

/** The figure by which a reading is off the others, and a bar from zero that is full at the limit. */
function Fits({ view, unit, shownBy }: Pick<RowProps, 'view' | 'unit' | 'shownBy'>) {
	if (!view || view.numbers.length === 0) return null
	const one = view.numbers.reduce((a, b) => (sizeOf(b) > sizeOf(a) ? b : a))
	if (one.sds === undefined) return <span class="unchecked">{shownBy && checkedBy(view.marks, shownBy)}</span>
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

/** -1 of a number that no other reading checks. */
const sizeOf = ({ sds }: { readonly sds?: number }) => (sds === undefined ? -1 : Math.abs(sds))

/** What would show a slip in a reading that no other reading checks: of its marks, the one that is checked least. */
function checkedBy(marks: readonly string[], shownBy: Ready['shownBy']): string {
	const by = marks.map((key) => shownBy[key] ?? 'nothing')
	if (by.includes('nothing')) return 'nothing checks it'
	return by.includes('line') ? 'its line checks it' : 'other side checks it'
}
