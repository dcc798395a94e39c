/** Fonts, programs and files for tests. */
import { execFileSync } from 'node:child_process'
import { mkdtempSync, readFileSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Drawing } from '../../src/drawing/drawing.ts'
import { type PageScale, toPdf } from '../../src/drawing/pdf.ts'

const require = createRequire(import.meta.url)
const font = (file: string) => new Uint8Array(readFileSync(require.resolve(`@expo-google-fonts/barlow-semi-condensed/${file}`)))

export const FONTS = {
	regular: font('400Regular/BarlowSemiCondensed_400Regular.ttf'),
	bold: font('600SemiBold/BarlowSemiCondensed_600SemiBold.ttf'),
}

export const pdfOf = (drawings: readonly Drawing[], scale?: PageScale | readonly PageScale[]) =>
	toPdf(drawings, { title: 'Test', fonts: FONTS, revision: 'abc123', ...(scale ? { scale } : {}) })

export const folder = () => mkdtempSync(join(tmpdir(), 'sheet-'))

export function saved(name: string, bytes: Uint8Array | string, into = folder()): string {
	const path = join(into, name)
	writeFileSync(path, bytes)
	return path
}

export const run = (program: string, args: readonly string[]) =>
	execFileSync(program, args, { encoding: 'utf8', maxBuffer: 1 << 28, stdio: ['ignore', 'pipe', 'pipe'] })
