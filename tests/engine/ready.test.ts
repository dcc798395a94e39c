import { describe, expect, test } from 'vitest'
import { compute } from '../../src/engine/compute.ts'
import { readyOf } from '../../src/engine/ready.ts'
import { loadJob } from '../../src/job/load.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import { readyText } from '../../src/report/readyWords.ts'

const square = (mark: string, station: number, girth: number, side: string) => ({ kind: 'square', mark, station, girth, side })
const AT = [
	[50, 60],
	[150, 75],
	[250, 84],
	[350, 88],
	[450, 86],
] as const

/** A flat panel on the centreline with one line through five marks; `sides` is where they were measured. */
function resultOf({ sides = ['right'], unit = 'mm', through = 5, more = [] as object[] } = {}) {
	const readings = sides.flatMap((side) => AT.slice(0, through).map(([s, g], i) => square(`m${i + 1}`, s, g, side)))
	const job = {
		format: 1,
		title: 'Ready',
		unit,
		paints: [],
		panels: [
			{
				id: 'lid',
				title: 'Lid',
				hand: 'centre',
				found: { kind: 'flat' },
				datums: [
					{ id: 'nose', station: 0 },
					{ id: 'tail', station: 500 },
				],
				readings: [...readings, ...more],
				edges: [{ id: 'line', what: 'coach line', through: ['m1', 'm2', 'm3', 'm4', 'm5'] }],
			},
		],
	}
	const loaded = loadJob(JSON.stringify(job), 'job.json').value
	if (!loaded) throw new Error('not read')
	return compute(loaded.job, defaultShop(), { until: 'edges' })
}
const readyIn = (result: ReturnType<typeof resultOf>) => {
	const panel = result.panels[0]
	const ready = panel && readyOf(panel)
	if (!ready) throw new Error('not worked out')
	return ready
}

describe('before a panel is stripped', () => {
	test('the line through the other marks shows a slip of the middle ones, not of the first', () => {
		const { marks, lines } = readyIn(resultOf())
		const by = Object.fromEntries(marks.map(({ key, shownBy }) => [key, shownBy]))
		expect(by['right/m3']).toBe('line')
		expect(lines[0]?.missing).toEqual([])
		expect(lines[0]?.least?.knownMm).toBeGreaterThan(0.3)
		expect(lines[0]?.least?.knownMm).toBeLessThan(2)
	})

	test('measured on both sides, nothing is unchecked', () => {
		const { marks, lines } = readyIn(resultOf({ sides: ['left', 'right'] }))
		expect(marks).toHaveLength(10)
		expect(marks.every(({ unseenMm }) => unseenMm !== undefined)).toBe(true)
		expect(lines[0]?.unchecked).toEqual([])
	})

	test('a slip as large as is said to show is named by a problem', () => {
		const result = resultOf({ sides: ['left', 'right'] })
		const mark = readyIn(result).marks.find(({ key }) => key === 'left/m2')
		const slip = 1.5 * (mark?.unseenMm ?? Number.NaN)
		const wrong = resultOf({
			sides: ['right'],
			more: AT.map(([s, g], i) => square(`m${i + 1}`, s, i === 1 ? g + slip : g, 'left')),
		})
		expect(result.problems.filter(({ severity }) => severity !== 'note')).toEqual([])
		expect(wrong.problems.some(({ found }) => found.includes('m2'))).toBe(true)
	})

	test('marks without a place are named, in words', () => {
		const result = resultOf({
			through: 3,
			more: ['m4', 'm5'].map((mark) => ({ kind: 'tape', from: 'nose', to: `right/${mark}`, length: 400 })),
		})
		expect(readyIn(result).lines[0]?.missing).toEqual(['m4', 'm5'])
		expect(readyText(result)).toContain('coach line: not ready. m4 and m5 have no place yet: measure station and girth')
	})

	test('the words give lengths in the job’s unit', () => {
		const text = readyText(resultOf({ sides: ['left', 'right'] }))
		expect(text).toMatch(/coach line: known to ±\d\.\d mm or better/)
	})
})
