/** What a schema found wrong, as problems in plain words with lines and columns. */
import type { z } from 'zod'
import {
	aboutOf,
	bare,
	formsOf,
	kindOf,
	likelyForms,
	literalsOf,
	meantForm,
	type Schema,
	schemaAt,
	settled,
	shapeOf,
	valueAt,
	wordsFor,
} from './form.ts'
import type { LengthIssue } from './lengthField.ts'
import { nearest } from './nearest.ts'
import { type Path, toPointer } from './pointer.ts'
import type { Problem } from './problem.ts'
import { listed, plural, quoteValue } from './say.ts'
import { PROBLEM_LIMIT, positionOf, type Source } from './source.ts'

type Issue = z.core.$ZodIssue

interface Case {
	readonly schema: Schema
	readonly value: unknown
	readonly source: Source
}

type Draft = Omit<Problem, 'severity' | 'line' | 'column' | 'file' | 'path'> & { readonly path: Path; readonly at?: 'key' }

/** Problems of one file that are put into words; later ones would not be listed anyway. */
const WORKED_OUT = 2 * PROBLEM_LIMIT

export interface Explained {
	readonly problems: readonly Problem[]
	/** how many more there are */
	readonly unseen: number
}

/**
 * The problems of a value that its schema refused. Where a place may have several forms, only the form that was evidently
 * meant is spoken of. Keys missing from one object are one problem; a key that is unknown but near a missing one is that one
 * misspelt, and the missing one is not reported again.
 */
export function explain(issues: readonly Issue[], schema: Schema, value: unknown, source: Source): Explained {
	const about: Case = { schema, value, source }
	const flat = issues.flatMap((issue) => branchMeant(issue, about))
	const missing = new Map<string, { path: Path; keys: string[] }>()
	const drafts: Draft[] = []
	for (const issue of flat.slice(0, WORKED_OUT)) {
		const parent = issue.path.slice(0, -1) as Path
		if (isMissing(issue, about)) {
			const entry = missing.get(toPointer(parent)) ?? { path: parent, keys: [] }
			entry.keys.push(String(issue.path.at(-1)))
			missing.set(toPointer(parent), entry)
		}
	}
	for (const issue of flat.slice(0, WORKED_OUT)) {
		if (isMissing(issue, about)) continue
		const other = issue.code === 'unrecognized_keys' ? wrongKind(issue, about) : undefined
		if (other) {
			drafts.push(other)
			missing.delete(toPointer(issue.path as Path))
		} else if (issue.code === 'unrecognized_keys')
			drafts.push(...unknownKeys(issue, about, missing.get(toPointer(issue.path as Path))?.keys))
		else drafts.push(draftOf(issue, about))
	}
	for (const { path, keys } of missing.values()) if (keys.length > 0) drafts.push(missingKeys(path, keys, about))
	const unseen = Math.max(0, flat.length - WORKED_OUT)
	return { problems: merged(drafts).map((draft) => placed(draft, source)), unseen }
}

function placed({ path, at, ...words }: Draft, source: Source): Problem {
	const pointer = toPointer(path)
	return {
		severity: 'error',
		...words,
		path: pointer,
		...(source.file ? { file: source.file } : {}),
		...positionOf(source, pointer, at),
	}
}

/** One problem for each place and code. */
function merged(drafts: readonly Draft[]): Draft[] {
	const byPlace = new Map<string, Draft>()
	for (const draft of drafts) {
		const key = `${draft.code} ${toPointer(draft.path)}`
		if (!byPlace.has(key)) byPlace.set(key, draft)
	}
	return [...byPlace.values()]
}

/** The issues of the form that was meant, where an issue only says that no form fits. */
function branchMeant(issue: Issue, about: Case): Issue[] {
	if (issue.code !== 'invalid_union' || issue.errors.length === 0) return [issue]
	const path = issue.path as Path
	const union = schemaAt(about.schema, path, about.value)
	const forms = union && formsOf(union)
	const index = forms ? meantForm(union, valueAt(about.value, path)) : undefined
	const inner = index === undefined ? undefined : issue.errors[index]
	if (!inner) return [issue]
	return inner.flatMap((each) => branchMeant({ ...each, path: [...issue.path, ...each.path] }, about))
}

