/** The plain controls that the lines of the card are filled in with: one cell, and a form of cells for one entry. */
import { useId, useState } from 'preact/hooks'
import type { Unit } from '../../units/length.ts'
import { type Cell, keysOf, readCell, shownOf, valueAt } from '../cells.ts'
import type { Path } from '../document.ts'
import type { Bench } from './bench.ts'
import { NotYet } from './notYet.tsx'

interface ControlProps {
	readonly cell: Cell
	readonly value: unknown
	readonly unit: Unit
	/** what it is called where no label stands beside it */
	readonly label?: string
	readonly id?: string
	readonly write: (value: unknown) => void
	readonly pressed?: (event: KeyboardEvent) => void
	readonly pasted?: (text: string) => boolean
	readonly placeholder?: string
	readonly row?: number
	readonly column?: number
	/** its place in the file */
	readonly at?: Path
}

/** A half-typed text stays in its cell until it can be read; a change that comes from elsewhere (undo, a drag) goes before it. */
export function Control(props: ControlProps) {
	const { cell, value, unit, label, id, write } = props
	const known = useId()
	const shown = shownOf(cell, value)
	const [draft, setDraft] = useState<{ readonly text: string; readonly of: string; readonly why?: string }>()
	const live = draft && draft.of === shown ? draft : undefined
	const place = {
		...{ id, 'aria-label': label, onKeyDown: props.pressed },
		...{ 'data-row': props.row, 'data-column': props.column, 'data-at': props.at?.join('/') },
	}
	const set = (next: unknown) => {
		if (next !== undefined || value !== undefined) write(next)
	}
	if (cell.kind === 'choice') {
		const strange = shown !== '' && !cell.of.some(([one]) => one === shown)
		return (
			<select {...place} value={shown} onChange={(event) => set(event.currentTarget.value || undefined)}>
				{(cell.unsaid !== undefined || shown === '') && <option value="">{cell.unsaid ?? 'not said yet'}</option>}
				{cell.of.map(([one, words]) => (
					<option key={one} value={one}>
						{words}
					</option>
				))}
				{strange && <option value={shown}>{shown}</option>}
			</select>
		)
	}
	if (cell.kind === 'yes') {
		return (
			<input
				{...place}
				type="checkbox"
				checked={typeof value === 'boolean' ? value : cell.unsaid}
				onChange={(event) => set(event.currentTarget.checked === cell.unsaid ? undefined : event.currentTarget.checked)}
			/>
		)
	}
	if (cell.kind === 'colour')
		return <input {...place} type="color" value={shown || '#808080'} onInput={(event) => set(event.currentTarget.value)} />
	const typed = (text: string) => {
		const answer = readCell(cell, text, unit)
		if ('why' in answer) return setDraft({ text, of: shown, why: answer.why })
		setDraft({ text, of: shownOf(cell, answer.value) })
		set(answer.value)
	}
	const common = {
		...place,
		value: live?.text ?? shown,
		'aria-invalid': live?.why !== undefined,
		title: live?.why,
		autocomplete: 'off',
		spellcheck: cell.kind === 'words',
	}
	const onPaste = (event: ClipboardEvent) => {
		if (props.pasted?.(event.clipboardData?.getData('text/plain') ?? '')) event.preventDefault()
	}
	// Words in a table, and several lengths, wrap rather than being cut off.
	if (cell.kind === 'lengths' || (cell.kind === 'words' && (cell.long || props.row !== undefined))) {
		return (
			<>
				<textarea
					{...common}
					class={`of-${cell.kind}`}
					rows={cell.kind === 'words' && cell.long ? 2 : 1}
					placeholder={props.placeholder}
					onPaste={onPaste}
					onInput={(event) => typed(event.currentTarget.value)}
					onBlur={() => live && live.why === undefined && setDraft(undefined)}
				/>
				{live?.why !== undefined && <span class="why">{live.why}</span>}
			</>
		)
	}
	// A name is known by: it is written when it is whole, not at every letter.
	const whole = cell.kind === 'name'
	const list = cell.kind === 'name' ? cell.known : undefined
	return (
		<>
			<input
				{...common}
				class={`of-${cell.kind}`}
				placeholder={props.placeholder ?? (cell.kind === 'length' ? cell.unsaid : undefined)}
				list={list ? known : undefined}
				autocapitalize="off"
				inputMode={cell.kind === 'length' || cell.kind === 'figure' ? 'decimal' : 'text'}
				onInput={({ currentTarget: { value: text } }) => (whole ? setDraft({ text, of: shown }) : typed(text))}
				onChange={({ currentTarget: { value: text } }) => whole && typed(text)}
				onBlur={() => live && live.why === undefined && !whole && setDraft(undefined)}
				onPaste={onPaste}
			/>
			{list && (
				<datalist id={known}>
					{list.map((name) => (
						<option key={name} value={name} />
					))}
				</datalist>
			)}
			{live?.why !== undefined && <span class="why">{live.why}</span>}
		</>
	)
}

interface FormProps {
	readonly bench: Bench
	readonly at: Path
	readonly entry: unknown
	readonly cells: readonly Cell[]
	/** keys that are shown elsewhere; what is left is shown as not yet editable. Absent: nothing is */
	readonly also?: readonly string[]
}

/** The cells of one entry, each with its words beside it. */
export function Form({ bench, at, entry, cells, also }: FormProps) {
	const unit = unitOf(bench)
	return (
		<div class="form">
			{cells.map((cell) => (
				<Labelled key={`${at.join('/')}/${cell.key}`} cell={cell}>
					{(id) => (
						<Control
							cell={cell}
							id={id}
							value={valueAt(entry, cell.key)}
							unit={unit}
							at={[...at, ...keysOf(cell.key)]}
							write={(value) => bench.set([...at, ...keysOf(cell.key)], value, `${at.join('/')}/${cell.key}`)}
						/>
					)}
				</Labelled>
			))}
			{also && <NotYet bench={bench} at={at} entry={entry} shown={[...cells.map(({ key }) => key), ...also]} />}
		</div>
	)
}

/** A control with its words beside it. */
export function Labelled({ cell, children }: { readonly cell: Cell; readonly children: (id: string) => preact.JSX.Element }) {
	const id = useId()
	return (
		<div class="labelled">
			<label for={id}>{cell.says}</label>
			<span class="control">
				{children(id)}
				{cell.hint && <span class="hint">{cell.hint}</span>}
			</span>
		</div>
	)
}

export const unitOf = (bench: Bench): Unit => (bench.job?.unit === 'in' ? 'in' : 'mm')
