// Keys in the ledger: a walk through rows of two kinds, step by step as a hand would go.
import { expect, test } from 'vitest'
import { goneTo, type Stop } from '../../src/workbench/ledgerKeys.ts'

const GIRTH: readonly Stop[] = ['kind', 'name', 'station', 'reading', 'side', 'remove']
const TAPE: readonly Stop[] = ['kind', 'name', 'to', 'reading', 'remove']
const BLANK: readonly Stop[] = ['kind', 'name', 'to', 'reading']
const rows = [GIRTH, TAPE, BLANK]

/** Keys one after the other, the caret at both ends of what is typed; each stop as "row stop". */
function walk(from: string, ...keys: readonly string[]): readonly (string | undefined)[] {
	let [row, stop] = from.split(' ') as [string, Stop]
	return keys.map((said) => {
		const key = said.replace('Shift+', '')
		const to = goneTo({ key, shift: key !== said, atStart: true, atEnd: true }, { row: Number(row), stop }, rows)
		if (!to) return undefined
		;[row, stop] = [String(to.row), to.stop]
		return `${row} ${stop}`
	})
}

test('Enter goes down its column, and from the last figure of a row to the next mark', () => {
	expect(walk('0 reading', 'Enter', 'Enter')).toEqual(['1 reading', '2 name'])
	expect(walk('0 side', 'Enter')).toEqual(['1 name'])
	// the tape has no station: its first name instead of nowhere
	expect(walk('0 station', 'Enter')).toEqual(['1 name'])
	expect(walk('1 reading', 'Shift+Enter')).toEqual(['0 reading'])
	expect(walk('2 reading', 'Enter')).toEqual([undefined])
})

test('left and right pass what Tab leaves out, and end at the ends of the row', () => {
	expect(walk('0 side', 'ArrowRight', 'ArrowRight')).toEqual(['0 remove', undefined])
	expect(walk('1 name', 'ArrowLeft', 'ArrowLeft')).toEqual(['1 kind', undefined])
	expect(walk('2 reading', 'ArrowRight')).toEqual([undefined])
})

test('within a text the arrows move the caret', () => {
	const inside = { shift: false, atStart: false, atEnd: false }
	expect(goneTo({ key: 'ArrowLeft', ...inside }, { row: 0, stop: 'reading' }, rows)).toBeUndefined()
	expect(goneTo({ key: 'ArrowRight', ...inside }, { row: 0, stop: 'reading' }, rows)).toBeUndefined()
	expect(goneTo({ key: 'ArrowDown', ...inside }, { row: 0, stop: 'reading' }, rows)).toEqual({ row: 1, stop: 'reading' })
})

test('the kind is chosen by up and down, a row is taken away by Enter', () => {
	expect(walk('1 kind', 'ArrowDown', 'ArrowUp')).toEqual([undefined, undefined])
	expect(walk('1 kind', 'Enter')).toEqual(['2 kind'])
	expect(walk('1 remove', 'Enter')).toEqual([undefined])
	expect(walk('1 remove', 'ArrowUp')).toEqual(['0 remove'])
})
