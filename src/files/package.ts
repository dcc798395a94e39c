/** What lies beside the program: its version, its starters, its fonts. Found from source and as built alike. */
import { existsSync, readFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const MANIFEST = 'package.json'
/** src/files, dist or dist/cli: never further down than this */
const MOST_UP = 4

interface Home {
	readonly folder: string
	readonly version: string
}

let found: Home | undefined

/** The project's own folder: the nearest above this file with its manifest. Throws where the program was taken out of it. */
export function home(): Home {
	if (found) return found
	let folder = dirname(fileURLToPath(import.meta.url))
	for (let up = 0; up < MOST_UP; up++, folder = dirname(folder)) {
		const file = join(folder, MANIFEST)
		if (!existsSync(file)) continue
		const { name, version } = JSON.parse(readFileSync(file, 'utf8')) as { readonly name?: string; readonly version?: string }
		if (name === 'stripewright' && version) {
			found = { folder, version }
			return found
		}
	}
	throw new Error('the folder of the program is not complete: its package.json is missing')
}

export const version = (): string => home().version
export const startersFolder = (): string => join(home().folder, 'templates')

const NAMES = { regular: 'BarlowSemiCondensed_400Regular.ttf', bold: 'BarlowSemiCondensed_600SemiBold.ttf' }
const FROM_SOURCE = 'node_modules/@expo-google-fonts/barlow-semi-condensed'

/** The two fonts that are printed with: as built, else from their package. */
export function fonts(): { readonly regular: Uint8Array; readonly bold: Uint8Array } {
	const { folder } = home()
	const file = (name: string, within: string) => {
		const built = join(folder, 'dist', 'fonts', name)
		return readFileSync(existsSync(built) ? built : join(folder, FROM_SOURCE, within, name))
	}
	return { regular: file(NAMES.regular, '400Regular'), bold: file(NAMES.bold, '600SemiBold') }
}