function isMissing(issue: Issue, about: Case): boolean {
	if (issue.path.length === 0) return false
	const key = issue.path.at(-1)!
	const parent = valueAt(about.value, issue.path.slice(0, -1) as Path)
	return kindOf(parent) === 'object' && !Object.hasOwn(parent as object, key)
}

function draftOf(issue: Issue, about: Case): Draft {
	const path = issue.path as Path
	const value = valueAt(about.value, path)
	const schema = schemaAt(about.schema, path, about.value)
	const here = `${nameOf(path)} is ${quoteValue(value)}`
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
		case 'custom': {
			const length = issue.params?.length as LengthIssue | undefined
			if (length?.kind === 'too-small') {
				const fix =
					typeof value === 'number' && value < 0 ? `Write ${-value} if that is what was measured.` : `Write ${length.expected}.`
				return { code: 'LENGTH_TOO_SMALL', path, found: here, expected: length.expected, fix }
			}
			if (length)
				return {
					code: 'LENGTH_UNREADABLE',
					path,
					found: `${nameOf(path)} is ${length.found}`,
					expected: length.expected,
					fix: length.fix,
				}
			return { code: 'NOT_ALLOWED', path, found: here, expected: issue.message, fix: `Write ${issue.message}.` }
		}
	}
	return {
		code: 'NOT_ALLOWED',
		path,
		found: here,
		expected: schema ? wordsFor(schema) : 'something else',
		fix: 'Look it up in the description of the format.',
	}
}

function wrongType(path: Path, value: unknown, schema: Schema | undefined): Draft {
	const asked = schema ? wordsFor(schema) : 'something else'
	const about = schema ? aboutOf(schema) : undefined
	const found = `${nameOf(path)} is ${quoteValue(value)}${isPlain(value) ? ` (${typeWords(value)})` : ''}`
	const expected = about && !isForms(schema) ? `${asked}: ${about}` : asked
	return { code: 'WRONG_TYPE', path, found, expected, fix: retype(value, schema) }
}

function isForms(schema: Schema | undefined): boolean {
	return schema !== undefined && formsOf(schema) !== undefined
}

function isPlain(value: unknown): boolean {
	return ['text', 'number', 'true or false'].includes(kindOf(value))
}

function typeWords(value: unknown): string {
	const kind = kindOf(value)
	return kind === 'true or false' ? 'true or false, not in quote marks' : `a ${kind}`
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
	if (type === 'array' && value !== null) return 'Put it in square brackets: [ ... ], also when there is only one.'
	if (value === null) return 'Write the value, or leave the key out if it is not known.'
	return `Write ${schema ? wordsFor(schema) : 'it in another form'}.`
}

function unknownWord(path: Path, value: unknown, words: readonly unknown[]): Draft {
	const known = words.filter((word) => typeof word === 'string')
	const near = typeof value === 'string' ? nearest(value, known) : undefined
	return {
		code: 'UNKNOWN_WORD',
		path,
		found: `${nameOf(path)} is ${quoteValue(value)}`,
		expected: listed(words.map((word) => JSON.stringify(word))),
		fix: near ? `Write "${near}".` : `Write ${words.length === 1 ? JSON.stringify(words[0]) : 'one of these'}.`,
	}
}

function unknownKind(path: Path, value: unknown, options: readonly unknown[]): Draft {
	const key = String(path.at(-1))
	return { ...unknownWord(path, value, options), code: key === 'kind' ? 'UNKNOWN_KIND' : 'UNKNOWN_WORD' }
}

