// A job begun from the table of a measuring sheet that was filled in a spreadsheet.
import { spawnSync } from 'node:child_process'
import { cpSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { parse } from 'jsonc-parser'
import Papa from 'papaparse'
import { expect, test } from 'vitest'
import { axeOf, look, served } from './browser.ts'

/** Station, girth left, girth right: the figures of the starter's own readings. */
const FIGURES: Readonly<Record<string, readonly [string, string, string]>> = {
	...{ m1: ['0', '34', '34.5'], m2: ['120', '38.5', '38.5'], m3: ['240', '40', '39.5'] },
	...{ m4: ['360', '38', '38.5'], m5: ['480', '33.5', '34'] },
}
const LENGTHS: Readonly<Record<string, string>> = {
	...{ 'front-hole rear-hole': '480', 'rear-hole right/m4': '125', 'left/m3 right/m3': '79.5' },
}

/** The measuring sheet's own table of the starter, typed into row by row as a spreadsheet would save it. */
function filledSheet(): string {
	const folder = mkdtempSync(join(tmpdir(), 'stripewright-sheet-'))
	mkdirSync(join(folder, 'guard'))
	cpSync('templates/coach-line-mudguard.jsonc', join(folder, 'guard', 'job.jsonc'))
	const made = spawnSync(process.execPath, ['dist/cli.js', 'measuring-sheet', join(folder, 'guard')], { encoding: 'utf8' })
	expect(made.status).toBe(0)
	const { data } = Papa.parse<string[]>(readFileSync(join(folder, 'guard', 'measuring-sheet.csv'), 'utf8').replace('\ufeff', ''))
	const heading = data.find(([first]) => first === 'kind') as string[]
	const at = (name: string) => heading.findIndex((one) => one.startsWith(name))
	for (const row of data) {
		const [station, left, right] = FIGURES[row[at('mark')] ?? ''] ?? []
		if (row[0] === 'square' && station) {
			row[at('station')] = station
			row[at('girth')] = (row[at('side')] === 'left' ? left : right) as string
		}
		const length = LENGTHS[`${row[at('from')]} ${row[at('to')]}`]
		if (length) row[at('length')] = length
	}
	return Papa.unparse(data)
}

test('a measuring sheet’s table begins a job; a row that cannot be read is said with what to do, and nothing is begun', async () => {
	const folder = mkdtempSync(join(tmpdir(), 'stripewright-begin-'))
	const tables = mkdtempSync(join(tmpdir(), 'stripewright-tables-'))
	const { page, complaints } = await look(await served(folder))
	const [good, wrong] = [join(tables, 'good.csv'), join(tables, 'wrong.csv')]
	const csv = filledSheet()
	writeFileSync(good, csv)
	writeFileSync(wrong, csv.replace('left,120,38.5', 'left,120,38.5x'))

	await page.getByLabel('Call it').fill('Guard from paper')
	await page.getByLabel('Begin from').selectOption({ label: 'figures from a filled table (CSV)' })
	await page.getByLabel('The table').setInputFiles(wrong)
	await page.getByRole('button', { name: 'Begin' }).click()
	const trouble = page.getByRole('alert')
	await trouble.waitFor()
	// the heading is line 2, after the remark; m2 left is the third row under it
	expect(await trouble.textContent()).toMatch(/line 5: error: .*38\.5x[\s\S]*to do: +\S[\s\S]*No job was begun/)
	expect(readdirSync(folder).filter((name) => !name.startsWith('.'))).toEqual([])
	expect(await axeOf(page)).toEqual([])

	await page.getByLabel('The table').setInputFiles(good)
	await page.getByRole('button', { name: 'Begin' }).click()
	await page.locator('.picture:not(.stale)').waitFor()
	expect(await page.locator('h1').textContent()).toBe('Guard from paper')
	const job = parse(readFileSync(join(folder, 'guard-from-paper', 'job.jsonc'), 'utf8')) as {
		readonly title: string
		readonly panels: readonly { readonly id: string; readonly readings: readonly Readonly<Record<string, unknown>>[] }[]
	}
	expect(job.panels.map(({ id }) => id)).toEqual(['front-mudguard'])
	const readings = job.panels[0]?.readings ?? []
	expect(readings).toHaveLength(13)
	for (const [mark, [station, left, right]] of Object.entries(FIGURES)) {
		const own = readings.filter((one) => one.mark === mark)
		expect(own.map(({ station: s, girth, side }) => [s, girth, side])).toEqual([
			[Number(station), Number(left), 'left'],
			[Number(station), Number(right), 'right'],
		])
	}
	expect(
		readings.filter(({ kind }) => kind !== 'square').map(({ from, to, length }) => [`${from} ${to}`, String(length)]),
	).toEqual(Object.entries(LENGTHS))
	// the lengths find their ends: nothing is left without a place
	expect(await page.locator('.problems .error').count()).toBe(0)
	expect(complaints.filter((said) => !said.includes('422'))).toEqual([])
})

test('a table of nothing, of half a sheet and of bare fractions', async () => {
	const folder = mkdtempSync(join(tmpdir(), 'stripewright-begin-'))
	const { page } = await look(await served(folder))
	await page.getByLabel('Call it').fill('Fractions')
	await page.getByLabel('Begin from').selectOption({ label: 'figures from a filled table (CSV)' })
	const begin = async (csv: string) => {
		await page.getByLabel('The table').setInputFiles({ name: 'a.csv', mimeType: 'text/csv', buffer: Buffer.from(csv) })
		await page.getByRole('button', { name: 'Begin' }).click()
	}
	await begin('kind,panel,mark,side,station,girth\nsquare,tank,a,left,,\n')
	await page.getByRole('alert').getByText('No row of this table has a figure yet').waitFor()
	await begin('mark,station,left\na,1 1/2,1 13/16\n')
	await page.getByRole('alert').getByText('say that your tape is in inches').waitFor()
	await page.getByLabel('Your tape is in').selectOption('in')
	await page.getByRole('button', { name: 'Begin' }).click()
	await page.getByText('Readings in inches').waitFor()
	// half a sheet, of two panels: headings that say inches are believed
	await page.goto(page.url().replace(/#.*/, '#/'))
	await page.getByLabel('Call it').fill('Half')
	await page.getByLabel('Begin from').selectOption({ label: 'figures from a filled table (CSV)' })
	await begin(
		'kind,panel,mark,side,station (in),girth (in)\nsquare,Fuel tank,a,left,2,1 1/2\nsquare,Fuel tank,b,left,,\nsquare,cover left,c,above,1,1\n',
	)
	await page.getByText('Readings in inches').waitFor()
	const job = parse(readFileSync(join(folder, 'half', 'job.jsonc'), 'utf8')) as {
		readonly panels: readonly { readonly id: string; readonly readings: readonly unknown[] }[]
	}
	expect(job.panels.map(({ id, readings }) => [id, readings.length])).toEqual([
		['fuel-tank', 1],
		['cover', 1],
	])
})
