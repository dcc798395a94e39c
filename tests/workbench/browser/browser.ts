/** The built workbench on a copy of a job, looked at in a Chromium. */
import { type ChildProcess, spawn } from 'node:child_process'
import { cpSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { basename, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import axe, { type Result } from 'axe-core'
import { type Browser, type BrowserContextOptions, chromium, type Page } from 'playwright-core'
import { afterAll, afterEach, beforeAll } from 'vitest'

const root = fileURLToPath(new URL('../../..', import.meta.url))

const FLAGS = [
	...['--headless', '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run'],
	...['--disable-background-networking', '--disable-component-update', '--disable-sync'],
]

/** A laptop's window, and a ten-inch tablet lying on the bench. */
const SIZES = {
	desk: { viewport: { width: 1280, height: 800 } },
	touch: { viewport: { width: 1280, height: 800 }, hasTouch: true, isMobile: true, deviceScaleFactor: 1.5 },
} as const satisfies Readonly<Record<string, BrowserContextOptions>>
export type Size = keyof typeof SIZES

export interface Running {
	/** "http://127.0.0.1:7350/" */
	readonly address: string
	/** all that the program said */
	said(): string
	/** Ends it: by a signal that it can finish its work after, or by one that it cannot. Answers the exit code. */
	end(signal?: NodeJS.Signals): Promise<number | null>
}

export interface Looked {
	readonly page: Page
	/** what the browser complained of, and what the page asked of other places than its server */
	readonly complaints: readonly string[]
}

let browser: Browser | undefined
const folders: string[] = []
const servers: Running[] = []

// The test command has built already; a single file of tests that is run by itself builds what has changed.
beforeAll(async () => {
	const script = (name: string): Promise<unknown> => import(/* @vite-ignore */ join(root, 'scripts', name))
	const { build } = (await script('build.mjs')) as { build(): Promise<void> }
	const { findBrowser } = (await script('setup.mjs')) as { findBrowser(): string | undefined }
	await build()
	const executablePath = findBrowser()
	if (executablePath === undefined) throw new Error('no Chromium on the PATH: npm test says what to install')
	browser = await chromium.launch({ executablePath, args: FLAGS })
})
afterEach(async () => {
	await Promise.all((browser?.contexts() ?? []).map((context) => context.close()))
	await Promise.all(servers.splice(0).map((server) => server.end()))
	for (const folder of folders.splice(0)) rmSync(folder, { recursive: true, force: true })
})
afterAll(async () => {
	await browser?.close()
})

/** A new folder with copies of jobs: folders below the project's own, such as fixtures/tarn-350. */
export function jobsFolder(...jobs: readonly string[]): string {
	const folder = mkdtempSync(join(tmpdir(), 'stripewright-page-'))
	folders.push(folder)
	for (const job of jobs) cpSync(join(root, job), join(folder, basename(job)), { recursive: true })
	return folder
}

/** The built program, serving a folder. The same port again is that of a server that was ended. */
export async function served(folder: string, port = 0): Promise<Running> {
	const cli = join(root, 'dist', 'cli.js')
	const child: ChildProcess = spawn(process.execPath, [cli, 'open', folder, '--port', String(port)], {
		stdio: ['ignore', 'pipe', 'pipe'],
	})
	let said = ''
	for (const stream of [child.stdout, child.stderr]) {
		stream?.on('data', (data) => {
			said += data
		})
	}
	const ended = new Promise<number | null>((resolve) => child.on('close', resolve))
	const end = (signal: NodeJS.Signals = 'SIGINT') => {
		if (child.exitCode === null) child.kill(signal)
		return ended
	}
	while (child.exitCode === null) {
		const address = /http:\/\/127\.0\.0\.1:\d+\//.exec(said)?.[0]
		if (address) {
			const running = { address, said: () => said, end }
			servers.push(running)
			return running
		}
		await new Promise((resolve) => setTimeout(resolve, 20))
	}
	throw new Error(`the workbench did not open:\n${said}`)
}

/** A page of its own, as in another window of the browser. `at` is what follows the address, "#tarn-350". */
export async function look({ address }: Running, { size = 'desk', at = '', ...more }: LookOptions = {}): Promise<Looked> {
	if (!browser) throw new Error('there is no browser yet')
	const context = await browser.newContext({ ...SIZES[size], reducedMotion: 'reduce', ...more })
	const page = await context.newPage()
	const complaints: string[] = []
	page.on('console', (message) => {
		if (message.type() === 'error' || message.type() === 'warning')
			complaints.push(`${message.text()} (${message.location().url})`)
	})
	page.on('pageerror', (error) => complaints.push(error.stack ?? error.message))
	page.on('request', (request) => {
		const url = request.url()
		if (!url.startsWith(address) && !/^(blob|data):/.test(url)) complaints.push(`asked elsewhere: ${url}`)
	})
	await page.goto(address + at)
	return { page, complaints }
}
export interface LookOptions extends BrowserContextOptions {
	readonly size?: Size
	readonly at?: string
}

/** What axe-core finds serious or critical on the page as it stands, each with the elements it is about. */
export async function axeOf(page: Page, { and = [] as readonly string[] } = {}): Promise<readonly string[]> {
	// By the debugger's way in, which the page's own policy does not bar.
	await page.evaluate(axe.source)
	const found = (await page.evaluate('axe.run(document, { resultTypes: ["violations"] })')) as {
		readonly violations: readonly Result[]
	}
	const counts = new Set<string>(['serious', 'critical', ...and])
	return found.violations
		.filter(({ impact }) => counts.has(impact ?? ''))
		.map(({ id, help, nodes }) => `${id}: ${help}: ${nodes.map(({ target }) => target.join(' ')).join(', ')}`)
}

/** Buttons, fields and links in sight that are smaller than a thumb, with their sizes in px. */
export function smallTargets(page: Page, least = 44): Promise<readonly string[]> {
	return page.evaluate((px) => {
		const all = document.querySelectorAll<HTMLElement>('button, a[href], input, select, textarea, summary, [role=button]')
		return Array.from(all).flatMap((element) => {
			const { width, height } = element.getBoundingClientRect()
			// a field in a label is as large as its label
			const label = element.closest('label')?.getBoundingClientRect()
			const [w, h] = [Math.max(width, label?.width ?? 0), Math.max(height, label?.height ?? 0)]
			const seen = width > 0 && height > 0 && getComputedStyle(element).visibility !== 'hidden'
			const name = element.getAttribute('aria-label') ?? (element.textContent?.trim() || element.tagName)
			return seen && (w < px || h < px) ? [`${name}: ${Math.round(w)} x ${Math.round(h)}`] : []
		})
	}, least)
}
