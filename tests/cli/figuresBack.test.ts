// What is written into a job is read by other readers: Papa for the tables, jsonc-parser for the job.
import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { parse } from 'jsonc-parser'
import Papa from 'papaparse'
import { describe, expect, test } from 'vitest'
import type { JobInput } from '../../src/job/schema.ts'
import { folderWith, inside } from './command.ts'

const REMARK = '// laid out as I like it\n'
const reading = (mark: string, station: number, girth: number, side: string) => ({ kind: 'square', mark, station, girth, side })
const panel = (hand: string, readings: object[], more: object = {}) => ({
	...{ id: 'lid', hand, found: { kind: 'flat' }, datums: [{ id: 'nose', station: 0 }], readings },
	edges: [{ id: 'line', through: ['a', 'b', 'c', 'd'] }],
	stripes: [{ id: 'coach', edge: 'line', lay: 'outboard', bands: [{ paint: 'gold', width: 8 }] }],
	...more,
})
const jobOf = (...panels: object[]) =>
	REMARK +
	JSON.stringify(
		{ format: 1, title: 'Lid', unit: 'mm', paints: [{ id: 'gold', name: 'Gold', colour: '#c9a227' }], panels },
		undefined,
		2,
	)
const AT = [
	['a', 0, 70],
	['b', 110, 90],
	['c', 220, 96],
	['d', 330, 88],
] as const
const both = AT.flatMap(([mark, s, g]) => ['left', 'right'].map((side) => reading(mark, s, g, side)))

