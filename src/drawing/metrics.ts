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

/** A text in 1/1000 em: how far it advances, and its ink from its start on the baseline, where it has any. */
interface Extent {
	readonly advance: number
	readonly ink?: { readonly left: number; readonly bottom: number; readonly right: number; readonly top: number }
}

/** Texts that were measured before: a set of sheets says the same things over and over. */
const measured = { regular: new Map<string, Extent>(), bold: new Map<string, Extent>() }
/** More texts than a job has; then it starts anew. */
const MOST_MEASURED = 20_000

function extentOf(text: string, bold = false): Extent {
	const known = bold ? measured.bold : measured.regular
	const found = known.get(text)
	if (found) return found
	if (known.size > MOST_MEASURED) known.clear()
	const extent = measure(text, bold ? BOLD : REGULAR)
	known.set(text, extent)
	return extent
}

function measure(text: string, face: Face): Extent {
	let pen = 0
	let [left, bottom, right, top] = [Infinity, Infinity, -Infinity, -Infinity]
	for (const sign of printable(text).text) {
		const [advance = 0, x0, y0, x1, y1] = face.glyphs[sign] as readonly number[]
		if (x0 !== undefined && y0 !== undefined && x1 !== undefined && y1 !== undefined) {
			left = Math.min(left, pen + x0)
			bottom = Math.min(bottom, y0)
			right = Math.max(right, pen + x1)
			top = Math.max(top, y1)
		}
		pen += advance
	}
	return right < left ? { advance: pen } : { advance: pen, ink: { left, bottom, right, top } }
}

/** How far the text advances along its baseline, mm. Kerning and ligatures are not used, here or in the writers. */
export function textWidth(text: string, style: TextStyle): number {
	return (extentOf(text, style.bold).advance * style.sizeMm) / EM
}

/** Height of a capital letter, mm. */
export const capHeight = (style: TextStyle): number => (faceOf(style).capHeight * style.sizeMm) / EM

/** The font's ascent above and descent below the baseline, mm, both positive. */
export function lineExtent(style: TextStyle): { readonly ascent: number; readonly descent: number } {
	const { ascent, descent } = faceOf(style)
	return { ascent: (ascent * style.sizeMm) / EM, descent: (-descent * style.sizeMm) / EM }
}

export type Corners = readonly [PlanePoint, PlanePoint, PlanePoint, PlanePoint]

/**
 * The four corners of the box round a text's ink after it is turned: lower left, lower right, upper right, upper left as the
 * text reads. Undefined where nothing is printed.
 */
export function textBox(item: TextItem): Corners | undefined {
	const { ink } = extentOf(item.text, item.bold)
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
