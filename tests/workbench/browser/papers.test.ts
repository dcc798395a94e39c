// What the page prints, lays out, and takes from paper.
import { execFileSync, spawnSync } from 'node:child_process'
import { cpSync, mkdirSync, mkdtempSync, readFileSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { parse } from 'jsonc-parser'
import type { Page } from 'playwright-core'
import { expect, test } from 'vitest'
import { axeOf, look, served, smallTargets } from './browser.ts'

const SHOP = JSON.stringify({
	...{ format: 1, unit: 'mm', paper: 'A3' },
	printers: [{ id: 'plotter', measured: { across: 199.1, along: 200.3 } }],
})

/** The starter of a mudguard as the job "guard", and the shop that goes with it. */
function guard(shop?: string) {
	const folder = mkdtempSync(join(tmpdir(), 'stripewright-papers-'))
	mkdirSync(join(folder, 'guard'))
	cpSync('templates/coach-line-mudguard.jsonc', join(folder, 'guard', 'job.jsonc'))
	if (shop !== undefined) writeFileSync(join(folder, 'guard', 'shop.jsonc'), shop)
	return folder
}

const open = (page: Page, line: string) => page.getByRole('button', { name: new RegExp(`^${line}`) }).click()
const laid = (page: Page) => page.locator('.floor:not(.stale)').waitFor()
const until = async (holds: () => boolean) => {
	while (!holds()) await new Promise((done) => setTimeout(done, 20))
}

/** A PDF with its streams unpacked: how they were packed differs from library to library, what is in them must not. */
const unpacked = (file: string) =>
	execFileSync('qpdf', ['--qdf', '--object-streams=disable', '--static-id', file, '-'], { maxBuffer: 1e8 })

test('the PDF made in the page is the command line’s, to the last figure of every coordinate', async () => {
	const folder = guard(SHOP)
	const { page, complaints } = await look(await served(folder), { acceptDownloads: true })
	await open(page, 'Sheets')
	await laid(page)
	const made = spawnSync(process.execPath, ['dist/cli.js', 'make', join(folder, 'guard')], { encoding: 'utf8' })
	expect(made.stderr).not.toMatch(/error:/)
	const files: readonly (readonly [string, string])[] = [
		['Templates (PDF)', 'sheets.pdf'],
		['Both sides (PDF)', 'sides.pdf'],
	]
	for (const [says, name] of files) {
		const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: says }).press('Enter')])
		expect(download.suggestedFilename()).toBe(name)
		const own = join(folder, name)
		await download.saveAs(own)
		const [a, b] = [unpacked(own), unpacked(join(folder, 'guard', 'out', name))]
		expect(a.length).toBeGreaterThan(10_000)
		expect(a.equals(b), name).toBe(true)
	}
	expect(complaints).toEqual([])
})

test('a figure off the tape is typed, and go or lay again stands beside it', async () => {
	const folder = guard()
	const job = () =>
		parse(readFileSync(join(folder, 'guard', 'job.jsonc'), 'utf8')) as { panels: { checks?: { girth: unknown }[] }[] }
	const { page, complaints } = await look(await served(folder))
	await open(page, 'Both sides')
	const blank = page.locator('.told input').first()
	await blank.waitFor()
	const words = page.locator('.told .told-words').first()
	const plan = Number(/plan ([\d.]+)/.exec((await words.textContent()) ?? '')?.[1])
	expect(plan).toBeGreaterThan(0)
	await blank.focus()
	await page.keyboard.type(String(plan + 4))
	await page.locator('.told-words.re-lay').waitFor()
	expect(await words.textContent()).toMatch(/lay again: (3\.\d|4\.0) mm too far out; move it in/)
	await page.keyboard.press('Control+A')
	await page.keyboard.type(`${plan}`.replace('.', ','))
	await page.locator('.told-words.go').waitFor()
	await page.keyboard.press('Enter')
	const column = await page.evaluate(() => document.activeElement?.getAttribute('aria-label'))
	expect(column).toMatch(/girth as taped$/)
	expect(column).not.toBe(await blank.getAttribute('aria-label'))
	await until(() => job().panels[0]?.checks?.[0]?.girth === plan)
	expect(job().panels[0]?.checks).toHaveLength(1)
	// emptied again, it is no check any more
	await blank.fill('')
	await until(() => job().panels[0]?.checks === undefined)
	expect(await axeOf(page)).toEqual([])
	expect(complaints).toEqual([])
})

test('what the test sheet measured is kept in a shop’s file that was not there, and the sheets are laid out anew', async () => {
	const folder = guard()
	const { page, complaints } = await look(await served(folder), { size: 'touch' })
	await open(page, 'Sheets')
	await laid(page)
	expect(await page.locator('.count').textContent()).toMatch(/^\d+ sheets? of A4, \d+ pieces\.$/)
	expect(await axeOf(page)).toEqual([])
	expect(await smallTargets(page)).toEqual([])
	const before = await page.locator('.count').textContent()
	await page.getByLabel('Paper').selectOption('A3')
	await page.waitForFunction((was) => ![was, ''].includes(document.querySelector('.count')?.textContent ?? ''), before)
	await page.locator('.count', { hasText: 'of a3' }).waitFor()
	await page.getByLabel('Call the printer').fill('Office laser')
	await page.getByLabel('Across the sheet, mm').fill('20')
	await page.getByLabel('Along the sheet, mm').fill('200,4')
	const keep = page.getByRole('button', { name: 'Keep both figures' })
	await page.getByText('write both lengths in millimetres').waitFor()
	expect(await keep.isDisabled()).toBe(true)
	await page.getByLabel('Across the sheet, mm').fill('199.2')
	await keep.click()
	await page.getByText('Office laser from now on').waitFor()
	const shop = parse(readFileSync(join(folder, 'shop.jsonc'), 'utf8'))
	expect(shop).toMatchObject({
		printers: [{ id: 'office-laser', name: 'Office laser', measured: { across: 199.2, along: 200.4 } }],
	})
	await laid(page)
	expect(complaints).toEqual([])
})

test('a filled table goes into the job, and rows that do not fit are listed with their line', async () => {
	const folder = guard()
	const file = join(folder, 'guard', 'job.jsonc')
	const { page, complaints } = await look(await served(folder))
	const table = join(folder, 'figures.csv')
	const [first] = (parse(readFileSync(file, 'utf8')) as { panels: { readings: { mark: string; station: number }[] }[] })
		.panels[0]!.readings
	writeFileSync(
		table,
		`kind,mark,station,side,girth\r\nsquare,extra,${first!.station + 7},left,61.5\r\nsquare,other,12,left,many\r\n`,
	)
	await page.getByLabel('Open a table').setInputFiles(table)
	await page.locator('.table-in .problems li').first().waitFor()
	expect(await page.locator('.table-in [role=status]').textContent()).toMatch(/figures\.csv:.*1 reading new.*Line 3: /s)
	await until(() => readFileSync(file, 'utf8').includes('"extra"'))
	await page.keyboard.press('Control+Z')
	await until(() => !readFileSync(file, 'utf8').includes('"extra"'))
	expect(complaints).toEqual([])
})
