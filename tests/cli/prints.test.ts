import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { nodeDisk } from '../../src/files/disk.ts'
import { COVERS } from '../report/small.ts'
import { run, saved } from '../sheet/files.ts'
import { diskError, filesBelow, folderWith, inside } from './command.ts'

const covers = JSON.stringify(COVERS, null, '\t')
/** The words of a file, as poppler reads them. */
const words = (bytes: string) => run('pdftotext', [saved('a.pdf', Buffer.from(bytes, 'latin1')), '-'])
const sizes = (bytes: string) => run('pdfinfo', ['-box', '-l', '99', saved('a.pdf', Buffer.from(bytes, 'latin1'))])

describe('test-sheet', () => {
	test('writes one page and says what to do with it', async () => {
		const folder = folderWith()
		const { code, out, err } = await inside(['test-sheet'], folder)
		expect([code, err]).toEqual([0, ''])
		expect(out).toContain('test-sheet.pdf is ready. Print it on A4 at 100 %')
		const files = filesBelow(folder)
		expect(Object.keys(files)).toEqual(['test-sheet.pdf'])
		expect(words(files['test-sheet.pdf']!)).toContain('"measured"')
		// A4 in points: 210 and 297 mm times 72 / 25.4
		expect(sizes(files['test-sheet.pdf']!)).toMatch(/MediaBox: +0.00 +0.00 +595.28 +841.89/)
	})

	test('takes the shop’s printer, margins and paper, and prints them without its correction', async () => {
		const shop = {
			format: 1,
			unit: 'mm',
			paper: 'A3',
			printers: [{ id: 'office', name: 'Office laser', measured: { across: 199.2, along: 200.6 } }],
		}
		const folder = folderWith({ 'shop.jsonc': JSON.stringify(shop) })
		const { code } = await inside(['test-sheet', '--out', 'prints/a3.pdf'], folder)
		expect(code).toBe(0)
		const text = words(filesBelow(folder)['prints/a3.pdf']!)
		expect(text).toContain('Office laser')
		expect(text).toContain('A3, 297 × 420 mm')
		expect(text).toContain('199.2 mm across and 200.6 mm along now')
		expect(text).toContain('ACROSS: 200 mm')
	})

	test.each([
		[['test-sheet', '--paper', 'A44'], 'UNKNOWN_PAPER', 2],
		[['test-sheet', '--printer', 'nobody'], 'UNKNOWN_PRINTER', 2],
		[['test-sheet', '--shop', 'none.jsonc'], 'FILE_MISSING', 2],
		[['test-sheet', '--out', 'taken.pdf'], 'FILE_IN_THE_WAY', 2],
		[['test-sheet', '--shop', 'wide.jsonc'], 'PAPER_TOO_SMALL', 1],
	])('%j is refused as %s', async (line, problem, exit) => {
		const wide = {
			format: 1,
			unit: 'mm',
			printers: [{ id: 'wide', margins: { left: 120, right: 120, top: 120, bottom: 120 } }],
		}
		const folder = folderWith({ 'taken.pdf': 'mine', 'wide.jsonc': JSON.stringify(wide) })
		const before = filesBelow(folder)
		const { code, out } = await inside([...line, '--json'], folder)
		expect(code).toBe(exit)
		expect(JSON.parse(out).problems.map((one: { code: string }) => one.code)).toContain(problem)
		expect(filesBelow(folder)).toEqual(before)
	})

	test('leaves nothing on a full disk', async () => {
		const folder = folderWith()
		const writeNew = async (path: string, bytes: Uint8Array) => {
			await nodeDisk.writeNew(path, bytes.subarray(0, 100))
			throw diskError('ENOSPC', path)
		}
		const { code, err } = await inside(['test-sheet'], folder, { ...nodeDisk, writeNew })
		expect(code).toBe(1)
		expect(err).toContain('the disk was full')
		expect(filesBelow(folder)).toEqual({})
	})
})

