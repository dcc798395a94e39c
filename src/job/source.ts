/** The text of a job or shop file with its tree, so that every problem can say its line and column. */
import { createScanner, getNodeValue, type Node, type ParseError, parseTree } from 'jsonc-parser'
import { fromPointer, toPointer } from './pointer.ts'
import type { Outcome, Problem } from './problem.ts'
import { type SyntaxProblem, syntaxProblems } from './syntax.ts'

/** 5 MB of text is some 50,000 readings: more is not a job written by a person. */
export const TEXT_LIMIT = 5_000_000

/** 10,000 readings come to some 270,000 tokens of JSON; twice that is checked within a second or two. */
export const TOKEN_LIMIT = 600_000

/** The deepest place that the format knows is about 10 levels down; deeper nesting could only overrun the parser. */
export const DEPTH_LIMIT = 50

/** Beyond so many problems of one file nobody reads on; the rest are counted. */
export const PROBLEM_LIMIT = 200

export interface Source {
	readonly text: string
	readonly file?: string
	readonly root: Node
	/** offset at which each line starts */
	readonly lineStarts: readonly number[]
	/** pointers that a migration made, to the pointers of what stands in the text */
	readonly moved: ReadonlyMap<string, string>
}

export interface Position {
	readonly line: number
	readonly column: number
}

/**
 * The tree of a JSON text in which comments and trailing commas are allowed. No value when it is too large, too deep or
 * not JSON; keys that stand twice are problems, but leave a value.
 */
export function readSource(text: string, file?: string): Outcome<Source> {
	// a byte order mark says nothing in UTF-8
	const clean = text.startsWith('\ufeff') ? text.slice(1) : text
	const lineStarts = startsOfLines(clean)
	const tooMuch = tooMuchToParse(clean)
	if (tooMuch) {
		const { offset, ...words } = tooMuch
		return { problems: [{ ...words, ...(file ? { file } : {}), ...positionAt(lineStarts, offset) }] }
	}
	const errors: ParseError[] = []
	const root = parseTree(clean, errors, { allowTrailingComma: true })
	const wrong = syntaxProblems(clean, errors).map(({ offset, ...rest }) => ({
		...rest,
		...(file ? { file } : {}),
		...positionAt(lineStarts, offset),
	}))
	if (wrong.length > 0 || !root) return { problems: wrong }
	const source: Source = { text: clean, ...(file ? { file } : {}), root, lineStarts, moved: new Map() }
	return { value: source, problems: duplicateKeys(source) }
}

/** The values as plain data. Objects have no prototype, so that no key of a file can be anything but a key. */
export function valuesOf(source: Source): unknown {
	return getNodeValue(source.root)
}

/** Line and column (from 1) of what a pointer names; of the nearest place around it when it is not there. */
export function positionOf(source: Source, pointer: string, at: 'value' | 'key' = 'value'): Position {
	let node = source.root
	for (const key of fromPointer(source.moved.get(pointer) ?? pointer)) {
		const next =
			node.type === 'array'
				? node.children?.[Number(key)]
				: node.children?.find((property) => property.children?.[0]?.value === key)?.children?.[1]
		if (!next) return positionAt(source.lineStarts, node.offset)
		node = next
	}
	const key = at === 'key' && node.parent?.type === 'property' ? node.parent : node
	return positionAt(source.lineStarts, key.offset)
}

/** The problem with the file, line and column of its path; one that has a line already is left alone. */
export function problemAt(source: Source, problem: Problem): Problem {
	if (problem.line !== undefined) return problem
	return { ...problem, ...(source.file ? { file: source.file } : {}), ...positionOf(source, problem.path) }
}

/** Problems that know only their path, with lines and columns. */
export function withLines(problems: readonly Problem[], source: Source): Problem[] {
	return problems.map((problem) => problemAt(source, problem))
}

