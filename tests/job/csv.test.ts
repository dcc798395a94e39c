import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { crossCheck } from '../../src/job/crossCheck.ts'
import { readCsv } from '../../src/job/csv.ts'
import { loadJob, READING_LIMIT } from '../../src/job/load.ts'
import { jobFromCsv } from '../../src/job/starter.ts'
import { unreadable } from './jobs.ts'

const read = (text: string, unit: 'mm' | 'in' = 'mm') => {
	const outcome = readCsv(text, { unit, file: 'readings.csv' })
	expect(unreadable(outcome.problems)).toEqual([])
	return outcome
}
const readingsOf = (text: string, unit: 'mm' | 'in' = 'mm') => {
	const { value, problems } = read(text, unit)
	expect(problems).toEqual([])
	return value!.readings
}

test('where lines cross stations, and widths between them', () => {
	const text = `kind,line,station,left,right,from,to,length,side
,upper,40,46.5,47,,,,
crossing,Upper,60,48,,,,,
between,,,,,upper,lower,25,
between,,120,,,upper,lower,25.5,left`
	expect(readingsOf(text)).toEqual([
		{ kind: 'crossing', edge: 'upper', station: 40, girth: 46.5, side: 'left' },
		{ kind: 'crossing', edge: 'upper', station: 40, girth: 47, side: 'right' },
		{ kind: 'crossing', edge: 'upper', station: 60, girth: 48, side: 'left' },
		{ kind: 'between', lines: ['upper', 'lower'], width: 25 },
		{ kind: 'between', lines: ['upper', 'lower'], width: 25.5, station: 120, side: 'left' },
	])
	const odd = read('kind,from,to,length,side\nbetween,upper,lower,25,above\nbetween,left/upper,lower,25,')
	expect(odd.value?.readings).toEqual([])
	expect(odd.problems.map(({ line }) => line)).toEqual([2, 3])
})

describe('a table of marks', () => {
	test('girths left and right: a reading for each, with their note and instrument', () => {
		expect(readingsOf('mark,station,left,right,with,note\nu1,40,46.5,47,tape,by the seam\nu2,120,48,,steel rule,\n')).toEqual([
			{ kind: 'square', mark: 'u1', station: 40, girth: 46.5, side: 'left', with: 'tape', note: 'by the seam' },
			{ kind: 'square', mark: 'u1', station: 40, girth: 47, side: 'right', with: 'tape', note: 'by the seam' },
			{ kind: 'square', mark: 'u2', station: 120, girth: 48, side: 'left', with: 'steel-rule' },
		])
	})
	test('girth and side, in any order and case, blank rows and remarks passed over', () => {
		expect(readingsOf('# front guard\n\nSide,Girth,Station,Mark\nL,46.5,40,u1\n\n# end\nabove,3,50,u2\n')).toEqual([
			{ kind: 'square', mark: 'u1', station: 40, girth: 46.5, side: 'left' },
			{ kind: 'square', mark: 'u2', station: 50, girth: 3, side: 'above' },
		])
	})
	test('0 is on the baseline, and needs no side', () => {
		expect(readingsOf('mark,station,left,right\nu1,40,0,0\n')).toEqual([{ kind: 'square', mark: 'u1', station: 40 }])
		expect(readingsOf('mark,station,girth,side\nu1,40,0,\n')).toEqual([{ kind: 'square', mark: 'u1', station: 40 }])
		expect(readingsOf('mark,station\nu1,40\n')).toEqual([{ kind: 'square', mark: 'u1', station: 40 }])
	})
	test('units in cells, in headings, and the job unit', () => {
		expect(readingsOf('mark;station (cm);left [mm];right\nu1;4;46.5;"1 13/16"""\nu2;5 mm;3;2 1/2\n', 'in')).toEqual([
			{ kind: 'square', mark: 'u1', station: '4 cm', girth: '46.5 mm', side: 'left' },
			{ kind: 'square', mark: 'u1', station: '4 cm', girth: '1 13/16"', side: 'right' },
			{ kind: 'square', mark: 'u2', station: '5 mm', girth: '3 mm', side: 'left' },
			{ kind: 'square', mark: 'u2', station: '5 mm', girth: '2 1/2', side: 'right' },
		])
		expect(readingsOf('mark,station (mm),left_mm\nu1,40,46.5\n')).toMatchObject([{ station: 40, girth: 46.5 }])
	})
	test('marks come front to rear, whatever the order of the rows', () => {
		const { value } = read('mark,station,left,right\nu3,200,50,\nu1,40,46.5,47\nu2,120,48,49\n')
		expect(value?.marks).toEqual([
			{ id: 'u1', stationMm: 40, girthMm: 47 },
			{ id: 'u2', stationMm: 120, girthMm: 49 },
			{ id: 'u3', stationMm: 200, girthMm: 50 },
		])
	})
	test('a byte order mark, tabs and Windows line ends', () => {
		expect(readingsOf('\ufeffmark\tstation\tleft\r\nu1\t40\t46.5\r\n')).toMatchObject([{ mark: 'u1', station: 40, girth: 46.5 }])
	})
})

