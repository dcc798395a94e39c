/**
 * Writes src/drawing/font-metrics.json: the advances and ink boxes of the printed fonts, read from the font files.
 * Run after a change of the font package: `npx tsx scripts/fontMetrics.ts`.
 */
import { readFileSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { fileURLToPath } from 'node:url'
import fontkit from '@pdf-lib/fontkit'

const PACKAGE = '@expo-google-fonts/barlow-semi-condensed'
const FILES = {
	regular: `${PACKAGE}/400Regular/BarlowSemiCondensed_400Regular.ttf`,
	bold: `${PACKAGE}/600SemiBold/BarlowSemiCondensed_600SemiBold.ttf`,
}
/** Beside ASCII, Latin-1 and Latin Extended-A: the signs that prints use, where the font has them. */
const SIGNS = '‐‑–—‘’‚“”„•…′″⁄→←↑↓−×±≈≠≤≥½¼¾⅛⅜⅝⅞⌀Ø∆Ωµ√€™'

/** [advance, left, bottom, right, top] in units of 1/1000 em; a blank has only its advance. */
type GlyphRow = [number] | [number, number, number, number, number]

interface Glyph {
	readonly advanceWidth: number
	readonly bbox: { readonly minX: number; readonly minY: number; readonly maxX: number; readonly maxY: number }
}

interface Font {
	readonly postscriptName: string
	readonly unitsPerEm: number
	readonly ascent: number
	readonly descent: number
	readonly capHeight: number
	readonly xHeight: number
	hasGlyphForCodePoint(code: number): boolean
	glyphForCodePoint(code: number): Glyph
}

/** The code points in the table, in order. */
function codePoints(): number[] {
	const codes = [...SIGNS].map((sign) => sign.codePointAt(0) as number)
	for (let code = 0x20; code < 0x180; code++) if (code < 0x7f || code >= 0xa0) codes.push(code)
	return [...new Set(codes)].sort((a, b) => a - b)
}

function face(bytes: Uint8Array) {
	const font = fontkit.create(bytes) as unknown as Font
	const k = 1000 / font.unitsPerEm
	const whole = (value: number) => Math.round(value * k)
	const glyphs: Record<string, GlyphRow> = {}
	for (const code of codePoints()) {
		if (!font.hasGlyphForCodePoint(code)) continue
		const { advanceWidth, bbox } = font.glyphForCodePoint(code)
		const blank = !(bbox.maxX > bbox.minX)
		glyphs[String.fromCodePoint(code)] = blank
			? [whole(advanceWidth)]
			: [whole(advanceWidth), whole(bbox.minX), whole(bbox.minY), whole(bbox.maxX), whole(bbox.maxY)]
	}
	return {
		name: font.postscriptName,
		ascent: whole(font.ascent),
		descent: whole(font.descent),
		capHeight: whole(font.capHeight),
		xHeight: whole(font.xHeight),
		glyphs,
	}
}

/** The text of the table, one glyph on a line. Throws where the font package is not installed. */
export function fontMetricsText(): string {
	const require = createRequire(import.meta.url)
	const faces = Object.entries(FILES).map(([id, file]) => {
		const { glyphs, ...rest } = face(readFileSync(require.resolve(file)))
		const rows = Object.entries(glyphs).map(([sign, row]) => `\t\t\t${JSON.stringify(sign)}: ${JSON.stringify(row)}`)
		const head = Object.entries(rest).map(([key, value]) => `\t\t${JSON.stringify(key)}: ${JSON.stringify(value)},`)
		return `\t${JSON.stringify(id)}: {\n${head.join('\n')}\n\t\t"glyphs": {\n${rows.join(',\n')}\n\t\t}\n\t}`
	})
	return `{\n${faces.join(',\n')}\n}\n`
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
	writeFileSync(new URL('../src/drawing/font-metrics.json', import.meta.url), fontMetricsText())
}
