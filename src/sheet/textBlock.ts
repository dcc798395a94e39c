/** Paragraphs set into a box: wrapped, then made smaller down to a stated least size, and only then cut short. */
import { boxWidth } from '../drawing/box.ts'
import type { Box, Role, TextItem } from '../drawing/drawing.ts'
import { capHeight } from '../drawing/metrics.ts'
import { wrapText } from '../drawing/wrap.ts'

export interface Paragraph {
	readonly text: string
	readonly sizeMm: number
	readonly bold?: boolean
	/** empty room above, mm */
	readonly before?: number
}

export interface SetText {
	readonly items: readonly TextItem[]
	/** from the top of the box to below the last line, mm */
	readonly heightMm: number
	/** lines that did not fit and are not printed */
	readonly cut: number
}

/** Smaller than this (capitals of 1.6 mm) is not read at the bench. */
export const LEAST_SIZE_MM = 2.3
/** From baseline to baseline, in em. */
const LINE_STEP = 1.2
/** Below the last baseline, in em: the descenders. */
const BELOW = 0.22

/** Lines that were wrapped before: most sheets of a set say the same. */
const wrapped = new Map<string, readonly string[]>()
/** More texts than a job's sheets hold; then it starts anew. */
const MOST_WRAPPED = 5000

function linesOf(text: string, widthMm: number, style: { readonly sizeMm: number; readonly bold: boolean }): readonly string[] {
	const key = `${widthMm} ${style.sizeMm} ${style.bold} ${text}`
	const known = wrapped.get(key)
	if (known) return known
	if (wrapped.size > MOST_WRAPPED) wrapped.clear()
	const lines = wrapText(text, widthMm, style)
	wrapped.set(key, lines)
	return lines
}

/** The lines with the heights they take, top down, at this part of the wanted sizes. */
function linesAt(paragraphs: readonly Paragraph[], widthMm: number, part: number) {
	let y = 0
	return paragraphs.flatMap(({ text, sizeMm, bold = false, before = 0 }) => {
		const size = Math.min(sizeMm, Math.max(LEAST_SIZE_MM, sizeMm * part))
		const style = { sizeMm: size, bold }
		return linesOf(text, widthMm, style).map((line, index) => {
			const first = y === 0 ? capHeight(style) : LINE_STEP * size
			y += first + (index === 0 && y > 0 ? before : 0)
			return { line, style, baseline: y, bottom: y + BELOW * size }
		})
	})
}

/** Would all paragraphs go into the box at the least size? */
export const textFits = (paragraphs: readonly Paragraph[], box: Box): boolean =>
	(linesAt(paragraphs, boxWidth(box), 0).at(-1)?.bottom ?? 0) <= box.maxY - box.minY

/** Sets the paragraphs into the box from its top. What still does not fit at the least size is counted in `cut`. */
export function setText(paragraphs: readonly Paragraph[], box: Box, role: Role, anchor: 'start' | 'end' = 'start'): SetText {
	const room = box.maxY - box.minY
	const width = boxWidth(box)
	let lines = linesAt(paragraphs, width, 1)
	for (let part = 0.95; (lines.at(-1)?.bottom ?? 0) > room && part > 0.2; part -= 0.05) lines = linesAt(paragraphs, width, part)
	const fits = lines.filter(({ bottom }) => bottom <= room + 1e-9)
	const items = fits.map(
		({ line, style, baseline }): TextItem => ({
			kind: 'text',
			role,
			at: { x: anchor === 'start' ? box.minX : box.maxX, y: box.maxY - baseline },
			text: line,
			sizeMm: style.sizeMm,
			anchor,
			angle: 0,
			...(style.bold ? { bold: true } : {}),
		}),
	)
	return { items, heightMm: fits.at(-1)?.bottom ?? 0, cut: lines.length - fits.length }
}
