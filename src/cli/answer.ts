/** How a command ends: what it says, and its exit code. */
import type { Problem } from '../job/problem.ts'
import { countProblems, sayProblems, sortedProblems } from '../report/problems.ts'
import { problemData } from '../report/resultJson.ts'
import { writeJson } from '../report/writeJson.ts'
import type { Unit } from '../units/length.ts'
import { paintFor, type World } from './world.ts'

export const GOOD = 0
/** not everything could be made; the problems of severity error say why */
export const PROBLEMS = 1
/** the command cannot be carried out as it was typed */
export const MISUSE = 2

export interface Answer {
	readonly command: string
	readonly problems: readonly Problem[]
	/** places in problems are said in this unit */
	readonly unit?: Unit
	/** misuse, whatever the problems are */
	readonly misuse?: boolean
	/** for a person, on the way of the data */
	readonly text?: string
	/** for a program, beside `ok` and the problems */
	readonly data?: Readonly<Record<string, unknown>>
}

/** Says the answer (as one JSON document where asked) and gives the exit code. */
export function give(world: World, answer: Answer, json: boolean): number {
	const { command, unit = 'mm', misuse = false, text, data } = answer
	const problems = sortedProblems(answer.problems)
	const bad = misuse || problems.some(({ severity }) => severity === 'error')
	world.progress('')
	if (json) {
		world.out(writeJson({ command, ok: !bad, ...data, problems: problems.map(problemData) }))
	} else {
		if (text) world.out(text)
		if (problems.length > 0)
			world.say(`${text ? '\n' : ''}${sayProblems(problems, unit, paintFor(world))}\n\n${countProblems(problems)}\n`)
	}
	return misuse ? MISUSE : bad ? PROBLEMS : GOOD
}
