/**
 * A whole set of files put into a folder at once. The set is written into a new folder beside the target and renamed into its
 * place when all of it is on the disk: a run that fails leaves the last set as it was, and nothing beside it.
 */
import { basename, dirname, join } from 'node:path'
import type { Disk } from '../files/disk.ts'
import { diskProblem, isDiskError } from '../files/diskProblem.ts'
import type { Problem } from '../job/problem.ts'
import type { OutputFile } from '../report/outputs.ts'

export interface WriteOptions {
	/** a file of the set that lists all of it, from which the next run knows which files are its own to replace */
	readonly manifest: { readonly name: string; readonly filesIn: (text: string) => readonly string[] | undefined }
	/** tells the two folders of one process from those of another */
	readonly process: number
	/** whether a process that left a half-written folder is still at work */
	readonly isRunning: (process: number) => boolean
	/** how the person names the folder */
	readonly said: string
	/** told where the half-written folder is, for whoever may have to take it away */
	readonly began?: (folder: string) => void
}

/** Names of the folders beside the target: hidden, and nobody's own. */
const NEW = 'stripewright-new'
const BEFORE = 'stripewright-before'

const beside = (target: string, what: string) => join(dirname(target), `.${basename(target)}.${what}`)

/**
 * Writes the files as the contents of `target`. What the person put there stays. Problems, and an untouched target, where it is
 * a file (FILE_IN_THE_WAY), holds files but no set of ours (FOLDER_NOT_OURS), one of the person's files has a name that the set
 * needs (FILE_IN_THE_WAY), or the disk refuses.
 */
export async function writeSet(
	disk: Disk,
	target: string,
	files: readonly OutputFile[],
	options: WriteOptions,
): Promise<readonly Problem[]> {
	const made = await missingAbove(disk, target)
	const fresh = beside(target, `${NEW}-${options.process}`)
	try {
		await disk.makeFolder(dirname(target))
		const place = (await disk.kind(target)) === 'folder' ? await disk.real(target) : target
		if (place !== target) return await writeSet(disk, place, files, options)
		await recover(disk, target, options)
		const refused = await refusal(disk, target, files, options)
		if (refused) return [refused]
		options.began?.(fresh)
		await writeAll(disk, fresh, files)
		return await putInPlace(disk, fresh, target, options)
	} catch (error) {
		await disk.removeTree(fresh).catch(() => {})
		for (const folder of made) await disk.removeFolder(folder).catch(() => {})
		if (!isDiskError(error)) throw error
		return [diskProblem(error, options.said)]
	}
}

/** Folders above the target that are not there yet, the lowest first. */
async function missingAbove(disk: Disk, target: string): Promise<readonly string[]> {
	const missing: string[] = []
	for (let at = dirname(target); at !== dirname(at); at = dirname(at)) {
		if ((await disk.kind(at).catch(() => 'other')) !== 'none') break
		missing.push(at)
	}
	return missing
}

/** Open files at a time: far below what any system allows. */
const AT_ONCE = 32

async function writeAll(disk: Disk, folder: string, files: readonly OutputFile[]): Promise<void> {
	await disk.makeFolder(folder)
	const folders = [...new Set(files.map(({ name }) => dirname(join(folder, name))))].filter((each) => each !== folder)
	for (const each of folders) await disk.makeFolder(each)
	// side by side: each waits for the disk to say that it has it
	for (let i = 0; i < files.length; i += AT_ONCE) {
		const some = files.slice(i, i + AT_ONCE).map(({ name, bytes }) => disk.writeNew(join(folder, name), bytes))
		const failed = (await Promise.allSettled(some)).find((each) => each.status === 'rejected')
		if (failed) throw failed.reason
	}
	for (const each of [...folders, folder]) await disk.syncFolder(each)
}

async function putInPlace(disk: Disk, fresh: string, target: string, options: WriteOptions): Promise<readonly Problem[]> {
	const before = beside(target, BEFORE)
	const had = (await disk.kind(target)) === 'folder'
	if (had) await disk.rename(target, before)
	try {
		await disk.rename(fresh, target)
	} catch (error) {
		if (had) await disk.rename(before, target)
		throw error
	}
	await disk.syncFolder(dirname(target))
	if (!had) return []
	// From here on the new set is in place, whatever happens to the old one.
	const cleared = await clearBefore(disk, before, target, options).catch((error: unknown) => {
		if (!isDiskError(error)) throw error
		return false
	})
	return cleared ? [] : [leftOver(before)]
}

const leftOver = (before: string): Problem => ({
	code: 'OLD_SET_LEFT',
	severity: 'warning',
	path: '',
	file: before,
	found: 'files of before that could not all be moved or removed; the new set is in place',
	expected: 'nothing left of the set of before',
	fix: 'look into that hidden folder, take out what is yours, and remove it',
})