describe('make for film', () => {
	test('--mirrored says so on every sheet, and mirrors what is cut', async () => {
		const folder = folderWith({ 'job.jsonc': covers })
		expect((await inside(['make', '.', '--out', 'plain'], folder)).code).toBe(0)
		expect((await inside(['make', '.', '--out', 'film', '--mirrored'], folder)).code).toBe(0)
		const [plain, film] = [filesBelow(join(folder, 'plain')), filesBelow(join(folder, 'film'))]
		expect(Object.keys(film)).toEqual(Object.keys(plain))
		const pages = Number(/Pages: +(\d+)/.exec(sizes(film['sheets.pdf']!))?.[1])
		expect(words(film['sheets.pdf']!).match(/MIRRORED: for film applied face down/g)?.length).toBe(pages)
		expect(words(plain['sheets.pdf']!)).not.toContain('MIRRORED')
		const name = Object.keys(plain).find((one) => one.startsWith('pieces/'))!
		/** x of the points of the closed lines, from their middle, by size */
		const reach = (svg: string) => {
			const data = /<g id="knife">.*?<path d="([^"]*)"/s.exec(svg)?.[1] ?? ''
			return [...data.matchAll(/[ML](-?[\d.]+) (-?[\d.]+)/g)].map((match) => [Number(match[1]), Number(match[2])] as const)
		}
		const [a, b] = [reach(plain[name]!), reach(film[name]!)]
		const width = (svg: string) => Number(/ width="([\d.]+)mm"/.exec(svg)?.[1])
		expect(width(film[name]!)).toBeCloseTo(width(plain[name]!), 3)
		expect(a.length).toBeGreaterThan(3)
		for (const [x, y] of a) {
			const nearest = Math.min(...b.map(([u, v]) => Math.hypot(width(plain[name]!) - x - u, y - v)))
			expect(nearest).toBeLessThan(0.01)
		}
	})

	test('--cutter nests the pieces on film of that size, in either unit', async () => {
		const folder = folderWith({ 'job.jsonc': covers })
		const { code, out } = await inside(['make', '.', '--cutter', '24inx24in', '--json'], folder)
		expect(code).toBe(0)
		expect(JSON.parse(out).files).toContain('cutter/sheet-1.svg')
		const svg = filesBelow(join(folder, 'out'))['cutter/sheet-1.svg']!
		expect(svg).toContain('width="609.6mm" height="609.6mm"')
		for (const id of ['knife', 'weeding', 'register', 'numbers']) expect(svg).toContain(`<g id="${id}">`)
	})

	test('--cutter alone takes the shop’s film, gap, boxes and marks; a size that is typed goes before its film', async () => {
		const shop = {
			format: 1,
			unit: 'mm',
			cutter: { sheet: { width: 700, height: 500 }, gap: 20, weedingBox: false, registerMarks: false },
		}
		const folder = folderWith({ 'job.jsonc': covers, 'shop.jsonc': JSON.stringify(shop) })
		const sheet = async (...more: string[]) => {
			const { code } = await inside(['make', '.', '--cutter', ...more], folder)
			expect(code).toBe(0)
			return filesBelow(join(folder, 'out'))['cutter/sheet-1.svg']!
		}
		const svg = await sheet()
		expect(svg).toContain('width="700mm" height="500mm"')
		for (const id of ['weeding', 'register']) expect(svg).not.toContain(`<g id="${id}">`)
		// from the film's edge to the nearest knife line
		const knife = /<g id="knife">.*?<\/g>/s.exec(svg)?.[0] ?? ''
		const xs = [...knife.matchAll(/[ML](-?[\d.]+) -?[\d.]+/g)].map((match) => Number(match[1]))
		expect(Math.min(...xs)).toBeCloseTo(20, 2)
		expect(await sheet('24inx24in')).toContain('width="609.6mm" height="609.6mm"')
	})

	test('--cutter alone is refused where the shop file has no film, with what to write', async () => {
		const folder = folderWith({ 'job.jsonc': covers })
		const { code, err } = await inside(['make', '.', '--cutter'], folder)
		expect(code).toBe(2)
		expect(err).toContain('"cutter": { "sheet": { "width": 600, "height": 400 } }')
		expect(Object.keys(filesBelow(folder))).toEqual(['job.jsonc'])
	})

	test('a piece that is larger than the film is named, and the rest is made', async () => {
		const folder = folderWith({ 'job.jsonc': covers })
		const { code, err } = await inside(['make', '.', '--cutter', '60x60'], folder)
		expect(code).toBe(1)
		expect(err).toContain('on a cutter’s sheet of 60 x 60 mm')
		expect(Object.keys(filesBelow(join(folder, 'out')))).toContain('sheets.pdf')
	})

	test.each(['600', 'x', '0x400', '600x400x3', 'wide x high', '-600x400'])('--cutter %s is refused', async (size) => {
		const folder = folderWith({ 'job.jsonc': covers })
		const { code, err } = await inside(['make', '.', `--cutter=${size}`], folder)
		expect(code).toBe(2)
		expect(err).toContain('--cutter 600x400 (mm)')
		expect(Object.keys(filesBelow(folder))).toEqual(['job.jsonc'])
	})
})
