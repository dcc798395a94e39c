/** A file written anew in one step: at no moment is there none, or half of one. */
import { basename, dirname, join } from 'node:path'
import type { Disk } from './disk.ts'

const mark = (path: string) => `.${basename(path)}.stripewright-saving-`

/**
 * Written beside, through to the disk, with the rights of the file that stands there, and renamed into its place. Throws what the
 * disk says where it refuses; the file is then as it was.
 */
export async function writeOver(disk: Disk, path: string, bytes: Uint8Array): Promise<void> {
	const beside = join(dirname(path), `${mark(path)}${process.pid}`)
	await disk.removeFile(beside).catch(() => {})
	try {
		await disk.writeNew(beside, bytes, (await disk.kind(path)) === 'file' ? path : undefined)
		await disk.rename(beside, path)
	} catch (error) {
		await disk.removeFile(beside).catch(() => {})
		throw error
	}
	await disk.syncFolder(dirname(path))
}

/** Takes away what a program left that was ended in the middle of `writeOver`. */
export async function removeHalfWritten(disk: Disk, path: string): Promise<void> {
	const begins = mark(path)
	const names = await disk.list(dirname(path)).catch(() => [])
	for (const name of names) {
		if (!name.startsWith(begins) || isRunning(Number(name.slice(begins.length)))) continue
		await disk.removeFile(join(dirname(path), name)).catch(() => {})
	}
}

function isRunning(id: number): boolean {
	try {
		process.kill(id, 0)
		return true
	} catch (error) {
		return (error as NodeJS.ErrnoException).code === 'EPERM'
	}
}
