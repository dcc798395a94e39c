/** Problems as lines for a terminal. */
import type { Place, Problem, Severity } from '../job/problem.ts'
import { formatLength, lengthsIn } from '../units/format.ts'
import type { Unit } from '../units/length.ts'

/** Words for severities; the words alone say it, colour only helps to find them. */
export type Paint = (text: string, severity: Severity) => string
const plain: Paint = (text) => text

const ORDER: readonly Severity[] = ['error', 'warning', 'note']

/** Errors first, then warnings, then notes; within each by file and place in it, and as they came where that is equal. */
export function sortedProblems(problems: readonly Problem[]): readonly Problem[] {
	const rank = ({ severity }: Problem) => ORDER.indexOf(severity)
	const name = (a = '', b = '') => (a < b ? -1 : a > b ? 1 : 0)
	return problems.toSorted(
		(a, b) => rank(a) - rank(b) || name(a.file, b.file) || (a.line ?? 0) - (b.line ?? 0) || (a.column ?? 0) - (b.column ?? 0),
	)
}

/** "job.jsonc:12:5", as much of it as is known. */
function whereInFile({ file, line, column }: Problem): string {
	if (line === undefined) return file ?? ''
	return `${file ?? 'line '}${file ? ':' : ''}${line}${column === undefined ? '' : `:${column}`}`
}

/** "tank, left, station 120.0 mm, girth 46.5 mm" */
export function sayPlace({ panel, side, line, s, g }: Place, unit: Unit): string {
	const length = (mm: number) => formatLength(mm, unit, unit === 'in' ? { fraction: 32 } : {}).text
	const parts = [
		panel,
		side,
		s === undefined ? undefined : `station ${length(s)}`,
		g === undefined ? undefined : `girth ${length(g)}${line ? ` ${line}` : ''}`,
	]
	return parts.filter((part) => part !== undefined && part !== '').join(', ')
}

/** One problem in a few lines: where and what, what was expected, what to do. */
export function sayProblem(problem: Problem, unit: Unit, paint: Paint = plain): string {
	const { severity, place } = problem
	// Stages work in mm; a person reads their own unit.
	const [found, expected, fix] = [problem.found, problem.expected, problem.fix].map((words) => lengthsIn(words, unit)) as [
		string,
		string,
		string,
	]
	const where = whereInFile(problem)
	const lines = [`${where ? `${where}: ` : ''}${paint(severity, severity)}: ${found}`]
	if (place) lines.push(`    on:       ${sayPlace(place, unit)}`)
	lines.push(`    expected: ${expected}`, `    to do:    ${sentence(fix)}`)
	return lines.join('\n')
}

const sentence = (text: string) => `${text.slice(0, 1).toUpperCase()}${text.slice(1)}${/[.!?]$/.test(text) ? '' : '.'}`

/** All problems, errors first, a blank line between them. No text for none. */
export function sayProblems(problems: readonly Problem[], unit: Unit, paint: Paint = plain): string {
	return sortedProblems(problems)
		.map((problem) => sayProblem(problem, unit, paint))
		.join('\n\n')
}

/** "2 errors, 1 warning", or '' for none. */
export function countProblems(problems: readonly Problem[]): string {
	return ORDER.flatMap((severity) => {
		const count = problems.filter((problem) => problem.severity === severity).length
		return count === 0 ? [] : [`${count} ${severity}${count === 1 ? '' : 's'}`]
	}).join(', ')
}
