/** The least paper that takes a piece in one. */
import { boxHeight, boxWidth } from '../drawing/box.ts'
import { arrangements, type Stock } from './arrange.ts'
import { packingTurn } from './pack.ts'
import { PAPERS, type Paper } from './paper.ts'
import type { PieceShape } from './shape.ts'

const area = ({ widthMm, heightMm }: Paper) => widthMm * (heightMm ?? 0)
const SHEETS = PAPERS.filter(({ heightMm }) => heightMm !== undefined).sort((a, b) => area(a) - area(b))
const ROLLS = PAPERS.filter(({ heightMm }) => heightMm === undefined).sort((a, b) => a.widthMm - b.widthMm)

/** The smallest of the common sheets, with these margins, beside the check square; else the narrowest roll; else undefined. */
export function wholeOn(shape: PieceShape, { margins, correction }: Pick<Stock, 'margins' | 'correction'>): Paper | undefined {
	const { turns } = shape
	const long = Math.min(...turns.map(({ box }) => Math.max(boxWidth(box), boxHeight(box))))
	return [...SHEETS, ...ROLLS].find((paper) =>
		(arrangements(paper, margins, correction, long).value ?? []).some(({ live }) => packingTurn(turns, live) !== undefined),
	)
}
