import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { swapped } from '../../src/survey/slips.ts'
import { locate } from './bench.ts'

const corners = { a: { s: 0, g: 0 }, b: { s: 400, g: 0 }, c: { s: 0, g: 300 }, d: { s: 400, g: 300 } }
type Corner = keyof typeof corners
const datums = Object.entries(corners).map(([id, { s, g }]) => ({
	id,
	station: s,
	girth: g,
	...(g > 0 ? { side: 'above' } : {}),
}))
const truth = { u1: { s: 131, g: 168 }, u2: { s: 262, g: 121 } }
const apart = (p: { s: number; g: number }, q: { s: number; g: number }) => Math.hypot(p.s - q.s, p.g - q.g)

/** Two marks taped from four corners and squared, one number of them put wrong. */
function read(wrong: { tape?: [Corner, 'u1' | 'u2', (length: number) => number]; square?: object }, unit: 'mm' | 'in' = 'mm') {
	const scale = unit === 'mm' ? 1 : 25.4
	const readings = (['u1', 'u2'] as const).flatMap((mark) => [
		...(Object.keys(corners) as Corner[]).map((from) => {
			const length = apart(corners[from], truth[mark])
			const [end, to, slip] = wrong.tape ?? []
			return { kind: 'tape', from, to: mark, length: (from === end && mark === to ? slip!(length) : length) / scale }
		}),
		{
			...{
				kind: 'square',
				mark,
				station: truth[mark].s / scale,
				girth: truth[mark].g / scale,
				side: 'above',
				squared: 't-strip',
			},
			...(mark === 'u1' ? wrong.square : {}),
		},
	])
	const inUnit = datums.map((d) => ({ ...d, station: d.station / scale, girth: d.girth / scale }))
	const { survey, problems } = locate({ datums: inUnit, readings, unit })
	return { problems, aside: survey.readings.filter((r) => r.setAside) }
}

describe('usual slips', () => {
	test('figures that changed places', () => {
		expect(swapped(180, 'mm')).toEqual([810, 108])
		expect(swapped(46.5, 'mm')).toEqual([64.5, 45.6])
		expect(swapped(100, 'mm')).toEqual([])
		expect(swapped(18.25 * 25.4, 'in')).toEqual([81.25 * 25.4])
		const right = Math.round(apart(corners.c, truth.u1))
		expect(right).toBe(186)
		const { problems, aside } = read({ tape: ['c', 'u1', () => 168] })
		expect(problems).toMatchObject([{ code: 'READINGS_CONTRADICT', path: '/panels/0/readings/2' }])
		expect(problems[0]!.fix).toContain('Two figures may have changed places: 186.0 mm would fit.')
		expect(aside).toMatchObject([{ slip: { kind: 'figures', value: 186 } }])
		expect(aside[0]!.likely).toBeCloseTo(apart(corners.c, truth.u1), 6)
	})

	test('a tape that begins at its 100 mm mark, a line of 10 mm missed', () => {
		const begun = read({ tape: ['b', 'u2', (length) => length + 100] })
		expect(begun.aside).toMatchObject([{ slip: { kind: 'start' } }])
		expect(begun.aside[0]!.slip!.value).toBeCloseTo(apart(corners.b, truth.u2), 6)
		expect(begun.problems[0]!.fix).toContain('begun at its 100.0 mm mark')
		expect(read({ tape: ['d', 'u1', (length) => length - 10] }).aside).toMatchObject([{ slip: { kind: 'count' } }])
	})

	test('a hook that was not seated: 1 to 2 mm too much or too little, and no more than that', () => {
		for (const by of [2.2, -2.2]) {
			const { problems, aside } = read({ tape: ['b', 'u1', (length) => length + by] })
			expect(aside).toMatchObject([{ slip: { kind: 'hook' } }])
			expect(aside[0]!.slip!.value).toBeCloseTo(apart(corners.b, truth.u1) + by - Math.sign(by) * 1.5, 6)
			expect(problems[0]!.fix).toContain('The hook of the tape may not have been seated')
		}
		expect(read({ tape: ['b', 'u1', (length) => length + 4] }).aside[0]!.slip?.kind).not.toBe('hook')
	})

	test('inches for millimetres and centimetres for millimetres', () => {
		expect(read({ tape: ['a', 'u1', (length) => length / 25.4] }).aside).toMatchObject([{ slip: { kind: 'unit' } }])
		expect(read({ tape: ['a', 'u1', (length) => length / 10] }).aside).toMatchObject([{ slip: { kind: 'unit' } }])
	})

	test('in an inch job a line of half an inch', () => {
		const { aside, problems } = read({ tape: ['d', 'u2', (length) => length - 12.7] }, 'in')
		expect(aside).toMatchObject([{ slip: { kind: 'count' } }])
		expect(problems[0]!.fix).toContain('A line of 12.7 mm may have been missed')
	})

	test('below for above', () => {
		const { problems, aside } = read({ square: { side: 'below' } })
		expect(problems).toHaveLength(1)
		expect(aside).toMatchObject([{ what: 'girth', slip: { kind: 'side' } }])
		expect(problems[0]!.fix).toContain('It may have been 168.0 mm above, not below.')
	})

	test('a tape that was taken from another datum than the one named', () => {
		const { problems, aside } = read({ tape: ['a', 'u1', () => apart(corners.d, truth.u1)] })
		expect(aside).toMatchObject([{ slip: { kind: 'from' } }])
		expect(problems[0]!.fix).toContain('It fits d in place of a')
	})

	test('two rows changed about', () => {
		const tape = (from: Corner, mark: 'u1' | 'u2', as: Corner = from, of: 'u1' | 'u2' = mark) => ({
			...{ kind: 'tape', from, to: mark, length: apart(corners[as], truth[of]) },
		})
		const { survey, problems } = locate({
			datums,
			readings: [
				...(['a', 'c', 'd'] as const).flatMap((from) => [tape(from, 'u1'), tape(from, 'u2')]),
				...(['u1', 'u2'] as const).map((mark) => ({
					...{ kind: 'square', mark, station: truth[mark].s, girth: truth[mark].g, side: 'above' },
				})),
				tape('b', 'u1', 'b', 'u2'),
				tape('b', 'u2', 'b', 'u1'),
			],
		})
		const aside = survey.readings.filter((r) => r.setAside)
		expect(aside.map((r) => [r.index, r.slip?.kind])).toEqual([
			[8, 'rows'],
			[9, 'rows'],
		])
		expect(problems[0]!.fix).toContain('two rows may have been changed about')
	})

	test('an error that is no usual slip is not explained', () => {
		const { problems, aside } = read({ tape: ['d', 'u1', (length) => length + 33] })
		expect(aside).toHaveLength(1)
		expect(aside[0]!.slip).toBeUndefined()
		expect(problems[0]!.fix).toMatch(/^Measure it again/)
	})

	/** Of two slips that bring a reading near the same number either may be said: what is said must fit. */
	test('what is said of a slip always brings the reading to within 3 sd of what the others say', () => {
		fc.assert(
			fc.property(fc.constantFrom(...(Object.keys(corners) as Corner[])), fc.integer({ min: -150, max: 150 }), (from, by) => {
				fc.pre(Math.abs(by) > 8)
				const { aside } = read({ tape: [from, 'u1', (length) => length + by] })
				for (const { slip, likely, sd, redundancy } of aside) {
					if (!slip || slip.kind === 'from') continue
					expect(Math.abs(slip.value - likely!)).toBeLessThanOrEqual((3 * sd) / Math.sqrt(redundancy) + 1e-6)
				}
			}),
			{ numRuns: 40 },
		)
	})
})
