import { cpSync, mkdirSync, mkdtempSync, readFileSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { parse } from 'jsonc-parser'
import type { Page } from 'playwright-core'
import { expect, test } from 'vitest'
import { axeOf, look, served, smallTargets } from './browser.ts'

/** A folder with the starter of a mudguard as the job "guard", its text changed by `change`. */
function guard(change: (text: string) => string = (text) => text) {
	const folder = mkdtempSync(join(tmpdir(), 'stripewright-guard-'))
	mkdirSync(join(folder, 'guard'))
	const file = join(folder, 'guard', 'job.jsonc')
	cpSync('templates/coach-line-mudguard.jsonc', file)
	writeFileSync(file, change(readFileSync(file, 'utf8')))
	return { folder, file, job: () => parse(readFileSync(file, 'utf8')) as GuardJob }
}
interface GuardJob {
	readonly panels: readonly [{ readonly readings: readonly Readonly<Record<string, unknown>>[] }]
}

const cell = (page: Page, row: number, column: string) => page.locator(`[data-row="${row - 1}"][data-column="${column}"]`)
const saved = (page: Page) => page.getByText('Everything is saved').waitFor()
/** Waits for the disk; the test's own time limit ends a wait that is in vain. */
async function until(holds: () => boolean): Promise<void> {
	while (!holds()) await new Promise((done) => setTimeout(done, 20))
}
const drawn = (page: Page) => page.locator('.picture:not(.stale)').waitFor()

test('a slip is named in words beside its row, found by keyboard, mended, and taken back', async () => {
	// 38.5 written as 83.5: two figures changed places.
	const { folder, job } = guard((text) =>
		text.replace('"station": 120, "side": "right", "girth": 38.5', '"station": 120, "side": "right", "girth": 83.5'),
	)
	const { page, complaints } = await look(await served(folder))
	await drawn(page)
	const worst = page.locator('.worst')
	await worst.waitFor()
	expect(await worst.textContent()).toMatch(/row 4/)
	await worst.getByRole('button').press('Enter')
	await page.waitForFunction(() => document.activeElement?.getAttribute('data-column') === 'reading')
	const focused = await page.evaluate(() => document.activeElement?.getAttribute('data-row'))
	expect(focused).toBe('3')
	await page.keyboard.press('Control+A')
	await page.keyboard.type('38,5')
	await worst.waitFor({ state: 'detached' })
	await until(() => job().panels[0].readings[3]?.girth === 38.5)
	await page.keyboard.press('Control+Z')
	await worst.waitFor()
	expect(await cell(page, 4, 'reading').inputValue()).toBe('83.5')
	await page.keyboard.press('Control+Shift+Z')
	await worst.waitFor({ state: 'detached' })
	expect(complaints).toEqual([])
})

test('a half-typed figure leaves the picture as it was and is not lost by a reload', async () => {
	const { folder, job, file } = guard()
	const before = readFileSync(file, 'utf8')
	const { page } = await look(await served(folder))
	await drawn(page)
	await cell(page, 1, 'reading').fill('34 1/')
	await page
		.getByText(/34 1\//)
		.first()
		.waitFor()
	expect(readFileSync(file, 'utf8')).toBe(before)
	expect(await page.locator('.problems .error').count()).toBe(0)
	await page.reload()
	await drawn(page)
	expect(await cell(page, 1, 'reading').inputValue()).toBe('34 1/')
	// Noughts on the way to a figure stay where they were typed.
	await cell(page, 2, 'reading').fill('')
	await cell(page, 2, 'reading').pressSequentially('34.05')
	await until(() => job().panels[0].readings[1]?.girth === 34.05)
	await cell(page, 1, 'reading').fill('34 1/2')
	await until(() => job().panels[0].readings[0]?.girth === '34 1/2')
	// what was written beside it stays
	expect(readFileSync(file, 'utf8')).toContain('// Lengths that check the others')
})

test('a mark that differs left from right: both rows are named, since either may be wrong, and each can be gone to', async () => {
	const { folder } = guard((text) =>
		text.replace('"station": 120, "side": "right", "girth": 38.5', '"station": 120, "side": "right", "girth": 44'),
	)
	const { page, complaints } = await look(await served(folder))
	await drawn(page)
	const worst = page.locator('.worst')
	expect(await worst.textContent()).toMatch(/row 3 or 4\. m2, which differs left from right by 5\.5 mm/)
	await worst.getByRole('button', { name: 'Go to row 3' }).press('Enter')
	await page.waitForFunction(() => document.activeElement?.getAttribute('data-row') === '2')
	await worst.getByRole('button', { name: 'Go to row 4' }).press('Enter')
	await page.waitForFunction(() => document.activeElement?.getAttribute('data-row') === '3')
	expect(complaints).toEqual([])
})

test('beside a row and under the ledger the same is said of what checks a mark', async () => {
	const { folder } = guard()
	const { page } = await look(await served(folder))
	await drawn(page)
	// m1 left: no tape comes to it, but the other side and its line tell
	const said = (row: number) => page.locator(`tr[data-index="${row - 1}"] .fits`)
	await said(1)
		.getByText(/^(other side|its line) checks it$/)
		.waitFor()
	await page.getByText('every mark of it is checked').waitFor()
	expect(await page.getByText('nothing checks it').count()).toBe(0)
	// a line measured on one side alone, through two marks: nothing tells, here or there
	const alone = guard((text) =>
		text
			.replace(/\{ "kind": "(square|width|tape)"[^\n]*/g, (line) => (/"m[12]".*left/.test(line) ? line : '//'))
			.replace('["m1", "m2", "m3", "m4", "m5"]', '["m1", "m2"]'),
	)
	const other = await look(await served(alone.folder))
	await drawn(other.page)
	await other.page.locator('.next', { hasText: 'nothing checks' }).waitFor()
	expect(await other.page.locator('.fits', { hasText: 'nothing checks it' }).count()).toBe(2)
	expect(await other.page.getByText('is checked').count()).toBe(0)
})

test('200 readings are pasted in one step, and taken back in one', async () => {
	const { folder, job } = guard()
	const { page } = await look(await served(folder), { permissions: ['clipboard-read', 'clipboard-write'] })
	await drawn(page)
	// A spreadsheet's rows: kind, mark, to, station, girth with a decimal comma, side.
	const rows = Array.from({ length: 200 }, (_, i) => {
		const side = i % 2 === 0 ? 'left' : 'right'
		return ['girth', `p${Math.floor(i / 2)}`, '', `${4 + Math.floor(i / 2) * 5}`, `${30 + (i % 7)},5`, side].join('\t')
	}).join('\r\n')
	await page.evaluate((text) => navigator.clipboard.writeText(text), rows)
	const last = (await page.locator('.ledger tbody tr').count()) || 1
	await cell(page, last, 'name').focus()
	await page.evaluate(
		({ text, row }) => {
			const data = new DataTransfer()
			data.setData('text/plain', text)
			const target = document.querySelector(`[data-row="${row}"][data-column="name"]`)
			target?.dispatchEvent(new ClipboardEvent('paste', { clipboardData: data, bubbles: true, cancelable: true }))
		},
		{ text: rows.replaceAll('girth\t', ''), row: last - 1 },
	)
	await page.locator('.ledger tbody tr').nth(211).waitFor()
	await until(() => job().panels[0].readings.length === 212)
	expect(job().panels[0].readings[12]).toEqual({ kind: 'square', mark: 'p0', station: 4, girth: 30.5, side: 'left' })
	await page.getByRole('button', { name: 'Undo' }).click()
	await until(() => job().panels[0].readings.length === 12)
})

test('two windows on one job: what one saves the other shows, and where both have typed both texts are kept', async () => {
	const { folder, job } = guard()
	const server = await served(folder)
	const [one, other] = [await look(server), await look(server)]
	await drawn(one.page)
	await drawn(other.page)
	await cell(one.page, 1, 'reading').fill('35')
	await saved(one.page)
	await other.page.waitForFunction(
		() => (document.querySelector('[data-row="0"][data-column="reading"]') as HTMLInputElement | null)?.value === '35',
	)
	// The file is written by an editor while this window has something unsaved.
	await other.page.route('**/api/jobs/guard', (route) => (route.request().method() === 'PUT' ? route.abort() : route.continue()))
	await cell(other.page, 1, 'reading').fill('36')
	await other.page.getByText('does not answer').waitFor()
	await cell(one.page, 1, 'reading').fill('37')
	await until(() => job().panels[0].readings[0]?.girth === 37)
	await other.page.unroute('**/api/jobs/guard')
	await other.page.getByText('changed elsewhere').waitFor()
	expect(job().panels[0].readings[0]?.girth).toBe(37)
	await other.page.getByRole('button', { name: 'Keep what is here' }).click()
	await saved(other.page)
	await until(() => job().panels[0].readings[0]?.girth === 36)
})

test('what is taken back while it is being saved stays taken back', async () => {
	const { folder, job } = guard()
	const { page } = await look(await served(folder))
	await drawn(page)
	// On its way to the disk when it is taken back; the page hears that the file has changed before it hears that this was its own text.
	const pause = () => new Promise((done) => setTimeout(done, 1000))
	let sent = false
	await page.route('**/api/jobs/guard', async (route) => {
		if (route.request().method() !== 'PUT') return route.continue()
		sent = true
		await pause()
		const response = await route.fetch()
		await pause()
		await route.fulfill({ response })
	})
	await cell(page, 1, 'reading').fill('35')
	await until(() => sent)
	await page.keyboard.press('Control+Z')
	await until(() => job().panels[0].readings[0]?.girth === 35)
	await until(() => job().panels[0].readings[0]?.girth === 34)
	await saved(page)
	expect(await cell(page, 1, 'reading').inputValue()).toBe('34')
})

test('killed, the program leaves a whole file; the page says so, keeps what is typed, and saves it when the program is back', async () => {
	const { folder, job } = guard()
	const server = await served(folder)
	const { page } = await look(server)
	await drawn(page)
	const written = page.waitForResponse((reply) => reply.request().method() === 'PUT' && reply.ok())
	await cell(page, 1, 'reading').fill('35.5')
	await written
	await server.end('SIGKILL')
	expect(job().panels[0].readings[0]?.girth).toBe(35.5)
	await cell(page, 2, 'reading').fill('36.5')
	await page.getByText('does not answer').waitFor()
	await served(folder, Number(new URL(server.address).port))
	await until(() => job().panels[0].readings[1]?.girth === 36.5)
})

test('a job that cannot be read opens with the place of the fault and its text, and can be mended there', async () => {
	const { folder, job } = guard((text) =>
		text.replace('"station": 240, "side": "left", "girth": 40', '"station": 240, "side": "left", "girth": "forty"'),
	)
	const { page } = await look(await served(folder))
	await page.getByText('has to be mended').waitFor()
	const area = page.locator('textarea')
	await area.fill((await area.inputValue()).replace('"forty"', '40'))
	await drawn(page)
	await until(() => job().panels[0].readings[4]?.girth === 40)
})

test('in inches, on a touch screen: fractions as typed, targets for a thumb, nothing serious for axe', async () => {
	const { folder, job } = guard((text) =>
		text
			.replace('"unit": "mm"', '"unit": "in"')
			.replace(
				/"(station|girth|length|chord|rise|front)": (-?[\d.]+)/g,
				(_, key, mm) => `"${key}": ${(Number(mm) / 25.4).toFixed(4)}`,
			)
			.replace(
				/\[(-?[\d.]+), (-?[\d.]+)\]/g,
				(_, a, b) => `[${(Number(a) / 25.4).toFixed(4)}, ${(Number(b) / 25.4).toFixed(4)}]`,
			),
	)
	const { page, complaints } = await look(await served(folder), { size: 'touch' })
	await drawn(page)
	await cell(page, 1, 'reading').tap()
	await cell(page, 1, 'reading').fill('1 5/16')
	await until(() => job().panels[0].readings[0]?.girth === '1 5/16')
	expect(await axeOf(page)).toEqual([])
	expect(await smallTargets(page)).toEqual([])
	expect(complaints).toEqual([])
})
