/** Pages to write on, and beside them the table that brings their figures back. */
import { resolve } from 'node:path'
import { diskProblem } from '../files/diskProblem.ts'
import type { Problem } from '../job/problem.ts'
import type { World } from './world.ts'
import { writeNewFile } from './writeNewFile.ts'

export const tableBeside = (pdf: string) => pdf.replace(/(\.pdf)?$/i, '.csv')

/** Why neither may be written: one of them is there already, and figures may stand in it. */
export async function inTheWay(world: World, pdf: string): Promise<Problem | undefined> {
	for (const name of [pdf, tableBeside(pdf)]) {
		if ((await world.disk.kind(resolve(world.folder, name))) === 'none') continue
		return diskProblem(Object.assign(new Error(name), { code: 'EEXIST', errno: 0 }), name)
	}
	return undefined
}

/** Both or neither, never over another file; what went wrong, or undefined. */
export async function writeSheet(world: World, pdf: string, bytes: Uint8Array, csv: string): Promise<Problem | undefined> {
	const there = await inTheWay(world, pdf)
	if (there) return there
	const table = tableBeside(pdf)
	const wrong = await writeNewFile(world, table, new TextEncoder().encode(csv))
	if (wrong) return wrong
	const then = await writeNewFile(world, pdf, bytes)
	if (then) await world.disk.removeFile(resolve(world.folder, table)).catch(() => {})
	return then
}
