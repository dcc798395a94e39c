/** Problems of the engine with the lines they are about: papers and printers belong to the shop's file, everything else to the job's. */
import type { Problem } from './problem.ts'
import { type Source, withLines } from './source.ts'

export interface Sources {
	readonly job: Source
	/** none where there is no shop's file, or its paper and printer were not used */
	readonly shop?: Source | undefined
}

export const placeProblems = (problems: readonly Problem[], sources: Sources): readonly Problem[] =>
	problems.map((problem) => placed(problem, sources))

function placed(problem: Problem, { job, shop }: Sources): Problem {
	if (problem.line !== undefined || problem.file !== undefined) return problem
	if (/^\/(papers?|printers?)\b/.test(problem.path)) return shop ? (withLines([problem], shop)[0] ?? problem) : problem
	if (problem.path === '') return job.file === undefined ? problem : { ...problem, file: job.file }
	return withLines([problem], job)[0] ?? problem
}
