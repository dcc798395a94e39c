/** The square on every sheet that a ruler checks: 100 mm from middle to middle of its line, and nothing near the line. */
import { corners, grown } from '../drawing/box.ts'
import type { Box, GroupItem, PathItem } from '../drawing/drawing.ts'
import { polyline, rect } from '../drawing/path.ts'
import { CLEAR_MM, SQUARE_LINE_MM } from './arrange.ts'
import { type Paragraph, setText, textFits } from './textBlock.ts'

/** Words inside keep one mm more than the lines need. */
const INSET_MM = CLEAR_MM + 1

/**
 * The line as a filled frame, its inner edge run the other way round: viewers and printers may move a stroked line to whole dots
 * (stroke adjustment, ISO 32000-1, 10.6.5), but not the edges of a filled shape.
 */
const squareLine = (square: Box): PathItem => ({
	kind: 'path',
	role: 'bar',
	segments: [
		...rect(grown(square, SQUARE_LINE_MM / 2)),
		...polyline([...corners(grown(square, -SQUARE_LINE_MM / 2))].reverse(), true),
	],
	fill: '#000000',
	title: 'check square: 100 mm',
})

function wordsIn(unit: 'mm' | 'in', notes: readonly string[]): readonly Paragraph[] {
	const inches = unit === 'in' ? ' (3.937 in)' : ''
	return [
		{ text: `This square: 100 mm${inches}`, sizeMm: 5, bold: true },
		{
			text: 'Print at 100 %, then measure, across and along, from line to line. If it is not 100 mm, do not use this sheet.',
			sizeMm: 3.2,
			before: 1,
		},
		...noteParagraphs(notes, 5),
	]
}

const noteParagraphs = (notes: readonly string[], before = 0): readonly Paragraph[] =>
	notes.map((text, index) => ({ text, sizeMm: 3.2, before: index === 0 ? before : 1.5 }))

/** Do the notes go where they are to go: into `room`, or inside the square where there is none? */
export const notesFit = (square: Box, unit: 'mm' | 'in', notes: readonly string[], room?: Box): boolean =>
	room ? textFits(noteParagraphs(notes), room) : textFits(wordsIn(unit, notes), grown(square, -INSET_MM))

/** The square, what to do with it, and the notes, in a room of their own or inside the square; how many lines found no room. */
export function checkSquare(
	square: Box,
	unit: 'mm' | 'in',
	notes: readonly string[],
	room?: Box,
): { readonly group: GroupItem; readonly notes?: GroupItem; readonly cut: number } {
	const inside = setText(wordsIn(unit, room ? [] : notes), grown(square, -INSET_MM), 'bar')
	const beside = room ? setText(noteParagraphs(notes), room, 'frame') : { items: [], cut: 0 }
	return {
		group: { kind: 'group', id: 'check-square', title: 'Check square', items: [squareLine(square), ...inside.items] },
		...(beside.items.length > 0 ? { notes: { kind: 'group', id: 'notes', title: 'Notes', items: beside.items } } : {}),
		cut: inside.cut + beside.cut,
	}
}
