/** One program for one folder: where it is served is written down in it, and asked before it is served again. */
import { createHash } from 'node:crypto'
import { join } from 'node:path'
import type { Disk } from '../../files/disk.ts'
import { isDiskError } from '../../files/diskProblem.ts'
import type { Folder } from '../wire.ts'

/** The same for the same folder at every start; `root` is its real path. */
export const folderId = (root: string): string => createHash('sha256').update(root).digest('hex').slice(0, 16)

const noteIn = (root: string) => join(root, '.stripewright', 'open')
/** A program of this computer answers at once, ms. */
const ANSWERS_MS = 2000

/**
 * The address at which a folder is served already. What a program left that was ended without warning counts for nothing, since nobody
 * answers there, or somebody else.
 */
export async function openedAt(disk: Disk, root: string): Promise<string | undefined> {
	try {
		const address = new TextDecoder().decode(await disk.read(noteIn(root))).trim()
		if (!/^http:\/\/127\.0\.0\.1:\d{1,5}\/$/.test(address)) return undefined
		const reply = await fetch(`${address}api/folder`, { signal: AbortSignal.timeout(ANSWERS_MS), redirect: 'error' })
		const { id } = (await reply.json()) as Partial<Folder>
		return id === folderId(root) ? address : undefined
	} catch {
		return undefined
	}
}

/** Writes down where it is served; the answer takes that away again. A folder that nothing may be written in is served all the same. */
export async function noteOpen(disk: Disk, root: string, address: string): Promise<() => Promise<void>> {
	const note = noteIn(root)
	const remove = () => disk.removeFile(note).catch(() => {})
	try {
		await disk.makeFolder(join(root, '.stripewright'))
		await remove()
		await disk.writeNew(note, new TextEncoder().encode(`${address}\n`))
	} catch (error) {
		if (!isDiskError(error)) throw error
		return async () => {}
	}
	return async () => {
		await remove()
		// versions may lie there
		await disk.removeFolder(join(root, '.stripewright')).catch(() => {})
	}
}