function badName(path: Path, value: unknown, issue: Extract<Issue, { code: 'invalid_format' }>): Draft {
	const expected = issue.message.startsWith('Invalid') ? 'a text of another form' : issue.message
	const slug = String(value)
		.trim()
		.toLowerCase()
		.replace(/[^a-z0-9#/]+/g, '-')
		.replace(/^-+|-+$/g, '')
	const pattern = 'pattern' in issue && issue.pattern ? new RegExp(issue.pattern.replace(/^\/|\/$/g, '')) : undefined
	const candidates = [slug, `n${slug}`, `#${slug}`, slug.length === 4 ? slug.replace(/[0-9a-f]/g, '$&$&') : slug]
	const right = candidates.find((text) => pattern?.test(text))
	return {
		code: 'BAD_NAME',
		path,
		found: `${nameOf(path)} is ${quoteValue(value)}`,
		expected,
		fix: right ? `Write "${right}".` : `Write ${expected}.`,
	}
}

function wrongSize(path: Path, value: unknown, issue: Extract<Issue, { code: 'too_small' | 'too_big' }>, tuple: boolean): Draft {
	const small = issue.code === 'too_small'
	const limit = Number(small ? issue.minimum : issue.maximum)
	const bound = small ? 'at least' : 'at most'
	if (Array.isArray(value)) {
		const expected = tuple ? `${limit} values` : `${bound} ${limit}`
		const fix = small ? `Add ${limit - value.length} more.` : `Take ${value.length - limit} away.`
		return {
			code: small ? 'TOO_FEW' : 'TOO_MANY',
			path,
			found: `${nameOf(path)} has ${plural(value.length, tuple ? 'value' : 'item')}`,
			expected,
			fix,
		}
	}
	if (typeof value === 'string') {
		return {
			code: 'EMPTY_TEXT',
			path,
			found: `${nameOf(path)} is ${quoteValue(value)}`,
			expected: `a text of ${bound} ${plural(limit, 'letter')}`,
			fix: 'Write one.',
		}
	}
	const expected = `a number of ${bound} ${limit}`
	return { code: 'OUT_OF_RANGE', path, found: `${nameOf(path)} is ${quoteValue(value)}`, expected, fix: `Write ${expected}.` }
}

function missingKeys(path: Path, keys: readonly string[], about: Case): Draft {
	const value = valueAt(about.value, path)
	const schema = schemaAt(about.schema, path, about.value)
	const shape = schema && shapeOf(settled(schema, value) ?? schema)
	const found = `${nameOf(path)} has no ${listed(
		keys.map((key) => `\`${key}\``),
		'and',
	)}`
	const union = schema && formsOf(schema)
	if (schema && union?.discriminator && keys.includes(union.discriminator))
		return missingKind(path, value, union.discriminator, union.forms)
	const wanted = keys.map((key) => (shape?.[key] ? `\`${key}\`, ${wordsWithAbout(shape[key])}` : `\`${key}\``))
	return {
		code: 'MISSING_KEY',
		path,
		found,
		expected: wanted.join('; '),
		fix: `Add ${listed(
			keys.map((key) => `"${key}": ...`),
			'and',
		)}.`,
	}
}

function wordsWithAbout(schema: Schema): string {
	const about = isForms(schema) ? undefined : aboutOf(schema)
	return about ? `${wordsFor(schema)}: ${about}` : wordsFor(schema)
}

/** An object that must say of which kind it is, and does not; its other keys may tell. */
function missingKind(path: Path, value: unknown, key: string, forms: readonly Schema[]): Draft {
	const kinds = forms.flatMap((form) => literalsOf(shapeOf(form)?.[key]))
	const expected = `"${key}": ${listed(kinds.map((each) => JSON.stringify(each)))}`
	const likely = kindsOf(likelyForms(forms, value), forms, key)
	const fix = likely.length > 0 ? `Add "${key}": ${listed(likely)}${whichever(likely)}.` : `Add "${key}" and one of these.`
	return { code: 'MISSING_KEY', path, found: `${nameOf(path)} has no \`${key}\``, expected, fix }
}