/** In the order of the file, at most PROBLEM_LIMIT and a line that says how many more; `unseen` ones are counted with them. */
export function inOrder(problems: readonly Problem[], unseen = 0): Problem[] {
	const sorted = [...problems].sort((a, b) => (a.line ?? 0) - (b.line ?? 0) || (a.column ?? 0) - (b.column ?? 0))
	const more = Math.max(0, sorted.length - PROBLEM_LIMIT) + unseen
	if (more <= 0) return sorted
	const found = `${more} more problems that are not listed`
	const last: Problem = {
		...{ code: 'MORE_PROBLEMS', severity: 'note', path: '' },
		...{ found, expected: 'a file whose problems can be read', fix: 'Put these right first, then check again.' },
	}
	return [...sorted.slice(0, PROBLEM_LIMIT), last]
}

function startsOfLines(text: string): number[] {
	const starts = [0]
	for (let i = text.indexOf('\n'); i >= 0; i = text.indexOf('\n', i + 1)) starts.push(i + 1)
	return starts
}

function positionAt(lineStarts: readonly number[], offset: number): Position {
	let low = 0
	let high = lineStarts.length - 1
	while (low < high) {
		const middle = (low + high + 1) >> 1
		if (lineStarts[middle]! <= offset) low = middle
		else high = middle - 1
	}
	return { line: low + 1, column: offset - lineStarts[low]! + 1 }
}

// the scanner's tokens { } [ ] and its end of file, as numbers: its const enum cannot be imported file by file
const OPEN = [1, 3]
const CLOSE = [2, 4]
const END = 17

/** Why a text is not even parsed. The parser calls itself for each level, so that depth is measured before it. */
function tooMuchToParse(text: string): SyntaxProblem | undefined {
	if (text.length > TEXT_LIMIT)
		return tooMuch('FILE_TOO_LARGE', `a file of ${(text.length / 1e6).toFixed(1)} million characters`, 'at most 5 million', 0)
	const scanner = createScanner(text, true)
	let depth = 0
	let tokens = 0
	for (let token: number = scanner.scan(); token !== END; token = scanner.scan()) {
		if (++tokens > TOKEN_LIMIT) {
			return tooMuch(
				'FILE_TOO_LARGE',
				`more than ${TOKEN_LIMIT} names, values and marks between them`,
				'less in one file',
				scanner.getTokenOffset(),
			)
		}
		if (OPEN.includes(token) && ++depth > DEPTH_LIMIT) {
			const found = `brackets within brackets, more than ${DEPTH_LIMIT} deep`
			return {
				...tooMuch('NESTED_TOO_DEEP', found, `at most ${DEPTH_LIMIT}`, scanner.getTokenOffset()),
				fix: 'Look for brackets that are opened and not closed before this place.',
			}
		}
		if (CLOSE.includes(token) && depth > 0) depth--
	}
	return undefined
}

function tooMuch(code: string, found: string, expected: string, offset: number): SyntaxProblem {
	return { code, severity: 'error', path: '', found, expected, fix: 'Split the job into one file per vehicle or panel.', offset }
}

function duplicateKeys(source: Source): Problem[] {
	const problems: Problem[] = []
	const look = (node: Node, path: (string | number)[]) => {
		const first = new Map<string, Node>()
		for (const [index, child] of (node.children ?? []).entries()) {
			if (node.type === 'array') {
				look(child, [...path, index])
				continue
			}
			const [key, value] = child.children ?? []
			if (!key || !value) continue
			const before = first.get(key.value)
			if (before) problems.push(twice(source, [...path, key.value], key, before))
			else first.set(key.value, key)
			look(value, [...path, key.value])
		}
	}
	look(source.root, [])
	return problems
}

function twice(source: Source, path: (string | number)[], key: Node, before: Node): Problem {
	const { line } = positionAt(source.lineStarts, before.offset)
	const again = positionAt(source.lineStarts, key.offset)
	return {
		code: 'KEY_TWICE',
		severity: 'error',
		path: toPointer(path),
		...(source.file ? { file: source.file } : {}),
		...again,
		found: `\`${key.value}\` stands here a second time (first in line ${line})`,
		expected: 'each key once',
		fix:
			line === again.line ? 'Take one of the two away.' : `Take one of the two away, in line ${line} or in line ${again.line}.`,
	}
}
