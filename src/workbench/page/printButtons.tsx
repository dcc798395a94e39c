/** Files that are made and handed to the browser: a button for each, and what became of the last. */
import { useRef } from 'preact/hooks'
import type { FileWanted } from '../prints.ts'
import type { Papers } from './papers.ts'

export interface Printable {
	readonly file: FileWanted
	/** what it is, as the button says it */
	readonly says: string
}

export function PrintButtons({ papers, files }: { readonly papers: Papers; readonly files: readonly Printable[] }) {
	return (
		<div class="print-buttons">
			{files.map(({ file, says }) => (
				<button
					key={says}
					type="button"
					// One that cannot be pressed at all would lose the focus.
					aria-disabled={papers.making !== undefined}
					onClick={() => papers.making === undefined && papers.make(file, says)}
				>
					{says}
				</button>
			))}
		</div>
	)
}

/** Read out as it changes. */
export function PrintSaid({ papers: { making, said: last } }: { readonly papers: Papers }) {
	// What was made on another line of the card was said there.
	const before = useRef(last)
	const said = last === before.current ? undefined : last
	return (
		<div class="print-said" role="status">
			{making !== undefined && <p>{making} is being made…</p>}
			{said?.made !== undefined && <p>{said.made} is made: it is among your downloads.</p>}
			{said?.fault !== undefined && (
				<p class="must">It could not be made, by a fault of this program: {said.fault}. The job is as it was.</p>
			)}
			{said?.problems?.map(({ found, fix, path }) => (
				<p key={`${path} ${found}`} class="must">
					{said.made === undefined ? 'It could not be made' : 'It is not all there'}: {found}. {fix}.
				</p>
			))}
		</div>
	)
}
