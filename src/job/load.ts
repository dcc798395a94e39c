/** A job from the text of its file. */
import type { z } from 'zod'
import type { Unit } from '../units/length.ts'
import { explain } from './explain.ts'
import { isObject, JOB_STEPS, migrate, type PlainObject, type Step } from './migrate.ts'
import type { Outcome, Problem } from './problem.ts'
import { plural, quoteValue } from './say.ts'
import { FORMAT, type Job, jobSchema } from './schema.ts'
import { inOrder, readSource, type Source, valuesOf, withLines } from './source.ts'

/** Ten times what a whole vehicle was ever measured with; the survey's equations grow with its square. */
export const READING_LIMIT = 10_000

export interface LoadedJob {
	/** checked; lengths in mm */
	readonly job: Job
	/** the unit of the file's plain numbers */
	readonly unit: Unit
	/** for lines and columns of problems found later: withLines(problems, source) */
	readonly source: Source
	/** the values as written, brought up to the present format */
	readonly raw: unknown
}

/**
 * The job that a text describes, lengths in mm, with everything that was noticed, in the order of the file. No value when
 * anything is an error. What the schema cannot say (names that must exist, sides that must fit) is left to `crossCheck`.
 */
export function loadJob(text: string, file?: string): Outcome<LoadedJob> {
	const { value: read, problems } = loadFile(text, file, JOB)
	if (!read) return { problems }
	const { data: job, unit, source, raw } = read
	return { value: { job, unit, source, raw }, problems }
}

export interface FileKind<T> {
	/** "job" or "shop" */
	readonly what: string
	readonly format: number
	readonly steps: readonly Step[]
	readonly schema: (unit: Unit) => z.ZodType<T>
	/** limits that are checked before the schema */
	readonly tooMuch?: (file: PlainObject) => Problem | undefined
}

const JOB: FileKind<Job> = {
	what: 'job',
	format: FORMAT,
	steps: JOB_STEPS,
	schema: oncePerUnit(jobSchema),
	tooMuch: tooManyReadings,
}

/** Putting a schema together takes ten times as long as a check against it. */
export function oncePerUnit<T>(make: (unit: Unit) => T): (unit: Unit) => T {
	const made = new Map<Unit, T>()
	return (unit) => {
		const schema = made.get(unit) ?? make(unit)
		made.set(unit, schema)
		return schema
	}
}

export interface ReadFile<T> {
	readonly data: T
	readonly unit: Unit
	readonly source: Source
	readonly raw: unknown
}

/** A file of a kind that has a format number, a unit and a schema. */
export function loadFile<T>(text: string, file: string | undefined, kind: FileKind<T>): Outcome<ReadFile<T>> {
	const outcome = readSource(text, file)
	if (!outcome.value) return { problems: outcome.problems }
	const written = valuesOf(outcome.value)
	if (!isObject(written)) return { problems: withLines([notAnObject(written, kind.what)], outcome.value) }

	const version = versionOf(written, kind)
	if (version.refused) return { problems: withLines([version.refused], outcome.value) }
	const source: Source = { ...outcome.value, moved: version.moved }
	const tooMuch = kind.tooMuch?.(version.file)
	if (tooMuch) return { problems: withLines([tooMuch], source) }

	// whatever else is wrong, a file is read in one unit or the other; a unit that is neither is named by the schema
	const unit: Unit = version.file.unit === 'in' ? 'in' : 'mm'
	const schema = kind.schema(unit)
	const parsed = schema.safeParse(version.file)
	const found = parsed.success ? { problems: [], unseen: 0 } : explain(parsed.error.issues, schema, version.file, source)
	const problems = inOrder([...outcome.problems, ...withLines(version.problems, source), ...found.problems], found.unseen)
	if (!parsed.success || problems.some(({ severity }) => severity === 'error')) return { problems }
	return { value: { data: parsed.data, unit, source, raw: version.file }, problems }
}

interface Version {
	readonly file: PlainObject
	readonly moved: ReadonlyMap<string, string>
	readonly problems: readonly Problem[]
	/** why the rest is not looked at: it would be misread */
	readonly refused?: Problem
}

function versionOf(file: PlainObject, kind: FileKind<unknown>): Version {
	const { format: present, what } = kind
	const { format } = file
	const expected = `"format": ${present}`
	const asWritten: Version = { file, moved: new Map(), problems: [] }
	if (format === present) return asWritten
	if (typeof format !== 'number') {
		// read on as the present format, so that everything else is named too
		const found = format === undefined ? `a ${what} that does not say its format` : `\`format\` is ${quoteValue(format)}`
		const path = format === undefined ? '' : '/format'
		const problem: Problem = {
			code: 'FORMAT_MISSING',
			severity: 'error',
			path,
			found,
			expected,
			fix: `Write "format": ${present} as its first line.`,
		}
		const rest = { ...file, format: present }
		return { ...asWritten, file: Object.assign(Object.create(null), rest), problems: [problem] }
	}
	const found = `a ${what} of format ${format}`
	if (format > present) {
		const fix = 'Use the newer version of this program that wrote it. Nothing was read, so that nothing is misread.'
		return {
			...asWritten,
			refused: { code: 'FORMAT_NEWER', severity: 'error', path: '/format', found, expected: `format ${present} or older`, fix },
		}
	}
	const migrated = migrate(file, format, kind.steps, present)
	if (!migrated) {
		const fix = `Write "format": ${present} if it was written for this version.`
		return { ...asWritten, refused: { code: 'FORMAT_UNKNOWN', severity: 'error', path: '/format', found, expected, fix } }
	}
	const changed = migrated.done.length > 0 ? `: ${migrated.done.join('; ')}` : ', nothing in it had to change'
	const note: Problem = {
		...{ code: 'FORMAT_OLDER', severity: 'note', path: '/format', found: `${found}, read as format ${present}${changed}` },
		...{
			expected,
			fix: `${changed.startsWith(':') ? 'Make this change in the file and write' : 'Write'} "format": ${present} when convenient.`,
		},
	}
	return { file: migrated.file, moved: migrated.moved, problems: [note] }
}

function notAnObject(value: unknown, what: string): Problem {
	const fix = `Write the ${what} in braces: { "format": 1, ... }.`
	return {
		code: 'WRONG_TYPE',
		severity: 'error',
		path: '',
		found: `the file is ${quoteValue(value)}`,
		expected: `a ${what} in braces { ... }`,
		fix,
	}
}

function tooManyReadings(file: PlainObject): Problem | undefined {
	if (!Array.isArray(file.panels)) return undefined
	let count = 0
	for (const panel of file.panels) if (isObject(panel) && Array.isArray(panel.readings)) count += panel.readings.length
	if (count <= READING_LIMIT) return undefined
	const expected = `at most ${plural(READING_LIMIT, 'reading')} in one job`
	const fix = 'Split the job into one file per panel.'
	return { code: 'TOO_MANY_READINGS', severity: 'error', path: '/panels', found: plural(count, 'reading'), expected, fix }
}
