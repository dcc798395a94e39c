/** Whether a path leads to something inside a folder, links followed. */
import { sep } from 'node:path'
import type { Disk } from './disk.ts'
import { isDiskError } from './diskProblem.ts'

/** The real path, where it lies in the folder `root` (a real path itself) or is that folder; undefined where it leads out or nowhere. */
export async function realWithin(disk: Disk, root: string, path: string): Promise<string | undefined> {
	try {
		const real = await disk.real(path)
		const folder = root.endsWith(sep) ? root : root + sep
		return real === root || real.startsWith(folder) ? real : undefined
	} catch (error) {
		if (isDiskError(error)) return undefined
		throw error
	}
}

/** What was found where a plain file or folder was looked for: a link to somewhere else. */
export class LeadsOut extends Error {}

/** Throws LeadsOut where a path that was real has become a link, or lies behind one. What is not there leads nowhere. */
export async function mustBeReal(disk: Disk, path: string): Promise<void> {
	const real = await disk.real(path).catch((error) => {
		if (isDiskError(error) && error.code === 'ENOENT') return path
		throw error
	})
	if (real !== path) throw new LeadsOut(`${path} is a link that leads elsewhere`)
}
