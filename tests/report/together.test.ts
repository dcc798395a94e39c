import { describe, expect, test } from 'vitest'
import { compute } from '../../src/engine/compute.ts'
import { loadJob } from '../../src/job/load.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import { marksTable } from '../../src/report/marksTable.ts'
import { sayProblems, sortedProblems } from '../../src/report/problems.ts'
import { readyText } from '../../src/report/readyWords.ts'
import { summary } from '../../src/report/summary.ts'
import { togetherOf } from '../../src/report/together.ts'

const square = (mark: string, station: number, girth: number, more: object = {}) => {
	return { kind: 'square', mark, station, girth, side: 'above', squared: 't-strip', ...more }
}
function resultOf(readings: object[], unit = 'mm') {
	const edges = [{ id: 'upper', through: ['a', 'b'] }]
	const panel = { id: 'lid', hand: 'left', found: { kind: 'flat' }, datums: [{ id: 'nose', station: 0 }], readings, edges }
	const job = { format: 1, title: 'Lid', unit, paints: [], panels: [panel] }
	return compute(loadJob(JSON.stringify(job)).value!.job, defaultShop(), { until: 'edges' })
}

describe('how well readings fit together, in words', () => {
	test('one mark read twice, in closed form: the factor, and the smallest slip that would be seen', () => {
		// girths 1 mm apart with an sd of 0.5 each: half of a slip shows in each, 4.13 x 0.5 / sqrt(0.5); stations agree
		const result = resultOf([square('a', 10, 0), square('b', 200, 40), square('b', 200, 41)])
		const all = togetherOf(result.panels[0]!.survey!.survey)!
		expect(all.factor).toBeCloseTo(Math.sqrt((2 * (0.5 / 0.5) ** 2) / 2), 4)
		expect(all.best).toMatchObject({ name: 'girth of b' })
		expect(all.best.mm).toBeCloseTo((4.13 * 0.5) / Math.sqrt(0.5), 6)
		// out of square by half a degree a station is known less well
		expect(all.worst).toMatchObject({ name: 'station of b' })
		expect(all.worst.mm).toBeCloseTo((4.13 * Math.hypot(0.5, (40.5 * Math.PI) / 360)) / Math.sqrt(0.5), 1)
		const words =
			'together the readings are 1.0 times as far off as is usual with their instruments; the smallest slip that would be seen is 2.9 mm (girth of b), where they are checked least 3.6 mm (station of b)'
		expect(summary(result)).toContain(words)
		expect(readyText(result)).toContain(words)
	})
	test('nothing is said where nothing checks anything', () => {
		expect(summary(resultOf([square('a', 10, 0), square('b', 200, 40)]))).not.toContain('together')
	})
})

describe('a place where a line crosses a station', () => {
	const crossing = { kind: 'crossing', edge: 'upper', station: 4, girth: 2, side: 'above' }
	test.each([
		['in', 'upper at 4'],
		['mm', 'upper at 4'],
	])('is said in %s in words and tables; its id stays', (unit, said) => {
		const result = resultOf([square('a', 1, 0), square('b', 7, 2), crossing, { ...crossing, girth: 3 }], unit)
		const id = unit === 'in' ? 'upper@101.6' : 'upper@4'
		expect(Object.keys(result.panels[0]!.survey!.survey.marks)).toContain(id)
		const texts = [
			marksTable(result),
			summary(result),
			readyText(result),
			sayProblems(sortedProblems(result.problems), result.job.unit),
		]
		expect(texts.join('\n')).not.toContain('@')
		expect(texts[0]).toContain(said)
	})
})
