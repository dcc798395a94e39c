import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { editDistance, nearest } from '../../src/job/nearest.ts'

// optimal string alignment: the first two pairs are the usual ones of textbooks (from memory), the others are counted by hand
test.each([
	['kitten', 'sitting', 3],
	['sunday', 'saturday', 3],
	['ca', 'ac', 1],
	['ca', 'abc', 3],
	['', 'abc', 3],
	['colour', 'color', 1],
	['egde', 'edge', 1],
	['same', 'same', 0],
])('%s and %s are %d apart', (a, b, slips) => {
	expect(editDistance(a, b)).toBe(slips)
	expect(editDistance(b, a)).toBe(slips)
})

test('apart by no more than what was changed', () => {
	fc.assert(
		fc.property(
			fc.string({ maxLength: 20 }),
			fc.array(fc.tuple(fc.nat(30), fc.string({ minLength: 1, maxLength: 1 })), { maxLength: 5 }),
			(word, edits) => {
				let other = word
				for (const [at, letter] of edits) other = other.slice(0, at) + letter + other.slice(at + (at % 2))
				expect(editDistance(word, other)).toBeLessThanOrEqual(edits.length * 1)
			},
		),
	)
})

describe('nearest', () => {
	const keys = ['colour', 'name', 'stripes', 'strips', 'width']
	test.each([
		['color', 'colour'],
		['Colour', 'colour'],
		['nmae', 'name'],
		['with', 'width'],
		['stripe', 'stripes'],
		['colour-of-paint', 'colour'],
		['wheel', undefined],
		['', undefined],
		['n', undefined],
	])('%s -> %s', (name, near) => {
		expect(nearest(name, keys)).toBe(near)
	})
	test('names of two letters are all alike: none is suggested', () => {
		expect(nearest('u3', ['u1', 'u2'])).toBeUndefined()
		expect(nearest('U1', ['u1', 'u2'])).toBe('u1')
	})
	test('a very long name costs nothing', () => {
		expect(nearest('x'.repeat(1e6), keys)).toBeUndefined()
	})
})
