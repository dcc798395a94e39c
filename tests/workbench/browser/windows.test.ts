// Many windows on one folder, and two folders in one browser.
import { cpSync, mkdirSync, mkdtempSync, readFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { parse } from 'jsonc-parser'
import type { Page } from 'playwright-core'
import { expect, test } from 'vitest'
import { look, served } from './browser.ts'

function guard() {
	const folder = mkdtempSync(join(tmpdir(), 'stripewright-windows-'))
	mkdirSync(join(folder, 'guard'))
	const file = join(folder, 'guard', 'job.jsonc')
	cpSync('templates/coach-line-mudguard.jsonc', file)
	const first = () =>
		(parse(readFileSync(file, 'utf8')) as { panels: { readings: { girth: unknown }[] }[] }).panels[0]?.readings[0]
	return { folder, first }
}
const drawn = (page: Page) => page.locator('.picture:not(.stale)').waitFor()
const girth = (page: Page) => page.locator('[data-row="0"][data-column="reading"]')

test('of ten windows every one opens and saves: those that nobody looks at hold no connection', async () => {
	const { folder, first } = guard()
	const server = await served(folder)
	const { page, complaints } = await look(server)
	await drawn(page)
	const behind: Page[] = []
	for (let i = 0; i < 9; i++) {
		const next = await page.context().newPage()
		// a headless browser shows all its windows at once: the page is told what one with tabs tells it
		await next.addInitScript(() => {
			let state: DocumentVisibilityState = 'visible'
			Object.defineProperty(document, 'visibilityState', { get: () => state, configurable: true })
			addEventListener('hide' as never, () => {
				state = 'hidden'
				document.dispatchEvent(new Event('visibilitychange'))
			})
			addEventListener('show' as never, () => {
				state = 'visible'
				document.dispatchEvent(new Event('visibilitychange'))
			})
		})
		await next.goto(`${server.address}#guard`)
		await drawn(next)
		await next.evaluate(() => dispatchEvent(new Event('hide')))
		behind.push(next)
	}
	await girth(behind[8] as Page).fill('35.5')
	while (first()?.girth !== 35.5) await new Promise((done) => setTimeout(done, 20))
	// the one in front hears of it at once, one behind when it is looked at again
	await page.waitForFunction(
		() => (document.querySelector('[data-row="0"][data-column="reading"]') as HTMLInputElement).value === '35.5',
	)
	const one = behind[0] as Page
	expect(await girth(one).inputValue()).toBe('34')
	await one.evaluate(() => dispatchEvent(new Event('show')))
	await one.waitForFunction(
		() => (document.querySelector('[data-row="0"][data-column="reading"]') as HTMLInputElement).value === '35.5',
	)
	expect(complaints).toEqual([])
}, 180_000)

test('rows half typed for one job are not shown in another of the same name in another folder', async () => {
	const [a, b] = [guard(), guard()]
	const server = await served(a.folder)
	const { page } = await look(server)
	await drawn(page)
	await girth(page).fill('34 1/')
	await page.getByText(/34 1\/.*not finished/).waitFor()
	await server.end()
	// the same address, so that the browser takes it for the same site
	const port = Number(new URL(server.address).port)
	const other = await served(b.folder, port)
	await page.goto('about:blank')
	await page.goto(`${other.address}#guard`)
	await drawn(page)
	expect(await girth(page).inputValue()).toBe('34')
	await other.end()
	await page.goto('about:blank')
	await page.goto(`${(await served(a.folder, port)).address}#guard`)
	await drawn(page)
	expect(await girth(page).inputValue()).toBe('34 1/')
}, 120_000)
