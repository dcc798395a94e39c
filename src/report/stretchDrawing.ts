/** Where the paper of a field stretches when it is laid flat: a picture to look at, not to cut. */
import { boxHeight, boxWidth } from '../drawing/box.ts'
import type { Drawing, Item } from '../drawing/drawing.ts'
import { polyline } from '../drawing/path.ts'
import type { PlanePoint } from '../plane/point.ts'
import { lengthOf } from '../plane/polyline.ts'
import type { Piece } from '../template/piece.ts'

const MARGIN_MM = 5
/** Height of the words below the piece, mm. */
const WORDS_MM = 8
/** A line shorter than this has no figure of its own, mm. */
const LABELLED_MM = 15
/** From the least level to the most. */
const SHADES = ['#9ec5d8', '#7fb069', '#c9b458', '#e0a030', '#e07030', '#c83c28', '#8c1420']
const INK = '#303030'

/** The outline of a piece with its lines of equal stretch, each with its figure; undefined of a piece that lies flat as it is. */
export function stretchDrawing({ id, number, title, stretch, bounds, knife, working }: Piece): Drawing | undefined {
	if (!stretch) return undefined
	const levels = [...new Set(stretch.lines.map(({ level }) => level))].sort((a, b) => a - b)
	const items: Item[] = [
		...knife.map((loop): Item => line(loop, INK, 0.2, 'outline', true)),
		...working.map((edge): Item => line(edge, INK, 0.4, 'edge to tape along')),
		...stretch.lines.map(({ level, points }): Item => line(points, shade(levels, level), 0.3, `stretch ${percent(level)}`)),
		...stretch.lines.flatMap(({ level, points }): Item[] => (lengthOf(points) < LABELLED_MM ? [] : [figure(level, points)])),
	]
	const words = `Not for cutting. Where the paper of piece ${number} stretches or shrinks when it is laid flat: at most ${percent(stretch.most)}.`
	return {
		widthMm: boxWidth(bounds) + 2 * MARGIN_MM,
		heightMm: boxHeight(bounds) + 2 * MARGIN_MM + WORDS_MM,
		title: `${number}: ${title}, stretch`,
		items: [
			{ kind: 'group', id, title, at: { x: MARGIN_MM - bounds.minX, y: MARGIN_MM + WORDS_MM - bounds.minY }, items },
			{
				kind: 'text',
				role: 'label',
				at: { x: MARGIN_MM, y: MARGIN_MM },
				text: words,
				sizeMm: 3,
				anchor: 'start',
				angle: 0,
				colour: INK,
			},
		],
	}
}

const percent = (share: number) => `${Number((100 * share).toPrecision(2))} %`

const shade = (levels: readonly number[], level: number) => SHADES[Math.min(SHADES.length - 1, levels.indexOf(level))] as string

const line = (points: readonly PlanePoint[], colour: string, widthMm: number, title: string, closed = false): Item => ({
	...{ kind: 'path', role: 'guide', segments: polyline(points, closed), title },
	stroke: { widthMm, colour },
})

/** At the middle of the line. */
function figure(level: number, points: readonly PlanePoint[]): Item {
	const at = points[Math.floor(points.length / 2)] as PlanePoint
	return { kind: 'text', role: 'label', at, text: percent(level), sizeMm: 2.2, anchor: 'middle', angle: 0, colour: INK }
}
