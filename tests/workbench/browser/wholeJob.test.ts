// What is said of a whole job in the page: its unit; shapes that are begun there; the shop's file changed and taken back.
import { cpSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { parse } from 'jsonc-parser'
import type { Page } from 'playwright-core'
import { expect, test, vi } from 'vitest'
import { loadJob } from '../../../src/job/load.ts'
import { axeOf, look, served, smallTargets } from './browser.ts'

/** The starter of a mudguard as the job "guard". */
function guard() {
	const folder = mkdtempSync(join(tmpdir(), 'stripewright-whole-'))
	mkdirSync(join(folder, 'guard'))
	const file = join(folder, 'guard', 'job.jsonc')
	cpSync('templates/coach-line-mudguard.jsonc', file)
	const text = () => readFileSync(file, 'utf8')
	return { folder, file, text, job: () => parse(text(), [], { allowTrailingComma: true }) }
}
const until = (holds: () => boolean) =>
	vi.waitFor(() => expect(holds(), String(holds)).toBe(true), { timeout: 10_000, interval: 20 })
const open = (page: Page, line: string) => page.locator('.line-head', { has: page.getByText(line, { exact: true }) }).click()

test('the unit is changed in the head line: every length stays, half-typed rows too, and one step back brings the file back', async () => {
	const { folder, text } = guard()
	const before = text()
	const { page, complaints } = await look(await served(folder), { size: 'touch' })
	await page.locator('.picture:not(.stale)').waitFor()
	const rows = await page.locator('.measure tbody tr').count()
	// a row that is not whole yet: a girth with no station
	await page.locator(`.measure [data-row="${rows - 1}"][data-column="name"]`).fill('new')
	await page.locator(`.measure [data-row="${rows - 1}"][data-column="reading"]`).fill('31')
	await page.getByLabel('Figures in').selectOption('in')
	await page.getByText('Figures without a unit are in inches from now on').waitFor()
	await until(() => text().includes('"unit": "in"'))
	expect(loadJob(text()).value!.job.panels).toEqual(loadJob(before).value!.job.panels)
	expect(await page.locator(`.measure [data-row="${rows - 1}"][data-column="reading"]`).inputValue()).toBe('31 mm')
	expect(await page.locator('.measure [data-row="0"][data-column="reading"]').inputValue()).toMatch(/ mm$/)
	expect(await axeOf(page)).toEqual([])
	expect(await smallTargets(page)).toEqual([])
	await page.locator('.the-job > summary').click()
	await page.getByLabel('Name of the job').waitFor()
	expect(await smallTargets(page)).toEqual([])
	await page.locator('.the-job > summary').click()
	// a figure typed now is in inches
	await page.locator('.measure [data-row="0"][data-column="reading"]').fill('1 1/2')
	await until(() => text().includes('"1 1/2"'))
	expect(loadJob(text()).value!.job.panels[0]!.readings[0]).toMatchObject({ girth: 38.1 })
	await page.getByRole('button', { name: 'Undo' }).click()
	await page.getByRole('button', { name: 'Undo' }).click()
	await until(() => text() === before)
	expect(await page.getByLabel('Figures in').inputValue()).toBe('mm')
	// there and back again is the same file
	await page.getByLabel('Figures in').selectOption('in')
	await until(() => text().includes('"unit": "in"'))
	await page.getByLabel('Figures in').selectOption('mm')
	await until(() => text() === before)
	expect(complaints).toEqual([])
}, 60_000)

test('a shape read with a tape alone is begun in the page, and a patch and strips are written in', async () => {
	const { folder, job } = guard()
	const { page, complaints } = await look(await served(folder), { size: 'touch' })
	await open(page, 'Shape')
	await page.getByLabel('How its shape was captured').selectOption('taped')
	const take = page.getByRole('button', { name: 'Take this shape' })
	await page.getByLabel('Lines were struck square off it at').fill('0; 60; 120; 180; 240')
	await page.getByLabel('Lengths were laid at girth').fill('30')
	expect(await take.isDisabled()).toBe(true)
	await page.getByLabel('From line to line the tape read').fill('59 58.5 58,5 59')
	await take.click()
	await until(() => job().panels[0].found.kind === 'taped')
	expect(job().panels[0].found).toEqual({
		...{ kind: 'taped', stations: [0, 60, 120, 180, 240], laid: [{ girth: 30, lengths: [59, 58.5, 58.5, 59] }] },
	})
	await page.getByLabel('new laid tape, Girth').waitFor()
	await page.getByRole('button', { name: 'Undo' }).click()
	await until(() => job().panels[0].found.kind === 'revolved')
	await open(page, 'The panel')
	for (const summary of ['Patches where paper', 'Where girth strips']) await page.locator('summary', { hasText: summary }).click()
	expect(await axeOf(page)).toEqual([])
	expect(await smallTargets(page)).toEqual([])
	const [a, b, c] = job()
		.panels[0].readings.map(({ mark }: { mark: string }) => mark)
		.filter((m: string, i: number, all: string[]) => m && all.indexOf(m) === i)
	for (const [of, mark] of [
		['First', a],
		['Second', b],
		['Third', c],
	] as const) {
		const field = page.getByLabel(`${of} mark of the patch`)
		await field.fill(`right/${mark}`)
		await field.blur()
	}
	await page.getByRole('button', { name: 'Begin a patch' }).click()
	await page.getByLabel('At the stations').fill('60 120')
	await until(() => job().panels[0].strips?.stations?.length === 2)
	expect(job().panels[0].patches).toEqual([{ id: 'patch', outline: [`right/${a}`, `right/${b}`, `right/${c}`] }])
	await page.getByLabel('Paint runs on over it').uncheck()
	await until(() => job().panels[0].patches[0].painted === false)
	expect(complaints).toEqual([])
}, 60_000)

/** A saddle of 30 by 30 squares as an OBJ: z = x*x/800 - y*y/300, mm. */
function saddle(): string {
	const lines: string[] = []
	const n = 30
	for (let i = 0; i <= n; i++)
		for (let j = 0; j <= n; j++) {
			const [x, y] = [i * 10, (j - n / 2) * 5]
			lines.push(`v ${x} ${y} ${-(y * y) / 300}`)
		}
	for (let i = 0; i < n; i++)
		for (let j = 0; j < n; j++) {
			const a = i * (n + 1) + j + 1
			lines.push(`f ${a} ${a + 1} ${a + n + 2}`, `f ${a} ${a + n + 2} ${a + n + 1}`)
		}
	return `${lines.join('\n')}\n`
}

test('a scan is picked, put beside the job, and taken with three places', async () => {
	const { folder, job } = guard()
	const scan = join(folder, 'saddle.obj')
	writeFileSync(scan, saddle())
	const { page, complaints } = await look(await served(folder))
	await open(page, 'Shape')
	await page.getByLabel('How its shape was captured').selectOption('scan')
	await page.getByLabel('The scan (STL, PLY or OBJ)').setInputFiles(scan)
	await page.getByText('saddle.obj is put beside the job').waitFor()
	expect(readdirSync(join(folder, 'guard'))).toContain('saddle.obj')
	await page.getByLabel('Figures of the scan are in').selectOption('mm')
	const places = [
		['front-bolt', 0, 0, 0],
		['tail', 300, 0, 0],
		['edge', 150, 70, -(70 * 70) / 300],
	] as const
	for (const [i, [name, x, y, z]] of places.entries()) {
		const place = page.locator('.place').nth(i)
		await place.getByLabel('Name').fill(name)
		await place.getByLabel('Name').blur()
		for (const [says, figure] of [
			...[['Scan x', x] as const, ['Scan y', y] as const, ['Scan z', z] as const],
			...[['Rearward', x] as const, ['To the right', y] as const, ['Up', z] as const],
		])
			await place.getByLabel(says, { exact: true }).fill(figure.toFixed(3))
	}
	await page.getByRole('button', { name: 'Take this shape' }).click()
	await until(() => job().panels[0].found.kind === 'scan')
	expect(loadJob(JSON.stringify(job())).problems.filter(({ severity }) => severity === 'error')).toEqual([])
	expect(job().panels[0].found).toMatchObject({ file: 'saddle.obj', unit: 'mm', datums: [{}, { vehicle: [300, 0, 0] }, {}] })
	expect(complaints).toEqual([])
}, 60_000)

test('what was changed in the shop’s file is taken back and done again, and the paper is chosen again after a reload', async () => {
	const { folder } = guard()
	const shop = () => parse(readFileSync(join(folder, 'shop.jsonc'), 'utf8')) as Record<string, unknown>
	const { page, complaints } = await look(await served(folder))
	await open(page, 'Sheets')
	await page.locator('.floor:not(.stale)').waitFor()
	await page.getByLabel('Paper').selectOption('Letter')
	await page.locator('.count', { hasText: /letter/i }).waitFor()
	await page.reload()
	await open(page, 'Sheets')
	await page.locator('.count', { hasText: /letter/i }).waitFor()
	await page.getByLabel('Mirrored').check()
	await page.getByRole('button', { name: 'Use these from now on' }).click()
	await until(() => /shop/.test(readdirSync(folder).join(' ')) && String(shop().paper).toLowerCase() === 'letter')
	expect(await page.getByLabel('Mirrored').isChecked()).toBe(true)
	await page.getByLabel('Call the printer').fill('Office laser')
	await page.getByLabel('Across the sheet, mm').fill('199.2')
	await page.getByLabel('Along the sheet, mm').fill('200,4')
	await page.getByRole('button', { name: 'Keep both figures' }).click()
	await until(() => Array.isArray(shop().printers))
	const back = page.getByRole('button', { name: 'Take back' })
	await back.click()
	await until(() => shop().printers === undefined)
	await page.getByText('No printer has been measured yet').waitFor()
	await page.getByRole('button', { name: 'Do again' }).click()
	await until(() => Array.isArray(shop().printers))
	await back.click()
	await until(() => shop().printers === undefined)
	await back.click()
	await until(() => shop().paper === undefined)
	// changed elsewhere it is not taken back from here
	await page.getByRole('button', { name: 'Do again' }).click()
	await until(() => String(shop().paper).toLowerCase() === 'letter')
	writeFileSync(join(folder, 'shop.jsonc'), '{ "format": 1, "unit": "mm", "paper": "A3" }')
	await page.evaluate(() => window.dispatchEvent(new Event('focus')))
	await back.waitFor({ state: 'detached' })
	expect(shop().paper).toBe('A3')
	expect(complaints).toEqual([])
}, 90_000)

test('mirrored sheets say so, and pieces lie on film', async () => {
	const { folder } = guard()
	const { page, complaints } = await look(await served(folder), { acceptDownloads: true })
	await open(page, 'Sheets')
	await page.locator('.floor:not(.stale)').waitFor()
	await page.getByLabel('Mirrored, for film that is laid face down').check()
	await page.locator('.floor:not(.stale)').waitFor()
	await page.locator('summary', { hasText: 'Sheets of film for a cutter' }).click()
	await page.getByLabel('Film across').fill('1000')
	await page.getByLabel('Film along').fill('600')
	const [download] = await Promise.all([
		page.waitForEvent('download'),
		page.getByRole('button', { name: 'All pieces on film (SVG)' }).click(),
	])
	expect(download.suggestedFilename()).toMatch(/^cutter(-sheet\.svg|\.zip)$/)
	expect(await axeOf(page)).toEqual([])
	expect(complaints).toEqual([])
}, 90_000)
