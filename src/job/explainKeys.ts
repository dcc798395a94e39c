/** Keys that are missing, unknown, or those of another kind of thing. */
import { type Case, type Draft, type Issue, nameOf, wordsWithAbout } from './explainIssue.ts'
import { formsOf, kindOf, likelyForms, literalsOf, type Schema, schemaAt, settled, shapeOf, valueAt } from './form.ts'
import { nearest } from './nearest.ts'
import type { Path } from './pointer.ts'
import { listed } from './say.ts'

type UnknownKeys = Extract<Issue, { code: 'unrecognized_keys' }>

/** The issue is about a key that does not stand there at all. */
export function isMissing(issue: Issue, about: Case): boolean {
	if (issue.path.length === 0) return false
	const object = valueAt(about.value, issue.path.slice(0, -1) as Path)
	return kindOf(object) === 'object' && !Object.hasOwn(object as object, issue.path.at(-1)!)
}

/** One problem for all keys that an object lacks. */
export function missingKeys(path: Path, keys: readonly string[], about: Case): Draft {
	const value = valueAt(about.value, path)
	const schema = schemaAt(about.schema, path, about.value)
	const union = schema && formsOf(schema)
	if (union?.discriminator && keys.includes(union.discriminator)) {
		return missingKind(path, value, union.discriminator, union.forms)
	}
	const shape = schema && shapeOf(settled(schema, value) ?? schema)
	const wanted = keys.map((key) => (shape?.[key] ? `${ticked(key)}, ${wordsWithAbout(shape[key])}` : ticked(key)))
	const adding = keys.map((key) => `"${key}": ...`)
	return {
		code: 'MISSING_KEY',
		path,
		found: `${nameOf(path)} has no ${listed(keys.map(ticked), 'and')}`,
		expected: wanted.join('; '),
		fix: `Add ${listed(adding, 'and')}`,
	}
}

/** An object that must say of which kind it is, and does not; its other keys may tell. */
function missingKind(path: Path, value: unknown, key: string, forms: readonly Schema[]): Draft {
	const kinds = forms.flatMap((form) => literalsOf(shapeOf(form)?.[key]))
	const expected = `"${key}": ${listed(kinds.map((each) => JSON.stringify(each)))}`
	const likely = kindsOf(likelyForms(forms, value), forms, key)
	const fix = likely.length > 0 ? `Add "${key}": ${listed(likely)}${whichever(likely)}.` : `Add "${key}" and one of these.`
	return { code: 'MISSING_KEY', path, found: `${nameOf(path)} has no ${ticked(key)}`, expected, fix }
}

/** Each unknown key with the one that was meant, if any; a key of `missing` that was meant is taken out of it. */
export function unknownKeys(issue: UnknownKeys, about: Case, missing: string[] = []): Draft[] {
	const path = issue.path as Path
	const object = valueAt(about.value, path) as object
	const schema = schemaAt(about.schema, path, about.value)
	const known = Object.keys((schema && shapeOf(settled(schema, object) ?? schema)) ?? {})
	const expected = known.length === 0 ? 'no keys here' : listed(known.map(ticked))
	return issue.keys.map((key): Draft => {
		const found = `${ticked(key)} is not a key of ${nameOf(path)}`
		const draft = { code: 'UNKNOWN_KEY', path: [...path, key], at: 'key', found, expected } as const
		const misspelt = nearest(key, missing)
		if (misspelt) {
			missing.splice(missing.indexOf(misspelt), 1)
			return { ...draft, fix: `Rename it to ${ticked(misspelt)}.` }
		}
		const free = nearest(
			key,
			known.filter((each) => !Object.hasOwn(object, each)),
		)
		if (free) return { ...draft, fix: `Rename it to ${ticked(free)}.` }
		const there = nearest(key, known)
		if (there) return { ...draft, fix: `Take it away: ${ticked(there)} is there already.` }
		const elsewhere = schema ? kindsWith(schema, key) : []
		if (elsewhere.length === 0) return { ...draft, fix: 'Take it away, or use one of the keys that are known here.' }
		return { ...draft, found: `${found}, only of ${listed(elsewhere, 'and')}`, fix: 'Take it away, or change the kind.' }
	})
}

/** An object that says it is of one kind and has the keys of another: one problem, of its kind. */
export function wrongKind(issue: UnknownKeys, about: Case): Draft | undefined {
	const path = issue.path as Path
	const schema = schemaAt(about.schema, path, about.value)
	const union = schema && formsOf(schema)
	// one key too many is more likely that key's fault
	if (!union?.discriminator || issue.keys.length < 2) return undefined
	const key = union.discriminator
	const { [key]: said, ...rest } = valueAt(about.value, path) as Record<string, unknown>
	const likely = likelyForms(union.forms, rest).filter((index) => {
		const shape = shapeOf(union.forms[index]!) ?? {}
		return Object.keys(rest).every((each) => Object.hasOwn(shape, each))
	})
	if (likely.length === 0) return undefined
	const kinds = kindsOf(likely, union.forms, key)
	const having = listed(issue.keys.map(ticked), 'and')
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

/** The kinds of a union that do have the key. */
function kindsWith(schema: Schema, key: string): string[] {
	const union = formsOf(schema)
	if (!union?.discriminator) return []
	const having = union.forms.flatMap((form, index) => (Object.hasOwn(shapeOf(form) ?? {}, key) ? [index] : []))
	return kindsOf(having, union.forms, union.discriminator)
}

function whichever(kinds: readonly string[]): string {
	return kinds.length > 1 ? ', whichever it is' : ', if that is what it is'
}

function ticked(key: string): string {
	return `\`${key}\``
}
