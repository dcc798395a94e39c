/** One thing that a schema found wrong with a value, in plain words: what stands there, what is expected, what to do. */
import type { z } from 'zod'
import { aboutOf, bare, formsOf, kindOf, type Schema, schemaAt, valueAt, wordsFor } from './form.ts'
import type { LengthIssue } from './lengthField.ts'
import { nearest } from './nearest.ts'
import type { Path } from './pointer.ts'
import { listed, plural, quoteValue } from './say.ts'

export type Issue = z.core.$ZodIssue

/** The whole schema and the whole value, which paths lead into. */
export interface Case {
	readonly schema: Schema
	readonly value: unknown
}

/** A problem before it has a line. */
export interface Draft {
	readonly code: string
	readonly path: Path
	/** a key is pointed at itself, anything else at its value */
	readonly at?: 'key'
	readonly found: string
	readonly expected: string
	readonly fix: string
}

export function draftOf(issue: Issue, about: Case): Draft {
	const path = issue.path as Path
	const value = valueAt(about.value, path)
	const schema = schemaAt(about.schema, path, about.value)
	switch (issue.code) {
		case 'invalid_value':
			return unknownWord(path, value, issue.values)
		case 'invalid_union':
			return issue.discriminator
				? unknownKind(path, value, 'options' in issue ? (issue.options ?? []) : [])
				: wrongType(path, value, schema)
		case 'invalid_type':
			return wrongType(path, value, schema)
		case 'invalid_format':
			return badName(path, value, issue)
		case 'too_small':
		case 'too_big':
			return wrongSize(path, value, issue, schema !== undefined && bare(schema)._zod.def.type === 'tuple')
		case 'custom':
			if (issue.params?.length) return badLength(path, value, issue.params.length as LengthIssue)
	}
	// no schema here asks for anything else
	const expected = schema ? wordsFor(schema) : 'another value'
	return { code: 'NOT_ALLOWED', path, found: isNow(path, value), expected, fix: 'Look it up in the description of the format.' }
}

/** "the file", "`width`", "item 2 of `bands`". */
export function nameOf(path: Path): string {
	const last = path.at(-1)
	if (last === undefined) return 'the file'
	if (typeof last === 'string') return `\`${last}\``
	const list = path.at(-2)
	return typeof list === 'string' ? `item ${last + 1} of \`${list}\`` : `item ${last + 1}`
}

/** What a schema asks for and what for; the forms of a union say it themselves. */
export function wordsWithAbout(schema: Schema): string {
	const about = formsOf(schema) ? undefined : aboutOf(schema)
	return about ? `${wordsFor(schema)}: ${about}` : wordsFor(schema)
}

function isNow(path: Path, value: unknown): string {
	return `${nameOf(path)} is ${quoteValue(value)}`
}

function badLength(path: Path, value: unknown, issue: LengthIssue): Draft {
	if (issue.kind === 'unreadable') {
		return {
			code: 'LENGTH_UNREADABLE',
			path,
			found: `${nameOf(path)} is ${issue.found}`,
			expected: issue.expected,
			fix: issue.fix,
		}
	}
	const { expected } = issue
	const fix = typeof value === 'number' && value < 0 ? `Write ${-value} if that is what was measured.` : `Write ${expected}.`
	return { code: 'LENGTH_TOO_SMALL', path, found: isNow(path, value), expected, fix }
}

function wrongType(path: Path, value: unknown, schema: Schema | undefined): Draft {
	const expected = schema ? wordsWithAbout(schema) : 'something else'
	return { code: 'WRONG_TYPE', path, found: `${isNow(path, value)}${typeWords(value)}`, expected, fix: retype(value, schema) }
}

function typeWords(value: unknown): string {
	const kind = kindOf(value)
	return kind === 'text' || kind === 'number' ? ` (a ${kind})` : ''
}

/** How the same value would be written in the type that is asked for. */
function retype(value: unknown, schema: Schema | undefined): string {
	const type = schema ? bare(schema)._zod.def.type : undefined
	if (type === 'number' && typeof value === 'string' && value.trim() !== '' && Number.isFinite(Number(value))) {
		return `Take off the quote marks: ${Number(value)}.`
	}
	if (type === 'string' && typeof value === 'number') return `Put it in quote marks: "${value}".`
	if (type === 'boolean' && typeof value === 'string') {
		const yes = ['true', 'yes', 'y', 'on', '1'].includes(value.toLowerCase())
		const no = ['false', 'no', 'n', 'off', '0'].includes(value.toLowerCase())
		if (yes || no) return `Write ${yes} without quote marks.`
	}
	if (value === null) return 'Write the value, or leave the key out if it is not known.'
	if (type === 'array') return 'Put it in square brackets: [ ... ], also when there is only one.'
	return `Write ${schema ? wordsFor(schema) : 'it in another form'}.`
}

function unknownWord(path: Path, value: unknown, words: readonly unknown[]): Draft {
	const known = words.filter((word) => typeof word === 'string')
	const near = typeof value === 'string' ? nearest(value, known) : undefined
	const only = words.length === 1 ? JSON.stringify(words[0]) : 'one of these'
	return {
		code: 'UNKNOWN_WORD',
		path,
		found: isNow(path, value),
		expected: listed(words.map((word) => JSON.stringify(word))),
		fix: near ? `Write "${near}".` : `Write ${only}.`,
	}
}

function unknownKind(path: Path, value: unknown, options: readonly unknown[]): Draft {
	return { ...unknownWord(path, value, options), code: path.at(-1) === 'kind' ? 'UNKNOWN_KIND' : 'UNKNOWN_WORD' }
}

/** A text that is not of the form that its schema asks for; the schema's own message says which. */
function badName(path: Path, value: unknown, issue: Extract<Issue, { code: 'invalid_format' }>): Draft {
	const slug = String(value)
		.trim()
		.toLowerCase()
		.replace(/[^a-z0-9#/]+/g, '-')
		.replace(/^-+|-+$/g, '')
	const pattern = 'pattern' in issue && issue.pattern ? new RegExp(issue.pattern.replace(/^\/|\/$/g, '')) : undefined
	const right = [slug, `n${slug}`, `#${slug}`].find((text) => pattern?.test(text))
	const fix = right ? `Write "${right}".` : `Write ${issue.message}.`
	return { code: 'BAD_NAME', path, found: isNow(path, value), expected: issue.message, fix }
}

function wrongSize(path: Path, value: unknown, issue: Extract<Issue, { code: 'too_small' | 'too_big' }>, tuple: boolean): Draft {
	const small = issue.code === 'too_small'
	const limit = Number(small ? issue.minimum : issue.maximum)
	const bound = small ? 'at least' : 'at most'
	if (Array.isArray(value)) {
		const found = `${nameOf(path)} has ${plural(value.length, tuple ? 'value' : 'item')}`
		const expected = tuple ? `${limit} values` : `${bound} ${limit}`
		const fix = small ? `Add ${limit - value.length} more.` : `Take ${value.length - limit} away.`
		return { code: small ? 'TOO_FEW' : 'TOO_MANY', path, found, expected, fix }
	}
	const found = isNow(path, value)
	if (typeof value === 'string') {
		return { code: 'EMPTY_TEXT', path, found, expected: `a text of ${bound} ${plural(limit, 'letter')}`, fix: 'Write one.' }
	}
	const expected = `a number of ${bound} ${limit}`
	return { code: 'OUT_OF_RANGE', path, found, expected, fix: `Write ${expected}.` }
}
