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

/** The two fonts that are printed with: as built, else from their package. */
export function fonts(): { readonly regular: Uint8Array; readonly bold: Uint8Array } {
	return { regular: fontFile(NAMES.regular), bold: fontFile(NAMES.bold) }
}

/** Packages of fonts by how their files begin; each weight lies in a folder of its own, named as the file ends. */
const FONT_PACKAGES: Readonly<Record<string, string>> = {
	BarlowSemiCondensed: 'barlow-semi-condensed',
	Barlow: 'barlow',
	SairaStencilOne: 'saira-stencil-one',
	OleoScript: 'oleo-script',
}

/** One font by the name of its file: as built, else from its package. Throws where it is not there. */
export function fontFile(name: string): Uint8Array {
	const { folder } = home()
	const built = join(folder, 'dist', 'fonts', name)
	const [family = '', weight = ''] = name.replace(/\.ttf$/, '').split('_')
	const source = join(folder, 'node_modules', '@expo-google-fonts', FONT_PACKAGES[family] ?? family, weight, name)
	return readFileSync(existsSync(built) ? built : source)
}
