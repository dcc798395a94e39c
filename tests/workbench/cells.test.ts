import { describe, expect, test } from 'vitest'
import { type Cell, readCell, shownOf, typedLengths, unshownKeys, valueAt } from '../../src/workbench/cells.ts'

const length = (more: object = {}): Cell => ({ key: 'station', says: 'Station', kind: 'length', ...more })

describe('a cell is read', () => {
	test.each<[string, Cell, string, unknown]>([
		['a plain figure as a number', length(), '46.5', 46.5],
		['a decimal comma', length(), '46,5', 46.5],
		['a fraction as it was typed', length(), ' 1 13/16 in ', '1 13/16 in'],
		['nothing, where nothing need be said', length(), ' ', undefined],
		['words as they are', { key: 'what', says: 'What', kind: 'words' }, 'the filler ', 'the filler '],
		['one side of a mark', { key: 'mark', says: 'Mark', kind: 'name' }, 'left/u3', 'left/u3'],
		['an angle', { key: 'angleDeg', says: 'Rake', kind: 'figure' }, '60,5', 60.5],
	])('%s', (_, cell, text, value) => {
		expect(readCell(cell, text, 'mm')).toEqual({ value })
	})

	test.each<[string, Cell, string]>([
		['half a fraction', length(), '1 13/'],
		['nothing, where something must be', length({ must: true }), ''],
		['a width of nothing', length({ sign: 'positive' }), '0'],
		['a girth below 0', length({ sign: 'not-negative' }), '-2'],
		['a name with a space in it', { key: 'id', says: 'Name', kind: 'name' }, 'front bolt'],
		['an angle in words', { key: 'angleDeg', says: 'Rake', kind: 'figure' }, 'steep'],
	])('not %s', (_, cell, text) => {
		expect(readCell(cell, text, 'mm')).toHaveProperty('why')
	})
})

test('several lengths stand in one cell, and come out of it as they went in', () => {
	expect(typedLengths('0 60 120,5', 'mm')).toEqual({ value: [0, 60, 120.5] })
	expect(typedLengths('1 1/2; 3; 4 in', 'in')).toEqual({ value: ['1 1/2', 3, '4 in'] })
	expect(typedLengths('0 6o', 'mm')).toHaveProperty('why')
	const cell: Cell = { key: 'stations', says: 'Stations', kind: 'lengths' }
	expect(typedLengths(shownOf(cell, ['1 1/2', 3]), 'in')).toEqual({ value: ['1 1/2', 3] })
})

test('values lie at keys and below them; what no cell stands for is known', () => {
	const found = { kind: 'revolved', crown: { chord: 240 }, note: 'bent' }
	expect(valueAt(found, ['crown', 'chord'])).toBe(240)
	expect(valueAt(found, ['profile', 'radius'])).toBeUndefined()
	expect(valueAt([12, 30], 1)).toBe(30)
	expect(unshownKeys(found, ['kind', ['crown', 'chord']])).toEqual(['note'])
})
