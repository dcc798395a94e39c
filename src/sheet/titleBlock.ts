/**
 * The title block: the data fields of ISO 7200 that apply (title, supplementary title, identification number, sheet, document type,
 * creator), and what the bench needs large.
 */
import { boxWidth, grown } from '../drawing/box.ts'
import type { Box, GroupItem, Item, PathItem } from '../drawing/drawing.ts'
import { line, rect } from '../drawing/path.ts'
import { LEAST_SIZE_MM, type Paragraph, setText } from './textBlock.ts'

export interface BlockPiece {
	readonly number: string
	readonly title: string
	readonly panel: string
	readonly side: string
	readonly kind: string
}

export interface BlockText {
	readonly title: string
	readonly revision: string
	readonly unit: string
	readonly creator: string
	/** the sheet's own name: 7-B2 */
	readonly name: string
	readonly sheet: number
	readonly of: number
	readonly pieces: readonly BlockPiece[]
	/** paper, printer, correction */
	readonly print: string
	/** "right: sheet 7-B3"; none for a piece on one sheet */
	readonly joins: readonly string[]
}

interface Cell {
	readonly caption: string
	readonly lines: readonly string[]
	readonly sizeMm: number
	readonly bold?: boolean
	/** part of the row's width */
	readonly part: number
}
type Row = readonly Cell[]

const PADDING_MM = 1.5
/** The shares of size that are tried until all rows fit. */
const PARTS = [1, 0.9, 0.8, 0.7, 0.6, 0.5, 0.4]

const unique = (texts: readonly string[]) => [...new Set(texts)]

const one = (caption: string, lines: readonly string[], sizeMm: number, part = 1, bold = false): Cell => ({
	caption,
	lines,
	sizeMm,
	part,
	bold,
})

/** What every sheet says of the job and the print. */
const jobRows = (text: BlockText): readonly Row[] => [
	[one('Job', [text.title], 3.6)],
	[
		one('Revision', [text.revision], 3.6, 0.35, true),
		one('Unit', [text.unit], 3.6, 0.2),
		one('Made by', [text.creator], 3.6, 0.45),
	],
	[one('Paper and printer', [text.print], 3)],
]

/** A sheet without pieces has the map of all. */
const mapRows = (text: BlockText): readonly Row[] => [
	[one('Type', ['Map of the sheets'], 5, 0.6, true), one('Sheet', [`${text.sheet} of ${text.of}`], 5, 0.4, true)],
	...jobRows(text),
]

function rowsOf(text: BlockText): readonly Row[] {
	const { pieces } = text
	if (pieces.length === 0) return mapRows(text)
	const sides = unique(pieces.map(({ side }) => side))
	const mixed = sides.length > 1
	return [
		[
			// left and right never share a sheet
			mixed ? one('Side: see each piece', [sides.join(' + ')], 9, 0.55, true) : one('Side', sides, 11, 0.55, true),
			one('Sheet', [...(text.joins.length > 0 ? [text.name] : []), `${text.sheet} of ${text.of}`], 5, 0.45, true),
		],
		[
			one(
				pieces.length === 1 ? 'Piece' : 'Pieces',
				pieces.map(({ number, title, side }) => `${number}${mixed ? ` ${side}` : ''}: ${title}`),
				4.2,
				1,
				true,
			),
		],
		[
			one('Panel', [unique(pieces.map(({ panel }) => panel)).join(', ')], 3.6, 0.55),
			one('Type', [unique(pieces.map(({ kind }) => kind)).join(', ')], 3.6, 0.45),
		],
		...jobRows(text),
		...(text.joins.length > 0 ? [[one('Joins', [text.joins.join(', ')], 3)]] : []),
	]
}

const captionOf = ({ caption }: Cell): Paragraph => ({ text: caption, sizeMm: LEAST_SIZE_MM })
const wordsOf = ({ lines, sizeMm, bold }: Cell, part: number): readonly Paragraph[] =>
	lines.map((text, index) => ({
		text,
		sizeMm: Math.min(sizeMm, Math.max(LEAST_SIZE_MM, sizeMm * part)),
		before: index === 0 ? 0.7 : 0,
		...(bold ? { bold } : {}),
	}))

/** A cell's text in a box that is high enough for anything. */
function setCell(cell: Cell, part: number, minX: number, maxX: number, top: number) {
	const box = { minX: minX + PADDING_MM, maxX: maxX - PADDING_MM, minY: top - 1e4, maxY: top - PADDING_MM }
	return setText([captionOf(cell), ...wordsOf(cell, part)], box, 'frame')
}

interface Rows {
	readonly items: readonly Item[]
	readonly bottom: number
}

