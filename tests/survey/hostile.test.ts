import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Panel } from '../../src/job/schema.ts'
import { locateMarks } from '../../src/survey/locate.ts'
import { flatChart, instruments, locate, panelOf, raised } from './bench.ts'
import { normal, random } from './simulate.ts'

const datums = [
	{ id: 'a', station: 0, girth: 0 },
	{ id: 'b', station: 400, girth: 0 },
	{ id: 'c', station: 0, girth: 300, side: 'above' },
]
const settle = (panel: Panel) => {
	const { value, problems } = locateMarks({ chart: flatChart({ gMin: () => 0 }), panel, panelPath: '/panels/0', instruments })
	raised.push(...problems)
	return { survey: value!, problems }
}
const finite = (survey: ReturnType<typeof settle>['survey']) => {
	for (const { at, sd } of Object.values(survey.marks)) expect([at.s, at.g, sd.s, sd.g].every(Number.isFinite)).toBe(true)
	for (const r of survey.readings) expect([r.value, r.fitted, r.residual, r.redundancy].every(Number.isFinite)).toBe(true)
}

describe('what no job that loads has, but a program may hand over', () => {
	const panel = panelOf({
		datums,
		readings: [
			{ kind: 'square', mark: 'u', station: 120, girth: 90, side: 'above', squared: 't-strip' },
			{ kind: 'tape', from: 'a', to: 'u', length: 150 },
			{ kind: 'tape', from: 'b', to: 'u', length: Math.hypot(280, 90) },
		],
	})
	const changed = (index: number, by: object): Panel => ({
		...panel,
		readings: panel.readings.map((r, i) => (i === index ? ({ ...r, ...by } as Panel['readings'][number]) : r)),
	})

	test('an sd of nothing, below nothing, or no number: named, and the usual one counts', () => {
		for (const sd of [0, -1, Number.NaN, Number.POSITIVE_INFINITY]) {
			const { survey, problems } = settle(changed(1, { sd }))
			expect(problems).toMatchObject([{ code: 'SD_WRONG', path: '/panels/0/readings/1/sd' }])
			expect(survey.readings.find((r) => r.index === 1)?.sd).toBe(0.5)
			finite(survey)
		}
	})

	test('a reading that is no number: named and left out, the rest stands', () => {
		for (const [index, by, what] of [
			[1, { length: Number.NaN }, 'length'],
			[0, { station: Number.POSITIVE_INFINITY }, 'station'],
			[0, { girth: Number.NaN }, 'girth'],
		] as const) {
			const { survey, problems } = settle(changed(index, by))
			expect(problems.filter((p) => p.code === 'READING_NO_NUMBER')).toMatchObject([
				{ path: `/panels/0/readings/${index}/${what}` },
			])
			expect(survey.readings.some((r) => r.index === index)).toBe(false)
			expect(survey.readings.length).toBeGreaterThan(1)
			finite(survey)
		}
	})
})

describe('readings that cannot hold together', () => {
	test('numbers drawn at random: every mark that has a place has one, each reading its figures, and it is said', () => {
		const length = fc.integer({ min: 1, max: 900 })
		fc.assert(
			fc.property(
				fc.array(length, { minLength: 6, maxLength: 14 }),
				fc.array(length, { minLength: 4, maxLength: 8 }),
				(tapes, squares) => {
					const names = ['a', 'b', 'c', 'm0', 'm1', 'm2']
					const { survey, problems } = locate({
						datums,
						readings: [
							...[0, 1].map((i) => ({
								...{ kind: 'square', mark: `m${i}`, station: squares[2 * i], girth: squares[2 * i + 1], side: 'above' },
							})),
							...tapes
								.map((l, i) => ({ kind: 'tape', from: names[i % 5], to: names[3 + ((i * 7 + 1) % 3)], length: l }))
								.filter((r) => r.from !== r.to),
						],
					})
					finite(survey)
					for (const key of ['m0', 'm1']) expect(survey.marks[key]).toBeDefined()
					if (survey.closure.verdict === 'worse') expect(problems.length).toBeGreaterThan(0)
				},
			),
			{ numRuns: 60 },
		)
	})

	test('the same reading a hundred times is one that is well known', () => {
		const { survey, problems } = locate({
			datums,
			readings: Array.from({ length: 100 }, () => ({
				kind: 'square',
				mark: 'u',
				station: 50,
				girth: 60,
				side: 'above',
				squared: 't-strip',
			})),
		})
		expect(problems).toEqual([])
		expect(survey.marks.u!.sd.g).toBeCloseTo(0.05, 9)
	})
})

test('ten thousand readings of two and a half thousand marks: all are used, and slips in them are named', () => {
	const marks = 2500
	const next = normal(5)
	const pick = random(6)
	const at = (i: number) => ({ s: 20 * (i % 250), g: 25 * Math.floor(i / 250) + 10 * pick() + 20 })
	const places = Array.from({ length: marks }, (_, i) => at(i))
	const readings: object[] = places.map(({ s, g }, i) => ({
		...{ kind: 'square', mark: `m${i}`, station: s + 0.5 * next(), girth: g + 0.5 * next(), side: 'above', squared: 't-strip' },
	}))
	for (const by of [1, 250, 251]) {
		for (let i = 0; i + by < marks; i++) {
			const [p, q] = [places[i]!, places[i + by]!]
			readings.push({ kind: 'tape', from: `m${i}`, to: `m${i + by}`, length: Math.hypot(p.s - q.s, p.g - q.g) + 0.5 * next() })
		}
	}
	const slip = readings[4000] as { length: number }
	slip.length += 60
	const { survey, problems } = locate({ datums, readings }, flatChart({ sMax: 20_000, gMax: () => 2000 }))
	expect(Object.values(survey.marks).filter((mark) => !mark.fixed)).toHaveLength(marks)
	expect(survey.readings).toHaveLength(readings.length + marks)
	expect(problems.some((p) => p.path === '/panels/0/readings/4000')).toBe(true)
	finite(survey)
	const r = survey.readings.reduce((sum, one) => sum + (one.setAside ? 0 : one.redundancy), 0)
	expect(r).toBeCloseTo(survey.closure.dof, 3)
})

test('what is said of all this is in the words of the bench', () => {
	for (const problem of raised) {
		const said = `${problem.found} ${problem.expected} ${problem.fix}`
		expect(said).not.toMatch(/chart|metric|geodesic|redundan|ellipse|snoop|matrix|undefined|\[object/i)
		expect(problem.fix).toMatch(/^[A-Z].*\.$/)
	}
})
