/** Small pictures side by side, each with its words below it. */
import type { Result } from '../engine/compute.ts'
import type { Shop } from '../job/shop.ts'
import { type Block, fitted, words } from './measuringSheetTable.ts'
import type { StageWork } from './paintworkPrint.ts'
import { pictureBlock } from './stagePicture.ts'
import { SMALL } from './stageView.ts'

const IN_A_ROW = 2
const APART_MM = 6
const MOST_MM = 58
const NAME_MM = 3.2

/** A block for each row of pictures; `say` gives the words below one. */
export function pictureRows(
	works: readonly StageWork[],
	result: Pick<Result, 'job'>,
	stock: Shop['tapes'],
	widthMm: number,
	say: (of: StageWork) => string,
): readonly Block[] {
	const each = (widthMm - APART_MM * (IN_A_ROW - 1)) / IN_A_ROW
	const rows = Array.from({ length: Math.ceil(works.length / IN_A_ROW) }, (_, i) => works.slice(i * IN_A_ROW, (i + 1) * IN_A_ROW))
	return rows.map((row): Block => {
		const pictures = row.map((of) => pictureBlock(of, result, stock, { ...SMALL, widthMm: each, mostMm: MOST_MM }))
		const heightMm = Math.max(...pictures.map((picture) => picture.heightMm))
		return {
			heightMm: heightMm + 2 * NAME_MM + 1,
			draw: ({ x, top }) =>
				row.flatMap((of, i) => {
					const left = x + i * (each + APART_MM)
					const picture = pictures[i] as Block
					const name = fitted(say(of), each, { sizeMm: NAME_MM, bold: true })
					const down = (heightMm - picture.heightMm) / 2
					return [
						...picture.draw({ x: left, top: top - down, widthMm: each }),
						words(left + each / 2, top - heightMm - NAME_MM, name.text, { sizeMm: name.sizeMm, bold: true, anchor: 'middle' }),
					]
				}),
		}
	})
}
