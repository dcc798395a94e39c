import { describe, expect, test } from 'vitest'
import { fromPointer, toPointer } from '../../src/job/pointer.ts'
import type { Problem } from '../../src/job/problem.ts'
import { problemAt, readSource, withLines } from '../../src/job/source.ts'

const TEXT = `{
  // remark
  "panels": [
    { "id": "tank" }, { "id": "guard",
      "a/b": [10, 20] }
  ]
}`
const source = readSource(TEXT, 'x.jsonc').value!
const at = (path: string): Problem => ({ code: 'X', severity: 'error', path, found: 'this', expected: 'that', fix: 'Do it.' })

describe('line and column of a path', () => {
	test.each([
		['', 1, 1],
		['/panels', 3, 13],
		['/panels/0', 4, 5],
		['/panels/1/id', 4, 31],
		['/panels/1/a~1b/1', 5, 19],
		// what is not there: the nearest place around it
		['/panels/1/hand', 4, 23],
		['/panels/7/readings/3', 3, 13],
		['/paints/0', 1, 1],
	])('%s is line %d, column %d', (path, line, column) => {
		expect(problemAt(source, at(path))).toEqual({ ...at(path), file: 'x.jsonc', line, column })
	})

	test('a problem that has its line already keeps it', () => {
		expect(withLines([{ ...at('/panels'), line: 9 }, at('/panels')], source).map(({ line }) => line)).toEqual([9, 3])
	})
})

// RFC 6901, section 5: the examples with escapes
test.each([
	[['a/b'], '/a~1b'],
	[['m~n'], '/m~0n'],
	[['foo', '0'], '/foo/0'],
	[[''], '/'],
	[[], ''],
])('pointer of %j is %j', (path, pointer) => {
	expect(toPointer(path)).toBe(pointer)
	expect(fromPointer(pointer)).toEqual(path)
})
