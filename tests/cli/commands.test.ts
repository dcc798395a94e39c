import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { resultSchema } from '../../src/report/resultSchema.ts'
import { COVERS, GUARD } from '../report/small.ts'
import { command, filesBelow, folderWith, inside } from './command.ts'

const covers = JSON.stringify(COVERS, null, '\t')
const text = (folder: string, name: string) => readFileSync(join(folder, name), 'utf8')

describe('make, as a process', () => {
	test('writes the whole set, says what came out, and ends with 0; a second run gives the same bytes', async () => {
		const folder = folderWith({ 'covers/job.jsonc': covers })
		const first = await command(['make', 'covers'], folder)
		expect(first.err).toBe('')
		expect(first.code).toBe(0)
		expect(first.out).toContain('Files in covers/out')
		expect(first.out).toContain('6 marks located')
		const set = filesBelow(join(folder, 'covers', 'out'))
		const { panels, files } = resultSchema.parse(JSON.parse(set['result.json']!))
		expect(files.toSorted()).toEqual(Object.keys(set).toSorted())
		expect(set['sheets.pdf']!.startsWith('%PDF-')).toBe(true)
		expect(set['plan-cover.svg']).toContain('<svg')
		expect(set['cautions.txt']).toContain('safety data sheet')
		const pieces = panels[0]!.pieces!.map(({ id }) => `pieces/${id.replaceAll('/', '-')}.svg`)
		expect(Object.keys(set).filter((name) => name.startsWith('pieces/'))).toEqual(pieces.toSorted())
		// nothing beside it
		expect(readdirSync(join(folder, 'covers')).toSorted()).toEqual(['job.jsonc', 'out'])

		const again = await command(['make', join('covers', 'job.jsonc'), '--out', 'elsewhere/deep'], folder, {
			TZ: 'Asia/Tokyo',
			LANG: 'de_DE.UTF-8',
		})
		expect(again.code).toBe(0)
		expect(filesBelow(join(folder, 'elsewhere', 'deep'))).toEqual(set)
	})

	test('--json is one document on stdout and nothing else', async () => {
		const folder = folderWith({ 'job.jsonc': covers })
		const { code, out, err } = await command(['make', '.', '--json', '--paper', 'a3'], folder)
		expect([code, err]).toEqual([0, ''])
		const said = JSON.parse(out)
		expect(said).toMatchObject({ command: 'make', ok: true, folder: 'out', figures: { paper: 'a3' }, problems: [] })
		for (const name of said.files) expect(existsSync(join(folder, 'out', name))).toBe(true)
	})

	test('an error in one panel leaves the rest: it is made, the problem has its line, and the exit code is 1', async () => {
		const broken = {
			...COVERS,
			panels: [...COVERS.panels, { ...GUARD.panels[0]!, readings: GUARD.panels[0]!.readings!.slice(1) }],
		}
		const edges = [{ id: 'line', hand: 'left' as const, through: ['left/m1', 'm2', 'm3'] }]
		broken.panels[1] = { ...broken.panels[1]!, edges }
		const job = JSON.stringify(broken, null, '\t')
		const folder = folderWith({ 'job.jsonc': job })
		const { code, out, err } = await command(['make', 'job.jsonc'], folder)
		expect(code).toBe(1)
		expect(out).toContain('1 error: to be mended before anything is laid; what could not be made is left out')
		const line = Number(/job\.jsonc:(\d+):\d+: error:/.exec(err)?.[1])
		expect(job.split('\n')[line - 1]).toContain('m1')
		expect(Object.keys(filesBelow(join(folder, 'out')))).toContain('plan-cover.svg')
		expect(text(folder, 'out/summary.txt')).toContain('error')
	})

	test('no colour where nobody looks, and the words say it all', async () => {
		const folder = folderWith({ 'job.jsonc': '{' })
		const { err } = await command(['check', '.'], folder)
		expect(err).toContain('error')
		expect(err).not.toContain('\u001b')
	})
})

