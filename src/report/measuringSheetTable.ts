/** Tables of blanks: rows high enough to be written in by hand, with their headings. */
import type { Item, Stroke, TextItem } from '../drawing/drawing.ts'
import { type TextStyle, textWidth } from '../drawing/metrics.ts'
import { line } from '../drawing/path.ts'
import { INK } from './planStyle.ts'

/** A column: its heading, and its part of the width. */
export interface Column {
	readonly title: string
	readonly part: number
	/** over this column and those after it, as many as `over.columns` */
	readonly over?: { readonly title: string; readonly columns: number }
}

export interface Cell {
	readonly text?: string
	readonly bold?: boolean
	/** printed lightly: figures of before */
	readonly light?: string
	/** words to be ringed */
	readonly ring?: string
	/** it takes the room of so many columns */
	readonly span?: number
}

export interface Table {
	readonly title: string
	readonly columns: readonly Column[]
	readonly rows: readonly (readonly Cell[] | { readonly group: string })[]
	/** short: not parted over pages */
	readonly together?: boolean
	/** height of a row that is read and not written in; where not said, as high as a pencil wants */
	readonly rowMm?: number
}

/** Something that stands on a page in one piece, as wide as the page's room. */
export interface Block {
	readonly heightMm: number
	/** not the last on its page */
	readonly withNext?: boolean
	draw(at: { readonly x: number; readonly top: number; readonly widthMm: number }): readonly Item[]
}

/** What flows over pages: its heading is said again on each. */
export interface Flow {
	readonly heading?: (again: boolean) => Block
	readonly blocks: readonly Block[]
}

/** A pencil wants 7 mm; with a figure of before in the corner a little more. */
export const ROW_MM = 8
const GROUP_MM = 5.5
const TITLE_MM = 8
const HEAD_MM = 5
export const TEXT_MM = 3.4
export const SMALL_MM = 2.6
const PAD_MM = 1.2
export const LIGHT = '#8a857b'
export const RULE: Stroke = { widthMm: 0.15, colour: '#8a857b' }
export const STRONG: Stroke = { widthMm: 0.35, colour: INK }

export const words = (x: number, y: number, text: string, style: TextStyle & Partial<TextItem>): TextItem => ({
	kind: 'text',
	role: 'label',
	at: { x, y },
	text,
	anchor: 'start',
	angle: 0,
	colour: INK,
	...style,
})

export const rule = (x0: number, y0: number, x1: number, y1: number, stroke: Stroke = RULE): Item => ({
	kind: 'path',
	role: 'frame',
	segments: line({ x: x0, y: y0 }, { x: x1, y: y1 }),
	stroke,
})

/** Made smaller until it fits, down to what can be read; then cut short, which dots say. */
export function fitted(text: string, widthMm: number, style: TextStyle): { readonly text: string; readonly sizeMm: number } {
	const width = textWidth(text, style)
	const least = Math.min(style.sizeMm, SMALL_MM - 0.3)
	const sizeMm = Math.max(least, width > widthMm ? (style.sizeMm * widthMm) / width : style.sizeMm)
	if (textWidth(text, { ...style, sizeMm }) <= widthMm + 1e-6) return { text, sizeMm }
	const signs = [...text.slice(0, MOST_SIGNS)]
	while (signs.length > 1 && textWidth(`${signs.join('')}...`, { ...style, sizeMm }) > widthMm) signs.pop()
	return { text: `${signs.join('')}...`, sizeMm }
}

/** More than go into a line of any page. */
const MOST_SIGNS = 400

export function tableFlow({ title, columns, rows, together = false, rowMm = ROW_MM }: Table): Flow {
	const total = columns.reduce((sum, { part }) => sum + part, 0)
	const edges = (widthMm: number) =>
		[0, ...columns].map((_, i) => (columns.slice(0, i).reduce((sum, { part }) => sum + part, 0) / total) * widthMm)
	const over = columns.some((column) => column.over)
	const heading = (again: boolean): Block => ({
		heightMm: TITLE_MM + HEAD_MM * (over ? 2 : 1),
		withNext: true,
		draw: ({ x, top, widthMm }) => headItems(again ? `${title} (continued)` : title, columns, edges(widthMm), x, top, over),
	})
	const blocks = rows.map((row, i): Block => {
		if ('group' in row) return groupBlock(row.group)
		return {
			heightMm: rowMm,
			withNext: together && i + 1 < rows.length,
			draw: ({ x, top, widthMm }) => rowItems(row, edges(widthMm), x, top, rowMm),
		}
	})
	return { heading, blocks }
}

function headItems(
	title: string,
	columns: readonly Column[],
	xs: readonly number[],
	x: number,
	top: number,
	over: boolean,
): readonly Item[] {
	const width = xs.at(-1) as number
	const items: Item[] = [words(x, top - TITLE_MM + 2, title, { sizeMm: 4, bold: true })]
	const y = top - TITLE_MM
	const bottom = y - HEAD_MM * (over ? 2 : 1)
	items.push(rule(x, y, x + width, y, STRONG), rule(x, bottom, x + width, bottom, STRONG))
	for (const [i, column] of columns.entries()) {
		const [from, to] = [xs[i] as number, xs[i + 1] as number]
		const said = fitted(column.title, to - from - 2 * PAD_MM, { sizeMm: 2.9 })
		items.push(words(x + from + PAD_MM, bottom + 1.5, said.text, { sizeMm: said.sizeMm }))
		if (!column.over) continue
		const end = xs[i + column.over.columns] as number
		const middle = x + (from + end) / 2
		items.push(words(middle, y - HEAD_MM + 1.3, column.over.title, { sizeMm: TEXT_MM, bold: true, anchor: 'middle' }))
		items.push(rule(x + from, y, x + from, bottom, STRONG), rule(x + end, y, x + end, bottom, STRONG))
	}
	return items
}

function groupBlock(text: string): Block {
	return {
		heightMm: GROUP_MM,
		withNext: true,
		draw: ({ x, top, widthMm }) => {
			const said = fitted(text, widthMm - 2 * PAD_MM, { sizeMm: 3, bold: true })
			return [
				words(x + PAD_MM, top - GROUP_MM + 1.6, said.text, { sizeMm: said.sizeMm, bold: true }),
				rule(x, top - GROUP_MM, x + widthMm, top - GROUP_MM),
			]
		},
	}
}

function rowItems(cells: readonly Cell[], xs: readonly number[], x: number, top: number, rowMm: number): readonly Item[] {
	const bottom = top - rowMm
	const width = xs.at(-1) as number
	const items: Item[] = [rule(x, bottom, x + width, bottom), rule(x, top, x, bottom)]
	let column = 0
	for (const { text = '', light = '', ring = '', bold = false, span = 1 } of cells) {
		const from = x + (xs[column] as number)
		column += span
		const to = x + (xs[column] as number)
		items.push(rule(to, top, to, bottom))
		const room = to - from - 2 * PAD_MM
		if (text !== '') {
			const said = fitted(text, room, { sizeMm: TEXT_MM, bold })
			items.push(
				words(from + PAD_MM, bottom + Math.min(2.6, (rowMm - 2.5) / 2), said.text, {
					sizeMm: said.sizeMm,
					...(bold ? { bold } : {}),
				}),
			)
		}
		for (const [word, y] of [
			[light, bottom + 0.9],
			[ring, top - 2.6],
		] as const) {
			if (word === '') continue
			const said = fitted(word, room, { sizeMm: SMALL_MM })
			items.push(words(to - PAD_MM, y, said.text, { sizeMm: said.sizeMm, anchor: 'end', colour: LIGHT }))
		}
	}
	return items
}
