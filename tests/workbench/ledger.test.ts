import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type Job, jobSchema } from '../../src/job/schema.ts'
import { type Cells, EMPTY, entryOf, KINDS, pastedRows, rowOf, withPasted } from '../../src/workbench/ledger.ts'

const READINGS = [
	{ kind: 'square', mark: 'a', station: 10, girth: '1 13/16', side: 'left' },
	{ kind: 'square', mark: 'b', station: -4.5, girth: 0 },
	{ kind: 'tape', from: 'left/a', to: 'b', length: '46.5 mm' },
	{ kind: 'straight', from: 'a', to: 'b', length: 3 },
	{ kind: 'width', from: 'a', to: 'b', length: 3 },
	{ kind: 'gap', from: 'a', to: 'b', length: 3 },
	{ kind: 'toLine', mark: 'a', line: ['b', 'c'], distance: 3 },
	{ kind: 'crossing', edge: 'upper', station: 3, girth: 4, side: 'right' },
	{ kind: 'between', lines: ['upper', 'lower'], width: 25 },
	{ kind: 'between', lines: ['upper', 'lower'], width: 25, station: 40, side: 'left' },
]

describe('a row of the ledger', () => {
	test('stands for its entry, whatever the kind', () => {
		for (const reading of READINGS) {
			const answer = entryOf(rowOf(reading), 'in')
			expect(answer).toMatchObject({ entry: reading })
			if ('entry' in answer) expect(Object.keys(answer.entry).sort()).toEqual(Object.keys(reading).sort())
		}
		expect(new Set(READINGS.map(({ kind }) => kind)).size).toBe(KINDS.length)
	})

	test('whole is what the job file takes', () => {
		const read = (readings: readonly object[]): Job =>
			jobSchema('in').parse({
				...{ format: 1, title: 't', unit: 'in', paints: [] },
				panels: [{ id: 'p', hand: 'centre', found: { kind: 'flat' }, readings }],
			})
		const entries = READINGS.map((reading) => entryOf(rowOf(reading), 'in')).flatMap((a) => ('entry' in a ? [a.entry] : []))
		expect(read(entries)).toEqual(read(READINGS))
	})

	test('half typed says what is missing, and is no entry', () => {
		expect(entryOf({ ...EMPTY, name: 'a', station: '10' }, 'mm')).toEqual({ wrong: { reading: 'girth is missing' } })
		for (const reading of ['1 5/', '35.', '35,']) {
			expect(entryOf({ ...EMPTY, name: 'a', station: '10', reading }, 'mm')).toHaveProperty('wrong.reading')
		}
		expect(entryOf({ ...EMPTY, name: 'A!', station: '10', reading: '1' }, 'mm')).toHaveProperty('wrong.name')
		expect(entryOf({ ...EMPTY, name: 'a', station: '10', reading: '1', side: 'port' }, 'mm')).toHaveProperty('wrong.side')
		expect(entryOf({ ...EMPTY, kind: 'toLine', name: 'a', to: 'b', reading: '1' }, 'mm')).toHaveProperty('wrong.to')
	})

	test('with a decimal comma is the number, and says so', () => {
		const answer = entryOf({ ...EMPTY, name: 'a', station: '10', reading: '46,5', side: 'l' }, 'mm')
		expect(answer).toEqual({
			entry: { kind: 'square', mark: 'a', station: 10, girth: 46.5, side: 'left' },
			notes: ['"46,5" was read as 46.5'],
		})
	})

	test('of any text is an entry or says why not', () => {
		fc.assert(
			fc.property(
				fc.record({
					kind: fc.constantFrom(...KINDS.map(({ kind }) => kind)),
					name: fc.string(),
					to: fc.string(),
					station: fc.string(),
					reading: fc.string(),
					side: fc.string(),
				}),
				(cells) => {
					const answer = entryOf(cells, 'mm')
					if ('entry' in answer) expect(JSON.stringify(answer.entry)).not.toMatch(/NaN|null|Infinity/)
					else expect(Object.keys(answer.wrong).length).toBeGreaterThan(0)
				},
			),
			{ seed: 11 },
		)
	})
})

describe('a pasted table', () => {
	const row = (over: Partial<Cells>): Cells => ({ ...EMPTY, ...over })

	test('is told by its tabs, semicolons or commas; a decimal comma parts nothing', () => {
		expect(pastedRows('a\t\t10\t46,5\tleft\r\nb\t\t20\t47\tright\r\n')).toEqual([
			['a', '', '10', '46,5', 'left'],
			['b', '', '20', '47', 'right'],
		])
		expect(pastedRows('a;10\n"b";20')).toEqual([
			['a', '10'],
			['b', '20'],
		])
		expect(pastedRows('46,5\n47,5')).toEqual([['46,5'], ['47,5']])
		expect(pastedRows('a,,10\nb,,20')).toEqual([
			['a', '', '10'],
			['b', '', '20'],
		])
	})

	test('fills from the cell on, and goes on in new rows of the likely kind', () => {
		const rows = [row({ name: 'a', station: '1', reading: '2' })]
		expect(withPasted(rows, 0, 'reading', [['5'], ['6']]).map(({ reading }) => reading)).toEqual(['5', '6'])
		const made = withPasted(rows, 1, 'name', [
			['b', '', '10', '40', 'left'],
			['b', 'c', '', '12'],
		])
		expect(made.map(({ kind }) => kind)).toEqual(['square', 'square', 'tape'])
		expect(made[0]).toEqual(rows[0])
	})
})
