/** A job whose text cannot be read: what is wrong, where, and the text to mend. */
import { useRef } from 'preact/hooks'
import type { Bench } from './bench.ts'
import { Steps } from './steps.tsx'

export function Mend({ bench }: { readonly bench: Bench }) {
	const area = useRef<HTMLTextAreaElement>(null)
	const go = (line: number, column: number) => {
		const element = area.current
		if (!element) return
		const before = bench.text
			.split('\n')
			.slice(0, line - 1)
			.reduce((sum, l) => sum + l.length + 1, 0)
		element.focus()
		element.setSelectionRange(before + column - 1, before + column)
	}
	return (
		<main class="mend">
			<h1>This job’s file has to be mended first</h1>
			<ul class="problems">
				{bench.problems.map(({ code, path, found, expected, fix, line, column }) => (
					<li key={`${code} ${path} ${found}`} class="error">
						{line !== undefined && (
							<button type="button" onClick={() => go(line, column ?? 1)}>
								Line {line}
							</button>
						)}{' '}
						{found}; expected {expected}. <em>{fix}.</em>
					</li>
				))}
			</ul>
			<label>
				The text of the file
				<textarea
					ref={area}
					spellcheck={false}
					value={bench.text}
					onInput={(event) => bench.write(event.currentTarget.value, 'text')}
				/>
			</label>
			<Steps bench={bench} />
		</main>
	)
}
