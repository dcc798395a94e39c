/** One piece as a drawing of its own: what a cutter's file is written from. */

import { boundsOf } from '../drawing/bounds.ts'
import { boxHeight, boxWidth, unionBox } from '../drawing/box.ts'
import type { Drawing } from '../drawing/drawing.ts'
import type { Piece } from '../template/piece.ts'

/** The piece at true size with `marginMm` all round, its own lower left corner at the margin; not turned. */
export function pieceDrawing(piece: Piece, marginMm = 5): Drawing {
	const box = unionBox([piece.bounds, boundsOf(piece.items)]) ?? piece.bounds
	return {
		widthMm: boxWidth(box) + 2 * marginMm,
		heightMm: boxHeight(box) + 2 * marginMm,
		title: `${piece.number}: ${piece.title}`,
		items: [
			{
				kind: 'group',
				id: piece.id,
				title: piece.title,
				at: { x: marginMm - box.minX, y: marginMm - box.minY },
				items: piece.items,
			},
		],
	}
}
