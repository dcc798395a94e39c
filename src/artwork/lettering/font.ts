/** A font's letters: outlines, advances and kerning, in units of its capital height. */

import { lineCubic } from '../../plane/cubic.ts'
import type { Cubic, PlanePoint } from '../../plane/point.ts'
import { boxOf } from '../../plane/polyline.ts'

export interface Letter {
	/** of its origin on the baseline, y up */
	readonly outline: readonly (readonly Cubic[])[]
	/** from the origin of the letter before it to its own, kerning in it; 0 for the first */
	readonly from: number
}

export interface Line {
	readonly letters: readonly Letter[]
	/** from the first letter's origin to the end of the last one's advance */
	readonly advance: number
	/** signs that the font has no letter for, each once */
	readonly missing: readonly string[]
}

export interface LetterFont {
	/** of a text in one line. Ligatures only where letters are not set apart. */
	readonly line: (text: string, ligatures: boolean) => Line
}

/** Reads a font file (TrueType or OpenType; ISO/IEC 14496-22). Rejects where the bytes are no font: the fonts are the program's own. */
export async function readFont(bytes: Uint8Array): Promise<LetterFont> {
	const { default: fontkit } = await import('@pdf-lib/fontkit')
	const font = fontkit.create(bytes as never)
	const height = capitalHeight(font as never)
	return {
		line: (text, ligatures) => {
			const missing = [...new Set([...text])].filter((sign) => !font.hasGlyphForCodePoint(sign.codePointAt(0) as number))
			const run = font.layout(text, { kern: true, liga: ligatures, clig: ligatures, calt: ligatures } as never)
			let at = 0
			let before = 0
			const letters = run.glyphs.map((glyph, i): Letter => {
				const place = run.positions[i] as { xAdvance: number; xOffset: number; yOffset: number }
				const origin = at + place.xOffset
				const outline = cubicsOf(glyph.path as unknown as GlyphPath, 1 / height, place.yOffset)
				const letter = { outline, from: (origin - before) / height }
				before = origin
				at += place.xAdvance
				return letter
			})
			return { letters, advance: at / height, missing }
		},
	}
}

interface GlyphPath {
	readonly commands: readonly { readonly command: string; readonly args: readonly number[] }[]
}

/** Of the capital H as it is drawn: what a rule measures on the old decal. */
function capitalHeight(font: { glyphForCodePoint(code: number): { path: GlyphPath } }): number {
	const outline = cubicsOf(font.glyphForCodePoint(0x48).path, 1, 0)
	const box = boxOf(outline.flat(2))
	if (!box || !(box.maxY > 0)) throw new Error('a font without a capital H')
	return box.maxY
}

function cubicsOf(path: GlyphPath, scale: number, up: number): Cubic[][] {
	const loops: Cubic[][] = []
	let loop: Cubic[] = []
	let at: PlanePoint = { x: 0, y: 0 }
	let start = at
	const end = () => {
		if (loop.length > 0 && (at.x !== start.x || at.y !== start.y)) loop.push(lineCubic(at, start))
		if (loop.length > 0) loops.push(loop)
		loop = []
	}
	const toward = (p: PlanePoint, q: PlanePoint) => ({ x: p.x + (2 / 3) * (q.x - p.x), y: p.y + (2 / 3) * (q.y - p.y) })
	for (const { command, args } of path.commands) {
		const point = (i: number) => ({ x: scale * (args[i] as number), y: scale * ((args[i + 1] as number) + up) })
		const to = args.length >= 2 ? point(args.length - 2) : start
		if (command === 'moveTo') {
			end()
			start = to
		} else if (command === 'lineTo') loop.push(lineCubic(at, to))
		else if (command === 'quadraticCurveTo') loop.push([at, toward(at, point(0)), toward(to, point(0)), to])
		else if (command === 'bezierCurveTo') loop.push([at, point(0), point(2), to])
		else end()
		at = to
	}
	end()
	return loops
}
