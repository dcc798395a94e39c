// How the page feels: from a key to the redrawn panel, from opening to a card one can type in, and a picture of many stripes panned.
import { spawn } from 'node:child_process'
import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { gzipSync } from 'node:zlib'
import { type Browser, chromium, type Page } from 'playwright-core'
import { atMost, median, type Row, shown } from '../measure.ts'

const root = fileURLToPath(new URL('../../', import.meta.url))
const FLAGS = [
	'--headless',
	'--no-sandbox',
	'--disable-gpu',
	'--disable-quic',
	'--no-first-run',
	'--disable-background-networking',
]
/** Keys struck, and those before them that only warm the page up. */
const KEYS = 40
const WARM_UPS = 10

export async function rows(): Promise<Row[]> {
	const { findBrowser } = (await import(join(root, 'scripts', 'setup.mjs'))) as { findBrowser(): string | undefined }
	const executablePath = findBrowser()
	if (executablePath === undefined) return []
	const folder = mkdtempSync(join(tmpdir(), 'stripewright-bench-'))
	cpSync(join(root, 'fixtures', 'tarn-350'), join(folder, 'tarn-350'), { recursive: true })
	const server = spawn(process.execPath, [join(root, 'dist', 'cli.js'), 'open', folder, '--port', '0'], {
		stdio: ['ignore', 'pipe', 'inherit'],
	})
	const browser = await chromium.launch({ executablePath, args: FLAGS })
	try {
		const address = await new Promise<string>((resolve) =>
			server.stdout.on('data', (data) => {
				const found = /http:\/\/127\.0\.0\.1:\d+\//.exec(String(data))?.[0]
				if (found) resolve(found)
			}),
		)
		return [
			...(await opening(browser, address)),
			...(await typing(browser, address)),
			...(await panning(browser, address, folder)),
		]
	} finally {
		await browser.close()
		server.kill('SIGINT')
		rmSync(folder, { recursive: true, force: true })
	}
}

async function opening(browser: Browser, address: string): Promise<Row[]> {
	const times: { readonly card: number; readonly picture: number }[] = []
	let script = 0
	let thread = 0
	const context = await browser.newContext({ viewport: { width: 1280, height: 800 } })
	// The first opening fills the browser's own store, as yesterday's did.
	for (let i = 0; i < 6; i++) {
		const page = await context.newPage()
		const bodies: Promise<{ readonly url: string; readonly bytes: number }>[] = []
		page.on('response', (reply) => {
			if (reply.url().endsWith('.js'))
				bodies.push(reply.body().then((body) => ({ url: reply.url(), bytes: gzipSync(body).length })))
		})
		const from = performance.now()
		await page.goto(address)
		await page.locator('.ledger tbody tr input').first().waitFor()
		const card = performance.now() - from
		await drawn(page)
		if (i > 0) times.push({ card, picture: performance.now() - from })
		else {
			// What the page's thread loads comes after what the page itself does.
			const all = await Promise.all(bodies)
			const at = all.findIndex(({ url }) => url.endsWith('/work.js'))
			script = sum(all.slice(0, at))
			thread = sum(all.slice(at))
		}
		await page.close()
	}
	await context.close()
	return [
		atMost(
			'bench.ready',
			median(times.map(({ card }) => card)),
			'ms',
			1000,
			'from the address to a card one can type in, median of 5',
		),
		shown('bench.ready.picture', median(times.map(({ picture }) => picture)), 'ms', 'to the panel drawn, all panels worked out'),
		atMost('bench.script', script / 1000, 'kB', 250, 'gzip, what the page loads before it can be used, without PDF'),
		shown('bench.script.thread', thread / 1000, 'kB', 'gzip, the engine, loaded in its own thread'),
	]
}

const sum = (list: readonly { readonly bytes: number }[]) => list.reduce((total, { bytes }) => total + bytes, 0)

const drawn = (page: Page) => page.waitForFunction(() => (document.querySelector('canvas')?.dataset.drawn ?? '') !== '')

/** One girth of the tank after another figure, each until its own picture is on the screen. */
async function typing(browser: Browser, address: string): Promise<Row[]> {
	const page = await browser.newPage({ viewport: { width: 1280, height: 800 } })
	await page.goto(address)
	await drawn(page)
	const times = await page.evaluate(async (count) => {
		const input = document.querySelector<HTMLInputElement>('[data-row="3"][data-column="reading"]')
		const canvas = document.querySelector('canvas')
		if (!input || !canvas) throw new Error('no ledger')
		const set = Object.getOwnPropertyDescriptor(HTMLInputElement.prototype, 'value')?.set
		const made: number[] = []
		for (let i = 0; i < count; i++) {
			const before = canvas.dataset.drawn
			const from = performance.now()
			set?.call(input, `${(68.05 + (i % 10) / 10).toFixed(2)}`)
			input.dispatchEvent(new Event('input', { bubbles: true }))
			while (canvas.dataset.drawn === before || canvas.dataset.drawn === '') await new Promise((done) => setTimeout(done, 1))
			made.push(performance.now() - from)
			await new Promise((done) => setTimeout(done, 30))
		}
		return made
	}, KEYS + WARM_UPS)
	await page.close()
	const counted = times.slice(WARM_UPS)
	return [
		atMost('bench.key', median(counted), 'ms', 50, 'from a key to the redrawn panel, demo tank, median of 40'),
		atMost('bench.key.worst', Math.max(...counted), 'ms', 150, 'the worst of them'),
	]
}

/** Thirty stripes of some five hundred points each, panned frame by frame. */
async function panning(browser: Browser, address: string, folder: string): Promise<Row[]> {
	const file = join(folder, 'tarn-350', 'job.jsonc')
	const text = readFileSync(file, 'utf8')
	const at = text.indexOf('"stripes": [') + '"stripes": ['.length
	const stripes = Array.from(
		{ length: 15 },
		(_, i) =>
			`{ "id": "more-${i}", "edge": "shoulder", "lay": "outboard", "offset": ${2 * i}, "bands": [{ "paint": "gold", "width": 1 }], "over": [] },`,
	)
	writeFileSync(file, text.slice(0, at) + stripes.join('\n') + text.slice(at))
	const page = await browser.newPage({ viewport: { width: 1280, height: 800 } })
	await page.goto(address)
	await drawn(page)
	const box = await page.locator('canvas').boundingBox()
	if (!box) throw new Error('no picture')
	const frames = page.evaluate(
		() =>
			new Promise<number[]>((done) => {
				const gaps: number[] = []
				let last = performance.now()
				const step = (now: number) => {
					gaps.push(now - last)
					last = now
					if (gaps.length < 90) requestAnimationFrame(step)
					else done(gaps.slice(10))
				}
				requestAnimationFrame(step)
			}),
	)
	const [x, y] = [box.x + box.width / 2, box.y + box.height / 2]
	await page.mouse.move(x, y)
	await page.mouse.down()
	for (let i = 0; i < 90; i++) await page.mouse.move(x + 100 * Math.sin(i / 9), y + 60 * Math.sin(i / 7))
	await page.mouse.up()
	const gaps = await frames
	await page.close()
	return [
		atMost(
			'bench.pan',
			median(gaps),
			'ms',
			17,
			'a frame while 30 stripes are panned, median of 80; a screen shows one every 16.7',
		),
	]
}
