import { describe, expect, test } from 'vitest'
import type { Problem } from '../../src/job/problem.ts'
import { cautionLines, cautionsText } from '../../src/report/cautions.ts'
import { marksTable } from '../../src/report/marksTable.ts'
import { countProblems, sayProblem, sayProblems } from '../../src/report/problems.ts'
import { summary } from '../../src/report/summary.ts'
import { COVERS, GUARD, jobOf, resultOf } from './small.ts'

const covers = resultOf(COVERS)
const guard = resultOf(GUARD)

/** Words of the geometry that nobody at the bench uses. */
const NEVER = /\b(charts?|metric|loft|geodesics?|developments?|redundan\w*|ellipses?|snooping|undefined|NaN|null|object)\b/i

test('no word of the geometry in anything a person reads', () => {
	for (const result of [covers, guard]) {
		for (const text of [summary(result), marksTable(result), cautionsText(result.job)]) expect(text).not.toMatch(NEVER)
	}
})

describe('summary', () => {
	test('says what was asked for first', () => {
		const text = summary(covers, { folder: 'out/covers' })
		expect(text).toContain('6 marks located from 2 datums')
		expect(text).toContain('stripes: coach line (left and right)')
		expect(text).toMatch(/field: upper \(left and right\), \d+(\.\d)? cm² each/)
		expect(text).toMatch(/pieces: 2 girth strips/)
		expect(text).toMatch(/\d+ pieces on \d+ sheets of A4/)
		expect(text).toMatch(/largest error of shape: 0\.\d\d mm \(piece \d+\)/)
		expect(text).toContain('Files in out/covers')
	})

	test('in the unit of the job', () => {
		const text = summary(resultOf({ ...COVERS, unit: 'in', panels: inInches() }))
		expect(text).toContain(' sq in')
		expect(text).not.toMatch(/\d mm/)
	})
})

/** The covers with every length written with its own unit: the job's unit then only says how lengths are spoken of. */
function inInches() {
	const withUnits = (value: unknown, key = ''): unknown => {
		if (typeof value === 'number' && key !== 'format') return `${value} mm`
		if (Array.isArray(value)) return value.map((each) => withUnits(each))
		if (value === null || typeof value !== 'object') return value
		return Object.fromEntries(Object.entries(value).map(([name, each]) => [name, withUnits(each, name)]))
	}
	return withUnits(COVERS.panels) as typeof COVERS.panels
}

describe('problems', () => {
	const problem = (severity: Problem['severity'], line: number): Problem => ({
		code: 'SOME_CODE',
		severity,
		path: '/panels/0',
		file: 'job.jsonc',
		line,
		column: 5,
		place: { panel: 'tank', side: 'left', s: 120, g: 46.5 },
		found: 'this',
		expected: 'that',
		fix: 'do it',
	})

	test('where, what, what was expected, what to do', () => {
		expect(sayProblem(problem('error', 12), 'mm').split('\n')).toEqual([
			'job.jsonc:12:5: error: this',
			'    on:       tank, left, station 120.0 mm, girth 46.5 mm',
			'    expected: that',
			'    to do:    Do it.',
		])
		expect(sayProblem(problem('error', 12), 'in')).toContain('station 4 23/32 in, girth 1 27/32 in')
	})

	test('errors first, then by line; counted in words', () => {
		const list = [problem('note', 1), problem('warning', 3), problem('error', 9), problem('error', 2)]
		const lines = sayProblems(list, 'mm')
			.split('\n')
			.filter((line) => line.startsWith('job'))
		expect(lines).toEqual([
			'job.jsonc:2:5: error: this',
			'job.jsonc:9:5: error: this',
			'job.jsonc:3:5: warning: this',
			'job.jsonc:1:5: note: this',
		])
		expect(countProblems(list)).toBe('2 errors, 1 warning, 1 note')
		expect(countProblems([])).toBe('')
	})
})

describe('marks and readings as tables', () => {
	test('a row for each mark and for each number that was read, in columns', () => {
		const lines = marksTable(covers).split('\n')
		expect(lines.filter((line) => /^ {2}(left|right)\/c\d/.test(line))).toHaveLength(6)
		expect(lines.filter((line) => /^ {2}(station|girth) of (left|right)\/c\d/.test(line))).toHaveLength(12)
		expect(lines.filter((line) => /^ {2}tape rear to (left|right)\/c3/.test(line))).toHaveLength(2)
		expect(marksTable(covers)).not.toMatch(/[+-]0\.00(\D|$)/)
	})

	test('says of a reading that nothing checks it', () => {
		expect(marksTable(guard)).toContain('nothing checks this reading')
	})
})

describe('cautions', () => {
	test('defer to the law, the data sheet and licensed people', () => {
		const text = cautionsText(jobOf(COVERS))
		expect(text).toContain('Local law')
		expect(text).toContain('safety data sheet')
		expect(text).toContain('licensed people')
		for (const word of ['isocyanates', 'Vapour', 'lead', 'Cut away from the hand']) expect(text).toContain(word)
	})

	test('the fuel tank is spoken of where there is one, by id or title, and not elsewhere', () => {
		const job = jobOf(COVERS)
		const tank = { ...job, panels: [{ ...job.panels[0]!, title: 'Petrol tank, left half' }] }
		expect(cautionsText(job)).not.toMatch(/tank/i)
		expect(cautionsText(tank)).toMatch(/gas-free/)
		expect(cautionLines(tank)[0]).toMatch(/fuel tank/)
		expect(cautionsText({ ...job, panels: [{ ...job.panels[0]!, id: 'oil-tank' }] })).toMatch(/gas-free/)
	})
})
