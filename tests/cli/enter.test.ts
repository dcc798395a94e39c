import { chmodSync, existsSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { applyEdits, modify, parse } from 'jsonc-parser'
import Papa from 'papaparse'
import { describe, expect, test } from 'vitest'
import { compute } from '../../src/engine/compute.ts'
import { nodeDisk } from '../../src/files/disk.ts'
import { loadJob } from '../../src/job/load.ts'
import type { JobInput, ReadingInput } from '../../src/job/schema.ts'
import { defaultShop } from '../../src/job/shopDefaults.ts'
import { GOOD } from '../job/jobs.ts'
import { diskError, filesBelow, folderWith, inside } from './command.ts'

const DEMO = readFileSync(fileURLToPath(new URL('../../fixtures/tarn-350/job.jsonc', import.meta.url)), 'utf8')
const text = (folder: string, name: string) => readFileSync(join(folder, name), 'utf8')
const jobOf = (folder: string, name = 'job.jsonc') => parse(text(folder, name)) as JobInput

/** The marks of each panel where the survey puts them. */
function marksOf(job: string) {
	const result = compute(loadJob(job).value!.job, defaultShop(), { until: 'survey' })
	return result.panels.flatMap(({ id, survey }) =>
		Object.values(survey!.survey.marks).map(({ key, at }) => ({ key: `${id} ${key}`, at })),
	)
}

type Cells = Record<string, string>

/** The cells that a person fills into a row for one of the demo's readings; nothing where the row is of another. */
function filled(row: Cells, panel: string, reading: ReadingInput): Cells | undefined {
	const own = 'panel' in reading && reading.panel ? `${panel} ${reading.panel}` : panel
	if (row.panel !== own || row.kind !== reading.kind) return undefined
	if (reading.kind === 'square') {
		const centre = reading.side === 'left' || reading.side === 'right'
		if (row.mark !== reading.mark || (centre && row.side !== reading.side)) return undefined
		const figures = { 'station (mm)': String(reading.station), 'girth (mm)': String(reading.girth) }
		return { ...figures, side: reading.side ?? '', squared: reading.squared ?? '' }
	}
	if (!('length' in reading)) return undefined
	if ([row.from, row.to].toSorted().join() !== [reading.from, reading.to].toSorted().join()) return undefined
	return { 'length (mm)': String(reading.length) }
}

describe('a measuring sheet and the way back of its numbers', () => {
	test('the demo, stripped of its readings, filled from its sheet: every mark where it was', async () => {
		const demo = parse(DEMO) as JobInput
		const bare = demo.panels.reduce((job, _, i) => applyEdits(job, modify(job, ['panels', i, 'readings'], [], {})), DEMO)
		const folder = folderWith({ 'job.jsonc': bare })
		const sheet = await inside(['measuring-sheet', '.'], folder)
		expect([sheet.code, sheet.err]).toEqual([0, ''])
		const blank = await inside(['enter', '.', 'measuring-sheet.csv'], folder)
		expect([blank.code, blank.err]).toEqual([0, ''])
		expect(blank.out).toContain('Nothing new')
		expect(text(folder, 'job.jsonc')).toBe(bare)

		const [remark, ...rest] = text(folder, 'measuring-sheet.csv').trim().split('\r\n')
		const table = Papa.parse<Cells>(rest.join('\n'), { header: true })
		const all = demo.panels.flatMap(({ id, readings }) => readings!.map((reading) => ({ id, reading })))
		const asked = all.filter(({ id, reading }) => {
			const row = table.data.find((each) => filled(each, id, reading))
			if (row) Object.assign(row, filled(row, id, reading))
			return row === undefined
		})
		// the sheet asks for every station and girth, and for most of the lengths that the restorer thought of
		expect(asked.filter(({ reading }) => reading.kind === 'square')).toEqual([])
		expect(asked.length).toBeLessThan(all.length / 6)
		for (const { id, reading } of asked) {
			const own = reading.panel ? `${id} ${reading.panel}` : id
			const row = { kind: reading.kind, panel: own, ...('from' in reading ? { from: reading.from, to: reading.to } : {}) }
			table.data.push({ ...row, ...filled({ ...row } as Cells, id, reading) } as Cells)
		}
		const back = `${remark}\r\n${Papa.unparse(table.data, { columns: table.meta.fields })}`
		writeFileSync(join(folder, 'filled.csv'), back.replaceAll(',', ';').replace(/(\d)\.(\d)/g, '$1,$2'))

		const entered = await inside(['enter', '.', 'filled.csv'], folder)
		expect(entered.code).toBe(0)
		expect(entered.err).toContain('decimal comma')
		const now = text(folder, 'job.jsonc')
		expect(jobOf(folder).panels.map(({ readings }) => readings?.length)).toEqual(
			demo.panels.map(({ readings }) => readings?.length),
		)
		const [before, after] = [marksOf(DEMO), marksOf(now)]
		expect(after.map(({ key }) => key).toSorted()).toEqual(before.map(({ key }) => key).toSorted())
		for (const { key, at } of before) {
			const same = after.find((mark) => mark.key === key)!
			expect(Math.hypot(same.at.s - at.s, same.at.g - at.g), key).toBeLessThan(1e-6)
		}
		// remarks stay, and so does all that is no reading
		expect(now).toContain('// straight as a taut tape lies from k1 to k2')
		expect(text(folder, 'job.jsonc~')).toBe(bare)

		const again = await inside(['enter', '.', 'filled.csv'], folder)
		expect(again.out).toContain('Nothing new')
		expect(text(folder, 'job.jsonc')).toBe(now)
	})

	test('its own table back into the job that it came from: blanks only, nothing changes', async () => {
		const folder = folderWith({ 'job.jsonc': DEMO })
		await inside(['measuring-sheet', '.', '--panel', 'side-cover', '--out', 'covers.pdf'], folder)
		const { code, out } = await inside(['enter', '.', 'covers.csv', '--json'], folder)
		expect(code).toBe(0)
		const [panel, ...others] = JSON.parse(out).panels
		expect(others).toEqual([])
		expect(panel).toMatchObject({ id: 'side-cover', added: [], changed: [], same: 0 })
		// all marks have their readings: what is still blank are lengths
		for (const each of panel.blank) expect(each).toMatch(/^(left|right) tape /)
		expect(filesBelow(folder)['job.jsonc~']).toBeUndefined()
	})

	test('neither sheet nor table is ever written over a file', async () => {
		const folder = folderWith({ 'job.jsonc': GOOD, 'measuring-sheet.csv': 'mine' })
		const { code, err } = await inside(['measuring-sheet', '.'], folder)
		expect([code, existsSync(join(folder, 'measuring-sheet.pdf'))]).toEqual([2, false])
		expect(err).toContain('measuring-sheet.csv is there already')
		expect(text(folder, 'measuring-sheet.csv')).toBe('mine')
	})
})

const enter = async (job: string, table: string, ...more: string[]) => {
	const folder = folderWith({ 'job.jsonc': job, 'table.csv': table })
	const ended = await inside(['enter', '.', 'table.csv', ...more], folder)
	return { ...ended, folder, now: text(folder, 'job.jsonc') }
}

describe('enter', () => {
	test('a figure that differs is changed, and said; new ones follow; rows without figures are counted', async () => {
		const table = 'mark,station,left,right,note\nu2,200,49,48.5,\nu3,300,50,,by the stay\nu4,,,,\n'
		const { code, out, err, now } = await enter(GOOD, table)
		expect(code).toBe(0)
		expect(out).toContain('guard: 1 reading new, 1 changed, 1 as they were')
		expect(out).toContain('changed left/u2: girth 49, before 48')
		expect(out).toContain('still blank: u4')
		expect(err).toContain('no line goes through: u3')
		const added = '      { "kind": "square", "mark": "u3", "station": 300, "girth": 50, "side": "left", "note": "by the stay" }'
		const expected = GOOD.replace('"girth": 48, "side"', '"girth": 49, "side"').replace(
			'"length": 205.5 }\n',
			`"length": 205.5 },\n${added}\n`,
		)
		expect(now).toBe(expected)
	})

	test('a job with errors elsewhere loses nothing: only its syntax counts', async () => {
		const broken = GOOD.replace('"kind": "revolved"', '"kind": "spun"').replace(
			'"lay": "centred"',
			'"lay": "sideways", "colour": 3',
		)
		const { code, now } = await enter(broken, 'mark,station,left\nu9,9,9\n')
		expect(code).toBe(0)
		expect(now.replace(/,\n.*"u9".*(?=\n)/, '')).toBe(broken)
		const open = await enter(GOOD.slice(0, -4), 'mark,station,left\nu9,9,9\n')
		expect([open.code, open.now]).toEqual([1, GOOD.slice(0, -4)])
		expect(open.err).toContain('not closed')
	})

	test('a row that does not fit is refused with its line, the rest kept', async () => {
		const table = [
			'kind,panel,mark,side,station,girth,from,to,length',
			'square,,u3,left,300,50,,,',
			'square,,u4,above,300,50,,,',
			'square,left,u4,left,300,50,,,',
			'square,,front,left,300,50,,,',
			'square,,u5,left,NaN,50,,,',
			'square,,u5,left,300,1e400,,,',
			'tape,,,,,,front,front,10',
			'tape,grd,,,,,front,left/u3,10',
			'square,,u5,left,300,,,,',
		].join('\n')
		const { code, err, now } = await enter(GOOD, table)
		expect(code).toBe(1)
		const lines = [...err.matchAll(/table\.csv:(\d+): error/g)].map(([, line]) => Number(line))
		expect(lines.toSorted((a, b) => a - b)).toEqual([3, 4, 5, 6, 7, 8, 9, 10])
		expect((parse(now) as JobInput).panels[0]!.readings!.slice(4)).toEqual([
			{ kind: 'square', mark: 'u3', station: 300, girth: 50, side: 'left' },
		])
	})

	test('tables that are none, panels that there are not: nothing is written, and the exit code says which', async () => {
		for (const table of ['', 'a,b\n1,2\n', 'mark\nu1\n', 'mark,station,mark\nu1,2,u1\n']) {
			const { code, now, folder } = await enter(GOOD, table)
			expect([table, code, now === GOOD, readdirSync(folder).length]).toEqual([table, 1, true, 2])
		}
		const wrong = await enter(GOOD, 'mark,station,left\nu9,9,9\n', '--panel', 'gard')
		expect(wrong.code).toBe(2)
		expect(wrong.err).toContain('Write guard if that is meant')
		const two = JSON.stringify({ ...parse(GOOD), panels: ['a', 'b'].map((id) => ({ ...parse(GOOD).panels[0], id })) })
		const unsaid = await enter(two, 'mark,station,left\nu9,9,9\nu8,9,9\n')
		expect([unsaid.code, unsaid.now]).toEqual([1, two])
		expect(unsaid.err).toContain('2 rows that do not say of which panel')
		const said = await enter(two, 'panel,mark,station,left\nb,u9,9,9\na,u8,9,9\n', '--panel', 'b')
		expect(said.code).toBe(0)
		expect(said.out).toContain('1 row of other panels passed over')
		expect(parse(said.now).panels.map(({ readings }: { readings: unknown[] }) => readings.length)).toEqual([4, 5])
	})

	test('units: the heading’s, the option’s, the cell’s; fractions stay as typed; the same length in another unit is the same', async () => {
		const inch = GOOD.replace('"unit": "mm"', '"unit": "in"')
		const { now, out } = await enter(inch, 'mark,station,left (mm),right\nu3,1 13/16,50.8,2 1/2\nu2,200,1219.2,48.5\n')
		expect(now).toContain('{ "kind": "square", "mark": "u3", "station": "1 13/16", "girth": "50.8 mm", "side": "left" }')
		expect(now).toContain('"station": "1 13/16", "girth": "2 1/2", "side": "right"')
		expect(out).toContain('2 readings new, 2 as they were')
		const bare = await enter(GOOD, 'mark,station,left\nu3,1 13/16,2\n')
		expect([bare.code, bare.now]).toEqual([1, GOOD])
		expect(bare.err).toContain('Add --unit in')
		const said = await enter(GOOD, 'mark,station,left\nu3,1 13/16,2\n', '--unit', 'in')
		expect(said.now).toContain('"station": "1 13/16 in", "girth": "2 in"')
	})

	test('the layout of the file: Windows line ends, a byte order mark, remarks after the last reading, trailing commas, an empty list', async () => {
		const row = 'mark,station,left\nu3,300,50\n'
		const windows = await enter(`\ufeff${GOOD.replaceAll('\n', '\r\n')}`, row)
		expect(windows.now.startsWith('\ufeff{\r\n')).toBe(true)
		expect(windows.now.replaceAll('\r\n', '')).not.toContain('\n')
		const remarked = GOOD.replace('"length": 205.5 }\n', '"length": 205.5 }, // the last, [so far]\n      /* , */\n')
		const { now } = await enter(remarked, row)
		expect(now).toBe(
			remarked.replace(
				'/* , */\n',
				'/* , */\n      { "kind": "square", "mark": "u3", "station": 300, "girth": 50, "side": "left" },\n',
			),
		)
		const none = parse(GOOD) as JobInput
		const fresh = { kind: 'square', mark: 'u3', station: 300, girth: 50, side: 'left' }
		for (const readings of [[], undefined]) {
			const bare = JSON.stringify({ ...none, panels: [{ ...none.panels[0]!, readings }] }, null, '  ')
			const made = parse((await enter(bare, row)).now) as JobInput
			expect(made).toEqual({ ...none, panels: [{ ...none.panels[0]!, readings: [fresh] }] })
		}
	})

	test('10,000 rows, entered and changed, within the limit of a job; one more is refused whole', async () => {
		const rows = (girth: number, count: number) =>
			`mark,station,left\n${Array.from({ length: count }, (_, i) => `q${i},${i / 10},${girth}`).join('\n')}\n`
		const first = await enter(GOOD, rows(40, 9996))
		expect(first.code).toBe(0)
		const second = await enter(first.now, rows(41, 9996))
		expect(second.out).toContain('0 readings new, 9996 changed')
		expect(second.now.length).toBe(first.now.length)
		const third = await enter(first.now, 'mark,station,left\nz1,1,1\n')
		expect([third.code, third.now === first.now]).toEqual([1, true])
		expect(third.err).toContain('10001 readings')
	})

	test('the rights of the file stay; a folder that cannot be written leaves it whole, and nothing beside it', async () => {
		const table = 'mark,station,left\nu3,300,50\n'
		const folder = folderWith({ 'job.jsonc': GOOD, 'table.csv': table })
		chmodSync(join(folder, 'job.jsonc'), 0o640)
		await inside(['enter', '.', 'table.csv'], folder)
		expect(statSync(join(folder, 'job.jsonc')).mode & 0o777).toBe(0o640)
		for (const failing of ['writeNew', 'rename', 'mayWrite'] as const) {
			const own = folderWith({ 'job.jsonc': GOOD, 'table.csv': table })
			const disk = { ...nodeDisk, [failing]: (path: string) => Promise.reject(diskError('EACCES', path)) }
			const { code, err } = await inside(['enter', '.', 'table.csv'], own, disk)
			expect([failing, code]).toEqual([failing, 1])
			expect(err).toContain('may not be written')
			expect(filesBelow(own)).toEqual({ 'job.jsonc': GOOD, 'table.csv': table })
		}
	})

	test('a job that someone else changed meanwhile is left alone', async () => {
		const folder = folderWith({ 'job.jsonc': GOOD, 'table.csv': 'mark,station,left\nu3,300,50\n' })
		let reads = 0
		const disk = {
			...nodeDisk,
			read: async (path: string) => {
				if (path.endsWith('job.jsonc') && ++reads === 3) writeFileSync(path, `${GOOD}// theirs\n`)
				return nodeDisk.read(path)
			},
		}
		const { code, err } = await inside(['enter', '.', 'table.csv'], folder, disk)
		expect(code).toBe(1)
		expect(err).toContain('changed by someone else')
		expect(filesBelow(folder)['job.jsonc']).toBe(`${GOOD}// theirs\n`)
		expect(Object.keys(filesBelow(folder))).toHaveLength(2)
	})
})
