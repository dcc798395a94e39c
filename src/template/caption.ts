import type { Item } from '../drawing/drawing.ts'
import { textWidth } from '../drawing/metrics.ts'
import { wrapText } from '../drawing/wrap.ts'
import type { PlanePoint } from '../plane/point.ts'
import { bar, text } from './marks.ts'
import type { PieceSide } from './piece.ts'
import { SMALL_MM, TEXT_MM } from './style.ts'

export interface CaptionText {
	readonly number: number
	readonly title: string
	readonly panelTitle: string
	readonly side: PieceSide
	readonly lines: readonly string[]
}

/** Lengths of the two bars beside a piece: one across the sheet's short side of text, one down. */
const ACROSS_MM = 100
const DOWN_MM = 50
const WIDTH_MM = 112
const LEADING = 1.3

/** The words that belong to a piece, with bars both ways, in a block whose upper left corner is `at`. */
export function caption(at: PlanePoint, words: CaptionText): { items: Item[]; height: number; width: number } {
	const items: Item[] = []
	const left = at.x + 6
	let y = at.y - TEXT_MM
	const put = (line: string, sizeMm: number, bold: boolean) => {
		for (const part of wrapText(line, WIDTH_MM - 8, { sizeMm, bold })) {
			items.push(text({ x: left, y }, part, { sizeMm, bold }))
			y -= sizeMm * LEADING
		}
	}
	put(`${words.number}   ${words.title}`, TEXT_MM * 1.15, true)
	put(`${words.panelTitle}   ${words.side === 'BOTH' ? 'LEFT and RIGHT' : words.side}   printed face up`, TEXT_MM, true)
	for (const line of words.lines) put(line, SMALL_MM, false)
	y -= 3
	const barY = Math.min(y, at.y - DOWN_MM + 4)
	items.push(...bar({ x: left, y: barY }, 0, ACROSS_MM))
	items.push(...bar({ x: at.x + 2, y: at.y - DOWN_MM }, Math.PI / 2, DOWN_MM, 1.5))
	return { items, height: Math.max(DOWN_MM, at.y - barY + 3), width: Math.max(WIDTH_MM, textWidth(words.title, { sizeMm: TEXT_MM, bold: true })) }
}
