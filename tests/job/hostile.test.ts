/** Files that no person wrote: whatever stands in one, the answer is a job or problems that can be read. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { crossCheck } from '../../src/job/crossCheck.ts'
import { loadJob } from '../../src/job/load.ts'
import { loadShop } from '../../src/job/loadShop.ts'
import { withLines } from '../../src/job/source.ts'
import { GOOD, unreadable } from './jobs.ts'

const PLAIN = JSON.parse(GOOD.replace('// a remark', '').replace(/,(\s*[\]}])/g, '$1'))

/** Every place of a value, as a list of keys. */
function placesOf(value: unknown, here: (string | number)[] = []): (string | number)[][] {
	if (value === null || typeof value !== 'object') return [here]
	const inner = Array.isArray(value) ? value.map((each, index) => [index, each] as const) : Object.entries(value)
	return [here, ...inner.flatMap(([key, each]) => placesOf(each, [...here, key]))]
}

const PLACES = placesOf(PLAIN).filter((place) => place.length > 0)

function replaced(value: unknown, [key, ...rest]: (string | number)[], by: unknown): unknown {
	if (key === undefined) return by
	const copy: Record<string | number, unknown> = Array.isArray(value) ? ([...value] as never) : { ...(value as object) }
	copy[key] = replaced(copy[key], rest, by)
	return copy
}

const strange = fc.oneof(
	fc.jsonValue({ maxDepth: 2 }),
	fc.constantFrom('12;5 mm', '1,5', -1, 0, 1e300, '', 'u1', 'left/u2', 'centre', [], {}, null, true, 'flat', 'constructor'),
	fc.record(
		{ kind: fc.constantFrom('square', 'tape', 'flat', 'toLine', 'x'), mark: fc.constant('u1'), radius: fc.constant(3) },
		{ requiredKeys: [] },
	),
)

function checked(text: string): void {
	const { value, problems } = loadJob(text, 'x.json')
	const all = value ? [...problems, ...withLines(crossCheck(value.job), value.source)] : problems
	expect(unreadable(all).filter((words) => !text.includes('undefined') || !words.includes('undefined'))).toEqual([])
	expect(value !== undefined || all.some(({ severity }) => severity === 'error')).toBe(true)
	for (const { line, column } of all) {
		expect(line).toBeGreaterThan(0)
		expect(line).toBeLessThanOrEqual(text.split('\n').length)
		expect(column).toBeGreaterThan(0)
	}
}

describe('a job with strange things in it', () => {
	test('any value anywhere', () => {
		fc.assert(
			fc.property(fc.array(fc.tuple(fc.constantFrom(...PLACES), strange), { minLength: 1, maxLength: 3 }), (changes) => {
				let job: unknown = PLAIN
				for (const [place, by] of changes) {
					// a place may have gone with an earlier change
					try {
						job = replaced(job, place, by)
					} catch {}
				}
				checked(JSON.stringify(job, null, 1))
			}),
			{ numRuns: 400 },
		)
	})

	test('any key anywhere', () => {
		const keys = fc.oneof(
			fc.constantFrom('__proto__', 'constructor', 'toString', 'hasOwnProperty', 'colour', 'kind', 'a/b~c'),
			fc.string({ maxLength: 8 }),
		)
		fc.assert(
			fc.property(fc.nat(), keys, (at, key) => {
				const opens = [...GOOD.matchAll(/\{ |\{\n/g)]
				const open = opens[at % opens.length]!
				checked(`${GOOD.slice(0, open.index + 1)} ${JSON.stringify(key)}: 1, ${GOOD.slice(open.index + 1)}`)
			}),
			{ numRuns: 300 },
		)
	})

	test('letters taken out, put in, or cut off', () => {
		const bits = fc.constantFrom(
			'"',
			',',
			'{',
			'}',
			'[',
			']',
			':',
			'\n',
			'/*',
			'//',
			'\\',
			'x',
			'-',
			'.5',
			'\u0000',
			'“',
			"'",
			'1,5',
		)
		fc.assert(
			fc.property(fc.nat(GOOD.length), fc.nat(3), fc.option(bits, { nil: '' }), fc.boolean(), (at, gone, put, cut) => {
				checked(GOOD.slice(0, at) + put + (cut ? '' : GOOD.slice(at + gone)))
			}),
			{ numRuns: 600 },
		)
	})
})

test('nothing of a file gets into what all objects share', () => {
	loadJob('{ "format": 1, "__proto__": { "stolen": 1 }, "paints": [{ "__proto__": { "stolen": 1 } }] }')
	loadJob('{ "format": 0, "__proto__": { "stolen": 1 }, "paints": [{ "color": "x", "__proto__": { "stolen": 1 } }] }')
	loadShop('{ "format": 1, "constructor": { "prototype": { "stolen": 1 } } }')
	expect(({} as Record<string, unknown>).stolen).toBeUndefined()
})
