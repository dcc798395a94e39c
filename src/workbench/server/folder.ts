/** Which jobs lie in a folder, and the shop that goes with them. No path of a link that leads out is taken. */
import { dirname, join } from 'node:path'
import type { Disk } from '../../files/disk.ts'
import { realWithin } from '../../files/within.ts'

export interface JobPlace {
	/** its folder's name, or its file's */
	readonly name: string
	/** real path of its file */
	readonly path: string
}

const JOB_NAMES = ['job.jsonc', 'job.json']
const SHOP_NAMES = ['shop.jsonc', 'shop.json']

/** The job of each folder in `root` (a real path), and the job files in it, by name. */
export async function jobsIn(disk: Disk, root: string): Promise<readonly JobPlace[]> {
	const names = (await disk.list(root)).map((name) => name.replace(/\/$/, '')).filter((name) => !name.startsWith('.'))
	const found = await Promise.all(
		names.map(async (name): Promise<JobPlace | undefined> => {
			const real = await realWithin(disk, root, join(root, name))
			if (real === undefined) return undefined
			const kind = await disk.kind(real)
			if (kind === 'folder') {
				const path = await firstWithin(disk, root, real, JOB_NAMES)
				return path === undefined ? undefined : { name, path }
			}
			const isJob = kind === 'file' && (name === 'job.json' || /\.jsonc$/.test(name)) && !SHOP_NAMES.includes(name)
			return isJob ? { name, path: real } : undefined
		}),
	)
	return found.filter((job) => job !== undefined)
}

/** The shop's file of a job: the one beside it, else the one of the folder; where there is none, where it would be. */
export async function shopFor(disk: Disk, root: string, job?: JobPlace): Promise<string> {
	const beside = job && (await firstWithin(disk, root, dirname(job.path), SHOP_NAMES))
	return beside ?? (await firstWithin(disk, root, root, SHOP_NAMES)) ?? join(root, SHOP_NAMES[0] as string)
}

async function firstWithin(disk: Disk, root: string, folder: string, names: readonly string[]): Promise<string | undefined> {
	for (const name of names) {
		const path = await realWithin(disk, root, join(folder, name))
		if (path !== undefined && (await disk.kind(path)) === 'file') return path
	}
	return undefined
}
