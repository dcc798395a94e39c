/** What the file holds and no form shows: as it is written there, to be changed as it is written there. */
import { useState } from 'preact/hooks'
import { type Key, unshownKeys } from '../cells.ts'
import { type Path, withWritten, writtenAt } from '../document.ts'
import { patternOf, unedited } from '../edited.ts'
import type { Bench } from './bench.ts'
import { panelTitle } from './lineProps.ts'

interface NotYetProps {
	readonly bench: Bench
	/** where the entry stands */
	readonly at: Path
	readonly entry: unknown
	readonly shown: readonly Key[]
}

/** The keys of one entry that are not shown. */
export function NotYet({ bench, at, entry, shown }: NotYetProps) {
	const keys = unshownKeys(entry, shown)
	if (keys.length === 0) return null
	return (
		<details class="not-yet">
			<summary>Not yet editable here: {keys.join(', ')}</summary>
			{keys.map((key) => (
				<Written key={key} bench={bench} path={[...at, key]} says={key} />
			))}
		</details>
	)
}

/** Of one kind so many are shown; the others are in the file. */
const MOST = 40

/** Everything in the file that no line of the card edits, of a kind together. */
export function AllNotYet({ bench }: { readonly bench: Bench }) {
	const kinds = new Map<string, Path[]>()
	for (const path of unedited(bench.job)) {
		const kind = path[0] === 'panels' ? `${path[1]} ${patternOf(path)}` : patternOf(path)
		kinds.set(kind, [...(kinds.get(kind) ?? []), path])
	}
	if (kinds.size === 0) return <p class="hint">Everything that this job’s file holds can be edited on the lines of the card.</p>
	return (
		<section class="all-not-yet">
			<h3>Not yet editable here</h3>
			<p class="hint">It stays as it stands in the file. Here it can be changed as it is written there.</p>
			{[...kinds].map(([kind, paths]) => (
				<Kind key={kind} bench={bench} paths={paths} />
			))}
		</section>
	)
}

function Kind({ bench, paths }: { readonly bench: Bench; readonly paths: readonly Path[] }) {
	const [open, setOpen] = useState(false)
	const words = wordsOf(paths[0] ?? [], bench)
	return (
		<details
			class="not-yet"
			open={open}
			onToggle={(event) => event.target === event.currentTarget && setOpen(event.currentTarget.open)}
		>
			<summary>
				{words}
				{paths.length > 1 && ` (${paths.length} of them)`}
			</summary>
			{open &&
				paths
					.slice(0, MOST)
					.map((path) => <Written key={path.join('/')} bench={bench} path={path} says={numbered(path, words)} />)}
			{open && paths.length > MOST && <p class="hint">And {paths.length - MOST} more, in the file.</p>}
		</details>
	)
}

/** "Fuel tank: stripes, over" */
function wordsOf(path: Path, bench: Bench): string {
	const panel = path[0] === 'panels' ? bench.job?.panels?.[Number(path[1])] : undefined
	const keys = (panel ? path.slice(2) : path).filter((key) => typeof key === 'string')
	return `${panel ? `${panelTitle(panel)}: ` : ''}${keys.join(', ')}`
}

/** With the figures of the entries, as one counts them. */
const numbered = (path: Path, words: string) => {
	const figures = (path[0] === 'panels' ? path.slice(2) : path).flatMap((key) => (typeof key === 'number' ? [key + 1] : []))
	return figures.length === 0 ? words : `${words}: ${figures.join(', ')}`
}

/** One value as it is written in the file; it is taken when the field is left, where it can be read. */
function Written({ bench, path, says }: { readonly bench: Bench; readonly path: Path; readonly says: string }) {
	const there = writtenAt(bench.text, path) ?? ''
	const [draft, setDraft] = useState<{ readonly text: string; readonly of: string; readonly unread?: true }>()
	const live = draft && draft.of === there ? draft : undefined
	const take = (text: string) => {
		const next = withWritten(bench.text, path, text)
		if (next === undefined) return setDraft({ text, of: there, unread: true })
		setDraft(undefined)
		bench.write(next)
	}
	return (
		<label class="written" data-at={path.join('/')}>
			{says}
			<textarea
				spellcheck={false}
				rows={Math.min(12, there.split('\n').length)}
				value={live?.text ?? there}
				aria-invalid={live?.unread === true}
				onInput={(event) => setDraft({ text: event.currentTarget.value, of: there })}
				onChange={(event) => take(event.currentTarget.value)}
			/>
			{live?.unread && <span class="why">It cannot be read like that: a quotation mark, a comma or a bracket is missing.</span>}
		</label>
	)
}
