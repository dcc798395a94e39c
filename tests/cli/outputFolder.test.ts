import { mkdirSync, readFileSync, renameSync, symlinkSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { writeSet } from '../../src/cli/outputFolder.ts'
import { type Disk, nodeDisk } from '../../src/files/disk.ts'
import { filesIn, type OutputFile } from '../../src/report/outputs.ts'
import { COVERS } from '../report/small.ts'
import { diskError, filesBelow, folderWith, inside } from './command.ts'

function setOf(contents: Readonly<Record<string, string>>): OutputFile[] {
	const manifest = JSON.stringify({ madeBy: 'Stripewright 0', files: [...Object.keys(contents), 'result.json'] })
	return Object.entries({ ...contents, 'result.json': manifest }).map(([name, text]) => ({ name, bytes: Buffer.from(text) }))
}
const FIRST = setOf({ 'sheets.pdf': 'one', 'pieces/a.svg': 'a1', 'pieces/b.svg': 'b1' })
const SECOND = setOf({ 'sheets.pdf': 'two', 'pieces/a.svg': 'a2', 'plan-x.svg': 'x2' })
const asFiles = (set: readonly OutputFile[], under = '') =>
	Object.fromEntries(set.map(({ name, bytes }) => [under + name, Buffer.from(bytes).toString('latin1')]))

const write = (
	target: string,
	set: readonly OutputFile[],
	disk: Disk = nodeDisk,
	isRunning: (id: number) => boolean = () => false,
) => writeSet(disk, target, set, { manifest: { name: 'result.json', filesIn }, process: 7, isRunning, said: 'out' })

describe('a set put in place', () => {
	test('a new folder, with those above it', async () => {
		const folder = folderWith()
		expect(await write(join(folder, 'a', 'b', 'out'), FIRST)).toEqual([])
		expect(filesBelow(folder)).toEqual(asFiles(FIRST, 'a/b/out/'))
	})

	test('a second set takes the place of the first; what the first had and the second has not goes', async () => {
		const folder = folderWith()
		const out = join(folder, 'out')
		await write(out, FIRST)
		expect(await write(out, SECOND)).toEqual([])
		expect(filesBelow(folder)).toEqual(asFiles(SECOND, 'out/'))
	})

	test('what a person put there stays, in folders of their own and in ours', async () => {
		const folder = folderWith()
		const out = join(folder, 'out')
		await write(out, FIRST)
		for (const name of ['notes.txt', 'pieces/mine.svg', 'photos/1.jpg']) {
			mkdirSync(join(out, name, '..'), { recursive: true })
			writeFileSync(join(out, name), name)
		}
		mkdirSync(join(out, 'empty'))
		expect(await write(out, SECOND)).toEqual([])
		expect(filesBelow(folder)).toEqual({
			...asFiles(SECOND, 'out/'),
			'out/notes.txt': 'notes.txt',
			'out/pieces/mine.svg': 'pieces/mine.svg',
			'out/photos/1.jpg': 'photos/1.jpg',
			'out/empty/': '',
		})
	})

	test('an empty folder is filled; a link to a folder stays a link', async () => {
		const folder = folderWith()
		mkdirSync(join(folder, 'real'))
		symlinkSync(join(folder, 'real'), join(folder, 'out'))
		expect(await write(join(folder, 'out'), FIRST)).toEqual([])
		expect(await write(join(folder, 'out'), SECOND)).toEqual([])
		expect(asFiles(SECOND)).toEqual(filesBelow(join(folder, 'real')))
	})
})

describe('refused aloud, with nothing changed', () => {
	const cases: readonly (readonly [string, string, (out: string) => void | Promise<void>])[] = [
		['a file of that name', 'FILE_IN_THE_WAY', (out) => writeFileSync(out, 'mine')],
		['a link that leads nowhere', 'FILE_IN_THE_WAY', (out) => symlinkSync(`${out}-not-there`, out)],
		[
			'a folder with things of a person',
			'FOLDER_NOT_OURS',
			(out) => {
				mkdirSync(out)
				writeFileSync(join(out, 'letter.txt'), 'mine')
			},
		],
		[
			'a result.json of something else',
			'FOLDER_NOT_OURS',
			(out) => {
				mkdirSync(out)
				writeFileSync(join(out, 'result.json'), '{"files":["letter.txt","result.json"]}')
				writeFileSync(join(out, 'letter.txt'), 'mine')
			},
		],
		[
			'a file of a person with a name that the new set needs',
			'FILE_IN_THE_WAY',
			async (out) => {
				await write(out, FIRST)
				writeFileSync(join(out, 'plan-x.svg'), 'mine')
			},
		],
	]
	test.each(cases)('%s', async (_, code, prepare) => {
		const folder = folderWith()
		await prepare(join(folder, 'out'))
		// a link to nowhere cannot be read
		const before = code === 'FILE_IN_THE_WAY' && _.startsWith('a link') ? undefined : filesBelow(folder)
		expect(await write(join(folder, 'out'), SECOND)).toMatchObject([{ code, severity: 'error' }])
		if (before) expect(filesBelow(folder)).toEqual(before)
	})
})

describe('a disk that fails, at any of its calls', () => {
	const CALLS = [
		'makeFolder',
		'writeNew',
		'syncFolder',
		'rename',
		'removeFile',
		'removeFolder',
		'list',
		'read',
		'mayWrite',
	] as const

	/** Fails at the nth call of those that change or read something. */
	function failing(at: number, code: string, calls: { count: number }): Disk {
		const disk: Record<string, unknown> = { ...nodeDisk }
		for (const name of CALLS) {
			disk[name] = async (path: string, ...rest: unknown[]) => {
				if (calls.count++ === at) throw diskError(code, path)
				return (nodeDisk[name] as (...all: unknown[]) => unknown)(path, ...rest)
			}
		}
		return disk as unknown as Disk
	}

	test.each(['ENOSPC', 'EACCES', 'EIO'])(
		'%s: the set is the old one or the new one, whole, and the person’s file is there',
		async (code) => {
			const seen = { old: 0, new: 0 }
			for (let at = 0; at < 60; at++) {
				const folder = folderWith()
				const out = join(folder, 'out')
				await write(out, FIRST)
				writeFileSync(join(out, 'notes.txt'), 'mine')
				const calls = { count: 0 }
				const problems = await write(out, SECOND, failing(at, code, calls))
				const after = filesBelow(out)
				const isNew = after['sheets.pdf'] === 'two'
				seen[isNew ? 'new' : 'old']++
				for (const [name, bytes] of Object.entries(asFiles(isNew ? SECOND : FIRST)))
					expect([at, name, after[name]]).toEqual([at, name, bytes])
				if (calls.count > at) {
					if (!isNew) expect(problems.some(({ severity }) => severity === 'error')).toBe(true)
				} else {
					expect(problems).toEqual([])
					expect(isNew).toBe(true)
				}
				// whatever is left beside it is gone after the next run, and nothing of the person's with it
				expect(await write(out, SECOND)).toEqual([])
				expect(filesBelow(folder)).toEqual({ ...asFiles(SECOND, 'out/'), 'out/notes.txt': 'mine' })
				if (calls.count <= at) break
			}
			expect(seen.old).toBeGreaterThan(5)
			expect(seen.new).toBeGreaterThan(1)
		},
	)

	test('half-way through the first set: no folder, no litter, and the problem says full disk', async () => {
		const folder = folderWith()
		let written = 0
		const disk: Disk = {
			...nodeDisk,
			async writeNew(path, bytes) {
				if (++written > 2) throw diskError('ENOSPC', path)
				await nodeDisk.writeNew(path, bytes)
			},
		}
		expect(await write(join(folder, 'a', 'out'), FIRST, disk)).toMatchObject([{ code: 'DISK_FULL', file: 'out' }])
		expect(filesBelow(folder)).toEqual({})
	})

	test('the command says so and ends with 1; the last good set stays', async () => {
		const folder = folderWith({ 'job.jsonc': JSON.stringify(COVERS) })
		expect((await inside(['make', '.'], folder)).code).toBe(0)
		const before = filesBelow(folder)
		const full: Disk = {
			...nodeDisk,
			async writeNew(path, bytes) {
				await nodeDisk.writeNew(path, bytes.subarray(0, bytes.length / 2))
				if (path.endsWith('result.json')) throw diskError('ENOSPC', path)
			},
		}
		const { code, out, err } = await inside(['make', '.'], folder, full)
		expect([code, out]).toEqual([1, ''])
		expect(err).toContain('the disk was full')
		expect(filesBelow(folder)).toEqual(before)
	})

	test('no job.jsonc of half a starter stays', async () => {
		const folder = folderWith()
		const full: Disk = {
			...nodeDisk,
			async writeNew(path, bytes) {
				await nodeDisk.writeNew(path, bytes.subarray(0, 10))
				throw diskError('ENOSPC', path)
			},
		}
		const { code, err } = await inside(['new', 'side-covers', 'mine'], folder, full)
		expect(code).toBe(1)
		expect(err).toContain('the disk was full')
		expect(filesBelow(folder)).toEqual({})
	})
})

describe('after a run that was ended half-way', () => {
	test('between the two renames: the old set is found again', async () => {
		const folder = folderWith()
		const out = join(folder, 'out')
		await write(out, FIRST)
		renameSync(out, join(folder, '.out.stripewright-before'))
		expect(await write(out, SECOND)).toEqual([])
		expect(filesBelow(folder)).toEqual(asFiles(SECOND, 'out/'))
	})

	test('before the old set was cleared: the person’s files come over', async () => {
		const folder = folderWith()
		const out = join(folder, 'out')
		await write(out, FIRST)
		writeFileSync(join(out, 'notes.txt'), 'mine')
		renameSync(out, join(folder, '.out.stripewright-before'))
		await nodeDisk.makeFolder(join(folder, 'else'))
		await write(join(folder, 'else', 'out'), SECOND)
		renameSync(join(folder, 'else', 'out'), out)
		expect(await write(out, SECOND)).toEqual([])
		expect(readFileSync(join(out, 'notes.txt'), 'utf8')).toBe('mine')
		expect(filesBelow(folder)).toEqual({ ...asFiles(SECOND, 'out/'), 'out/notes.txt': 'mine', 'else/': '' })
	})

	test('a half-written folder of a run that is no more goes; that of one at work stays', async () => {
		const folder = folderWith({ '.out.stripewright-new-99/sheets.pdf': 'half', '.out.stripewright-new-100/sheets.pdf': 'half' })
		await write(join(folder, 'out'), FIRST, nodeDisk, (id) => id === 100)
		expect(Object.keys(filesBelow(folder)).filter((name) => name.startsWith('.'))).toEqual([
			'.out.stripewright-new-100/sheets.pdf',
		])
	})
})

test('a manifest that names files outside its folder takes nothing with it', async () => {
	const folder = folderWith({ 'precious.txt': 'mine' })
	const out = join(folder, 'out')
	await write(out, FIRST)
	const names = [
		'../precious.txt',
		join(folder, 'precious.txt'),
		'pieces/../../precious.txt',
		'result.json',
		'sheets.pdf',
		'pieces/a.svg',
		'pieces/b.svg',
	]
	writeFileSync(join(out, 'result.json'), JSON.stringify({ madeBy: 'Stripewright 0', files: names }))
	expect(await write(out, SECOND)).toEqual([])
	expect(filesBelow(folder)).toEqual({ ...asFiles(SECOND, 'out/'), 'precious.txt': 'mine' })
})

test.runIf(process.platform === 'linux')('a folder that can never be made is a failure, not an endless attempt', async () => {
	// procfs answers ENOENT to every mkdir, which Node's recursive one repeats for ever.
	await expect(nodeDisk.makeFolder('/proc/no-such-place/out')).rejects.toThrow()
})