describe('check', () => {
	test('marks with their ±, what readings are off by, and no files', async () => {
		const folder = folderWith({ 'job.jsonc': covers })
		const { code, out } = await command(['check', '.'], folder)
		expect(code).toBe(0)
		expect(out).toMatch(/left\/c2 +80\.00 +±/)
		expect(out).toMatch(/tape rear to left\/c3 +14\.50/)
		expect(readdirSync(folder)).toEqual(['job.jsonc'])
	})

	test('--json: marks and lines as in result.json', async () => {
		const folder = folderWith({ 'job.jsonc': covers })
		const { code, out } = await inside(['check', '.', '--json'], folder)
		expect(code).toBe(0)
		const { ok, panels } = JSON.parse(out)
		expect(ok).toBe(true)
		expect(panels[0].marks).toHaveLength(8)
		expect(panels[0].pieces).toBeUndefined()
	})

	test('readings that contradict each other: exit 1, named with line, panel and place', async () => {
		const readings = [
			...COVERS.panels[0]!.readings!,
			{ kind: 'tape' as const, from: 'front', to: 'c2', length: 140, panel: 'left' as const },
		]
		const job = JSON.stringify({ ...COVERS, panels: [{ ...COVERS.panels[0]!, readings }] }, null, '\t')
		const { code, err } = await inside(['check', 'job.jsonc'], folderWith({ 'job.jsonc': job }))
		expect(code).toBe(1)
		expect(err).toMatch(/job\.jsonc:\d+:\d+: error: .*c2/)
		expect(err).toMatch(/on: +cover/)
	})

	test('the shop beside the job is used, or the one that is named', async () => {
		const shop = { format: 1, unit: 'mm', paper: 'A3', printers: [{ id: 'office', measured: { across: 199.2, along: 200.6 } }] }
		const folder = folderWith({
			'job.jsonc': covers,
			'shop.jsonc': JSON.stringify(shop),
			'other.jsonc': JSON.stringify({ ...shop, paper: 'letter' }),
		})
		const made = async (...more: string[]) => {
			await inside(['make', '.', ...more], folder)
			const { sheets } = resultSchema.parse(JSON.parse(text(folder, 'out/result.json')))
			return [sheets![0]!.paper, sheets![0]!.scalePercent.x]
		}
		expect(await made()).toEqual(['a3', expect.closeTo(100 / 0.996, 3)])
		expect((await made('--shop', 'other.jsonc'))[0]).toBe('letter')
		expect((await made('--paper', 'A4', '--printer', 'office'))[0]).toBe('a4')
	})

	test('a shop in the folder above serves all jobs in it, unless one has its own beside it', async () => {
		const folder = folderWith({
			...{ 'a/job.jsonc': covers, 'b/job.jsonc': covers, 'shop.jsonc': '3', 'b/shop.jsonc': '{ "format": 1, "unit": "mm" }' },
		})
		const above = await inside(['check', 'a'], folder)
		expect(above.err).toMatch(/^shop\.jsonc:1:1: error/m)
		expect((await inside(['check', 'b'], folder)).err).not.toContain('shop.jsonc')
	})

	test('a problem of the shop file has the shop file’s line', async () => {
		const folder = folderWith({ 'job.jsonc': covers, 'shop.jsonc': '{\n"format": 1, "unit": "mm",\n"papers": 3\n}' })
		const { code, err } = await inside(['check', '.'], folder)
		expect(code).toBe(1)
		expect(err).toMatch(/^shop\.jsonc:3:\d+: error/m)
	})
})

