/** What is open on a line, each with what to do. */
import type { Problem } from '../../job/problem.ts'
import { plainWords } from '../plainWords.ts'
import type { Bench } from './bench.ts'
import { panelOf } from './lines.ts'

const WORDS = { error: 'Must be mended', warning: 'Look at it', note: 'Note' } as const

interface ProblemsProps {
	readonly problems: readonly Problem[]
	readonly bench: Bench
	/** opens what a problem of the panel in hand is about, where there is something to open */
	readonly go?: (problem: Problem) => (() => void) | undefined
}

export function Problems({ problems, bench, go }: ProblemsProps) {
	if (problems.length === 0) return null
	return (
		<ul class="problems">
			{problems.map((problem) => {
				const panel = panelOf(problem)
				const open = go?.(problem)
				const id = panel === undefined ? undefined : bench.job?.panels?.[panel]?.id
				return (
					<li key={`${problem.code} ${problem.path} ${problem.found}`} class={problem.severity}>
						<strong>{WORDS[problem.severity]}:</strong> {plainWords(problem.found)}. <em>{plainWords(problem.fix)}.</em>
						{open && (
							<button type="button" onClick={open}>
								Go there
							</button>
						)}
						{id !== undefined && id !== bench.looked && (
							<button type="button" onClick={() => bench.look(id)}>
								Go there
							</button>
						)}
					</li>
				)
			})}
		</ul>
	)
}
