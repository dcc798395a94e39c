/** Collecting problems, each worked out only while there is room for it. */
import { nearest } from './nearest.ts'
import type { Problem } from './problem.ts'
import { listedShort, quoteValue } from './say.ts'
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

/** Two things of one kind may not have one name. */
export function checkUnique(
	findings: Findings,
	things: readonly { readonly id: string }[],
	path: string,
	kind: string,
	panel?: string,
): void {
	const first = new Map<string, number>()
	for (const [index, { id }] of things.entries()) {
		const before = first.get(id)
		if (before === undefined) {
			first.set(id, index)
			continue
		}
		find(findings, () => ({
			code: 'NAME_TWICE',
			path: `${path}/${index}/id`,
			...(panel ? { place: { panel } } : {}),
			found: `a second ${kind} called "${id}" (the first is item ${before + 1})`,
			expected: `each ${kind} with a name of its own`,
			fix: 'Give one of the two another name.',
		}))
	}
}

export interface Unknown {
	/** MARK, PAINT, ... */
	readonly kind: string
	readonly name: string
	readonly known: Iterable<string>
	readonly path: string
	readonly panel?: string
	/** where such a thing would come from */
	readonly otherwise: string
}

/** A name that stands for nothing. */
export function unknownName(findings: Findings, { kind, name, known, path, panel, otherwise }: Unknown): void {
	find(findings, () => {
		const names = [...known]
		const near = nearest(name, names)
		const word = kind.toLowerCase()
		const a = /^[aeiou]/.test(word) ? 'an' : 'a'
		return {
			code: `UNKNOWN_${kind}`,
			path,
			...(panel ? { place: { panel } } : {}),
			found: `${quoteValue(name)}, which is no ${word} here`,
			expected: names.length > 0 ? `one of ${listedShort(names)}` : `${a} ${word}, but there is none yet`,
			fix: near ? `Write "${near}", or ${otherwise}.` : `${otherwise[0]!.toUpperCase()}${otherwise.slice(1)}.`,
		}
	})
}
