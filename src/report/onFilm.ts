/** The pieces of a set on sheets of film for a cutter, as the shop wants them laid. */
import type { Drawing } from '../drawing/drawing.ts'
import type { Outcome } from '../job/problem.ts'
import type { Shop } from '../job/shop.ts'
import { cutterSheets } from '../sheet/cutter.ts'
import type { Piece } from '../template/piece.ts'

/** Width and height of the film, mm. */
export type Film = NonNullable<Shop['cutter']['sheet']>

export const onFilm = (pieces: readonly Piece[], { width, height }: Film, { cutter }: Shop): Outcome<readonly Drawing[]> =>
	cutterSheets(pieces, {
		...{ widthMm: width, heightMm: height, gapMm: cutter.gap },
		...{ weedingBox: cutter.weedingBox, registerMarks: cutter.registerMarks },
	})
