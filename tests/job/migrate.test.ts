import { describe, expect, test } from 'vitest'
import { loadJob } from '../../src/job/load.ts'
import { JOB_STEPS, migrate } from '../../src/job/migrate.ts'
import { FORMAT } from '../../src/job/schema.ts'
import { changed, GOOD, lineOf } from './jobs.ts'

const OLD = GOOD.replace('"format": 1', '"format": 0').replaceAll('"colour"', '"color"')

describe("format 0, which wrote a paint's colour as `color`", () => {
	test('loads as the same job, and says what was done', () => {
		const { value, problems } = loadJob(OLD)
		expect(value?.job).toEqual(loadJob(GOOD).value?.job)
		expect(problems).toMatchObject([{ code: 'FORMAT_OLDER', severity: 'note', path: '/format', line: 3 }])
		expect(problems[0]?.found).toContain('`color` of a paint is now `colour`')
	})

	test('a problem in what was moved still knows its line', () => {
		const text = changed('"#f3e9cf"', '"cream"', OLD)
		const problem = loadJob(text).problems.find(({ code }) => code === 'BAD_NAME')
		expect(problem).toMatchObject({ path: '/paints/1/colour', line: lineOf(text, '"cream", "name"') })
		expect(problem?.column).toBe(text.split('\n')[problem!.line! - 1]!.lastIndexOf('"cream"') + 1)
	})

	test('nothing is lost: a key in the way stays and is named, unknown keys are refused', () => {
		const both = loadJob(changed('"color": "#1f6b4f"', '"color": "#1f6b4f", "colour": "#000000"', OLD))
		expect(both.value).toBeUndefined()
		expect(both.problems.map(({ code, path }) => `${code} ${path}`)).toContain('UNKNOWN_KEY /paints/0/color')
		const unknown = loadJob(changed('"hand": "centre"', '"hand": "centre", "wheel": 3', OLD))
		expect(unknown.problems.map(({ code, path }) => `${code} ${path}`)).toContain('UNKNOWN_KEY /panels/0/wheel')
	})

	test('an old job of the wrong shape is refused by the check, not by the migration', () => {
		expect(loadJob('{ "format": 0, "paints": 5 }').problems.map(({ path }) => path)).toContain('/paints')
		expect(loadJob('{ "format": 0, "paints": [null, 3] }').problems.map(({ path }) => path)).toContain('/paints/0')
	})
})

test('there is a step from each version to the next', () => {
	expect(JOB_STEPS.map(({ from }) => from)).toEqual(Array.from({ length: FORMAT }, (_, version) => version))
})

test('steps are taken one after another, and a gap between them is no way', () => {
	const steps = [
		{ from: 3, what: 'b to c', apply: (file: object) => ({ file: { ...file, c: 1 }, moved: [['/c', '/b']] as const }) },
		{ from: 2, what: 'a to b', apply: (file: object) => ({ file: { ...file, b: 1 }, moved: [['/b', '/a']] as const }) },
	]
	const migrated = migrate({ a: 1 }, 2, steps, 4)
	expect(migrated?.file).toEqual(Object.assign(Object.create(null), { a: 1, b: 1, c: 1, format: 4 }))
	expect(migrated?.done).toEqual(['a to b', 'b to c'])
	expect(migrated?.moved.get('/c')).toBe('/a')
	expect(migrate({}, 1, steps, 4)).toBeUndefined()
})
