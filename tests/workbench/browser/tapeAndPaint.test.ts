// Tape and Paint in a browser: the plan stepped through, signed off, measured again, and what is mixed for it.
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { parse } from 'jsonc-parser'
import type { Page } from 'playwright-core'
import { expect, test, vi } from 'vitest'
import { axeOf, jobsFolder, look, type Running, served, smallTargets } from './browser.ts'

const JOB = 'fixtures/tarn-350-toolbox'
const jobOf = (folder: string, name = 'tarn-350-toolbox') =>
	parse(readFileSync(join(folder, name, 'job.jsonc'), 'utf8'), [], { allowTrailingComma: true })
const SLOW = { timeout: 60_000, interval: 100 }

const open = (page: Page, line: string) => page.locator('.line-head', { has: page.getByText(line, { exact: true }) }).click()
const worked = async (page: Page) => {
	await page.locator('.step-stand:not(.stale), .film-stand:not(.stale)').waitFor(SLOW)
	await page.locator('.step-picture svg').waitFor(SLOW)
}
const stepNumber = async (page: Page) =>
	Number(/Step (\d+) of/.exec((await page.locator('.step-stand header').textContent()) ?? '')?.[1])
const said = (page: Page) => page.locator('.step-sentence').textContent()

async function tape(server: Running, size: 'desk' | 'touch') {
	// a tablet in a stand is held upright
	const looked = await look(server, { size, ...(size === 'touch' ? { viewport: { width: 800, height: 1280 } } : {}) })
	await looked.page.waitForFunction(() => (document.querySelector('canvas')?.dataset.drawn ?? '') !== '')
	// the thread that works tape and paint out is not begun before they are looked at
	expect(looked.page.workers()).toHaveLength(1)
	await open(looked.page, 'Tape')
	await worked(looked.page)
	expect(looked.page.workers()).toHaveLength(2)
	return looked
}

/** Goes on until a run is laid. */
async function toFirstRun(page: Page, go: () => Promise<void>) {
	for (let i = 0; i < 12 && !/^\d+Lay .* tape/.test((await said(page)) ?? ''); i++) await go()
}

test('the space bar goes from step to step, one is signed off, and an edge as painted is typed in', async () => {
	const folder = jobsFolder(JOB)
	const { page, complaints } = await tape(await served(folder), 'desk')
	expect(await stepNumber(page)).toBe(1)
	await toFirstRun(page, () => page.keyboard.press(' '))
	const at = await stepNumber(page)
	expect(at).toBeGreaterThan(1)
	// one length, and the run that is meant stands out from the others on the picture
	expect(await page.locator('.step-length').textContent()).toMatch(/^[\d.]+ mm$/)
	expect(await page.locator('.step-picture g.now').count()).toBe(1)
	const size = await page.locator('.step-sentence').evaluate((element) => Number.parseFloat(getComputedStyle(element).fontSize))
	expect(size).toBeGreaterThanOrEqual(28)
	await page.keyboard.press('ArrowRight')
	expect(await stepNumber(page)).toBe(at + 1)
	await page.keyboard.press('ArrowLeft')
	expect(await stepNumber(page)).toBe(at)

	await page.getByRole('button', { name: 'Done today' }).focus()
	await page.keyboard.press(' ')
	// the button is pressed, and nothing else happens
	expect(await stepNumber(page)).toBe(at)
	await vi.waitFor(() => expect(jobOf(folder).paintwork?.done).toHaveLength(1), SLOW)
	const [done] = jobOf(folder).paintwork.done
	expect(done.step).toMatch(/\/lay\/\d+$/)
	expect(done.on).toMatch(/^\d{4}-\d{2}-\d{2}$/)
	await page.getByLabel('Note', { exact: true }).fill('pulled in one go')
	await vi.waitFor(() => expect(jobOf(folder).paintwork.done[0].note).toBe('pulled in one go'), SLOW)
	await page.getByRole('button', { name: 'Undo' }).click()
	await page.getByRole('button', { name: 'Undo' }).click()
	await vi.waitFor(() => expect(jobOf(folder).paintwork?.done ?? []).toEqual([]), SLOW)

	const blank = page.getByLabel(/girth as painted$/).first()
	await blank.waitFor(SLOW)
	const plan = Number(/plan ([\d.]+)/.exec((await page.locator('.told .told-words').first().textContent()) ?? '')?.[1])
	await blank.fill(String(plan + 0.5))
	await page.locator('.told-words', { hasText: '0.5 mm more than planned' }).waitFor()
	await vi.waitFor(() => expect(jobOf(folder).panels[0].painted?.[0]?.girth).toBeCloseTo(plan + 0.5, 6), SLOW)
	// what is typed with the space bar is typed
	expect(await stepNumber(page)).toBe(at)
	await worked(page)
	expect(complaints).toEqual([])
	expect(await axeOf(page)).toEqual([])
}, 180_000)

