/** Bringing a file of an older format up to the present one, a version at a time. Nothing that stood in it is lost silently. */
import { FORMAT } from './schema.ts'

/** One version to the next. */
export interface Step {
	readonly from: number
	/** what changed, for the person whose file it is */
	readonly what: string
	readonly apply: (file: PlainObject) => Change
}

export interface Change {
	readonly file: PlainObject
	/** new pointer, old pointer */
	readonly moved: readonly (readonly [string, string])[]
}

export interface Migrated {
	readonly file: PlainObject
	readonly moved: ReadonlyMap<string, string>
	/** what was done, one phrase for each step that changed something */
	readonly done: readonly string[]
}

export type PlainObject = Readonly<Record<string, unknown>>

/** Format 0 (before the first release) wrote a paint's colour as `color`. */
export const JOB_STEPS: readonly Step[] = [{ from: 0, what: '`color` of a paint is now `colour`', apply: colourOfPaints }]

/**
 * The file in format `to`, through the steps from its own format on; undefined when there is no way from there.
 * A value that cannot be moved because its new place is taken stays where it was, so that the check names it.
 */
export function migrate(
	file: PlainObject,
	from: number,
	steps: readonly Step[] = JOB_STEPS,
	to: number = FORMAT,
): Migrated | undefined {
	let here = file
	const moved = new Map<string, string>()
	const done: string[] = []
	for (let version = from; version < to; version++) {
		const step = steps.find((each) => each.from === version)
		if (!step) return undefined
		const change = step.apply(here)
		for (const [now, before] of change.moved) moved.set(now, moved.get(before) ?? before)
		if (change.moved.length > 0) done.push(step.what)
		here = change.file
	}
	return { file: withKey(here, 'format', to), moved, done }
}

function colourOfPaints(file: PlainObject): Change {
	if (!Array.isArray(file.paints)) return { file, moved: [] }
	const moved: [string, string][] = []
	const paints = file.paints.map((paint: unknown, index) => {
		if (!isObject(paint) || !Object.hasOwn(paint, 'color') || Object.hasOwn(paint, 'colour')) return paint
		moved.push([`/paints/${index}/colour`, `/paints/${index}/color`])
		return renamed(paint, 'color', 'colour')
	})
	return { file: withKey(file, 'paints', paints), moved }
}

export function isObject(value: unknown): value is PlainObject {
	return value !== null && typeof value === 'object' && !Array.isArray(value)
}

function withKey(object: PlainObject, key: string, value: unknown): PlainObject {
	return build([...Object.entries(object).filter(([each]) => each !== key), [key, value]])
}

function renamed(object: PlainObject, from: string, to: string): PlainObject {
	return build(Object.entries(object).map(([key, value]) => [key === from ? to : key, value]))
}

/** Without a prototype, as all objects of a file are, so that a key such as `__proto__` is a key. */
function build(entries: readonly (readonly [string, unknown])[]): PlainObject {
	const object: Record<string, unknown> = Object.create(null)
	for (const [key, value] of entries) object[key] = value
	return object
}
