/** The starters that come with the program. */
import { join } from 'node:path'
import type { Disk } from './disk.ts'
import { startersFolder } from './package.ts'

export interface Starter {
	readonly name: string
	/** one line: the first remark of its file */
	readonly about: string
}

/** By name. */
export async function starters(disk: Disk): Promise<readonly Starter[]> {
	const files = (await disk.list(startersFolder())).filter((name) => name.endsWith('.jsonc'))
	return Promise.all(
		files.map(async (file) => {
			const name = file.replace(/\.jsonc$/, '')
			const about = /^\s*\/\/\s*(?:Starter: )?(.+)$/m.exec(await starterText(disk, name))?.[1]?.trim() ?? ''
			return { name, about }
		}),
	)
}

/** The job file that a starter gives. `name` is one of those that are listed. */
export async function starterText(disk: Disk, name: string): Promise<string> {
	const text = new TextDecoder().decode(await disk.read(join(startersFolder(), `${name}.jsonc`)))
	// The way to the schema is another one from the new folder.
	return text.replace(/^[ \t]*"\$schema"[ \t]*:[^\n]*\r?\n/m, '')
}
