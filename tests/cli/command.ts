/** The command line, as a process and inside this one, each in a folder of its own. */
import { spawn } from 'node:child_process'
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join, relative, sep } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll } from 'vitest'
import { run } from '../../src/cli/program.ts'
import { type Disk, nodeDisk } from '../../src/files/disk.ts'

const root = fileURLToPath(new URL('../..', import.meta.url))
const main = join(root, 'src', 'cli', 'main.ts')
const tsx = join(root, 'node_modules', 'tsx', 'dist', 'loader.mjs')

export interface Ended {
	readonly code: number
	readonly out: string
	readonly err: string
}

/** The real thing: a process of its own. */
export function command(words: readonly string[], cwd: string, env: Readonly<Record<string, string>> = {}): Promise<Ended> {
	return new Promise((resolve, reject) => {
		const child = spawn(process.execPath, ['--import', tsx, main, ...words], { cwd, env: { ...process.env, ...env } })
		let out = ''
		let err = ''
		child.stdout.on('data', (data) => {
			out += data
		})
		child.stderr.on('data', (data) => {
			err += data
		})
		child.on('error', reject)
		child.on('close', (code) => resolve({ code: code ?? -1, out, err }))
	})
}

/** The same in this process, on a disk of the test's own making. */
export async function inside(words: readonly string[], folder: string, disk: Disk = nodeDisk): Promise<Ended> {
	let out = ''
	let err = ''
	const code = await run(words, {
		disk,
		folder,
		out: (text) => {
			out += text
		},
		say: (text) => {
			err += text
		},
		colour: false,
		progress: () => {},
		process: process.pid,
		isRunning: () => false,
		unfinished: () => {},
		showPage: () => {},
		toldToStop: () => Promise.resolve(),
	})
	return { code, out, err }
}

const made: string[] = []
afterAll(() => {
	for (const folder of made) rmSync(folder, { recursive: true, force: true })
})

/** A new folder with these files. */
export function folderWith(files: Readonly<Record<string, string | Uint8Array>> = {}): string {
	const folder = mkdtempSync(join(tmpdir(), 'stripewright-cli-'))
	made.push(folder)
	for (const [name, content] of Object.entries(files)) {
		mkdirSync(dirname(join(folder, name)), { recursive: true })
		writeFileSync(join(folder, name), content)
	}
	return folder
}

/** Every file below a folder with its bytes as text, hidden ones too; empty folders as name/. */
export function filesBelow(folder: string): Readonly<Record<string, string>> {
	const found: Record<string, string> = {}
	const look = (at: string) => {
		const entries = readdirSync(at, { withFileTypes: true })
		if (entries.length === 0 && at !== folder) found[`${relative(folder, at).split(sep).join('/')}/`] = ''
		for (const entry of entries) {
			const path = join(at, entry.name)
			if (entry.isDirectory()) look(path)
			else found[relative(folder, path).split(sep).join('/')] = readFileSync(path, 'latin1')
		}
	}
	look(folder)
	return found
}

/** What a full or unwritable disk says. */
export const diskError = (code: string, path: string): NodeJS.ErrnoException =>
	Object.assign(new Error(`${code}: ${path}`), { code, errno: -1, path, syscall: 'write' })
