// The command as a process: told to stop, and killed in the middle of saves.
import { type ChildProcess, spawn } from 'node:child_process'
import { readdirSync, readFileSync } from 'node:fs'
import { createServer } from 'node:net'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterEach, describe, expect, test } from 'vitest'
import { folderOf, JOB, siteOf, stored } from './served.ts'

const root = fileURLToPath(new URL('../../..', import.meta.url))
const tsx = join(root, 'node_modules', 'tsx', 'dist', 'loader.mjs')
const main = join(root, 'src', 'cli', 'main.ts')

const children: ChildProcess[] = []
afterEach(() => {
	for (const child of children.splice(0)) child.kill('SIGKILL')
})

interface Running {
	readonly child: ChildProcess
	readonly address: string
	readonly ended: Promise<number | null>
	said(): string
}

async function opened(folder: string, ...words: string[]): Promise<Running> {
	const child = spawn(process.execPath, ['--import', tsx, main, 'open', folder, ...words], {
		cwd: root,
		stdio: ['ignore', 'pipe', 'pipe'],
	})
	children.push(child)
	let said = ''
	const ended = new Promise<number | null>((resolve) => child.on('close', resolve))
	for (const stream of [child.stdout, child.stderr]) {
		stream?.on('data', (data) => {
			said += data
		})
	}
	for (;;) {
		const address = /http:\/\/127\.0\.0\.1:\d+\//.exec(said)?.[0]
		if (address) return { child, address, ended, said: () => said }
		if (child.exitCode !== null) throw new Error(said)
		await new Promise((resolve) => setTimeout(resolve, 20))
	}
}

async function save(address: string, text: string): Promise<void> {
	const at = `${address}api/jobs/guard`
	const { revision } = (await (await fetch(at)).json()) as { readonly revision: number }
	const headers = { 'content-type': 'application/json', 'if-match': `"${revision}"` }
	const reply = await fetch(at, { method: 'PUT', headers, body: JSON.stringify({ text }) })
	expect(reply.status).toBe(200)
}

describe('killed in the middle of saves (kill -9)', () => {
	test('leaves a whole text: the last that was answered, or one sent after it; and the next start sweeps up', async () => {
		const folder = folderOf()
		const { child, address, ended } = await opened(folder, '--port', '0')
		const text = (i: number) => `${JOB}// ${i} ${String(i % 10).repeat(200_000)} end ${i}\n`
		let answered = -1
		let sent = -1
		const typing = (async () => {
			for (;;) {
				await save(address, text(++sent))
				answered = sent
			}
		})().catch(() => {})
		while (answered < 3) await new Promise((resolve) => setTimeout(resolve, 5))
		child.kill('SIGKILL')
		await ended
		await typing
		const left = readFileSync(join(folder, 'guard', 'job.jsonc'), 'utf8')
		expect(sent - answered).toBeLessThan(2)
		expect([text(answered), text(sent)]).toContain(left)
		const site = await siteOf(folder)
		expect((await stored(site)).text).toBe(left)
		expect(readdirSync(join(folder, 'guard')).toSorted()).toEqual(['.stripewright', 'job.jsonc'])
	})
})

describe('told to stop', () => {
	test('by Ctrl-C: what a page saves in that moment is saved, and the exit code is 0', async () => {
		const folder = folderOf()
		const { child, address, ended, said } = await opened(folder, '--port', '0')
		expect(said()).toContain('Ctrl-C ends it')
		// a page is open: it listens
		const listening = await fetch(`${address}api/jobs/guard/changes`)
		child.kill('SIGINT')
		await new Promise((resolve) => setTimeout(resolve, 200))
		await save(address, 'the last key')
		expect(await ended).toBe(0)
		await listening.body?.cancel().catch(() => {})
		expect(readFileSync(join(folder, 'guard', 'job.jsonc'), 'utf8')).toBe('the last key')
		expect(said()).toContain('Everything is saved.')
	})
})

test('what cannot be opened is said, with exit code 2', async () => {
	const folder = folderOf()
	const taken = createServer()
	await new Promise<void>((resolve) => taken.listen(0, '127.0.0.1', resolve))
	const { port } = taken.address() as { readonly port: number }
	const { inside } = await import('../../cli/command.ts')
	for (const [words, says] of [
		[['open', 'none'], 'none is no folder'],
		[['open', join('guard', 'job.jsonc')], 'is no folder'],
		[['open', '--port', 'x'], '--port x'],
		[['open', '--port', '70000'], '--port 70000'],
		[['open', '--port', String(port)], `port ${port} is in use`],
	] as const) {
		const { code, err } = await inside(words, folder)
		expect([words, code]).toEqual([words, 2])
		expect(err).toContain(says)
	}
	taken.close()
})

test('a folder that is open already is said to be, with the address; one whose program was killed opens', async () => {
	const folder = folderOf()
	const first = await opened(folder, '--port', '0')
	const { inside } = await import('../../cli/command.ts')
	const { code, err } = await inside(['open', '--port', '0'], folder)
	expect(code).toBe(2)
	expect(err).toContain(`this folder is open already, at ${first.address}`)
	expect(err).toContain('Go on there')
	// the one that was first is none the worse
	await save(first.address, 'saved by the first')
	first.child.kill('SIGKILL')
	await first.ended
	const next = await opened(folder, '--port', '0')
	next.child.kill('SIGINT')
	expect(await next.ended).toBe(0)
	// nothing of it is left behind but the versions of what was saved
	expect(readdirSync(folder)).toEqual(['guard'])
})
