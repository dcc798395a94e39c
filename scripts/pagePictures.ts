// Draws the pictures of the workbench in docs/pictures/: every line of the demo's job card, on a laptop and on a ten-inch tablet.
import { spawn } from 'node:child_process'
import { cpSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { chromium } from 'playwright-core'

const root = fileURLToPath(new URL('..', import.meta.url))
const target = join(root, 'docs', 'pictures')
const SIZES = {
	desk: { viewport: { width: 1280, height: 800 } },
	tablet: { viewport: { width: 1180, height: 820 }, hasTouch: true, isMobile: true },
} as const
const LINES = ['The panel', 'Measure', 'Shape', 'Scheme', 'Decals', 'Both sides', 'Sheets', 'Tape', 'Paint'] as const

/** Where the browser is, by the set-up's own search. */
export async function pagePictures(executablePath: string): Promise<void> {
	const folder = mkdtempSync(join(tmpdir(), 'stripewright-pictures-'))
	cpSync(join(root, 'fixtures', 'tarn-350'), join(folder, 'tarn-350'), { recursive: true })
	const server = spawn(process.execPath, [join(root, 'dist', 'cli.js'), 'open', folder, '--port', '0'], {
		stdio: ['ignore', 'pipe', 'inherit'],
	})
	const browser = await chromium.launch({ executablePath, args: ['--headless', '--no-sandbox', '--disable-gpu'] })
	try {
		const address = await new Promise<string>((resolve) =>
			server.stdout.on('data', (data) => {
				const found = /http:\/\/127\.0\.0\.1:\d+\//.exec(String(data))?.[0]
				if (found) resolve(found)
			}),
		)
		for (const [size, options] of Object.entries(SIZES)) {
			const context = await browser.newContext({ ...options, reducedMotion: 'reduce' })
			const page = await context.newPage()
			await page.goto(address)
			await page.waitForFunction(() => (document.querySelector('canvas')?.dataset.drawn ?? '') !== '')
			for (const line of LINES) {
				const head = page.locator('.line-head', { has: page.getByText(line, { exact: true }) })
				if ((await head.getAttribute('aria-expanded')) !== 'true') await head.click()
				if (line === 'Measure') await page.locator('[data-row="6"][data-column="reading"]').focus()
				if (line === 'Tape' || line === 'Paint') await page.locator('.step-picture svg').waitFor({ timeout: 60_000 })
				if (line === 'Tape') {
					await page.getByRole('button', { name: /^Session 2, Fuel tank/ }).click()
					await page.keyboard.press('ArrowRight')
				}
				// What a line asks of the engine's thread follows by itself.
				await page.waitForTimeout(['Sheets', 'Tape', 'Paint'].includes(line) ? 6000 : 1500)
				await page.evaluate(() => document.querySelector('.current')?.scrollIntoView({ block: 'start' }))
				await page.screenshot({
					path: join(target, `page-${line.toLowerCase().replace(/ /g, '-').replace(/^the-/, '')}-${size}.png`),
				})
			}
			await context.close()
		}
	} finally {
		await browser.close()
		server.kill('SIGINT')
		rmSync(folder, { recursive: true, force: true })
	}
}
