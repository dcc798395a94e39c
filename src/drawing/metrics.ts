/** Text measured with the printed fonts' own figures, so that what is laid out is what is printed. */
import type { PlanePoint } from '../plane/point.ts'
import type { TextItem } from './drawing.ts'
import table from './font-metrics.json' with { type: 'json' }

export type TextStyle = Pick<TextItem, 'sizeMm' | 'bold'>

interface Face {
	readonly ascent: number
	readonly descent: number
	readonly capHeight: number
	readonly xHeight: number
	/** [advance, left, bottom, right, top] in 1/1000 em; a blank has only its advance */
	readonly glyphs: Readonly<Record<string, readonly number[]>>
}

const REGULAR: Face = table.regular
const BOLD: Face = table.bold
/** The tables are in thousandths of the em size. */
const EM = 1000
/** Signs that the fonts lack, and what is printed for them. */
const INSTEAD: Readonly<Record<string, string>> = { '→': '->', '←': '<-', '↑': '^', '⌀': 'Ø', '\t': ' ', '\n': ' ', '\r': ' ' }
const UNKNOWN = '?'

const faceOf = (style: TextStyle) => (style.bold ? BOLD : REGULAR)
const has = (sign: string) => Object.hasOwn(REGULAR.glyphs, sign) && Object.hasOwn(BOLD.glyphs, sign)

/**
 * The text as the fonts can print it, and the signs that had to become '?'. Composed letters come first, then a plain sign of
 * the same meaning (an arrow as ->), then the letter without its accent.
 */
export function printable(text: string): { readonly text: string; readonly unknown: readonly string[] } {
	// nearly all texts: plain ASCII, which both fonts have
	if (/^[ -~]*$/.test(text)) return { text, unknown: [] }
	const unknown: string[] = []
	const signs = [...text.normalize('NFC')].map((sign) => {
		if (has(sign)) return sign
		const other = INSTEAD[sign] ?? sign.normalize('NFKD').replace(/\p{M}/gu, '')
		if (other !== '' && [...other].every(has)) return other
		// a mark that joins nothing, or a sign of no width, leaves nothing to print
		if (/^[\p{M}\p{Cf}]$/u.test(sign)) return ''
		unknown.push(sign)
		return UNKNOWN
	})
	return { text: signs.join(''), unknown }
}

const glyphsOf = (text: string, face: Face) => [...printable(text).text].map((sign) => face.glyphs[sign] as readonly number[])

/** How far the text advances along its baseline, mm. Kerning and ligatures are not used, here or in the writers. */
export function textWidth(text: string, style: TextStyle): number {
	const units = glyphsOf(text, faceOf(style)).reduce((sum, glyph) => sum + (glyph[0] as number), 0)
	return (units * style.sizeMm) / EM
}

/** Height of a capital letter, mm. */
export const capHeight = (style: TextStyle): number => (faceOf(style).capHeight * style.sizeMm) / EM

/** The font's ascent above and descent below the baseline, mm, both positive. */
export function lineExtent(style: TextStyle): { readonly ascent: number; readonly descent: number } {
	const { ascent, descent } = faceOf(style)
	return { ascent: (ascent * style.sizeMm) / EM, descent: (-descent * style.sizeMm) / EM }
}

/** The ink of the text from its start on the baseline, mm; undefined where it has no ink. */
function inkOf(item: Pick<TextItem, 'text' | 'sizeMm' | 'bold'>) {
	let pen = 0
	let ink: { left: number; bottom: number; right: number; top: number } | undefined
	for (const glyph of glyphsOf(item.text, faceOf(item))) {
		const [advance = 0, left, bottom, right, top] = glyph
		if (left !== undefined && bottom !== undefined && right !== undefined && top !== undefined) {
			ink = {
				left: Math.min(ink?.left ?? Infinity, pen + left),
				bottom: Math.min(ink?.bottom ?? Infinity, bottom),
				right: Math.max(ink?.right ?? -Infinity, pen + right),
				top: Math.max(ink?.top ?? -Infinity, top),
			}
		}
		pen += advance
	}
	return ink
}

export type Corners = readonly [PlanePoint, PlanePoint, PlanePoint, PlanePoint]

/**
 * The four corners of the box round a text's ink after it is turned: lower left, lower right, upper right, upper left as the
 * text reads. Undefined where nothing is printed.
 */
export function textBox(item: TextItem): Corners | undefined {
	const ink = inkOf(item)
	if (!ink) return undefined
	const k = item.sizeMm / EM
	const width = textWidth(item.text, item)
	const start = item.anchor === 'start' ? 0 : item.anchor === 'middle' ? -width / 2 : -width
	const cos = Math.cos(item.angle)
	const sin = Math.sin(item.angle)
	const corner = (x: number, y: number): PlanePoint => ({
		x: item.at.x + (start + x * k) * cos - y * k * sin,
		y: item.at.y + (start + x * k) * sin + y * k * cos,
	})
	return [corner(ink.left, ink.bottom), corner(ink.right, ink.bottom), corner(ink.right, ink.top), corner(ink.left, ink.top)]
}
