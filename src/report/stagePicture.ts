/** The picture of one stage of one panel, by itself or on a page. */
import { boxHeight, boxWidth } from '../drawing/box.ts'
import type { Drawing, Item, PathItem } from '../drawing/drawing.ts'
import { rect } from '../drawing/path.ts'
import type { Result } from '../engine/compute.ts'
import type { Shop } from '../job/shop.ts'
import { type Block, fitted, words } from './measuringSheetTable.ts'
import type { StageWork } from './paintworkPrint.ts'
import { PAPER } from './planStyle.ts'
import { legendBlock } from './stageLegend.ts'
import { LARGE, type PictureSize, stageView } from './stageView.ts'

/** Below this a line of words is missing: numbers that found no room. */
const NOTE_MM = 3

/** A picture in the middle of the width that a page has for it. */
export function pictureBlock(of: StageWork, { job }: Pick<Result, 'job'>, stock: Shop['tapes'], size: PictureSize): Block {
	const view = stageView(of, job.paints, stock, size)
	if (!view) return { heightMm: 0, draw: () => [] }
	const left = view.left.length > 0 ? `No room for the number of run ${view.left.join(', ')}.` : ''
	const note = left === '' ? 0 : 2 * NOTE_MM
	return {
		heightMm: boxHeight(view.box) + 3 + note,
		draw: ({ x, top, widthMm }): readonly Item[] => [
			{
				kind: 'group',
				title: 'panel, not to scale',
				at: { x: x + (widthMm - boxWidth(view.box)) / 2 - view.box.minX, y: top - 1.5 - view.box.maxY },
				items: view.items,
			},
			...(note > 0 ? [words(x, top - boxHeight(view.box) - 3 - NOTE_MM, left, { sizeMm: NOTE_MM })] : []),
		],
	}
}

const MARGIN_MM = 8
const WIDTH_MM = 260
const MOST_MM = 190

/** A picture by itself, with its words and its legend. */
export function stagePicture(of: StageWork, result: Pick<Result, 'job' | 'revision'>, stock: Shop['tapes']): Drawing {
	const { job, revision } = result
	const title = `${of.title}: session ${of.stage.number}, ${of.paint.name}`
	const size = { ...LARGE, textMm: 4.5, widthMm: WIDTH_MM, mostMm: MOST_MM }
	const picture = pictureBlock(of, result, stock, size)
	const legend = legendBlock([of], job.paints, stock, WIDTH_MM, 4)
	const head = fitted(title, WIDTH_MM, { sizeMm: 8, bold: true })
	const about = fitted(`${job.title}, job code ${revision}. Not to scale.`, WIDTH_MM, { sizeMm: 4 })
	const heads = 18
	const heightMm = 2 * MARGIN_MM + heads + picture.heightMm + legend.heightMm
	const widthMm = WIDTH_MM + 2 * MARGIN_MM
	const top = heightMm - MARGIN_MM
	const at = (y: number) => ({ x: MARGIN_MM, top: y, widthMm: WIDTH_MM })
	const page = { minX: 0, minY: 0, maxX: widthMm, maxY: heightMm }
	const ground: PathItem = { kind: 'path', role: 'frame', segments: rect(page), fill: PAPER }
	return {
		...{ widthMm, heightMm },
		title: `${job.title}: ${title}`,
		items: [
			ground,
			words(MARGIN_MM, top - 7, head.text, { sizeMm: head.sizeMm, bold: true }),
			words(MARGIN_MM, top - 13, about.text, { sizeMm: about.sizeMm }),
			...picture.draw(at(top - heads)),
			...legend.draw(at(top - heads - picture.heightMm)),
		],
	}
}
