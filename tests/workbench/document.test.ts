import fc from 'fast-check'
import { parse } from 'jsonc-parser'
import { describe, expect, test } from 'vitest'
import { withEntry, withList, withoutEntry, withValue, withWritten, writtenAt } from '../../src/workbench/document.ts'
import { historyOf, redo, stepTo, undo } from '../../src/workbench/history.ts'

const TEXT = `{
	// the job's own remark
	"title": "Guard", /* said twice */
	"panels": [
		{
			"id": "guard",
			"readings": [
				{ "kind": "square", "mark": "a", "girth": "1 13/16 in" }, // read twice
				{ "kind": "square", "mark": "b", "girth": 40 }
			],
			"unknown": { "kept": [1, 2, 3] }
		}
	]
}
`
const remarks = ["// the job's own remark", '/* said twice */', '// read twice']
const readings = ['panels', 0, 'readings'] as const

describe('a text that is edited', () => {
	test('changes in the one value, and keeps remarks, order and all else', () => {
		const text = withValue(TEXT, [...readings, 1, 'girth'], '41,5')
		expect(parse(text)).toEqual({
			...parse(TEXT),
			panels: [
				{ ...parse(TEXT).panels[0], readings: [parse(TEXT).panels[0].readings[0], { kind: 'square', mark: 'b', girth: '41,5' }] },
			],
		})
		for (const remark of remarks) expect(text).toContain(remark)
		expect(text.replace('"41,5"', '40')).toBe(TEXT)
	})

	test('takes entries in and out, also of a list that is not there yet', () => {
		const more = withEntry(TEXT, readings, 1, { kind: 'tape', from: 'a', to: 'b', length: 12 })
		expect(parse(more).panels[0].readings.map((r: { kind: string }) => r.kind)).toEqual(['square', 'tape', 'square'])
		expect(parse(withoutEntry(more, readings, 1))).toEqual(parse(TEXT))
		const fresh = withEntry(TEXT, ['panels', 0, 'checks'], 0, { line: 'x' })
		expect(parse(fresh).panels[0].checks).toEqual([{ line: 'x' }])
		for (const text of [more, fresh]) for (const remark of remarks) expect(text).toContain(remark)
	})

	test('becomes a whole list at once, as a pasted table makes it, and keeps the remarks among and within the entries that change', () => {
		const text = `{
	"proof": [
		// the front end first
		{ "line": "a", "misses": 1, /* by eye */ "towards": "inboard" }, // again tomorrow
		{ "line": "b", "misses": 2 },
		// the last one
		{ "line": "c", "misses": 3 }
	]
}
`
		const before = parse(text).proof
		const after = [{ ...before[0], misses: 4 }, before[1], { ...before[2], misses: '1/8' }, { line: 'd', misses: 0 }]
		const made = withList(text, ['proof'], before, after)
		expect(parse(made).proof).toEqual(after)
		for (const remark of ['// the front end first', '/* by eye */', '// again tomorrow', '// the last one'])
			expect(made).toContain(remark)
		expect(parse(withList(made, ['proof'], after, before)).proof).toEqual(before)
	})

	test('keeps the ends of its lines', () => {
		const text = withEntry(TEXT.replaceAll('\n', '\r\n'), readings, 2, { kind: 'square', mark: 'c', girth: 1 })
		expect(text.replaceAll('\r\n', '')).not.toContain('\n')
	})
})

test('every step can be taken back and done again, whatever was done', () => {
	fc.assert(
		fc.property(
			fc.array(fc.tuple(fc.constantFrom('a', 'b', 'c', 'd'), fc.constantFrom(undefined, 'x', 'y')), { maxLength: 40 }),
			(steps) => {
				const all = [historyOf('start')]
				for (const [text, doing] of steps) all.push(stepTo(all[all.length - 1] as (typeof all)[0], text, doing))
				let at = all[all.length - 1] as (typeof all)[0]
				const seen = [at.now]
				while (at.past.length > 0) {
					at = undo(at)
					seen.push(at.now)
				}
				expect(at.now).toBe('start')
				const forward = [at.now]
				while (at.future.length > 0) {
					at = redo(at)
					forward.push(at.now)
				}
				expect(forward).toEqual(seen.reverse())
				expect(undo(historyOf('start')).now).toBe('start')
			},
		),
		{ seed: 7 },
	)
})

test('typing on in one cell is one step', () => {
	const typed = ['4', '46', '46.', '46.5'].reduce((h, text) => stepTo(h, text, 'cell 3'), historyOf(''))
	expect(undo(typed).now).toBe('')
	expect(undo(stepTo(typed, '47', 'cell 4')).now).toBe('46.5')
})

test('a value is shown as it is written, and other words of the file are put in its place', () => {
	const text = '{\n\t"a": {\n\t\t"b": 1, // one\n\t\t"c": [2]\n\t},\n\t"d": 4\n}\n'
	expect(writtenAt(text, ['a'])).toBe('{\n\t"b": 1, // one\n\t"c": [2]\n}')
	expect(writtenAt(text, ['x'])).toBeUndefined()
	expect(withWritten(text, ['a'], writtenAt(text, ['a'])!)).toBe(text)
	expect(withWritten(text, ['a'], '{\n\t"b": 5,\n}')).toBe('{\n\t"a": {\n\t\t"b": 5,\n\t},\n\t"d": 4\n}\n')
	for (const wrong of ['{ "b": ', '', '1 2', 'b', '{ "b": 1 } }', '"a": 1'])
		expect(withWritten(text, ['a'], wrong), wrong).toBeUndefined()
	expect(withWritten(text, ['x'], '1')).toBeUndefined()
})
