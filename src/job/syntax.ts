/** What is wrong with a text that is not JSON, in plain words. */
import { type ParseError, printParseErrorCode } from 'jsonc-parser'
import { readLength } from '../units/length.ts'
import type { Problem } from './problem.ts'
import { quoteValue } from './say.ts'

/** A problem by its offset in the text, before it has a line. */
export type SyntaxProblem = Omit<Problem, 'line' | 'column' | 'file'> & { readonly offset: number }

/** A file that is broken in more places is better put right a few at a time. */
const REPORTED = 20

interface Words {
	readonly found: string
	readonly expected: string
	readonly fix: string
	/** where a person would look, when it is not where the parser stopped */
	readonly offset?: number
}

/**
 * One problem for each place that has something wrong, from the parser's errors. What may only follow from an earlier one
 * (more on the same line or the next, a bracket missing at the end) is left out.
 */
export function syntaxProblems(text: string, errors: readonly ParseError[]): SyntaxProblem[] {
	if (errors.length === 0) return []
	const start = text.search(/[^\s]/)
	if (start < 0) {
		const fix = 'Write a job, or begin from a starter.'
		return [problem('NOT_JSON', { found: 'an empty file', expected: 'a file in JSON, in braces { ... }', fix }, 0)]
	}
	if (!/^[{[/\u201c"'\d\w]/.test(text.slice(start)) || /^[a-z]/i.test(text.slice(start))) {
		const line = lineAt(text, start).trim()
		const table = /^[^{}[\]:]*[,;\t][^{}[\]:]*$/.test(line)
		const fix = table ? 'A table of readings is no job yet: begin a new job from it.' : 'Give the name of a job file.'
		const found = `a file that begins with ${quoteValue(line)}`
		return [problem('NOT_JSON', { found, expected: 'a file in JSON, in braces { ... }', fix }, start)]
	}
	const problems: SyntaxProblem[] = []
	let quietTo = -1
	for (const error of errors) {
		if (problems.length >= REPORTED) break
		const code = printParseErrorCode(error.error)
		if (error.offset <= quietTo) continue
		if (problems.length > 0 && error.offset >= text.trimEnd().length) continue
		const words = explain(text, code, error)
		problems.push(problem('JSON_SYNTAX', words, words.offset ?? error.offset))
		quietTo = endOfLine(text, endOfLine(text, error.offset) + 1)
	}
	return problems
}

function problem(code: string, words: Words, offset: number): SyntaxProblem {
	const { found, expected, fix } = words
	return { code, severity: 'error', path: '', found, expected, fix, offset }
}

function explain(text: string, code: string, error: ParseError): Words {
	const at = text.slice(error.offset, error.offset + Math.max(1, error.length))
	const word = wordAround(text, error.offset)
	return (
		openText(text, code, error.offset) ??
		quoteMarks(at) ??
		badNumber(text, word, error.offset) ??
		bareWord(text, code, at, error) ??
		punctuation(text, code, at, error.offset) ?? {
			found: `${quoteValue(at.trim() || lineAt(text, error.offset).trim())}, which is not JSON`,
			expected: 'a text in "quote marks", a number, true, false, a list [ ] or an object { }',
			fix: 'Write it in one of these forms.',
		}
	)
}

function openText(text: string, code: string, offset: number): Words | undefined {
	if (code === 'InvalidEscapeCharacter') {
		const expected = 'a backslash only as \\\\ or before a quote mark'
		return { found: 'a backslash in a text before a letter that it means nothing with', expected, fix: 'Write it twice: \\\\.' }
	}
	if (code === 'InvalidCharacter') {
		return {
			found: 'a tab or another control character in a text',
			expected: 'letters and figures',
			fix: 'Put a space in its place.',
		}
	}
	if (code === 'InvalidUnicode') {
		return { found: '\\u without four figures after it', expected: 'such as \\u00bd', fix: 'Write the character itself.' }
	}
	if (code === 'UnexpectedEndOfComment') {
		return { found: 'a comment that is opened with /* and never closed', expected: '*/ after it', fix: 'Close it with */.' }
	}
	if (code !== 'UnexpectedEndOfString') return undefined
	if (text[offset - 1] === '"') {
		const before = /"(?:[^"\\\n]|\\.)*"$/.exec(text.slice(0, offset))?.[0] ?? '"1 13/16"'
		const inner = before.slice(1, -1)
		return {
			found: `two quote marks after ${before.slice(0, -1)}`,
			expected: 'an inch mark inside a text as \\", or the unit as in',
			fix: `Write "${inner} in", or "${inner}\\"".`,
			offset: offset - before.length,
		}
	}
	const found = `a text that is not closed on its line: ${text.slice(offset, Math.min(endOfLine(text, offset), offset + 40)).trimEnd()}`
	return { found, expected: 'a quote mark " at both ends', fix: 'Close the text with a quote mark ".' }
}

function quoteMarks(at: string): Words | undefined {
	if (/^[\u201c\u201d\u201e]/.test(at)) {
		return { found: 'a curly quote mark', expected: 'straight quote marks "', fix: 'Write straight quote marks: ".' }
	}
	if (at.startsWith("'")) {
		return {
			found: "a single quote mark '",
			expected: 'double quote marks "',
			fix: 'Put texts and names in double quote marks: ".',
		}
	}
	return undefined
}

/** A figure that JSON cannot have bare: 12,5 - 1 13/16 - 46.5 mm - +5 - .5 - 012 */
function badNumber(text: string, word: { text: string; offset: number }, offset: number): Words | undefined {
	if (!/^[+\-.]?\d/.test(word.text)) return undefined
	const before = text.slice(0, offset)
	const comma = /(?:^|[^\d.])(\d+),$/.exec(before)
	if (comma && /^\d/.test(word.text)) {
		const point = `${comma[1]}.${word.text}`
		const right = /^[\d.]+$/.test(point) ? point : JSON.stringify(point)
		const found = `the number ${comma[1]},${word.text}, with a comma in it`
		return { found, expected: 'a decimal point', fix: `Write ${right}.`, offset: offset - comma[1]!.length - 1 }
	}
	const point = word.text.replace(/^\+/, '').replace(';', '.')
	const { text: found, offset: start } = word
	if (/^-?\d*\.?\d*$/.test(point) && Number.isFinite(Number(point))) {
		if (point === String(Number(point)) && point === word.text) return undefined
		return { found: `the number ${found}`, expected: 'a number such as 12.5', fix: `Write ${Number(point)}.`, offset: start }
	}
	const answer = readLength(point, 'mm')
	if (!answer.ok) return undefined
	const expected = 'a length with a unit or a fraction in quote marks'
	return { found: `${found} without quote marks`, expected, fix: `Write ${JSON.stringify(point)}.`, offset: start }
}

function bareWord(text: string, code: string, at: string, error: ParseError): Words | undefined {
	if (code !== 'InvalidSymbol' || !/^[\p{L}_$]/u.test(at)) return undefined
	if (/^\s*:/.test(text.slice(error.offset + error.length))) {
		return { found: `the key ${at} without quote marks`, expected: 'keys in quote marks', fix: `Write "${at}".` }
	}
	const plain: Record<string, string> = {
		nan: 'a number',
		infinity: 'a number',
		none: 'null',
		undefined: 'null',
		yes: 'true',
		no: 'false',
	}
	const lower = at.toLowerCase()
	if (lower === 'true' || lower === 'false')
		return { found: at, expected: 'true or false in small letters', fix: `Write ${lower}.` }
	const meant = plain[lower]
	if (meant === 'a number')
		return { found: at, expected: 'a number', fix: 'Write the figure, or leave the key out if it is not known.' }
	if (meant)
		return {
			found: at,
			expected: 'true, false, a number or a text',
			fix: meant === 'null' ? 'Leave the key out.' : `Write ${meant}.`,
		}
	return { found: `${at} without quote marks`, expected: 'texts in quote marks', fix: `Write "${at}".` }
}

function punctuation(text: string, code: string, at: string, offset: number): Words | undefined {
	const line = lineNumber(text, text.slice(0, offset).trimEnd().length)
	switch (code) {
		case 'CommaExpected':
			if (at === '}' || at === ']') return notClosed(text, offset)
			return {
				found: `no comma before ${quoteStart(text, offset)}`,
				expected: 'a comma between two things',
				fix: `Put a comma at the end of what comes before (line ${line}).`,
			}
		case 'ColonExpected':
			return {
				found: 'a key with no colon after it',
				expected: '"key": value',
				fix: 'Put a colon between the key and its value.',
			}
		case 'PropertyNameExpected':
			return {
				found: `${quoteStart(text, offset)} where a key belongs`,
				expected: '"key": value',
				fix: 'Write a key in quote marks and a colon.',
			}
		case 'ValueExpected':
			return {
				found: `nothing before the ${at}`,
				expected: 'a value',
				fix: 'Write the value, or take away the key or comma before.',
			}
		case 'CloseBraceExpected':
		case 'CloseBracketExpected':
			return notClosed(text, offset)
		case 'EndOfFileExpected': {
			const fix = 'Take it away, or look for a bracket closed too early before it.'
			return { found: `${quoteStart(text, offset)} after the end`, expected: 'nothing after the last }', fix }
		}
	}
	return undefined
}

function notClosed(text: string, offset: number): Words | undefined {
	const opened = lastOpen(text, offset)
	if (opened === undefined) return undefined
	const close = text[opened] === '{' ? '}' : ']'
	const before = offset < text.trimEnd().length ? ` before the ${text[offset]}` : ''
	const found = `a ${text[opened]} opened in line ${lineNumber(text, opened)} and not closed${before}`
	const place = offset < text.trimEnd().length ? {} : { offset: opened }
	return { found, expected: `a ${close}`, fix: `Close it with ${close}.`, ...place }
}

/** Where the innermost bracket that is still open was opened; texts and comments are stepped over. */
function lastOpen(text: string, end: number): number | undefined {
	const open: number[] = []
	for (const match of text.slice(0, end).matchAll(/"(?:[^"\\\n]|\\.)*"|\/\/.*|\/\*[\s\S]*?\*\/|[{}[\]]/g)) {
		if (match[0] === '{' || match[0] === '[') open.push(match.index)
		if (match[0] === '}' || match[0] === ']') open.pop()
	}
	return open.at(-1)
}

/** What stands between the colon, comma or bracket before a place and the comma, bracket or line end after it. */
function wordAround(text: string, offset: number): { text: string; offset: number } {
	const reach = 60
	const before = /[^:,[\]{}"\n]*$/.exec(text.slice(Math.max(0, offset - reach), offset))![0]
	const after = /^[^:,[\]{}\n]*/.exec(text.slice(offset, offset + reach))![0]
	const word = before + after
	return { text: word.trim(), offset: offset - before.length + (word.length - word.trimStart().length) }
}

function quoteStart(text: string, offset: number): string {
	return /^"(?:[^"\\\n]|\\.)*"|^[^\s,:]+/.exec(text.slice(offset, offset + 40))?.[0] ?? 'the end'
}

function endOfLine(text: string, offset: number): number {
	const end = text.indexOf('\n', offset)
	return end < 0 ? text.length : end
}

function lineAt(text: string, offset: number): string {
	return text.slice(text.lastIndexOf('\n', offset - 1) + 1, endOfLine(text, offset))
}

function lineNumber(text: string, offset: number): number {
	return text.slice(0, offset).split('\n').length
}
