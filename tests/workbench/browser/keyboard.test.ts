// A whole job by keyboard alone: no pointer is ever used, and wherever the focus goes it can be seen.
import { mkdtempSync, readFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { parse } from 'jsonc-parser'
import { PDFDocument } from 'pdf-lib'
import type { Page } from 'playwright-core'
import { expect, test } from 'vitest'
import { strokedPaths } from '../../outside/vectors.ts'
import { axeOf, look, served } from './browser.ts'

/** What has the focus, as it is called, and why it could not be seen, if so. */
function focus(page: Page): Promise<{ readonly name: string; readonly hidden: string }> {
	return page.evaluate(() => {
		const at = document.activeElement as HTMLElement
		const own = at.getAttribute('aria-label') ?? (at as HTMLInputElement).labels?.[0]?.textContent ?? at.textContent ?? at.tagName
		const name = own.trim().replace(/\s+/g, ' ').slice(0, 80)
		if (at === document.body) return { name: 'nothing', hidden: '' }
		const { left, top, width, height } = at.getBoundingClientRect()
		const there = document.elementFromPoint(left + width / 2, top + height / 2)
		const { outlineStyle, outlineWidth } = getComputedStyle(at)
		const seen = there !== null && (at.contains(there) || there.contains(at))
		const ringed = outlineStyle !== 'none' && Number.parseFloat(outlineWidth) >= 2
		return { name, hidden: seen ? (ringed ? '' : 'no ring') : 'out of sight' }
	})
}

const MOST_TABS = 150
const LOOKS = 20

/** As `focus`, once the page has come to rest: what arrives while one tabs on moves things, and they are scrolled back into sight. */
async function settledFocus(page: Page): ReturnType<typeof focus> {
	let at = await focus(page)
	for (let i = 0; i < LOOKS && at.hidden !== ''; i++) {
		await page.waitForTimeout(50)
		at = await focus(page)
	}
	return at
}

/** Tab, or Shift+Tab, until what is called so has the focus. Every stop on the way has to be seen. */
async function tabTo(page: Page, name: RegExp, key = 'Tab'): Promise<void> {
	const passed: string[] = []
	for (let i = 0; i < MOST_TABS; i++) {
		await page.keyboard.press(key)
		const at = await settledFocus(page)
		if (at.name === 'nothing') continue
		expect([at.name, at.hidden]).toEqual([at.name, ''])
		if (name.test(at.name)) return
		passed.push(at.name)
	}
	throw new Error(`${name} was not come to, but ${passed.join(' | ')}`)
}

const at = async (page: Page) => (await focus(page)).name
const until = async (holds: () => boolean) => {
	while (!holds()) await new Promise((done) => setTimeout(done, 20))
}
interface Written {
	readonly panels: readonly [Readonly<Record<'readings' | 'edges' | 'stripes', readonly Readonly<Record<string, unknown>>[]>>]
}

test('a new job from the first screen to a printed piece of true size', async () => {
	const folder = mkdtempSync(join(tmpdir(), 'stripewright-keys-'))
	const { page, complaints } = await look(await served(folder), { acceptDownloads: true })
	const { keyboard } = page
	const job = () => parse(readFileSync(join(folder, 'rear-guard', 'job.jsonc'), 'utf8')) as Written
	await page.getByText('Begin a new job').waitFor()

	// The three questions.
	await tabTo(page, /^Call it/)
	await keyboard.type('Rear guard')
	await tabTo(page, /^Which panel/)
	await keyboard.type('Rear mudguard')
	await tabTo(page, /^Where will you hook/)
	await keyboard.type('front bolt hole')
	await tabTo(page, /^Begin$/)
	await keyboard.press('Enter')
	await page.locator('.first-three').waitFor()
	await page.waitForFunction(() => document.activeElement !== document.body)
	expect(await at(page)).toMatch(/^The panel/)
	await tabTo(page, /^Where will you hook/)
	expect(await page.evaluate(() => (document.activeElement as HTMLInputElement).value)).toBe('front bolt hole')

	// Readings: Tab goes from figure to figure, Enter after the last one to the next mark.
	await tabTo(page, /^Measure/)
	await keyboard.press('Enter')
	await tabTo(page, /^Row 1, mark$/)
	for (const [mark, station] of [
		['a', '20'],
		['b', '95'],
		['c', '170'],
	] as const) {
		for (const side of ['left', 'right']) {
			for (const figure of [mark, station, '40']) {
				await keyboard.type(figure)
				await keyboard.press('Tab')
			}
			await keyboard.type(side)
			await keyboard.press('Enter')
		}
	}
	expect(await at(page)).toBe('Row 7, mark')
	await until(() => job().panels[0].readings.length === 6)
	// A tape: the kind lies left of the mark, for the arrows.
	await keyboard.press('ArrowLeft')
	expect(await focus(page)).toEqual({ name: 'Row 7, kind of reading', hidden: '' })
	await keyboard.press('ArrowDown')
	await keyboard.press('ArrowRight')
	for (const figure of ['left/a', 'left/c']) {
		await keyboard.type(figure)
		await keyboard.press('Tab')
	}
	await keyboard.type('150')
	// What is typed is kept at every rest: 15 is, too, where the machine is slow.
	await until(() => job().panels[0].readings[6]?.length === 150)
	expect(job().panels[0].readings[6]).toEqual({ kind: 'tape', from: 'left/a', to: 'left/c', length: 150 })
	// One row too many, taken away again.
	await keyboard.press('Enter')
	for (const figure of ['right/a', 'right/c']) {
		await keyboard.type(figure)
		await keyboard.press('Tab')
	}
	await keyboard.type('15')
	await until(() => job().panels[0].readings.length === 8)
	await keyboard.press('End')
	await keyboard.press('ArrowRight')
	expect(await focus(page)).toEqual({ name: 'Take row 8 away', hidden: '' })
	await keyboard.press('Enter')
	await until(() => job().panels[0].readings.length === 7)
	expect(await focus(page)).toEqual({ name: 'Row 8, from', hidden: '' })
	// up the column, where the rows have a reading alike
	await keyboard.press('ArrowUp')
	expect(await at(page)).toBe('Row 7, from')
	// What to measure next comes from the marks, before there is a line.
	await page.getByText('Measure these next').waitFor()
	expect(await axeOf(page)).toEqual([])

	// A line through the marks, and a stripe on it, 20 wide, as one piece.
	await tabTo(page, /^Scheme/)
	await keyboard.press('Enter')
	await tabTo(page, /^Lay an edge through a, b, c$/)
	await keyboard.press('Enter')
	await tabTo(page, /^Lay a stripe$/, 'Shift+Tab')
	await keyboard.press('Enter')
	await tabTo(page, /^band 1, .*[Ww]idth/, 'Shift+Tab')
	await keyboard.type('20')
	await tabTo(page, /^Made with/)
	await keyboard.type('one')
	await until(() => job().panels[0].stripes[0]?.templates === 'piece')
	expect(job().panels[0].stripes[0]).toMatchObject({ edge: 'line', bands: [{ width: 20 }] })

	await tabTo(page, /^Both sides/)
	await keyboard.press('Enter')
	await page.getByText('Left and right agree at every mark.').waitFor()
	await tabTo(page, /^Sheets/)
	await keyboard.press('Enter')
	await page.locator('.count', { hasText: /sheet/ }).waitFor()
	await tabTo(page, /^Templates \(PDF\)$/)
	const [download] = await Promise.all([page.waitForEvent('download'), keyboard.press('Enter')])
	const pdf = join(folder, 'sheets.pdf')
	await download.saveAs(pdf)
	await page.getByText('it is among your downloads').waitFor()
	expect(await at(page)).toBe('Templates (PDF)')

	// Read back by another program: 170 - 20 = 150 mm long, 20 mm wide, left and right.
	const pages = (await PDFDocument.load(readFileSync(pdf))).getPages()
	const sizes = pages.flatMap((sheet, i) =>
		strokedPaths(pdf, i + 1, (sheet.getHeight() * 25.4) / 72).flatMap(({ lines }) =>
			lines.map((points) => {
				const [xs, ys] = [points.map(({ x }) => x), points.map(({ y }) => y)]
				return [Math.max(...xs) - Math.min(...xs), Math.max(...ys) - Math.min(...ys)].sort((p, q) => p - q) as [number, number]
			}),
		),
	)
	const pieces = sizes.filter(([short, long]) => Math.abs(short - 20) < 0.05 && Math.abs(long - 150) < 0.05)
	expect(pieces.length, JSON.stringify(sizes)).toBeGreaterThanOrEqual(2)
	expect(complaints).toEqual([])
}, 180_000)

test('a starter, begun and taken to its sheets', async () => {
	const folder = mkdtempSync(join(tmpdir(), 'stripewright-keys-'))
	const { page, complaints } = await look(await served(folder), { acceptDownloads: true })
	const { keyboard } = page
	await page.locator('option', { hasText: 'Mudguard with coach lines' }).waitFor({ state: 'attached' })
	await tabTo(page, /^Call it/)
	await keyboard.type('Guard of 62')
	await tabTo(page, /^Begin from/)
	await keyboard.type('Mudguard')
	await tabTo(page, /^Begin$/)
	await keyboard.press('Enter')
	await page.locator('.picture:not(.stale)').waitFor()
	await page.waitForFunction(() => document.activeElement !== document.body)
	expect(await at(page)).toMatch(/^Measure/)
	await tabTo(page, /^Sheets/)
	await keyboard.press('Enter')
	await page.locator('.count', { hasText: /sheet/ }).waitFor()
	await tabTo(page, /^Templates \(PDF\)$/)
	const [download] = await Promise.all([page.waitForEvent('download'), keyboard.press('Enter')])
	expect(download.suggestedFilename()).toBe('sheets.pdf')
	expect(complaints).toEqual([])
}, 120_000)
