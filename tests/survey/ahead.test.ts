import { describe, expect, test } from 'vitest'
import type { Chart } from '../../src/chart/chart.ts'
import { lookAhead } from '../../src/survey/ahead.ts'
import { locateMarks } from '../../src/survey/locate.ts'
import type { Survey } from '../../src/survey/survey.ts'
import { flatChart, panelOf, sphereChart } from './bench.ts'

const datums = [
	{ id: 'bolt', station: 0 },
	{ id: 'stud', station: 600 },
]
const square = (mark: string, station: number, girth: number) => ({ kind: 'square', mark, station, girth, side: 'above' })

function surveyOf(chart: Chart, readings: object[]): { survey: Survey; panel: ReturnType<typeof panelOf> } {
	const panel = panelOf({ datums, readings })
	const { value } = locateMarks({ chart, panel, panelPath: '/panels/0', instruments: [] })
	if (!value) throw new Error('no survey')
	return { survey: value, panel }
}

function ahead(chart: Chart, readings: object[], more: { shownMm?: Map<string, number>; used?: string[]; most?: number } = {}) {
	const { survey, panel } = surveyOf(chart, readings)
	const used = new Set(more.used ?? survey.joint.keys)
	return { ...lookAhead({ chart, panel, survey, used, shownMm: more.shownMm ?? new Map(), most: more.most ?? 5 }), survey }
}

const READINGS = [square('a', 150, 80), square('b', 300, 120), square('c', 450, 100)]

describe('before the panel is stripped', () => {
	test.each([
		['flat', flatChart()],
		['a sphere', sphereChart(400)],
	])('what a reading more will do is what it does when it is taken (%s)', (_, chart) => {
		const { next } = ahead(chart, READINGS, { most: 1 })
		const best = next[0]
		if (best?.kind !== 'tape') throw new Error('a tape was expected')
		const [from, to] = best.marks
		const taken = ahead(chart, [...READINGS, { kind: 'tape', from, to, length: best.lengthMm }], { most: 1 })
		const there = taken.marks.find(({ key }) => key === best.after.key)
		expect(there?.knownMm).toBeCloseTo(best.after.knownMm, 3)
		expect(there?.unseenMm).toBeCloseTo(best.after.unseenMm ?? Number.NaN, 2)
		// The adjustment's own figure of the same thing.
		const mark = taken.survey.marks[best.after.key]
		const j = chart.metric(mark?.at.s ?? 0, mark?.at.g ?? 0).j
		const { ss, sg, gg } = mark?.covariance ?? { ss: Number.NaN, sg: 0, gg: 0 }
		const trace = ss * j * j + gg
		const determinant = ss * j * j * gg - (sg * j) ** 2
		expect(there?.knownMm).toBeCloseTo(Math.sqrt(5.991 * (trace / 2 + Math.sqrt(trace ** 2 / 4 - determinant))), 9)
	})

	test('nothing checks a mark read once; two tapes more and a slip shows', () => {
		const { marks, next } = ahead(flatChart(), READINGS)
		expect(marks.map(({ unseenMm }) => unseenMm)).toEqual([undefined, undefined, undefined])
		expect(next.length).toBeGreaterThan(2)
		expect(next[0]?.gainMm).toBeGreaterThan(next.at(-1)?.gainMm ?? Number.NaN)
		const after = ahead(flatChart(), [
			...READINGS,
			...next.flatMap(({ kind, marks: [from, to], lengthMm }) => (kind === 'tape' ? [{ kind, from, to, length: lengthMm }] : [])),
		])
		expect(after.marks.filter(({ unseenMm }) => unseenMm !== undefined).length).toBeGreaterThan(0)
	})

	test('a slip just large enough to be found moves the mark by what is said (by hand: station twice)', () => {
		// Two stations of sd 0.5 (and what squaring adds at girth 0): r = 1/2, slip 4.13 x 0.5 x sqrt 2, half of which moves the mark.
		const twice = ahead(flatChart(), [
			{ kind: 'square', mark: 'a', station: 150 },
			{ kind: 'square', mark: 'a', station: 150 },
		])
		expect(twice.marks[0]?.unseenMm).toBeCloseTo((4.13 * 0.5 * Math.SQRT2) / 2, 6)
		expect(twice.marks[0]?.knownMm).toBeCloseTo(Math.sqrt(5.991) * (0.5 / Math.SQRT2), 6)
	})

	test('what the other side or the line shows is not in doubt, and marks of no line are left out', () => {
		const { marks, next } = ahead(flatChart(), READINGS, { shownMm: new Map([['a', 2]]), used: ['a', 'b'], most: 1 })
		expect(marks.map(({ key }) => key)).toEqual(['a', 'b'])
		expect(marks[0]?.unseenMm).toBe(2)
		expect(next[0]?.before.key).toBe('b')
	})

	test('no tape is asked for across a filler', () => {
		const panel = panelOf({
			hand: 'centre',
			datums: [{ id: 'nose', station: 0 }],
			readings: [
				{ kind: 'square', mark: 'a', station: 150, girth: 100, side: 'left' },
				{ kind: 'square', mark: 'a', station: 150, girth: 100, side: 'right' },
			],
		})
		const chart = flatChart()
		const asked = (interruptions: Panel['baseline']['interruptions']) => {
			const here = { ...panel, baseline: { ...panel.baseline, interruptions } }
			const { value } = locateMarks({ chart, panel: here, panelPath: '/panels/0', instruments: [] })
			if (!value) throw new Error('no survey')
			const { next } = lookAhead({
				chart,
				panel: here,
				survey: value,
				used: new Set(['left/a', 'right/a']),
				shownMm: new Map(),
				most: 9,
			})
			return next.filter(({ kind, marks }) => kind === 'tape' && marks.every((key) => key.endsWith('/a')))
		}
		expect(asked([])).toHaveLength(1)
		expect(asked([{ from: 120, to: 180, what: 'filler' }])).toHaveLength(0)
	})
})

type Panel = ReturnType<typeof panelOf>