test('lengths from mark to mark beside marks', () => {
	const text = `kind,mark,station,left,from,to,length,pull
,u1,40,46.5,,,,
tape,,,,u1,left/u2,80.5,tight
straight,,,,u1,u2,80,
to line,u3,,,u1,u2,4,
,,,,u1,u2,81,`
	expect(readingsOf(text)).toEqual([
		{ kind: 'square', mark: 'u1', station: 40, girth: 46.5, side: 'left' },
		{ kind: 'tape', from: 'u1', to: 'left/u2', length: 80.5, pull: 'tight' },
		{ kind: 'straight', from: 'u1', to: 'u2', length: 80 },
		{ kind: 'toLine', mark: 'u3', line: ['u1', 'u2'], distance: 4 },
		{ kind: 'tape', from: 'u1', to: 'u2', length: 81 },
	])
})

describe('decimal commas', () => {
	test('between semicolons or in quote marks: converted, and noted once', () => {
		for (const text of ['mark;station;left\nu1;40,5;46,5\nu2;120;48\n', 'mark,station,left\nu1,"40,5","46,5"\nu2,120,48\n']) {
			const { value, problems } = read(text)
			expect(value?.readings[0]).toMatchObject({ station: 40.5, girth: 46.5 })
			expect(problems).toMatchObject([{ code: 'CSV_DECIMAL_COMMA', severity: 'note', line: 2, file: 'readings.csv' }])
			expect(problems[0]?.found).toContain('2 figures')
			expect(problems[0]?.found).toContain('"40,5" was read as 40.5')
		}
	})
	test('between commas: too many cells, and the row is left out', () => {
		const { value, problems } = read('mark,station,left\nu1,40,46,5\nu2,120,48\n')
		expect(value?.readings).toHaveLength(1)
		expect(problems).toMatchObject([{ code: 'CSV_ROW', severity: 'error', line: 2 }])
		expect(problems[0]?.fix).toMatch(/semicolons/)
	})
	test('three figures after it could be thousands: refused with both', () => {
		const { value, problems } = read('mark;station;left\nu1;1,250;46\n')
		expect(value?.readings).toEqual([])
		expect(problems).toMatchObject([{ code: 'CSV_ROW', line: 2, expected: '1.250 or 1250' }])
	})
})

