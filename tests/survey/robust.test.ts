import fc from 'fast-check'
import { expect, test } from 'vitest'
import { locate } from './bench.ts'

const corners = { a: { s: 0, g: 0 }, b: { s: 400, g: 0 }, c: { s: 0, g: 300 }, d: { s: 400, g: 300 } }
const datums = Object.entries(corners).map(([id, { s, g }]) => ({
	id,
	station: s,
	girth: g,
	...(g > 0 ? { side: 'above' } : {}),
}))
const spot = fc.record({ s: fc.integer({ min: 40, max: 360 }), g: fc.integer({ min: 40, max: 260 }) })

/** The truth is known: what is found without the slip must be found with it. */
test('one slip of 100 mm, in whatever reading, carries no mark away: it is set aside and the rest stand where they are', () => {
	fc.assert(
		fc.property(
			fc.array(spot, { minLength: 2, maxLength: 4 }),
			fc.nat(),
			fc.constantFrom(-100, 100, 80, -60, 200),
			(spots, which, slip) => {
				const readings = spots.flatMap((p, i) => [
					{ kind: 'square', mark: `m${i}`, station: p.s, girth: p.g, side: 'above', squared: 't-strip' },
					...Object.entries(corners).map(([from, q]) => ({
						...{ kind: 'tape', from, to: `m${i}`, length: Math.hypot(p.s - q.s, p.g - q.g) },
					})),
				])
				const at = which % readings.length
				const wrong = readings.map((r, i) => {
					if (i !== at) return r
					if (!('length' in r)) return { ...r, station: (r as { station: number }).station + slip }
					return { ...r, length: Math.max(1, r.length + slip) }
				})
				const { survey } = locate({ datums, readings: wrong })
				const aside = survey.readings.filter((r) => r.setAside)
				expect(aside.map((r) => r.index)).toEqual([at])
				spots.forEach((p, i) => {
					const mark = survey.marks[`m${i}`]!
					expect(Math.hypot(mark.at.s - p.s, mark.at.g - p.g)).toBeLessThan(1e-4)
				})
			},
		),
		{ numRuns: 60 },
	)
})

test('three tapes of which one is 100 mm wrong still place their mark, and say that one of them is', () => {
	const truth = { s: 150, g: 120 }
	const length = (from: keyof typeof corners) => Math.hypot(truth.s - corners[from].s, truth.g - corners[from].g)
	const { survey, problems } = locate({
		datums,
		readings: [
			{ kind: 'tape', from: 'a', to: 'u', length: length('a') },
			{ kind: 'tape', from: 'b', to: 'u', length: length('b') },
			{ kind: 'tape', from: 'c', to: 'u', length: length('c') + 100 },
		],
	})
	expect(problems.map((p) => p.code)).toEqual(['READINGS_CONTRADICT'])
	expect(problems[0]!.fix).toContain('One of these')
	expect(survey.marks.u).toMatchObject({ inDoubt: true })
})