describe('new', () => {
	test('lists the starters with a line each', async () => {
		const { code, out } = await command(['new'], folderWith())
		expect(code).toBe(0)
		const lines = out.split('\n').filter((line) => /^ {2}[a-z]/.test(line))
		const starters = readdirSync(new URL('../../templates', import.meta.url)).filter((name) => name.endsWith('.jsonc'))
		expect(lines).toHaveLength(starters.length)
		for (const line of lines) expect(line).toMatch(/^ {2}[a-z-]+ {3,}\S.{10,}$/)
	})

	test('every starter becomes a job that checks without an error and is never written over', async () => {
		const starters = readdirSync(new URL('../../templates', import.meta.url)).filter((name) => name.endsWith('.jsonc'))
		for (const starter of starters) {
			const folder = folderWith()
			const name = starter.replace('.jsonc', '')
			const { code, err } = await inside(['new', name, 'mine'], folder)
			expect([name, code, err]).toEqual([name, 0, ''])
			const checked = await inside(['check', 'mine'], folder)
			expect([name, checked.code]).toEqual([name, 0])
			const before = text(folder, 'mine/job.jsonc')
			const again = await inside(['new', name, 'mine'], folder)
			expect(again.code).toBe(2)
			expect(again.err).toContain('there already')
			expect(text(folder, 'mine/job.jsonc')).toBe(before)
		}
	})

	test('an unknown starter: the nearest is named', async () => {
		const { code, err } = await inside(['new', 'side-cover', 'mine'], folderWith())
		expect(code).toBe(2)
		expect(err).toContain('Write side-covers')
	})

	test('from a table: readings in, a job out that makes sheets', async () => {
		const csv = 'mark;station;left;right\nu1;20;46,5;46\nu2;120;52;52,5\nu3;240;44;44\n'
		const folder = folderWith({ 'readings.csv': csv })
		const { code, err } = await inside(['new', '--from', 'readings.csv', 'my-guard', '--title', 'A guard'], folder)
		expect(code).toBe(0)
		expect(err).toContain('decimal comma')
		expect(text(folder, 'my-guard/job.jsonc')).toContain('"title": "A guard"')
		const made = await inside(['make', 'my-guard'], folder)
		expect(made.code).toBe(0)
		expect(existsSync(join(folder, 'my-guard', 'out', 'sheets.pdf'))).toBe(true)
	})

	test('from a table in inches, saved by an old spreadsheet', async () => {
		const csv = Buffer.from('mark,station,above,note\nu1,1 13/16,2,Stra\xdfe\nu2,5 \xbd,2.5,\nu3,9,2,\n', 'latin1')
		const folder = folderWith({ 'readings.csv': csv })
		const { code } = await inside(['new', '--from', 'readings.csv', 'cover', '--unit', 'in'], folder)
		expect(code).toBe(0)
		expect(text(folder, 'cover/job.jsonc')).toContain('Straße')
		expect(text(folder, 'cover/job.jsonc')).toContain('"title": "Cover"')
	})

	test('a table with a row that cannot be read: its line is named, and no half job is written', async () => {
		const folder = folderWith({ 'readings.csv': 'mark,station,left\nu1,20,46.5\nu2,12;5 mm,50\n' })
		const { code, err } = await inside(['new', '--from', 'readings.csv', 'mine'], folder)
		expect(code).toBe(1)
		expect(err).toMatch(/readings\.csv:3.*error/)
		expect(readdirSync(folder)).toEqual(['readings.csv'])
	})
})

