import type { Curve } from '../chart/point.ts'
import type { Side } from '../scheme/side.ts'

/** A line to tape along: one edge of a band, or a colour break. */
export interface PaintEdge {
	/** stripe/side/number/near, or edge/side */
	readonly id: string
	/** as the person calls it: "coach line, outer edge" */
	readonly name: string
	/** for a strip, where room is short */
	readonly short: string
	readonly side: Side
	readonly curve: Curve
	/** the side on which paint will show (+1: the curve's plus side): where a guide's body lies */
	readonly open: 1 | -1
	/** #rrggbb of that paint */
	readonly colour: string
	/** how well the line is known (1 sd), mm */
	readonly sdMm?: number
	/** a width that narrow tape makes by itself: no guide of its own is wanted */
	readonly byTape?: boolean
}