function unknownKeys(issue: Extract<Issue, { code: 'unrecognized_keys' }>, about: Case, missing: string[] = []): Draft[] {
	const path = issue.path as Path
	const object = valueAt(about.value, path) as object
	const schema = schemaAt(about.schema, path, about.value)
	const known = Object.keys((schema && shapeOf(settled(schema, object) ?? schema)) ?? {})
	const expected = known.length === 0 ? 'no keys here' : listed(known.map((key) => `\`${key}\``))
	return issue.keys.map((key) => {
		const at = { code: 'UNKNOWN_KEY', path: [...path, key], at: 'key', expected } as const
		const found = `\`${key}\` is not a key of ${nameOf(path)}`
		const misspelt = nearest(key, missing)
		if (misspelt) {
			missing.splice(missing.indexOf(misspelt), 1)
			return { ...at, found, fix: `Rename it to \`${misspelt}\`.` }
		}
		const free = nearest(
			key,
			known.filter((each) => !Object.hasOwn(object, each)),
		)
		if (free) return { ...at, found, fix: `Rename it to \`${free}\`.` }
		const there = nearest(key, known)
		if (there) return { ...at, found, fix: `Take it away: \`${there}\` is there already.` }
		const elsewhere = schema ? kindsWith(schema, key) : []
		if (elsewhere.length > 0)
			return { ...at, found: `${found}, only of ${listed(elsewhere, 'and')}`, fix: 'Take it away, or change the kind.' }
		return { ...at, found, fix: 'Take it away, or use one of the keys that are known here.' }
	})
}

/** An object that says it is of one kind and has the keys of another: one problem, of its kind. */
function wrongKind(issue: Extract<Issue, { code: 'unrecognized_keys' }>, about: Case): Draft | undefined {
	const path = issue.path as Path
	const schema = schemaAt(about.schema, path, about.value)
	const union = schema && formsOf(schema)
	if (!schema || !union?.discriminator || issue.keys.length < 2) return undefined
	const key = union.discriminator
	const object = valueAt(about.value, path) as Record<string, unknown>
	const { [key]: said, ...rest } = object
	const likely = likelyForms(union.forms, rest).filter((index) => {
		const shape = shapeOf(union.forms[index]!)!
		return Object.keys(rest).every((each) => Object.hasOwn(shape, each))
	})
	if (likely.length === 0) return undefined
	const kinds = kindsOf(likely, union.forms, key)
	const having = listed(
		issue.keys.map((each) => `\`${each}\``),
		'and',
	)
	return {
		code: 'WRONG_KIND',
		path: [...path, key],
		found: `${nameOf(path)} says "${key}": ${JSON.stringify(said)} and has ${having}, which belong to ${listed(kinds)}`,
		expected: `keys of ${JSON.stringify(said)}, or another kind`,
		fix: `Write "${key}": ${listed(kinds)}${whichever(kinds)}.`,
	}
}

function kindsOf(indices: readonly number[], forms: readonly Schema[], key: string): string[] {
	return indices.flatMap((index) => literalsOf(shapeOf(forms[index]!)?.[key])).map((kind) => JSON.stringify(kind))
}

function whichever(kinds: readonly string[]): string {
	return kinds.length > 1 ? ', whichever it is' : ', if that is what it is'
}

/** The kinds of a union that do have the key. */
function kindsWith(schema: Schema, key: string): string[] {
	const union = formsOf(schema)
	if (!union?.discriminator) return []
	const having = union.forms.filter((form) => Object.hasOwn(shapeOf(form) ?? {}, key))
	return having.flatMap((form) => literalsOf(shapeOf(form)?.[union.discriminator!])).map((kind) => JSON.stringify(kind))
}

/** "the file", "`width`", "item 2 of `bands`". */
function nameOf(path: Path): string {
	const last = path.at(-1)
	if (last === undefined) return 'the file'
	if (typeof last === 'string') return `\`${last}\``
	const list = path.at(-2)
	return typeof list === 'string' ? `item ${last + 1} of \`${list}\`` : `item ${last + 1}`
}
