/** Deviations drawn many times as large as they are: what figures say, seen at once. */
import type { ChartPoint } from '../chart/point.ts'
import type { Item } from '../drawing/drawing.ts'
import { circle, line, polyline } from '../drawing/path.ts'
import type { PanelSides } from '../sides/panelSides.ts'
import type { PanelTaped } from '../sides/tapedPanel.ts'
import { type Block, SMALL_MM, words } from './measuringSheetTable.ts'
import { CENTRE, INK, LINE } from './planStyle.ts'

const OFF = { widthMm: 0.6, colour: '#b3341f' }
const MARK_MM = 1.1
const CAPTION_MM = 6
/** Room for the names of sides beside it, and of marks above it. */
const BESIDE_MM = 16
const ABOVE_MM = 5

interface Sketch {
	/** all that is drawn, on the panel seen from above or from outside, front to the left */
	readonly points: readonly ChartPoint[]
	readonly caption: string
	/** names at the rear end, at the girths of their sides */
	readonly sides: boolean
	draw(to: (p: ChartPoint) => { readonly x: number; readonly y: number }): readonly Item[]
}

/** A pair folded onto one side: where it is in the mean, and how far from there the right one lies, `exaggeration` times as large. */
export interface FoldedPair {
	readonly id: string
	readonly place: ChartPoint
	readonly off: ChartPoint
	readonly setAside: boolean
}

export const foldedPairs = ({ pairs, exaggeration }: PanelSides): readonly FoldedPair[] =>
	pairs.map(({ id, left, right, across, setAside }) => {
		const at = { s: (left.s + right.s) / 2, g: (Math.abs(left.g) + Math.abs(right.g)) / 2 }
		const way = left.g < 0 === right.g < 0 && left.g < 0 ? -1 : 1
		const place = { s: at.s, g: way * at.g }
		return { id, place, off: { s: at.s, g: place.g + way * exaggeration * across.mm }, setAside }
	})

/** Each pair folded onto one side: ring where it is planned, stick to where the right one lies beyond the left one. */
export function sidesPicture(sides: PanelSides, widthMm: number, mostMm: number): Block | undefined {
	if (sides.pairs.length === 0) return undefined
	const factor = sides.exaggeration
	const pairs = foldedPairs(sides)
	return sketch(
		{
			points: [...pairs.flatMap(({ place, off }) => [place, off]), { s: pairs[0]?.place.s ?? 0, g: 0 }],
			caption: `Left laid over right: sticks lead to where the right one lies against the left one, ${drawn(factor)}. Upward: the right lies farther out.`,
			sides: false,
			draw: (to) =>
				pairs.flatMap(({ id, place, off, setAside }) => {
					const [a, b] = [to(place), to(off)]
					const name = words(a.x, a.y + (b.y > a.y ? -SMALL_MM - MARK_MM - 0.6 : MARK_MM + 0.8), setAside ? `${id} ?` : id, {
						sizeMm: SMALL_MM,
						anchor: 'middle',
					})
					return [
						{ kind: 'path', role: 'guide', segments: circle(a, MARK_MM), stroke: LINE },
						{ kind: 'path', role: 'guide', segments: line(a, b), stroke: OFF },
						name,
					] as Item[]
				}),
		},
		widthMm,
		mostMm,
	)
}

/** Planned edges thin, as taped bold. */
export function tapedPicture(taped: PanelTaped, widthMm: number, mostMm: number): Block | undefined {
	if (taped.lines.length === 0) return undefined
	return sketch(
		{
			points: [...taped.lines.flatMap(({ plan, taped: as }) => [...plan, ...as]), { s: taped.lines[0]?.plan[0]?.s ?? 0, g: 0 }],
			caption: `Thin: the plan. Bold: as taped, what it is off ${drawn(taped.exaggeration)}.`,
			sides: taped.lines.some(({ side }) => side === 'left') && taped.lines.some(({ side }) => side === 'right'),
			draw: (to) =>
				taped.lines.flatMap(({ plan, taped: as, verdict }) => [
					{ kind: 'path', role: 'guide', segments: polyline(plan.map(to)), stroke: LINE },
					{
						kind: 'path',
						role: 'guide',
						segments: polyline(as.map(to)),
						stroke: verdict === 'go' ? { widthMm: 0.5, colour: INK } : OFF,
					},
				]),
		},
		widthMm,
		mostMm,
	)
}

const drawn = (factor: number) => (factor === 1 ? 'drawn as large as it is' : `drawn ${factor} times as large`)

function sketch({ points, caption, sides, draw }: Sketch, widthMm: number, mostMm: number): Block {
	const s = points.map((p) => p.s)
	const g = points.map((p) => p.g)
	const [s0, s1, g0, g1] = [Math.min(...s), Math.max(...s), Math.min(...g), Math.max(...g)]
	const room = { width: widthMm - 2 * BESIDE_MM, height: mostMm - CAPTION_MM - 2 * ABOVE_MM }
	const scale = Math.min(room.width / Math.max(1, s1 - s0), room.height / Math.max(1, g1 - g0))
	const high = scale * (g1 - g0)
	return {
		heightMm: high + CAPTION_MM + 2 * ABOVE_MM,
		withNext: true,
		draw: ({ x, top }) => {
			const from = x + BESIDE_MM + (room.width - scale * (s1 - s0)) / 2
			const to = (p: ChartPoint) => ({ x: from + scale * (p.s - s0), y: top - ABOVE_MM - scale * (g1 - p.g) })
			const [a, b] = [to({ s: s0, g: 0 }), to({ s: s1, g: 0 })]
			const label = (text: string, y: number) => words(b.x + 3, y, text, { sizeMm: SMALL_MM, bold: true })
			return [
				{ kind: 'path', role: 'guide', segments: line(a, b), stroke: CENTRE },
				words(a.x - 3, a.y - SMALL_MM / 3, 'FRONT', { sizeMm: SMALL_MM, bold: true, anchor: 'end' }),
				...(sides ? [label('RIGHT', a.y + (scale * g1) / 2), label('LEFT', a.y + (scale * g0) / 2)] : []),
				...draw(to),
				words(x, top - high - 2 * ABOVE_MM - CAPTION_MM + 2.2, caption, { sizeMm: SMALL_MM }),
			]
		},
	}
}