/** The person's files go over into the new set; the old set goes. Its manifest goes last, so that this can be taken up again. */
async function clearBefore(disk: Disk, before: string, target: string, options: WriteOptions): Promise<boolean> {
	const own = await ownFiles(disk, before, options)
	const { files, folders } = await filesBelow(disk, before)
	for (const name of files) {
		const to = join(target, name)
		if (own.includes(name) || (await disk.kind(to)) !== 'none') continue
		await disk.makeFolder(dirname(to))
		await disk.rename(join(before, name), to)
	}
	for (const name of files) if (own.includes(name) && name !== options.manifest.name) await disk.removeFile(join(before, name))
	for (const name of folders.toReversed()) {
		if (!own.some((file) => file.startsWith(`${name}/`))) await disk.makeFolder(join(target, name))
		await disk.removeFolder(join(before, name)).catch(() => {})
	}
	if (own.length > 0) await disk.removeFile(join(before, options.manifest.name))
	return disk.removeFolder(before).then(
		() => true,
		() => false,
	)
}

/** What an earlier run that was ended half-way left: its set is put back or finished, its half-written folder removed. */
async function recover(disk: Disk, target: string, options: WriteOptions): Promise<void> {
	const before = beside(target, BEFORE)
	if ((await disk.kind(before)) === 'folder') {
		if ((await disk.kind(target)) === 'none') await disk.rename(before, target)
		else await clearBefore(disk, before, target, options)
	}
	const stem = `.${basename(target)}.${NEW}-`
	for (const name of await disk.list(dirname(target))) {
		if (!name.startsWith(stem) || !name.endsWith('/')) continue
		const number = Number(name.slice(stem.length, -1))
		if (Number.isInteger(number) && (number === options.process || !options.isRunning(number))) {
			await disk.removeTree(join(dirname(target), name))
		}
	}
}

async function refusal(
	disk: Disk,
	target: string,
	files: readonly OutputFile[],
	options: WriteOptions,
): Promise<Problem | undefined> {
	const { said } = options
	const kind = await disk.kind(target)
	if (kind === 'none') return undefined
	const problem = (code: string, found: string, expected: string, fix: string): Problem => {
		return { code, severity: 'error', path: '', file: said, found, expected, fix }
	}
	if (kind !== 'folder') {
		const fix = 'choose another folder with --out, or move the file away'
		return problem('FILE_IN_THE_WAY', `${said} is a file`, 'a folder, or a name that is free', fix)
	}
	const { files: there, folders } = await filesBelow(disk, target)
	await disk.mayWrite(target)
	if (there.length === 0 && folders.length === 0) return undefined
	const own = await ownFiles(disk, target, options)
	if (!own.includes(options.manifest.name) || there.length >= MOST_FILES) {
		const found = `${said} holds other things and no set of sheets that this program made`
		const fix = 'choose a new or empty folder with --out'
		return problem('FOLDER_NOT_OURS', found, 'a new or empty folder, or the one of an earlier run', fix)
	}
	const persons = there.filter((name) => !own.includes(name))
	const hit = files.find(({ name }) =>
		persons.some((theirs) => sameOnAnyDisk(theirs, name) || theirs.startsWith(`${name}/`) || name.startsWith(`${theirs}/`)),
	)
	if (!hit) return undefined
	const found = `${said}/${hit.name}, a file that this program did not write`
	return problem(
		'FILE_IN_THE_WAY',
		found,
		'names of the set that are free',
		'move the file away, or choose another folder with --out',
	)
}

/** Some disks do not tell capitals from small letters. */
const sameOnAnyDisk = (a: string, b: string) => a.toLowerCase() === b.toLowerCase()

/** The files of a set, by its manifest: never a path out of the folder. */
async function ownFiles(disk: Disk, folder: string, { manifest }: WriteOptions): Promise<readonly string[]> {
	const path = join(folder, manifest.name)
	if ((await disk.kind(path)) !== 'file') return []
	const listed = manifest.filesIn(new TextDecoder().decode(await disk.read(path))) ?? []
	return listed.filter(
		(name) => name !== '' && !name.split('/').some((part) => part === '' || part === '.' || part === '..' || part.includes('\\')),
	)
}

/** A folder that is no output folder is not looked through to its end. */
const MOST_FILES = 20_000

async function filesBelow(
	disk: Disk,
	folder: string,
): Promise<{ readonly files: readonly string[]; readonly folders: readonly string[] }> {
	const files: string[] = []
	const folders: string[] = []
	const queue = ['']
	for (let at = queue.shift(); at !== undefined && files.length < MOST_FILES; at = queue.shift()) {
		for (const name of await disk.list(join(folder, at))) {
			if (!name.endsWith('/')) files.push(at + name)
			else {
				folders.push((at + name).slice(0, -1))
				queue.push(at + name)
			}
		}
	}
	return { files, folders }
}