type Row = Record<string, string>
const text = (folder: string, name: string) => readFileSync(join(folder, name), 'utf8')
const rowsOf = (folder: string, name: string) => {
	const [remark, ...rest] = text(folder, name).trim().split('\r\n')
	expect(remark).toMatch(/^# Lid: fill the blanks/)
	return Papa.parse<Row>(rest.join('\n'), { header: true }).data
}
const save = (folder: string, name: string, rows: readonly Row[]) => writeFileSync(join(folder, name), Papa.unparse([...rows]))
const panelIn = (folder: string) => (parse(text(folder, 'job.jsonc')) as JobInput).panels[0]!

describe('what a proof missed the old paint by', () => {
	test('from the table beside it into the job and to the verdict, decimals with a comma', async () => {
		const folder = folderWith({ 'job.jsonc': jobOf(panel('centre', both)) })
		const made = await inside(['proof', '.', '--semicolons'], folder)
		expect([made.code, made.out]).toEqual([0, expect.stringContaining('enter . proof.csv')])
		const rows = rowsOf(folder, 'proof.csv')
		// every tick once, though strips and guides both have it
		expect(new Set(rows.map((row) => [row.line, row.side, row['station (mm)']].join())).size).toBe(rows.length)
		expect(rows.some((row) => /^\d+ \d+/.test(row.piece!))).toBe(true)
		const blank = await inside(['enter', '.', 'proof.csv'], folder)
		expect(blank.out).toContain('Nothing new')
		expect(blank.out).toContain('still blank')
		expect(text(folder, 'job.jsonc')).toBe(jobOf(panel('centre', both)))

		const own = rows.filter((row) => row.line === 'coach inner' && row.side === 'left')
		own.forEach((row, i) => {
			row['misses (mm)'] = i === 0 ? '0' : '0,5'
			row.towards = i === 0 ? '' : 'outb'
		})
		save(folder, 'filled.csv', rows)
		const entered = await inside(['enter', '.', 'filled.csv'], folder)
		expect([entered.code, entered.out]).toEqual([0, expect.stringContaining(`${own.length} ticks new`)])
		expect(entered.err).toContain('decimal comma')
		expect(text(folder, 'job.jsonc').startsWith(REMARK)).toBe(true)
		expect(panelIn(folder).proof).toEqual(
			own.map((row, i) => ({
				...{ line: 'coach inner', side: 'left', station: Number(row['station (mm)']!.replace(',', '.')) },
				...(i === 0 ? { misses: 0 } : { misses: 0.5, towards: 'outboard' }),
			})),
		)
		const judged = await inside(['check', '.'], folder)
		expect(judged.out).toContain(`coach, inner edge, left: safe to strip (${own.length} ticks`)
	})

	test('in inches stations stand as they are printed, with their unit where they would be taken for a date', async () => {
		const inches = both.map((each) => ({ ...each, station: each.station / 20, girth: each.girth / 20 }))
		const folder = folderWith({
			'job.jsonc': jobOf(panel('centre', inches)).replace('"mm"', '"in"').replace('"width": 8', '"width": 0.3'),
		})
		expect((await inside(['proof', '.'], folder)).code).toBe(0)
		const rows = rowsOf(folder, 'proof.csv')
		expect(rows.some((row) => row['station (in)']!.includes('/'))).toBe(true)
		for (const row of rows) {
			expect(row['station (in)']).toMatch(/^\d+$|^(\d+ )?\d+\/\d+ in$/)
			Object.assign(row, { 'misses (in)': '1/64 in', towards: 'inboard' })
		}
		save(folder, 'filled.csv', rows)
		expect(await inside(['enter', '.', 'filled.csv'], folder)).toMatchObject({ code: 0, err: '' })
		const judged = await inside(['check', '.'], folder)
		expect([judged.code, judged.err]).toEqual([0, expect.not.stringContaining('tick')])
		expect(judged.out.match(/safe to strip/g)).toHaveLength(4)
	})

	test('a row that does not fit is refused with its line, the rest is kept; looked at again it takes the place of before', async () => {
		const was = { line: 'coach inner', side: 'left', station: '11 cm', misses: 2, towards: 'inboard', note: 'kept' }
		const folder = folderWith({ 'job.jsonc': jobOf(panel('centre', both, { proof: [was] })) })
		const row = (line: string, side: string, station: string, misses: string, towards: string) => {
			const cells = { kind: 'proof', panel: 'lid', line, side, station, misses, towards }
			return cells
		}
		save(folder, 'filled.csv', [
			row('Coach Inner', 'left', '110', '1', 'inb'),
			row('coach inner', 'right', '110', '1', ''),
			row('coach iner', 'right', '110', '0', ''),
			row('coach inner', 'above', '110', '0', ''),
			row('coach inner', 'right', '110', '-1', 'inb'),
			row('coach inner', 'right', '110', '1', 'upwards'),
			row('line', 'right', '220', '0', ''),
		])
		const { code, err, out } = await inside(['enter', '.', 'filled.csv'], folder)
		expect(code).toBe(1)
		for (const line of [3, 4, 5, 6, 7]) expect(err).toContain(`filled.csv:${line}`)
		expect(err).not.toMatch(/filled.csv:[28]/)
		expect(err).toContain('Write coach inner')
		expect(out).toContain('changed coach inner at station 110, left: misses 1, before 2')
		expect(panelIn(folder).proof).toEqual([
			{ ...was, station: '11 cm', misses: 1 },
			{ line: 'line', side: 'right', station: 220, misses: 0 },
		])
	})
})

describe('edges as taped', () => {
	test.each([
		['centre', both],
		['pair', ['left', 'right'].flatMap((panel) => AT.map(([m, s, g]) => ({ ...reading(m, s, g, 'above'), panel })))],
		['left', AT.map(([m, s, g]) => reading(m, s, g, 'above'))],
	])('on a %s: the plan of each place, entered as what was measured, is go everywhere', async (hand, readings) => {
		const folder = folderWith({ 'job.jsonc': jobOf(panel(hand, readings)) })
		expect((await inside(['check-sheet', '.'], folder)).code).toBe(0)
		const rows = rowsOf(folder, 'check-sheet.csv')
		const two = hand === 'left' ? 1 : 2
		expect(rows.length).toBeGreaterThanOrEqual(3 * 2 * two)
		for (const row of rows) row['girth (mm)'] = row.plan!
		save(folder, 'filled.csv', rows)
		const entered = await inside(['enter', '.', 'filled.csv'], folder)
		expect([entered.code, entered.err]).toEqual([0, ''])
		expect(entered.out).toContain(`${rows.length} taped places new`)
		const checks = panelIn(folder).checks!
		expect(checks).toHaveLength(rows.length)
		expect(new Set(checks.map(({ side }) => side))).toEqual(new Set(hand === 'left' ? [undefined] : ['left', 'right']))
		const again = await inside(['enter', '.', 'filled.csv'], folder)
		expect(again.out).toContain('Nothing new')
		const judged = await inside(['check', '.'], folder)
		expect([judged.code, judged.err]).toEqual([0, expect.not.stringContaining('TAPED')])
		expect(judged.out).toContain('go')
	})

	test('what is known of readings holds: a panel that is not said, another list added beside the first, remarks kept', async () => {
		const second = panel('centre', both, { id: 'guard' })
		const folder = folderWith({ 'job.jsonc': jobOf(panel('centre', both), second) })
		const table = [
			'kind,mark,line,side,station,girth,misses',
			'proof,,coach inner,left,110,,0',
			'check,,coach outer,left,110,98,',
			'square,b,,left,110,91,',
		].join('\n')
		writeFileSync(join(folder, 'table.csv'), table)
		const lost = await inside(['enter', '.', 'table.csv'], folder)
		expect([lost.code, lost.err]).toEqual([1, expect.stringContaining('do not say of which panel')])
		const { code, out } = await inside(['enter', '.', 'table.csv', '--panel', 'lid'], folder)
		expect([code, out]).toEqual([0, expect.stringContaining('2 rows new, 1 changed')])
		expect(panelIn(folder)).toMatchObject({
			proof: [{ line: 'coach inner', side: 'left', station: 110, misses: 0 }],
			checks: [{ line: 'coach outer', side: 'left', station: 110, girth: 98 }],
		})
		expect((parse(text(folder, 'job.jsonc')) as JobInput).panels[1]).toEqual(second)
		expect(text(folder, 'job.jsonc').startsWith(REMARK)).toBe(true)
	})

	test('a new job is begun from readings alone', async () => {
		const folder = folderWith({ 'table.csv': 'kind,line,side,station,misses\nproof,coach inner,left,110,0\n' })
		const { code, err } = await inside(['new', '--from', 'table.csv', 'lid'], folder)
		expect([code, err]).toEqual([1, expect.stringContaining('the kind "proof"')])
	})
})
