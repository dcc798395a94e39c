import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { readingSchema } from '../../src/job/readingSchema.ts'
import { withList } from '../../src/workbench/document.ts'
import {
	type Drafts,
	draftsIn,
	type Ledger,
	NO_DRAFTS,
	rowsOf,
	withoutRow,
	withPaste,
	withTyped,
} from '../../src/workbench/drafts.ts'
import { COLUMNS, EMPTY, entryOf, KINDS } from '../../src/workbench/ledger.ts'

const girth = (mark: string, value: number | string) => ({ kind: 'square', mark, station: 10, girth: value, side: 'left' })
const of = (...readings: object[]): Ledger => ({ readings: readings as Ledger['readings'], drafts: NO_DRAFTS })
const shown = (ledger: Ledger) => rowsOf(ledger).map(({ cells, draft }) => `${cells.name}:${cells.reading}${draft ? '?' : ''}`)

describe('a table pasted with a row that is no reading', () => {
	test('at its head: the row waits in its place, and no reading is lost or hidden', () => {
		const made = withPaste(of(), 'mm', 0, 'name', [
			['Mark', '', 'Station', 'Girth', 'Side'],
			['a', '', '10', '40', 'left'],
			['b', '', '20', '41', 'left'],
		])
		expect(made.readings).toEqual([])
		expect(shown(made)).toEqual(['Mark:Girth?', 'a:40?', 'b:41?', ':'])
		const { drafts, entry } = withoutRow(made, 0)
		expect(entry).toBeUndefined()
		// the next key anywhere among them lets them in
		const next = withTyped({ ...made, drafts }, 'mm', 0, 'reading', '40.5')
		expect(next.readings.map(({ mark, girth: g }) => [mark, g])).toEqual([
			['a', 40.5],
			['b', 41],
		])
		expect(next.drafts).toEqual(NO_DRAFTS)
	})

	test('over readings that are there: those stay as they were, marked as being mended', () => {
		const before = of(girth('a', 40), girth('b', 41))
		const made = withPaste(before, 'mm', 0, 'reading', [['forty'], ['42']])
		expect(made.readings).toEqual([girth('a', 40), girth('b', 42)])
		expect(shown(made)).toEqual(['a:forty?', 'b:42', ':'])
	})
})

test('a draft of a reading counts no more when another stands in its place', () => {
	const typed = withTyped(of(girth('a', 40), girth('b', 41)), 'mm', 0, 'reading', '4x')
	expect(shown(typed)[0]).toBe('a:4x?')
	expect(shown({ ...typed, readings: [girth('c', 50), girth('b', 41)] })[0]).toBe('c:50')
})

test('figures on the way to one that cannot be read leave what stood there before', () => {
	const start = girth('a', '1 1/2')
	let ledger = of(start)
	for (const text of ['3', '3 ', '3 1', '3 1/']) ledger = withTyped(ledger, 'in', 0, 'reading', text, start)
	expect(ledger.readings).toEqual([start])
	expect(shown(ledger)[0]).toBe('a:3 1/?')
	expect(withTyped(ledger, 'in', 0, 'reading', '3 1/4', start).readings[0]).toEqual(girth('a', '3 1/4'))
})

test('what no cell shows stays with a row while its kind does, and what another kind does not know goes', () => {
	const noted = { kind: 'tape', from: 'a', to: 'b', length: 12, pull: 'tight', with: 'steel-rule', note: 'twice' }
	expect(withTyped(of(noted), 'mm', 0, 'reading', '13').readings[0]).toEqual({ ...noted, length: 13 })
	const other = withTyped(of(noted), 'mm', 0, 'kind', 'gap').readings[0]
	expect(other).toEqual({ kind: 'gap', from: 'a', to: 'b', length: 12, with: 'steel-rule', note: 'twice' })
})

test('whatever is typed, what reaches the file is a reading that a job can hold', () => {
	const schema = readingSchema('in')
	const cell = fc.oneof(
		fc.constantFrom(
			'',
			'a',
			'left/u',
			'front rear',
			'0',
			'-5',
			'12',
			'1 13/16',
			'46,5',
			'3 1/',
			'35.',
			'left',
			'above',
			'x y z',
			'A!',
		),
		fc.string({ maxLength: 6 }),
	)
	fc.assert(
		fc.property(
			fc.array(fc.tuple(fc.nat(4), fc.constantFrom(...COLUMNS), cell, fc.constantFrom(...KINDS.map(({ kind }) => kind))), {
				maxLength: 30,
			}),
			(keys) => {
				let ledger = of({ kind: 'tape', from: 'a', to: 'b', length: 12, pull: 'tight' })
				for (const [at, column, text, kind] of keys) ledger = withTyped(ledger, 'in', at, column, column === 'kind' ? kind : text)
				for (const entry of ledger.readings) expect(schema.safeParse(entry).error?.issues ?? []).toEqual([])
				// and each row is whole or says what it lacks
				for (const { cells, draft } of rowsOf(ledger).slice(0, -1))
					if (!draft) expect(entryOf(cells, 'in')).toHaveProperty('entry')
			},
		),
		{ seed: 3, numRuns: 400 },
	)
})

test('a list is written with the remarks about entries that stay', () => {
	const text = '{\n\t"r": [\n\t\t1, // one\n\t\t2, // two\n\t\t3 // three\n\t]\n}\n'
	const made = withList(text, ['r'], [1, 2, 3], [1, 5, 3, 4])
	expect(made).toContain('1, // one')
	expect(made).toContain('// two')
	expect(JSON.parse(made.replace(/\/\/.*/g, ''))).toEqual({ r: [1, 5, 3, 4] })
	expect(JSON.parse(withList(text, ['r'], [1, 2, 3], [1]).replace(/\/\/.*/g, ''))).toEqual({ r: [1] })
})

test('half-typed rows of a job that is in another unit now say the one they were typed in', () => {
	const row = (station: string, reading: string) => ({ ...EMPTY, name: 'm', station, reading })
	const drafts: Drafts = { mended: { 3: { of: 'x', cells: row('3 1/', '2 cm') } }, fresh: [row('', '46.5'), row("1'", '-')] }
	const inches = draftsIn(drafts, 'mm', 'in')
	expect(inches.mended[3]!.cells).toEqual(row('3 1/ mm', '2 cm'))
	expect(inches.fresh).toEqual([row('', '46.5 mm'), row("1'", '-')])
	expect(draftsIn(drafts, 'mm', 'mm')).toBe(drafts)
})
