/** What a schema found wrong, as problems in plain words with lines and columns. */
import { type Case, type Draft, draftOf, type Issue } from './explainIssue.ts'
import { isMissing, missingKeys, unknownKeys, wrongKind } from './explainKeys.ts'
import { formsOf, meantForm, type Schema, schemaAt, valueAt } from './form.ts'
import { type Path, toPointer } from './pointer.ts'
import type { Problem } from './problem.ts'
import { positionOf, type Source } from './source.ts'

/** Finds of the schema that are put into words; merged, they are still more than are listed. */
const WORKED_OUT = 5000

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
	const about: Case = { schema, value }
	const flat = issues.slice(0, WORKED_OUT).flatMap((issue) => branchMeant(issue, about))
	const missing = missingByObject(flat, about)
	const drafts: Draft[] = []
	for (const issue of flat) {
		if (isMissing(issue, about)) continue
		if (issue.code !== 'unrecognized_keys') {
			drafts.push(draftOf(issue, about))
			continue
		}
		const object = toPointer(issue.path as Path)
		const kind = wrongKind(issue, about)
		if (kind) missing.delete(object)
		drafts.push(...(kind ? [kind] : unknownKeys(issue, about, missing.get(object)?.keys)))
	}
	for (const { path, keys } of missing.values()) if (keys.length > 0) drafts.push(missingKeys(path, keys, about))
	return {
		problems: merged(drafts).map((draft) => placed(draft, source)),
		unseen: Math.max(0, issues.length - WORKED_OUT),
	}
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
	const index = union && formsOf(union) ? meantForm(union, valueAt(about.value, path)) : undefined
	const inner = index === undefined ? undefined : issue.errors[index]
	if (!inner) return [issue]
	return inner.flatMap((each) => branchMeant({ ...each, path: [...issue.path, ...each.path] }, about))
}

/** Keys that are missing, by the pointer of the object that they are missing from. */
function missingByObject(issues: readonly Issue[], about: Case): Map<string, { path: Path; keys: string[] }> {
	const missing = new Map<string, { path: Path; keys: string[] }>()
	for (const issue of issues) {
		if (!isMissing(issue, about)) continue
		const path = issue.path.slice(0, -1) as Path
		const entry = missing.get(toPointer(path)) ?? { path, keys: [] }
		entry.keys.push(String(issue.path.at(-1)))
		missing.set(toPointer(path), entry)
	}
	return missing
}
