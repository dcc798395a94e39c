/**
 * How a sheet is shared out: the check square and the title block in one band along the lower edge or the left side, the rest free
 * for pieces.
 */
import { boxHeight, boxWidth, grown } from '../drawing/box.ts'
import type { Box } from '../drawing/drawing.ts'
import type { PageScale } from '../drawing/pdf.ts'
import type { Outcome } from '../job/problem.ts'
import type { Paper } from './paper.ts'
import { type Correction, type Margins, type Orientation, pageScale } from './printer.ts'

/** The check square, from middle to middle of its line, mm. */
export const SQUARE_MM = 100
export const SQUARE_LINE_MM = 0.2
/** Lines nearby mislead the eye (and a detector) when the square is measured: 4 mm is asked for, and a little more is kept. */
export const CLEAR_MM = 5
/** Below this a title block cannot hold its lines. */
const LEAST_BLOCK_MM = { width: 60, height: 55 }
/** Wider or higher than this its lines only fall apart. */
const MOST_BLOCK_MM = { width: 130, height: 120 }
/** Notes read well in a column of this width, and badly in less than the other. */
const MOST_NOTES_MM = { width: 160, height: 160 }
const LEAST_NOTES_MM = { width: 70, height: 60 }
/** An accent may rise a little above its line. */
const NOTES_INSET_MM = 1
/** With less room than this for pieces, sheets are all overlap. */
const LEAST_LIVE_MM = 40
/** A PDF page may be 14,400 units of 1/72 inch long. ISO 32000-1, annex C. */
export const LONGEST_ROLL_MM = 5000

/** The square and the block lie below the pieces, or stand at their left, or stand where a single piece leaves them room. */
export type Band = 'below' | 'beside' | 'free'

/** What the shop prints on, and how its printer is corrected. */
export interface Stock {
	readonly paper: Paper
	readonly margins: Margins
	readonly correction: Correction
}

export interface Arrangement {
	readonly paper: Paper
	readonly orientation: Orientation
	readonly band: Band
	readonly widthMm: number
	readonly heightMm: number
	/** room for pieces */
	readonly live: Box
	/** the middle of the check square's line: 100.00 mm each way */
	readonly square: Box
	readonly block: Box
	/** what is left of the band, for notes; the inside of the square where absent */
	readonly notes?: Box
	readonly scale: PageScale
}

interface Size {
	readonly widthMm: number
	readonly heightMm: number
}

/** On its side a sheet may be fed either way round, so that opposite margins change places: the wider of the two goes on both. */
function marginsOf(margins: Margins, orientation: Orientation): Margins {
	if (orientation === 'portrait') return margins
	const [across, along] = [Math.max(margins.top, margins.bottom), Math.max(margins.left, margins.right)]
	return { left: across, right: across, top: along, bottom: along }
}

/** Where ink may fall, before the printer's correction: enlarging about the middle must not push it into the margins. */
export function printableBox({ widthMm, heightMm }: Size, margins: Margins, orientation: Orientation, scale: PageScale): Box {
	const own = marginsOf(margins, orientation)
	const inward = (at: number, size: number, by: number) => size / 2 + (at - size / 2) / Math.max(1, by)
	return {
		minX: inward(own.left, widthMm, scale.x),
		minY: inward(own.bottom, heightMm, scale.y),
		maxX: inward(widthMm - own.right, widthMm, scale.x),
		maxY: inward(heightMm - own.top, heightMm, scale.y),
	}
}

const large = (box: Box, widthMm: number, heightMm: number) => boxWidth(box) >= widthMm && boxHeight(box) >= heightMm

/** The rest of the band, where it is worth having. */
const notesIn = (box: Box): Pick<Arrangement, 'notes'> =>
	large(box, LEAST_NOTES_MM.width, LEAST_NOTES_MM.height) ? { notes: grown(box, -NOTES_INSET_MM) } : {}