describe('rows that cannot be read are left out with their line, the others are kept', () => {
	const head = 'mark,station,left,right,girth,side,panel,with,kind,from,to,length,pull\n'
	test.each<[string, RegExp, RegExp]>([
		[',40,46', /no mark/, /column mark/],
		['u1,,46', /no station/, /column station/],
		['u1,40', /a station with no girth/, /or 0/],
		['u1,abc,46', /station "abc", which is not a length/, /figures/],
		['u1,12;5,46', /semicolon/, /Write "12\.5"/],
		['u1,5 1/0 in,46', /0 below the line/, /divided/],
		['u1,40,-46', /left "-46"/, /without a sign/],
		['u1,40,,,46', /girth with no side/, /column side/],
		['u1,40,,,46,middle', /side "middle"/, /column side/],
		['u1,40,46,,46,left', /a girth and "left" too/, /one of them/],
		['?,40,46', /name "\?"/, /such as u1/],
		['u1,40,46,,,,third', /panel "third"/, /left or right/],
		[',,,,,,,,tap,u1,u2,80', /kind "tap"/, /Write tape/],
		[',,,,,,,,tape,u1,,80', /no to/, /column to/],
		[',,,,,,,,tape,u1,u2,', /no length/, /column length/],
		[',,,,,,,,tape,u1,u2,0', /length "0"/, /as measured/],
		[',,,,,,,,tape,u1,u2,80,loose', /pull "loose"/, /pressed or tight/],
		[',,,,,,,,gap,u1,u2,80,tight', /pull with a reading of kind gap/, /empty/],
		['u1,40,1,2,3,4,5,6,7,8,9,10,11,12', /14 cells/, /semicolons/],
	])('%s', (row, found, fix) => {
		const { value, problems } = read(`${head}u8,10,5\n${row}\nu9,20,5\n`)
		expect(value?.readings.map((reading) => 'mark' in reading && reading.mark)).toEqual(['u8', 'u9'])
		expect(problems).toMatchObject([{ code: 'CSV_ROW', severity: 'error', line: 3, file: 'readings.csv' }])
		expect(problems[0]?.found).toMatch(found)
		expect(problems[0]?.fix).toMatch(fix)
		expect(problems[0]?.fix).toMatch(/This row was left out/)
	})
	test('quote marks that do not match are said, not swallowed in silence', () => {
		const { value, problems } = read('mark,station,left\nu1,40,46\nu2,"50,46\nu3,60,46\n')
		expect(value?.readings).toHaveLength(1)
		expect(problems).toMatchObject([{ code: 'CSV_ROW', line: 3 }])
		expect(readingsOf('mark,station,left\nu1,1 13/16",46\n')).toMatchObject([{ station: '1 13/16"' }])
	})
	test('a cell over several lines does not put the count of lines wrong', () => {
		expect(read('mark,station,left,note\nu1,40,46,"one\ntwo\nthree"\nu2,x,46,\n').problems).toMatchObject([{ line: 5 }])
	})
})

describe('names of marks', () => {
	test('are brought into the form that a job has, and that is noted', () => {
		const { value, problems } = read('mark,station,left\nU 1,40,46\n2,50,46\nrear_end,60,46\n')
		expect(value?.marks.map(({ id }) => id)).toEqual(['u-1', 'm2', 'rear-end'])
		expect(problems).toMatchObject([{ code: 'CSV_NAMES', severity: 'note' }])
		expect(problems[0]?.found).toContain('"2" is m2')
	})
	test('two that would become one are kept apart', () => {
		const { value, problems } = read('mark,station,left\n2,40,46\nm2,50,46\nU1,60,46\nu1,61,46\n')
		expect(value?.readings).toHaveLength(3)
		expect(problems.filter(({ severity }) => severity === 'error')).toMatchObject([{ code: 'CSV_ROW', line: 3 }])
	})
})

