/** Collecting problems, each worked out only while there is room for it. */
import type { Problem } from './problem.ts'
import { PROBLEM_LIMIT } from './source.ts'

export interface Findings {
	readonly list: Problem[]
	/** how many there were, also those that are not listed */
	total: number
}

export type Finding = Omit<Problem, 'severity'> & { readonly severity?: Problem['severity'] }

export function noFindings(): Findings {
	return { list: [], total: 0 }
}

/** Adds a problem (an error unless it says otherwise). It is made only when it will be listed: nearest names cost time. */
export function find(findings: Findings, make: () => Finding): void {
	findings.total++
	if (findings.list.length < PROBLEM_LIMIT) findings.list.push({ severity: 'error', ...make() })
}

/** What was found, with a line for what is not listed. */
export function listedFindings(findings: Findings): Problem[] {
	const more = findings.total - findings.list.length
	if (more === 0) return findings.list
	const found = `${more} more problems that are not listed`
	const rest = { found, expected: 'a file whose problems can be read', fix: 'Put these right first, then check again.' }
	return [...findings.list, { code: 'MORE_PROBLEMS', severity: 'note', path: '', ...rest }]
}