/** One row from `top` down. */
function setRow(row: Row, box: Box, top: number, part: number): Rows {
	let left = box.minX
	const cells = row.map((cell) => {
		const right = left + cell.part * boxWidth(box)
		const set = setCell(cell, part, left, right, top)
		const from = left
		left = right
		return { ...set, from }
	})
	const bottom = top - Math.max(...cells.map(({ heightMm }) => heightMm)) - 2 * PADDING_MM
	const rules = cells.slice(1).map(({ from }) => rule({ x: from, y: top }, { x: from, y: bottom }))
	return { items: [...cells.flatMap((cell) => cell.items), ...rules], bottom }
}

/** Rows that were set before: most sheets of a set, and of the set before it, say the same at the same place. */
const known = new Map<string, Rows>()
/** More rows than a job's sheets have; then it starts anew. */
const MOST_KNOWN = 5000

function setRowOnce(row: Row, box: Box, top: number, part: number): Rows {
	const words = row.map((c) => `${c.caption}\n${c.lines.join('\n')}\n${c.sizeMm} ${c.bold} ${c.part}`).join('\n\n')
	const key = `${box.minX} ${box.maxX} ${top} ${part} ${words}`
	const found = known.get(key)
	if (found) return found
	if (known.size > MOST_KNOWN) known.clear()
	const made = setRow(row, box, top, part)
	known.set(key, made)
	return made
}

/** All rows from the top at this share of size: items, and the height they take. */
function setRows(rows: readonly Row[], box: Box, part: number): Rows {
	const items: Item[] = []
	let top = box.maxY
	rows.forEach((row, index) => {
		const set = setRowOnce(row, box, top, part)
		top = set.bottom
		for (const item of set.items) items.push(item)
		if (index < rows.length - 1) items.push(rule({ x: box.minX, y: top }, { x: box.maxX, y: top }))
	})
	return { items, bottom: top }
}

const STROKE = { widthMm: 0.25, colour: '#000000' }
const rule = (from: { x: number; y: number }, to: { x: number; y: number }): PathItem => ({
	kind: 'path',
	role: 'frame',
	segments: line(from, to),
	stroke: STROKE,
})

/** All texts cut to a number of signs, ending in three dots where something is missing. */
function shortened(text: BlockText, signs: number): BlockText {
	const cut = (value: string) => (value.length > signs ? `${value.slice(0, signs).trimEnd()} …` : value)
	return {
		...text,
		title: cut(text.title),
		revision: cut(text.revision),
		creator: cut(text.creator),
		name: cut(text.name),
		print: cut(text.print),
		joins: text.joins.length > 0 ? [cut(text.joins.join(', '))] : [],
		pieces: text.pieces.map((piece) => ({
			...piece,
			title: cut(piece.title),
			panel: cut(piece.panel),
			number: cut(piece.number),
		})),
	}
}

/** Many pieces on one sheet: their numbers stand for them. */
const numbersOnly = (text: BlockText): BlockText => ({
	...text,
	pieces: text.pieces.slice(0, 1).map((piece) => ({ ...piece, title: 'and others' })),
})

/** The texts to try, in full first. The last fits any block that a sheet is given. */
function* attempts(text: BlockText): Generator<BlockText> {
	yield text
	for (const signs of [200, 100, 60, 40, 25]) yield shortened(text, signs)
	yield shortened(numbersOnly(text), 15)
}

function firstThatFits(text: BlockText, box: Box) {
	let last = { words: text, ...setRows(rowsOf(text), box, 1) }
	if (last.bottom >= box.minY) return last
	for (const words of attempts(text)) {
		const rows = rowsOf(words)
		for (const part of PARTS) {
			last = { words, ...setRows(rows, box, part) }
			if (last.bottom >= box.minY) return last
		}
	}
	return last
}

/** Does the block hold all its words in full, at the least size if need be? */
export const blockFits = (text: BlockText, room: Box): boolean => {
	const box = grown(room, -STROKE.widthMm / 2)
	return setRows(rowsOf(text), box, PARTS.at(-1) as number).bottom >= box.minY
}

/**
 * The block, no higher than it needs, at the top or the bottom of its room. Texts are wrapped, then set smaller (2.3 mm at
 * least), then shortened; `cut` says that something was.
 */
export function titleBlock(
	text: BlockText,
	room: Box,
	at: 'top' | 'bottom',
): { readonly group: GroupItem; readonly cut: boolean } {
	const box = grown(room, -STROKE.widthMm / 2)
	const { words, items, bottom } = firstThatFits(text, box)
	const frame: PathItem = { kind: 'path', role: 'frame', segments: rect({ ...box, minY: bottom }), stroke: STROKE }
	const down = at === 'bottom' ? bottom - box.minY : 0
	return {
		group: { kind: 'group', id: 'title-block', title: 'Title block', at: { x: 0, y: -down }, items: [frame, ...items] },
		cut: words !== text,
	}
}