describe('no such table', () => {
	test.each([
		['', 'CSV_NO_HEADING', 1],
		['\n\n', 'CSV_NO_HEADING', 1],
		['u1,40,46\nu2,50,46\n', 'CSV_NO_HEADING', 1],
		['\nmark,left\nu1,46\n', 'CSV_COLUMN_MISSING', 2],
		['mark,station,left,left\nu1,40,46,47\n', 'CSV_COLUMN_TWICE', 1],
	])('%j', (text, code, line) => {
		const { value, problems } = read(text)
		expect(value).toBeUndefined()
		expect(problems).toMatchObject([{ code, line, severity: 'error' }])
		expect(problems[0]?.fix.length).toBeGreaterThan(10)
	})
	test('an unknown column is named with the nearest; the rest is read', () => {
		const { value, problems } = read('mark,staton,station,left\nu1,,40,46\n')
		expect(value?.readings).toHaveLength(1)
		expect(problems).toMatchObject([{ code: 'CSV_COLUMN_UNKNOWN', line: 1 }])
		expect(read('mark,station,lenght\nu1,40,46\n').problems[0]?.fix).toMatch(/Call it length/)
	})
	test('too many rows', () => {
		const { value, problems } = read(`mark,station,left\n${'u1,40,46\n'.repeat(READING_LIMIT + 5)}`)
		expect(value?.readings).toHaveLength(READING_LIMIT)
		expect(problems).toMatchObject([{ code: 'TOO_MANY_READINGS', line: READING_LIMIT + 2 }])
	})
})

describe('a whole job from a table', () => {
	const tables = [
		'mark,station,left,right\nu1,40,46.5,47\nu2,120,48,48.5\nu3,200,50,50\n',
		'mark;station;girth;side\nu1;40,5;46,5;above\nu2;1 13/16 in;48;above\n',
		'mark,station,girth,side,panel\nu1,40,46,above,left\nu1,40,46.5,above,right\nu2,90,46,above,left\n',
		'mark,station,left\nu1,-20,46\n',
		'mark,station\na,0\nb,500\n',
		'from,to,length\na,b,50\n',
	]
	test.each(tables)('%j loads, with its shape still to do', (csv) => {
		for (const unit of ['mm', 'in'] as const) {
			const { value: table } = read(csv, unit)
			const text = jobFromCsv({ title: 'Front guard, "as found"\n', table: table! })
			const { value, problems } = loadJob(text)
			expect(problems).toEqual([])
			// What shape the panel has nobody has said yet, and that is what it says.
			expect(crossCheck(value!.job).map((p) => p.code)).toEqual(['STILL_TO_DO'])
			expect(value?.job.panels[0]?.readings).toHaveLength(table!.readings.length)
			expect(value?.job.unit).toBe(unit)
		}
	})
	test('its line goes through the marks front to rear, with a coach line of 3 mm on it', () => {
		const { value: table } = read('mark,station,left\nu3,200,50\nu1,40,46\nu2,120,48\n', 'in')
		const panel = loadJob(jobFromCsv({ title: 'Guard', table: table!, panel: 'guard' })).value?.job.panels[0]
		expect(panel?.id).toBe('guard')
		expect(panel?.edges[0]?.through).toEqual(['u1', 'u2', 'u3'])
		expect(panel?.stripes[0]?.bands).toEqual([{ paint: 'line-paint', width: 3 }])
		// the panel reaches beyond its marks: 200 in is 5080 mm, 50 in 1270 mm
		expect(panel?.found).toMatchObject({ kind: 'flat' })
		const { front = 0, length = 0, width = 0 } = panel!.found as { front: number; length: number; width: number }
		expect(front + length).toBeGreaterThan(5080)
		expect(width).toBeGreaterThan(1270)
	})
	test('whatever the table, what was read makes a job that loads', () => {
		const cell = fc.oneof(
			fc.constantFrom('u1', 'left', '40', '46,5', '1 1/2 in', '', '"', '__proto__', '1e9', '-3', 'x/y'),
			fc.string({ maxLength: 6 }),
		)
		fc.assert(
			fc.property(fc.array(fc.array(cell, { maxLength: 6 }), { maxLength: 6 }), (rows) => {
				const { value: table } = readCsv(`mark;station;left;right;with;note\n${rows.map((row) => row.join(';')).join('\n')}`, {
					unit: 'mm',
				})
				const { value, problems } = loadJob(jobFromCsv({ title: 'x', table: table! }))
				expect(problems).toEqual([])
				expect(value?.job.panels[0]?.readings).toHaveLength(table!.readings.length)
			}),
			{ numRuns: 300 },
		)
	})
})
