/**
 * One piece on one sheet, laid round the check square: a T or a bow that no free rectangle of the sheet would take often has room for
 * the square and the title block in its hollows. No join at all is the best join.
 */
import { boxHeight, boxWidth, grown, holds, overlaps } from '../drawing/box.ts'
import type { Box } from '../drawing/drawing.ts'
import type { PlanePoint } from '../plane/point.ts'
import { type Arrangement, CLEAR_MM, printableBox, SQUARE_LINE_MM, SQUARE_MM, type Stock } from './arrange.ts'
import { hasInk, turnInk } from './ink.ts'
import { pageScale } from './printer.ts'
import { type Raster, rasterOf } from './raster.ts'
import { type DetailedShape, turnedBox } from './shape.ts'

/** Cells of the raster: well under the millimetre that is kept to spare around the square. */
const CELL_MM = 2
/** Steps in which places are tried. */
const STEP_MM = 3
/** The piece keeps this far from the title block. */
const FROM_BLOCK_MM = 4
/** Title blocks that hold their words, the roomiest first. */
const BLOCKS_MM = [
	[130, 100],
	[100, 120],
	[84, 100],
	[100, 80],
	[80, 80],
	[60, 100],
	[70, 62],
	[60, 60],
] as const
/** Turns tried after the plain ones, in equal parts of half a turn. */
const TURNS = 24

export interface Around {
	readonly arrangement: Arrangement
	readonly angle: number
	/** moves the turned piece onto the sheet */
	readonly shift: PlanePoint
}

/** The square in each corner, the usual one first: from line middle to line middle. */
function squaresIn(printable: Box): readonly Box[] {
	const half = SQUARE_LINE_MM / 2
	const lefts = [printable.minX + half, printable.maxX - half - SQUARE_MM]
	const bottoms = [printable.minY + half, printable.maxY - half - SQUARE_MM]
	return bottoms.flatMap((minY) => lefts.map((minX) => ({ minX, minY, maxX: minX + SQUARE_MM, maxY: minY + SQUARE_MM })))
}

/** Boxes of that size in the corners of the sheet and beside the square. */
function blocksAt(width: number, height: number, printable: Box, square: Box): readonly Box[] {
	const away = grown(square, SQUARE_LINE_MM / 2 + CLEAR_MM)
	const line = grown(square, SQUARE_LINE_MM / 2)
	const lefts = [line.minX, line.maxX - width, away.maxX, away.minX - width, printable.minX, printable.maxX - width]
	const bottoms = [line.maxY - height, line.minY, away.maxY, away.minY - height, printable.maxY - height, printable.minY]
	return lefts
		.flatMap((minX) => bottoms.map((minY) => ({ minX, minY, maxX: minX + width, maxY: minY + height })))
		.filter((box) => holds(printable, box, 1e-9) && !overlaps(away, box))
}

const moved = (box: Box, by: PlanePoint, sign: 1 | -1): Box => ({
	minX: box.minX + sign * by.x,
	minY: box.minY + sign * by.y,
	maxX: box.maxX + sign * by.x,
	maxY: box.maxY + sign * by.y,
})

interface Blocked {
	readonly square: Box
	readonly away: Box
	readonly blocks: readonly (readonly Box[])[]
}

/** The place that leaves the roomiest title block: its rank among the sizes, and the shift. */
function bestPlace(raster: Raster, box: Box, printable: Box, sheets: readonly Blocked[]) {
	let best: { readonly rank: number; readonly shift: PlanePoint; readonly square: Box; readonly block: Box } | undefined
	const spare = { x: boxWidth(printable) - boxWidth(box), y: boxHeight(printable) - boxHeight(box) }
	for (let dy = 0; dy <= spare.y + 1e-9; dy += STEP_MM) {
		for (let dx = 0; dx <= spare.x + 1e-9; dx += STEP_MM) {
			const shift = { x: printable.minX - box.minX + dx, y: printable.minY - box.minY + dy }
			for (const { square, away, blocks } of sheets) {
				if (raster.covered(moved(away, shift, -1)) > 0) continue
				const most = best?.rank ?? blocks.length
				for (let rank = 0; rank < most; rank++) {
					const block = blocks[rank]?.find((one) => raster.covered(moved(grown(one, FROM_BLOCK_MM), shift, -1)) === 0)
					if (!block) continue
					best = { rank, shift, square, block }
					break
				}
				if (best?.rank === 0) return best
			}
		}
	}
	return best
}

/** The paper upright and on its side, with the places of the square and the block on each. */
function pagesOf({ paper, margins, correction }: Stock, heightMm: number) {
	return (['portrait', 'landscape'] as const).map((orientation) => {
		const scale = pageScale(correction, orientation)
		const size =
			orientation === 'portrait' ? { widthMm: paper.widthMm, heightMm } : { widthMm: heightMm, heightMm: paper.widthMm }
		const printable = printableBox(size, margins, orientation, scale)
		const sheets = squaresIn(printable)
			.filter((square) => holds(printable, square, 1e-9))
			.map(
				(square): Blocked => ({
					square,
					away: grown(square, SQUARE_LINE_MM / 2 + CLEAR_MM),
					blocks: BLOCKS_MM.map(([width, height]) => blocksAt(width, height, printable, square)),
				}),
			)
		return { orientation, scale, ...size, printable, sheets }
	})
}

/** Of each stock, worked out once for all its pieces. */
const pagesOn = new WeakMap<Stock, ReturnType<typeof pagesOf>>()

/** Undefined where there is no such place on this paper; rolls have no need of one. */
export function planAround(shape: DetailedShape, stock: Stock): Around | undefined {
	const { paper } = stock
	const { heightMm } = paper
	if (heightMm === undefined) return undefined
	const plain = shape.turns.map(({ angle }) => angle)
	const turns = [...plain, ...Array.from({ length: TURNS - 1 }, (_, i) => Math.PI * ((i + 1) / TURNS - 0.5))]
	let best: { readonly rank: number; readonly around: Around } | undefined
	const pages = pagesOn.get(stock) ?? pagesOf(stock, heightMm)
	pagesOn.set(stock, pages)
	for (const angle of turns) {
		const box = turnedBox(shape, angle)
		const fitting = pages.filter(
			({ printable }) => boxWidth(box) <= boxWidth(printable) && boxHeight(box) <= boxHeight(printable),
		)
		if (fitting.length === 0) continue
		const raster = rasterOf(shape.detail().ink, shape.outline, box, CELL_MM, angle)
		for (const { printable, sheets, ...page } of fitting) {
			const found = bestPlace(raster, box, printable, sheets)
			if (!found || (best && found.rank >= best.rank)) continue
			const { rank, shift, square, block } = found
			const ink = turnInk(shape.detail().ink, angle)
			const away = moved(grown(square, SQUARE_LINE_MM / 2 + CLEAR_MM - 0.5), shift, -1)
			if (hasInk(ink, away) || hasInk(ink, moved(block, shift, -1))) continue
			best = { rank, around: { arrangement: { paper, band: 'free', ...page, live: printable, square, block }, angle, shift } }
		}
		// room enough for the words: no need to lean the piece for more
		if (best && best.rank <= 4) break
	}
	return best?.around
}
