/** Prints for film that is applied face down: pieces mirrored, and every sheet says so. */
import { boxHeight, boxWidth } from '../drawing/box.ts'
import type { Box, Drawing, Item, TextItem } from '../drawing/drawing.ts'
import { capHeight, textWidth } from '../drawing/metrics.ts'
import { hasLettering, mirrorBox, mirrorItems, mirrorPoint } from '../drawing/mirror.ts'
import type { Outcome, Problem } from '../job/problem.ts'
import type { PlanePoint } from '../plane/point.ts'
import type { Piece } from '../template/piece.ts'
import { printableBox } from './arrange.ts'
import { type LayoutOptions, layoutSheets } from './layout.ts'
import type { Margins } from './printer.ts'
import type { Sheet, Sheets } from './sheets.ts'

export const MIRRORED_WORDS = 'MIRRORED: for film applied face down'
/** Read across a bench: capitals of 7 mm, where the sheet is wide enough for them. */
const WORDS_MM = 10
/** Kept free for the words along one side of the sheet. */
const BAND_MM = 12

const loop = (points: readonly PlanePoint[]) => points.map(mirrorPoint).reverse()

/** On a mirrored print the printed face lies on the panel. */
const faceDown = (words: string) => words.replace(/\b(this face) up\b/gi, '$1 down')

const rewritten = (items: readonly Item[]): readonly Item[] =>
	items.map((item) => {
		if (item.kind === 'text') return { ...item, text: faceDown(item.text) }
		return item.kind === 'group' ? { ...item, items: rewritten(item.items) } : item
	})

const letteringProblem = (piece: Piece): Problem => ({
	code: 'LETTERING_MIRRORED',
	severity: 'error',
	path: '',
	place: { panel: piece.panel },
	found: `lettering on piece ${piece.number} (${piece.title}), to be printed mirrored`,
	expected:
		'a mirrored print of shapes without words: words on it stay readable, so lettering would come out reversed on the panel',
	fix: `Print piece ${piece.number} as it is, for film applied face up.`,
})

/**
 * The piece mirrored left to right about x = 0: its words stay readable, and say which face lies on the panel. Loops run the way they
 * ran before. Problem LETTERING_MIRRORED, and no value, for a piece with words that are to be seen on the panel.
 */
export function mirrorPiece(piece: Piece): Outcome<Piece> {
	if (hasLettering(piece.items)) return { problems: [letteringProblem(piece)] }
	const value: Piece = {
		...piece,
		title: `${piece.title}, mirrored`,
		knife: piece.knife.map(loop),
		working: piece.working.map((line) => line.map(mirrorPoint)),
		items: rewritten(mirrorItems(piece.items)),
		bounds: mirrorBox(piece.bounds),
		notes: ['Mirrored: lay the printed face on the panel.', ...piece.notes.map(faceDown)],
	}
	return { value, problems: [] }
}

/** The free band of a sheet, and which way words run in it: above the rest, or at the left of a sheet on its side. */
function bandOf(
	{ drawing, orientation, scale }: Sheet,
	own: Margins,
	widened: Margins,
): { readonly box: Box; readonly angle: number } {
	const outer = printableBox(drawing, own, orientation, scale)
	const inner = printableBox(drawing, widened, orientation, scale)
	return orientation === 'portrait'
		? { box: { ...outer, minY: inner.maxY }, angle: 0 }
		: { box: { ...outer, maxX: inner.minX }, angle: Math.PI / 2 }
}

function words({ box, angle }: ReturnType<typeof bandOf>): TextItem {
	const [length, depth] = angle === 0 ? [boxWidth(box), boxHeight(box)] : [boxHeight(box), boxWidth(box)]
	const sizeMm = Math.min(WORDS_MM, (0.98 * length) / textWidth(MIRRORED_WORDS, { sizeMm: 1, bold: true }))
	// up against the outer edge: the descenders keep off what stands beside the band
	const below = depth - capHeight({ sizeMm, bold: true })
	const [x, y] = [(box.minX + box.maxX) / 2, (box.minY + box.maxY) / 2]
	return {
		kind: 'text',
		role: 'frame',
		at: angle === 0 ? { x, y: box.minY + below } : { x: box.maxX - below, y },
		text: MIRRORED_WORDS,
		sizeMm,
		anchor: 'middle',
		angle,
		bold: true,
	}
}

/**
 * Sheets for film that is applied face down, as `layoutSheets` makes them: the pieces are mirrored before they are laid out, so that
 * margins, check squares, joins and their names are true on the printed face; every sheet says large that it is mirrored. A piece with
 * lettering is refused (problem LETTERING_MIRRORED) and the others are made.
 */
export function layoutMirrored(pieces: readonly Piece[], options: LayoutOptions): Outcome<Sheets> {
	const mirrored = pieces.map(mirrorPiece)
	const refused = mirrored.flatMap(({ problems }) => problems)
	const made = mirrored.flatMap(({ value }) => (value ? [value] : []))
	if (pieces.length > 0 && made.length === 0) return { problems: refused }
	const { margins } = options
	// a sheet on its side keeps the wider of the top and bottom margins at its left and right
	const widened = { ...margins, top: Math.max(margins.top, margins.bottom) + BAND_MM }
	const { value, problems } = layoutSheets(made, { ...options, margins: widened })
	const labelled = (sheet: Sheet): Drawing => ({
		...sheet.drawing,
		title: `${sheet.drawing.title} (mirrored)`,
		items: [...sheet.drawing.items, words(bandOf(sheet, margins, widened))],
	})
	return {
		...(value ? { value: { ...value, sheets: value.sheets.map((sheet) => ({ ...sheet, drawing: labelled(sheet) })) } } : {}),
		problems: [...refused, ...problems],
	}
}