test('a thumb goes on and back, and another order of the paints can be taken', async () => {
	const folder = jobsFolder('fixtures/tarn-350')
	const { page, complaints } = await tape(await served(folder), 'touch')
	await page.getByRole('button', { name: 'Next' }).tap()
	expect(await stepNumber(page)).toBe(2)
	await page.getByRole('button', { name: 'Back' }).tap()
	expect(await stepNumber(page)).toBe(1)
	expect(await smallTargets(page)).toEqual([])
	expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(800)
	const bar = await page.locator('.step-bar').boundingBox()
	expect((bar?.y ?? 9999) + (bar?.height ?? 0)).toBeLessThan(1280)
	expect(await axeOf(page)).toEqual([])
	const chosen = await page.locator('.order-chosen').textContent()
	await page.getByText('Other orders, and what they cost').tap()
	const other = page.locator('.orders button').first()
	const name = ((await other.textContent()) ?? '').replace(/^Spray /, '')
	expect(name).not.toBe(chosen)
	await other.tap()
	await vi.waitFor(() => expect(jobOf(folder, 'tarn-350').paintwork?.order?.length).toBeGreaterThan(1), SLOW)
	await vi.waitFor(async () => expect(await page.locator('.order-chosen').textContent()).toBe(name), SLOW)
	expect(complaints).toEqual([])
}, 180_000)

test('a count of coats is typed, and what is to be mixed follows', async () => {
	const folder = jobsFolder('fixtures/tarn-350')
	const { page, complaints } = await tape(await served(folder), 'desk')
	await open(page, 'Paint')
	await worked(page)
	const first = page.locator('.sessions li').first()
	const ml = async () => Number(/to mix (\d+) ml/.exec((await first.textContent()) ?? '')?.[1])
	const before = await ml()
	expect(before).toBeGreaterThan(0)
	const paint = /Session 1: ([^,]+),/.exec((await first.textContent()) ?? '')?.[1] ?? ''
	await page.locator('.paint-line .block-head', { hasText: paint }).click()
	await page.getByLabel('Coats', { exact: true }).fill('9')
	await vi.waitFor(async () => expect(await first.textContent()).toContain('9 coats'), SLOW)
	// three is the usual count; what is said is rounded up to the next 5 ml
	expect(Math.abs((await ml()) - 3 * before)).toBeLessThanOrEqual(15)
	await vi.waitFor(() => expect(JSON.stringify(jobOf(folder, 'tarn-350').paints)).toContain('"coats":9'), SLOW)
	await page.getByLabel('new card, Coats').fill('4')
	await vi.waitFor(
		() => expect(jobOf(folder, 'tarn-350').paintwork?.sprayOut?.[0]).toMatchObject({ coats: 4, matched: true }),
		SLOW,
	)
	await page.getByLabel('Decals', { exact: true }).selectOption('under')
	await page.locator('.consequences .chosen', { hasText: 'Under the clear: chosen' }).waitFor()
	await worked(page)
	expect(complaints).toEqual([])
	expect(await axeOf(page)).toEqual([])
}, 180_000)

test('cards and the stand file are among the downloads', async () => {
	const folder = jobsFolder(JOB)
	const { page } = await tape(await served(folder), 'desk')
	for (const [says, name] of [
		['Stage cards (PDF)', 'stage-cards.pdf'],
		['For a phone at the stand (HTML)', 'stand.html'],
	] as const) {
		const [download] = await Promise.all([
			page.waitForEvent('download', { timeout: 60_000 }),
			page.getByRole('button', { name: says }).press('Enter'),
		])
		expect(download.suggestedFilename()).toBe(name)
	}
}, 180_000)
