/** One file that a command was asked for. */
import { dirname, resolve } from 'node:path'
import { diskProblem, isDiskError } from '../files/diskProblem.ts'
import type { Problem } from '../job/problem.ts'
import type { World } from './world.ts'

/** Writes it whole or not at all, never over another file; what went wrong, or undefined. */
export async function writeNewFile({ disk, folder }: World, file: string, bytes: Uint8Array): Promise<Problem | undefined> {
	const path = resolve(folder, file)
	let began = false
	try {
		if ((await disk.kind(path)) !== 'none') return diskProblem(Object.assign(new Error(file), { code: 'EEXIST', errno: 0 }), file)
		await disk.makeFolder(dirname(path))
		began = true
		await disk.writeNew(path, bytes)
		return undefined
	} catch (error) {
		if (!isDiskError(error)) throw error
		if (began && error.code !== 'EEXIST') await disk.removeFile(path).catch(() => {})
		return diskProblem(error, file)
	}
}