describe('misuse ends with 2', () => {
	const files = { 'job.jsonc': covers, 'covers/other.jsonc': covers, 'empty/a.txt': '', 'readings.csv': 'mark,station\n' }
	const folder = folderWith(files)
	test.each([
		[[], 'Usage'],
		[['maek', '.'], 'make'],
		[['make', '.', '--papr', 'A4'], '--paper'],
		[['make'], 'job'],
		[['make', '.', 'more'], 'too many arguments'],
		[['make', 'nowhere.jsonc'], 'there is no nowhere.jsonc'],
		[['check', 'covers'], 'covers/other.jsonc'],
		[['check', 'empty'], 'stripewright new'],
		[['check', 'job.jsonc/inner'], 'job.jsonc/inner'],
		[['check', '.', '--paper', 'A33'], 'a3'],
		[['check', '.', '--printer', 'office'], 'office'],
		[['check', '.', '--shop', 'no-shop.jsonc'], 'no-shop.jsonc'],
		[['make', '.', '--out', 'job.jsonc'], 'is a file'],
		[['make', '.', '--out', 'covers'], 'covers holds other things'],
		[['make', '.', '--out', '.'], 'holds other things'],
		[['new', 'side-covers'], 'folder'],
		[['new', '--from', 'none.csv', 'mine'], 'there is no none.csv'],
		[['new', '--from', 'readings.csv'], 'folder'],
		[['new', '--from', 'readings.csv', 'a', 'b'], 'more than one'],
		[['new', '--from', 'readings.csv', 'a', '--unit', 'cm'], 'mm, in'],
		[['new', 'side-covers', 'mine', '--title', 'x'], '--from'],
	])('%j', async (words, says) => {
		const before = filesBelow(folder)
		const { code, out, err } = await inside(words, folder)
		expect([code, out]).toEqual([2, ''])
		expect(err).toContain(says)
		expect(filesBelow(folder)).toEqual(before)
		const json = await inside([...words, '--json'], folder)
		expect(json.code).toBe(2)
		if (words.length > 0) expect(JSON.parse(json.out)).toMatchObject({ ok: false, problems: [{ severity: 'error' }] })
	})
})

describe('files that are no job end with 1, or 2 where they are no text', () => {
	test.each([
		['empty', '', 1],
		['not JSON', 'title: covers', 1],
		['a wrong type', covers.replace('"unit": "mm"', '"unit": 3'), 1],
		['an unknown key', covers.replace('"title": "Small covers"', '"title": "x", "titel": "y"'), 1],
		['nonsense for a length', covers.replace('"station": 180', '"station": "12;5 mm"'), 1],
		['a negative width', covers.replace('"width": 3', '"width": -3'), 1],
		['the same id twice', covers.replace('"id": "cream"', '"id": "green"'), 1],
		['a line through an unknown mark', covers.replace(/("c1",\s*)"c2"/, '$1"c9"'), 1],
		['signs that are no text', Buffer.from([0x7b, 0xff, 0xfe, 0x00]), 2],
	])('%s', async (_, content, wanted) => {
		expect(content).not.toBe(covers)
		const folder = folderWith({ 'job.jsonc': content })
		const { code, out, err } = await inside(['make', '.'], folder)
		expect(code).toBe(wanted)
		expect(err).toMatch(/job\.jsonc.*error: /)
		expect(err).toMatch(/expected: .+\n +to do: .+/)
		expect(out).not.toContain('Files in')
		// with an error of the whole job, nothing is made
		expect(readdirSync(folder)).toEqual(['job.jsonc'])
	})
})

test('help and version go to stdout and end with 0; each command has an example', async () => {
	const folder = folderWith()
	const version = await command(['--version'], folder)
	expect(version).toEqual({
		code: 0,
		err: '',
		out: `${JSON.parse(text(new URL('../..', import.meta.url).pathname, 'package.json')).version}\n`,
	})
	for (const words of [['--help'], ['new', '--help'], ['check', '--help'], ['make', '--help']]) {
		const { code, out, err } = await inside(words, folder)
		expect([code, err]).toEqual([0, ''])
		expect(out).toMatch(/Examples?:\n {2}stripewright/)
	}
})

test('a job of another name has an out folder of its own', async () => {
	const folder = folderWith()
	writeFileSync(join(folder, 'tank.jsonc'), covers)
	expect((await inside(['make', 'tank.jsonc'], folder)).code).toBe(0)
	expect(readdirSync(folder).toSorted()).toEqual(['out-tank', 'tank.jsonc'])
})
