import { describe, expect, test } from 'vitest'
import { knownNames, marksForEdge, nameFrom, throughOf, withThrough } from '../../src/workbench/marksOf.ts'

const PANEL = {
	hand: 'centre',
	datums: [{ id: 'bolt', station: 0 }],
	readings: [
		{ kind: 'square', mark: 'u1', station: 10, girth: 40, side: 'left' },
		{ kind: 'square', mark: 'u1', station: 10, girth: 41, side: 'right' },
		{ kind: 'square', mark: 'u2', station: 60, girth: 44, side: 'left' },
		{ kind: 'square', mark: 'w1', station: 20, girth: 80, side: 'left' },
		{ kind: 'square', mark: 'w2', station: 70, girth: 84, side: 'left' },
		{ kind: 'tape', from: 'bolt', to: 'left/u1', length: 42 },
	],
	edges: [{ id: 'upper', through: ['u1', { mark: 'left/u2', corner: true }] }],
}

test('an edge can be named through marks, one side of those read on both, and datums', () => {
	expect(knownNames(PANEL)).toEqual(['u1', 'u2', 'w1', 'w2', 'left/u1', 'right/u1', 'bolt'])
})

test('a new edge begins with the marks that no other goes through', () => {
	expect(marksForEdge(PANEL)).toEqual(['w1', 'w2'])
	expect(marksForEdge({ ...PANEL, edges: [] })).toEqual(['u1', 'u2', 'w1', 'w2'])
	expect(marksForEdge({ ...PANEL, edges: [{ through: ['w1'] }, ...PANEL.edges] })).toEqual(['u1', 'u2', 'w1', 'w2'])
})

describe('a mark of an edge', () => {
	test.each<[string, unknown, Parameters<typeof withThrough>[1], unknown]>([
		['becomes a corner', 'u1', { how: 'corner' }, { mark: 'u1', corner: true }],
		['is a name alone again', { mark: 'u1', corner: true }, { how: 'smooth' }, 'u1'],
		[
			'is pulled to, within a tolerance',
			{ mark: 'u1', tolerance: 0.3 },
			{ how: 'pulled' },
			{ mark: 'u1', by: 'pulled', tolerance: 0.3 },
		],
		['loses its tolerance', { mark: 'u1', tolerance: 0.3 }, { tolerance: undefined }, 'u1'],
		['keeps what stands there besides', { mark: 'u1', remark: 'faint' }, { mark: 'u2' }, { mark: 'u2', remark: 'faint' }],
		[
			'keeps what was said though it need not be',
			{ mark: 'u1', by: 'smooth' },
			{ how: 'corner' },
			{ mark: 'u1', by: 'smooth', corner: true },
		],
	])('%s', (_, entry, change, made) => {
		const answer = withThrough(entry, change)
		expect(answer).toEqual(made)
		expect(throughOf(answer)).toEqual({ ...throughOf(entry), ...change })
	})
})

test('names are made of words, and are not taken twice', () => {
	expect(nameFrom('Hintere Schraube, größer', [], 'x')).toBe('hintere-schraube-gro-er')
	expect(nameFrom('3. Öse', [], 'x')).toBe('ose')
	expect(nameFrom('—', [], 'panel')).toBe('panel')
	expect(nameFrom('Stripe', ['stripe', 'stripe-2'], 'x')).toBe('stripe-3')
})
