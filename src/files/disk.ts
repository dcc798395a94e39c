/** The few things that the program asks of a file system, so that tests can give it one that fails. */
import { access, constants, lstat, mkdir, open, readdir, readFile, realpath, rename, rm, rmdir, stat } from 'node:fs/promises'
import { dirname, resolve } from 'node:path'

export interface Disk {
	/** what a path is, links followed */
	kind(path: string): Promise<'file' | 'folder' | 'other' | 'none'>
	/** differs when a file was written since, or replaced; undefined where there is none */
	stamp(path: string): Promise<string | undefined>
	/** bytes of a file */
	size(path: string): Promise<number>
	read(path: string): Promise<Uint8Array>
	/** names in a folder, sorted; a name that ends in / is a folder (a link to one is not) */
	list(path: string): Promise<readonly string[]>
	/** the folder with those above it */
	makeFolder(path: string): Promise<void>
	/** a new file (with the rights of `like`), written through to the disk; fails where there is one already */
	writeNew(path: string, bytes: Uint8Array, like?: string): Promise<void>
	/** the names in a folder, written through to the disk */
	syncFolder(path: string): Promise<void>
	rename(from: string, to: string): Promise<void>
	/** fails where nothing may be added to the folder, or written into the file */
	mayWrite(path: string): Promise<void>
	removeFile(path: string): Promise<void>
	/** fails where it is not empty */
	removeFolder(path: string): Promise<void>
	/** a folder and everything in it, where it exists */
	removeTree(path: string): Promise<void>
	/** the path with its links followed */
	real(path: string): Promise<string>
}

export const nodeDisk: Disk = {
	async kind(path) {
		try {
			const found = await stat(path)
			return found.isFile() ? 'file' : found.isDirectory() ? 'folder' : 'other'
		} catch (error) {
			const { code } = error as NodeJS.ErrnoException
			if (code !== 'ENOENT' && code !== 'ENOTDIR') throw error
			// a link that leads nowhere stands in the way like a file
			return (await lstat(path).catch(() => undefined)) ? 'other' : 'none'
		}
	},
	async stamp(path) {
		try {
			const { ino, size, mtimeNs, ctimeNs } = await stat(path, { bigint: true })
			return [ino, size, mtimeNs, ctimeNs].join(' ')
		} catch (error) {
			const { code } = error as NodeJS.ErrnoException
			if (code === 'ENOENT' || code === 'ENOTDIR') return undefined
			throw error
		}
	},
	size: async (path) => (await stat(path)).size,
	read: (path) => readFile(path),
	async list(path) {
		const entries = await readdir(path, { withFileTypes: true })
		return entries.map((entry) => (entry.isDirectory() ? `${entry.name}/` : entry.name)).sort()
	},
	async makeFolder(path) {
		await makeFolders(path)
	},
	async writeNew(path, bytes, like) {
		const file = await open(path, 'wx')
		try {
			if (like !== undefined) await file.chmod((await stat(like)).mode & 0o777)
			await file.writeFile(bytes)
			await file.sync()
		} finally {
			await file.close()
		}
	},
	async syncFolder(path) {
		// Windows opens no folders: there a rename is written through by itself
		if (process.platform === 'win32') return
		const folder = await open(path, 'r')
		try {
			await folder.sync()
		} finally {
			await folder.close()
		}
	},
	rename,
	mayWrite: (path) => access(path, constants.W_OK),
	removeFile: (path) => rm(path),
	removeFolder: (path) => rmdir(path),
	removeTree: (path) => rm(path, { recursive: true, force: true }),
	real: (path) => realpath(path),
}

/**
 * A folder and those above it that are missing, from the top down. (Node's own recursive mkdir goes round for ever where a
 * file system answers "no such folder" to every attempt.)
 */
async function makeFolders(path: string): Promise<void> {
	const missing: string[] = []
	for (let at = resolve(path); !(await isFolder(at)) && at !== dirname(at); at = dirname(at)) missing.push(at)
	for (const at of missing.reverse()) {
		await mkdir(at).catch(async (error) => {
			// Another run may have made it meanwhile.
			if (!(await isFolder(at))) throw error
		})
	}
}

const isFolder = (path: string): Promise<boolean> =>
	stat(path).then(
		(found) => found.isDirectory(),
		() => false,
	)
