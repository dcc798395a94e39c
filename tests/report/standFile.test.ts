// The stand file in a Chromium that has no network, at the size of a phone.
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath, pathToFileURL } from 'node:url'
import axe, { type Result } from 'axe-core'
import { type Browser, chromium, type Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { isClearStep } from '../../src/plan/steps.ts'
import { stageWorks } from '../../src/report/paintworkPrint.ts'
import { standFile } from '../../src/report/standFile.ts'
import { stepWords } from '../../src/report/stepWords.ts'
import { demoPrint } from './demoPaintwork.ts'

const HOSTILE = `"><img src=x onerror="document.title='broken'"><script>document.title='broken'</script>`
const print = demoPrint('mm', (job) => ({ ...job, title: `Tarn ${HOSTILE}` }))
const html = standFile(print)

test('asks for nothing from anywhere, and gives the same bytes again', () => {
	const addresses = html.match(/\b(?:https?:)?\/\/[^\s"'<>]+/g) ?? []
	// names of XML, not places
	expect(addresses.filter((each) => !each.startsWith('http://www.w3.org/'))).toEqual([])
	expect(html).not.toMatch(/<(link|iframe|object|embed|base|form)\b|@import|url\(/i)
	expect(standFile(print)).toBe(html)
})

test('says the steps of the plan, each once and in its order; every run of tape is laid in one, which gives its length', () => {
	const said = [...html.matchAll(/ data-step="([^"]*)"/g)].map(([, id]) => id).filter((id) => !id?.includes('/check/'))
	expect(said).toEqual(print.paintwork.steps.flatMap(({ id, kind }) => (kind === 'check' && id.includes('/check/') ? [] : [id])))
	for (const of of stageWorks(print)) {
		const own = print.paintwork.steps.filter(({ prefix, stage, kind }) => {
			return prefix === of.work.prefix && stage === of.stage.number && (kind === 'lay' || kind === 'mask')
		})
		const steps = own.flatMap((step) => (isClearStep(step) ? [] : [stepWords(print, of, step)]))
		const laid = [...of.tape.runs, ...of.tape.knives].filter(({ laid }) => laid === of.stage.number)
		expect(steps.flatMap(({ number }) => number ?? []).sort((a, b) => a - b)).toEqual(
			laid.map(({ number }) => number).sort((a, b) => a - b),
		)
		for (const { number, lengthMm } of laid) {
			expect(steps.find((step) => step.number === number)?.length).toBe(`${lengthMm.toFixed(1)} mm`)
		}
	}
})

describe('in a browser', () => {
	const folder = mkdtempSync(join(tmpdir(), 'stripewright-stand-'))
	let browser: Browser | undefined
	const complaints: string[] = []
	const address = pathToFileURL(join(folder, 'stand.html')).href
	beforeAll(async () => {
		writeFileSync(join(folder, 'stand.html'), html)
		const setup = (await import(/* @vite-ignore */ fileURLToPath(new URL('../../scripts/setup.mjs', import.meta.url)))) as {
			findBrowser(): string | undefined
		}
		const executablePath = setup.findBrowser()
		if (executablePath === undefined) throw new Error('no Chromium on the PATH: npm test says what to install')
		browser = await chromium.launch({ executablePath, args: ['--headless', '--no-sandbox', '--disable-gpu'] })
	})
	afterAll(async () => {
		await browser?.close()
		rmSync(folder, { recursive: true, force: true })
	})

	async function opened({ script = true, width = 360 } = {}): Promise<Page> {
		const context = await browser!.newContext({
			...{ viewport: { width, height: 740 }, hasTouch: true, isMobile: width < 800, offline: true, javaScriptEnabled: script },
		})
		const page = await context.newPage()
		page.on('console', (message) => complaints.push(message.text()))
		page.on('pageerror', (error) => complaints.push(error.message))
		page.on('request', (request) => {
			if (request.url() !== address) complaints.push(`asked elsewhere: ${request.url()}`)
		})
		await page.goto(address)
		return page
	}
	const seenSteps = (page: Page) => page.locator('.step:visible').count()
	const where = (page: Page) => page.textContent('#where')

	test('one step at a time, by space bar, arrows and thumb; words of the job stay words', async () => {
		const page = await opened()
		expect(await page.title()).toBe(`Tarn ${HOSTILE}: at the stand`)
		expect(await page.locator('img').count()).toBe(0)
		expect(await seenSteps(page)).toBe(1)
		expect(await where(page)).toMatch(/^Step 1 of \d+$/)
		await page.keyboard.press('Space')
		await page.keyboard.press('ArrowRight')
		expect(await where(page)).toMatch(/^Step 3 /)
		await page.keyboard.press('ArrowLeft')
		await page.tap('#next')
		await page.tap('#next')
		await page.tap('#back')
		expect(await where(page)).toMatch(/^Step 3 /)
		expect(await seenSteps(page)).toBe(1)
	})

	test('the run of a step is marked on its picture', async () => {
		const page = await opened()
		await page.selectOption('#jump', 'card-side-cover-left-2-gold')
		await page.keyboard.press('Space')
		expect(await page.locator('.step:visible .what').textContent()).toMatch(
			/^1 Lay 25 mm fine-line tape along the upper edge of /,
		)
		expect(await page.locator('g.now').getAttribute('id')).toBe('side-cover-left-2-gold-run-1')
		await page.keyboard.press('Space')
		expect(await page.locator('g.now').getAttribute('id')).toBe('side-cover-left-2-gold-run-2')
	})

	test('a step that is ticked is remembered, and the next open one comes first', async () => {
		const page = await opened()
		await page.tap('.step:visible .tick')
		await page.keyboard.press('Space')
		expect(await where(page)).toMatch(/^Step 2 /)
		await page.reload()
		expect(await where(page)).toMatch(/^Step 2 /)
		await page.keyboard.press('ArrowLeft')
		expect(await page.locator('.step:visible input').isChecked()).toBe(true)
	})

	test.each([360, 820])(
		'nothing serious for those who see or hold badly, and nothing past the side, %d px wide',
		async (width) => {
			const page = await opened({ width })
			for (const card of ['card-tank-2-gold', 'card-tank-3-lake-green', 'check-side-cover']) {
				await page.selectOption('#jump', card)
				await page.keyboard.press('Space')
				await page.evaluate(axe.source)
				const { violations } = (await page.evaluate('axe.run(document)')) as { violations: readonly Result[] }
				expect(violations.map(({ id, nodes }) => `${id}: ${nodes[0]?.html}`)).toEqual([])
				const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth)
				expect(over).toBe(0)
				const small = await page.evaluate(() =>
					Array.from(document.querySelectorAll<HTMLElement>('button, select, .tick')).flatMap((each) => {
						const { width, height } = each.getBoundingClientRect()
						return width > 0 && (width < 44 || height < 44) ? [`${each.id || each.className}: ${width} x ${height}`] : []
					}),
				)
				expect(small).toEqual([])
			}
		},
	)

	test('without script all of it is a plain list', async () => {
		const page = await opened({ script: false })
		const all = (html.match(/class="step"/g) ?? []).length
		expect(all).toBeGreaterThan(100)
		expect(await seenSteps(page)).toBe(all)
		expect(await page.locator('#bar').isVisible()).toBe(false)
	})

	test('nothing was complained of, and nothing asked for', () => {
		expect(complaints).toEqual([])
	})
})
