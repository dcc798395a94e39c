/** One panel as one looks at its painted side: what is drawn, and what is to be labelled. */
import { toPaper } from '../chart/orient.ts'
import type { ChartPoint } from '../chart/point.ts'
import { boxOf } from '../drawing/box.ts'
import type { Box, Item } from '../drawing/drawing.ts'
import type { HandedChart } from '../engine/panel.ts'
import { frontWord } from '../job/say.ts'
import type { PlanePoint } from '../plane/point.ts'
import { simplify } from '../plane/simplify.ts'
import type { Label } from './labels.ts'
import { baseline, marks, placesOn, stations } from './planMeasures.ts'
import { fittedLines, painted } from './planPaint.ts'
import { ROUGH_MM, type To, type ViewInput } from './planPart.ts'
import { pieceNumbers } from './planPieces.ts'

export interface View {
	readonly hand: HandedChart['hand']
	/** what is drawn, later ones over earlier ones */
	readonly items: readonly Item[]
	/** in the order in which they choose their places */
	readonly labels: readonly Label[]
	/** marks: not to be covered */
	readonly marks: readonly Box[]
	/** better not covered */
	readonly lines: readonly (readonly PlanePoint[])[]
	/** round the panel itself */
	readonly box: Box
	/** which way the front is: -1 left; and the word for it */
	readonly frontX: 1 | -1
	readonly front: string
}

/** The view, in mm on paper with station 0, girth 0 at the origin; undefined where nothing of the panel has a place. */
export function planView(input: ViewInput): View | undefined {
	const { panel, chart, hand } = input
	const { lines } = panel
	if (!lines) return undefined
	const to: To = (p: ChartPoint) => toPaper(chart, { x: p.s, y: p.g })
	const places = placesOn(panel, hand, input.unit)
	const box = boxOf([...(lines.area?.region.flat() ?? []), ...places.map(({ at }) => at)].map(to))
	if (!box) return undefined
	const parts = [
		painted(input, to),
		fittedLines(input, to),
		stations(input, to, box),
		baseline(input, to, box),
		marks(input, to, places),
		pieceNumbers(input, to),
	]
	return {
		hand,
		items: parts.flatMap((part) => part.items ?? []),
		// marks first: they have one place only; then what may stand anywhere along a line
		labels: [parts[4], parts[2], parts[3], parts[5], parts[0], parts[1]].flatMap((part) => part?.labels ?? []),
		marks: parts.flatMap((part) => part.marks ?? []),
		lines: parts.flatMap((part) => part.lines ?? []).map((points) => simplify(points, ROUGH_MM)),
		box,
		frontX: chart.orientation === 1 ? -1 : 1,
		front: frontWord(chart.periodS !== undefined),
	}
}
