/** What is open on a line, each with what to do. */
import type { Problem } from '../../job/problem.ts'
import type { Bench } from './bench.ts'
import { panelOf } from './lines.ts'

const WORDS = { error: 'Must be mended', warning: 'Look at it', note: 'Note' } as const

export function Problems({ problems, bench }: { readonly problems: readonly Problem[]; readonly bench: Bench }) {
	if (problems.length === 0) return null
	return (
		<ul class="problems">
			{problems.map((problem) => {
				const panel = panelOf(problem)
				const id = panel === undefined ? undefined : bench.job?.panels?.[panel]?.id
				return (
					<li key={`${problem.code} ${problem.path} ${problem.found}`} class={problem.severity}>
						<strong>{WORDS[problem.severity]}:</strong> {problem.found}. <em>{problem.fix}.</em>
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
