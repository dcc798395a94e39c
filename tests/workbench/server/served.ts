/** A server of a folder of the test's own, asked over real HTTP. */
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { connect } from 'node:net'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { afterEach } from 'vitest'
import { type Disk, nodeDisk } from '../../../src/files/disk.ts'
import { type Served, type ServeOptions, serve } from '../../../src/workbench/server/serve.ts'
import type { StoredText } from '../../../src/workbench/wire.ts'

const folders: string[] = []
const running: Served[] = []
afterEach(async () => {
	await Promise.all(running.splice(0).map((served) => served.stop()))
	for (const folder of folders.splice(0)) rmSync(folder, { recursive: true, force: true })
})

export const JOB = `{
  // what a job is at least
  "format": 1, "title": "A guard", "unit": "mm", "paints": [],
  "panels": [{ "id": "guard", "hand": "centre", "found": { "kind": "flat", "length": 400, "width": 90 } }]
}
`

/** A new folder with these files. */
export function folderOf(files: Readonly<Record<string, string | Uint8Array>> = { 'guard/job.jsonc': JOB }): string {
	const folder = mkdtempSync(join(tmpdir(), 'stripewright-bench-'))
	folders.push(folder)
	for (const [name, content] of Object.entries(files)) {
		mkdirSync(dirname(join(folder, name)), { recursive: true })
		writeFileSync(join(folder, name), content)
	}
	return folder
}

export interface Site {
	readonly folder: string
	readonly address: string
	readonly port: number
	stop(): Promise<void>
	get(path: string): Promise<Response>
	json<T>(path: string): Promise<T>
	put(path: string, text: string, revision: number): Promise<Response>
	post(path: string, body: unknown): Promise<Response>
}

export async function siteOf(folder: string, options: Partial<ServeOptions> = {}, disk: Disk = nodeDisk): Promise<Site> {
	const served = await serve(disk, folder, { port: 0, ...options })
	running.push(served)
	const at = (path: string) => new URL(path, served.address)
	const type = { 'content-type': 'application/json' }
	const get = (path: string) => fetch(at(path))
	return {
		...{ folder, address: served.address, port: Number(new URL(served.address).port), stop: () => served.stop(), get },
		json: async (path) => (await get(path)).json() as never,
		put: (path, text, revision) =>
			fetch(at(path), { method: 'PUT', headers: { ...type, 'if-match': `"${revision}"` }, body: JSON.stringify({ text }) }),
		post: (path, body) => fetch(at(path), { method: 'POST', headers: type, body: JSON.stringify(body) }),
	}
}

export const stored = (site: Site, path = '/api/jobs/guard') => site.json<StoredText>(path)

/** What is answered to bytes as they stand: for what no well-behaved client would send. */
export function raw(port: number, request: string | readonly (string | Uint8Array)[]): Promise<{ status: number; text: string }> {
	return new Promise((resolve, reject) => {
		let text = ''
		const socket = connect(port, '127.0.0.1', () => {
			for (const part of typeof request === 'string' ? [request] : request) socket.write(part)
		})
		socket.on('data', (data) => {
			text += data.toString('latin1')
		})
		// One that hangs up while it is still being sent to has answered all the same.
		socket.on('error', (error) => (text === '' ? reject(error) : undefined))
		socket.on('close', () => resolve({ status: Number(/^HTTP\/1\.1 (\d+)/.exec(text)?.[1]), text }))
	})
}

/** A request line, headers that are right unless they are said, and a body. */
export function request(
	port: number,
	line: string,
	headers: Readonly<Record<string, string | undefined>> = {},
	body = '',
): string {
	const all = { Host: `127.0.0.1:${port}`, Connection: 'close', 'Content-Length': String(Buffer.byteLength(body)), ...headers }
	const lines = Object.entries(all).flatMap(([name, value]) => (value === undefined ? [] : [`${name}: ${value}`]))
	return `${line} HTTP/1.1\r\n${lines.join('\r\n')}\r\n\r\n${body}`
}