function share(printable: Box, band: Band): Pick<Arrangement, 'live' | 'square' | 'block' | 'notes'> {
	const half = SQUARE_LINE_MM / 2
	const [minX, minY] = [printable.minX + half, printable.minY + half]
	const square = { minX, minY, maxX: minX + SQUARE_MM, maxY: minY + SQUARE_MM }
	const [right, top] = [square.maxX + half, square.maxY + half]
	if (band === 'below') {
		const blockRight = Math.min(printable.maxX, right + CLEAR_MM + MOST_BLOCK_MM.width)
		return {
			square,
			block: { minX: right + CLEAR_MM, minY: printable.minY, maxX: blockRight, maxY: top },
			...notesIn({
				minX: blockRight + CLEAR_MM,
				minY: printable.minY,
				maxX: Math.min(printable.maxX, blockRight + CLEAR_MM + MOST_NOTES_MM.width),
				maxY: top,
			}),
			live: { ...printable, minY: top + CLEAR_MM },
		}
	}
	const blockTop = Math.min(printable.maxY, top + CLEAR_MM + MOST_BLOCK_MM.height)
	return {
		square,
		block: { minX: printable.minX, minY: top + CLEAR_MM, maxX: right, maxY: blockTop },
		...notesIn({
			minX: printable.minX,
			minY: blockTop + CLEAR_MM,
			maxX: right,
			maxY: Math.min(printable.maxY, blockTop + CLEAR_MM + MOST_NOTES_MM.height),
		}),
		live: { ...printable, minX: right + CLEAR_MM },
	}
}

const usable = ({ block, live }: Arrangement) =>
	large(block, LEAST_BLOCK_MM.width, LEAST_BLOCK_MM.height) && large(live, LEAST_LIVE_MM, LEAST_LIVE_MM)

/** The length of roll that leaves `needMm` for pieces. */
function rollLength(needMm: number, margins: Margins, band: Band, scale: PageScale): number {
	const square = SQUARE_MM + SQUARE_LINE_MM + CLEAR_MM
	const room = Math.max(needMm, LEAST_LIVE_MM)
	const inside = band === 'below' ? square + room : Math.max(room, square + MOST_BLOCK_MM.height)
	// a hundredth to spare, so that rounding does not ask for a second sheet
	const length = inside * Math.max(1, scale.y) + 2 * Math.max(margins.top, margins.bottom) + 0.01
	return Math.min(LONGEST_ROLL_MM, Math.ceil(length))
}

/**
 * All ways to share out this paper, the plainest first: upright and on its side, the band below and beside. A roll is cut to the
 * height that is needed. Problem PAPER_TOO_SMALL where the margins leave no room for the square, the block and a piece.
 */
export function arrangements(
	paper: Paper,
	margins: Margins,
	correction: Correction,
	needHeightMm: number,
): Outcome<readonly Arrangement[]> {
	const ways = (['portrait', 'landscape'] as const)
		.filter((orientation) => orientation === 'portrait' || paper.heightMm !== undefined)
		.flatMap((orientation) => (['below', 'beside'] as const).map((band) => ({ orientation, band })))
	const found = ways.map(({ orientation, band }): Arrangement => {
		const scale = pageScale(correction, orientation)
		const height = paper.heightMm ?? rollLength(needHeightMm, margins, band, scale)
		const [widthMm, heightMm] = orientation === 'portrait' ? [paper.widthMm, height] : [height, paper.widthMm]
		const printable = printableBox({ widthMm, heightMm }, margins, orientation, scale)
		return { paper, orientation, band, widthMm, heightMm, scale, ...share(printable, band) }
	})
	const value = found.filter(usable)
	if (value.length > 0) return { value, problems: [] }
	const { left, right, top, bottom } = margins
	const size = `${paper.widthMm}${paper.heightMm === undefined ? ' mm wide' : ` x ${paper.heightMm} mm`}`
	return {
		problems: [
			{
				code: 'PAPER_TOO_SMALL',
				severity: 'error',
				path: '/paper',
				found: `${paper.name} (${size}) with margins of ${left} left, ${right} right, ${top} top, ${bottom} bottom (mm)`,
				expected: 'a sheet with room inside its margins for a check square of 100 mm, the title block and a piece',
				fix: 'Take a larger paper, or correct the margins in the shop file.',
			},
		],
	}
}
