/** Steps that were done, as the job says. */
import { nearest } from '../job/nearest.ts'
import type { Problem } from '../job/problem.ts'
import { quoteValue } from '../job/say.ts'
import type { Paintwork } from '../job/schema.ts'
import type { Step } from './steps.ts'

/** The steps with what was done of them; of one that was noted twice the last counts. Names of no step are warnings. */
export function withDone(
	steps: readonly Step[],
	paintwork: Paintwork | undefined,
): { readonly steps: readonly Step[]; readonly problems: readonly Problem[] } {
	const ids = new Set(steps.map(({ id }) => id))
	const done = new Map((paintwork?.done ?? []).map((each) => [each.step, each]))
	const problems = (paintwork?.done ?? []).flatMap(({ step }, i): Problem[] => {
		if (ids.has(step)) return []
		const near = nearest(step, ids)
		return [
			{
				...{ code: 'STEP_UNKNOWN', severity: 'warning', path: `/paintwork/done/${i}/step` },
				found: `${quoteValue(step)}, which is no step of the plan as it is now`,
				expected: 'a step of the plan by its name, such as tank/ivory/lay/3',
				fix: near
					? `Write "${near}" if that is meant, or take the entry away.`
					: 'Take the entry away, or write the step by its name.',
			},
		]
	})
	return {
		steps: steps.map((step) => {
			const noted = done.get(step.id)
			if (!noted) return step
			const { on, by, note } = noted
			return { ...step, done: { on, ...(by === undefined ? {} : { by }), ...(note === undefined ? {} : { note }) } }
		}),
		problems,
	}
}
