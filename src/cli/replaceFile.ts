/** A file of the person's own, written anew: what stood there is kept beside it, and at no time is there none. */
import { basename, dirname, join } from 'node:path'
import type { Disk } from '../files/disk.ts'
import { diskProblem, isDiskError } from '../files/diskProblem.ts'
import type { Problem } from '../job/problem.ts'

export interface ReplaceOptions {
	/** what was read and worked from: where the file is no longer that, it is left alone */
	readonly before: Uint8Array
	/** how the person names the file */
	readonly said: string
	readonly process: number
}

/** The name under which the file of before is kept. */
export const keptName = (path: string) => `${path}~`

/**
 * Both are written beside, through to the disk, with the rights of the file, and renamed into place: first the one of before, then
 * the new one. A problem, and a file as it was, where someone else changed it meanwhile or the disk refuses.
 */
export async function replaceFile(
	disk: Disk,
	path: string,
	bytes: Uint8Array,
	{ before, said, process }: ReplaceOptions,
): Promise<Problem | undefined> {
	const beside = (what: string) => join(dirname(path), `.${basename(path)}.stripewright-${what}-${process}`)
	const made: string[] = []
	const put = async (what: string, content: Uint8Array, to: string) => {
		const name = beside(what)
		await disk.removeFile(name).catch(() => {})
		made.push(name)
		await disk.writeNew(name, content, path)
		return () => disk.rename(name, to)
	}
	try {
		await disk.mayWrite(path)
		const keep = await put('before', before, keptName(path))
		const replace = await put('new', bytes, path)
		if (!same(await disk.read(path), before)) {
			for (const name of made) await disk.removeFile(name).catch(() => {})
			return changedMeanwhile(said)
		}
		await keep()
		await replace()
		await disk.syncFolder(dirname(path))
		return undefined
	} catch (error) {
		for (const name of made) await disk.removeFile(name).catch(() => {})
		if (!isDiskError(error)) throw error
		return diskProblem(error, said)
	}
}

const same = (a: Uint8Array, b: Uint8Array) => a.length === b.length && a.every((byte, i) => byte === b[i])

const changedMeanwhile = (said: string): Problem => ({
	...{ code: 'CHANGED_MEANWHILE', severity: 'error', path: '', file: said },
	found: `${said} was changed by someone else while this was at work; it was left as it is`,
	expected: 'a file that nobody else writes',
	fix: 'give the command again',
})
