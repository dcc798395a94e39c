/** What is printed on a girth strip. */
import type { Item } from '../drawing/drawing.ts'
import type { PlanePoint } from '../plane/point.ts'
import { bar, filled, frontArrow, MIDDLE, stroke, text } from './marks.ts'
import { spread } from './spread.ts'
import type { StripShape } from './stripShape.ts'
import { BOLD, DASHED, FAINT, SMALL_MM, TEXT_MM, THIN } from './style.ts'

/** One thing that the working edge crosses. */
export interface Crossing {
	readonly g: number
	/** direction of the line, from +s towards +g */
	readonly angle: number
	readonly words: string
	/** the paint and the side of the line on which it shows (+1: plus side); none for a feature */
	readonly paint?: { readonly colour: string; readonly open: 1 | -1 }
}

/** From x behind the working edge and y along it to paper. */
export type Placer = (x: number, y: number) => PlanePoint

export const HEAD_HALF_MM = 13
export const LABEL_X_MM = 14
const TICK_MM = 9
/** Labels stand at least this far apart, each led to its tick. */
const LABEL_STEP_MM = SMALL_MM * 1.25
const RULE_FIGURE_MM = 1.9

const lower = (p: PlanePoint, by: number): PlanePoint => ({ x: p.x, y: p.y - by })
/** Text that starts at a place and runs away from the working edge, whichever way that is on paper. */
const away = (way: 1 | -1) => (way === 1 ? ('start' as const) : ('end' as const))
const back = (way: 1 | -1) => (way === 1 ? ('end' as const) : ('start' as const))

/** The working edge ruled from zero at the baseline: every millimetre, or every sixteenth of an inch. */
export function ruling(at: Placer, way: 1 | -1, shape: StripShape, taken: readonly number[], unit: 'mm' | 'in'): Item[] {
	const step = unit === 'mm' ? 1 : 25.4 / 16
	const [five, ten] = unit === 'mm' ? [5, 10] : [4, 16]
	const items: Item[] = []
	for (let i = Math.ceil((shape.bottom + 1) / step); i * step <= shape.top - 1; i++) {
		const y = i * step
		if (Math.abs(y) < shape.pocketHalf) continue
		const long = i % ten === 0 ? 4 : i % five === 0 ? 3 : 1.8
		items.push(stroke('tick', at(0, y), at(long, y), { ...THIN, widthMm: 0.1 }))
		const clear = taken.every((g) => Math.abs(g - y) > 3) && Math.abs(y) > shape.head.half && Math.abs(y) < shape.top - 6
		if (i !== 0 && i % ten === 0 && clear) {
			const figure = String(Math.abs(unit === 'mm' ? i : i / 16))
			items.push(text(lower(at(4.6, y), RULE_FIGURE_MM * MIDDLE), figure, { sizeMm: RULE_FIGURE_MM, anchor: away(way) }))
		}
	}
	return items
}

/** A tick at the true crossing angle, a patch of the paint on its own side, and the name and girth led to it. */
export function crossingMarks(at: Placer, way: 1 | -1, shape: StripShape, crossings: readonly Crossing[]): Item[] {
	const items: Item[] = []
	const tips = crossings.map((c) => {
		// Always into the body, so against the line's own direction where that runs forward.
		const sign = Math.cos(c.angle) >= 0 ? 1 : -1
		return { x: sign * TICK_MM * Math.cos(c.angle), y: c.g + sign * TICK_MM * Math.sin(c.angle), sign }
	})
	const heights = spread(
		tips.map((t) => t.y),
		LABEL_STEP_MM,
		shape.head.half + 1,
	)
	crossings.forEach((c, i) => {
		const tip = tips[i] as (typeof tips)[number]
		const height = heights[i] as number
		items.push(stroke('tick', at(0, c.g), at(tip.x, tip.y), c.paint ? { ...BOLD, widthMm: 0.3 } : DASHED))
		if (c.paint) {
			// The plus side is towards +g where the line runs rearward.
			const up = tip.sign * c.paint.open
			const patch = (x: number, h: number) => at(x, c.g + (x * (tip.y - c.g)) / (tip.x || 1) + up * h)
			items.push(
				filled('fill', [[patch(5, 0.3), patch(TICK_MM - 0.4, 0.3), patch(TICK_MM - 0.4, 1.3), patch(5, 1.3)]], c.paint.colour),
			)
		}
		items.push(stroke('label', at(tip.x + 0.4, tip.y), at(LABEL_X_MM - 0.7, height), FAINT))
		items.push(text(lower(at(LABEL_X_MM, height), SMALL_MM * MIDDLE), c.words, { anchor: away(way) }))
	})
	return items
}

interface HeadText {
	/** number and side */
	readonly label: string
	readonly station: string
	readonly halves: readonly [string, string]
}

/** Number, station, arrow, bar and sides. */
export function headWords(at: Placer, way: 1 | -1, shape: StripShape, words: HeadText): Item[] {
	const { head, body, top, bottom } = shape
	const upper = head.half - 4.4
	const foot = -head.half + 1.6
	const front = way === 1 ? Math.PI : 0
	const big = { sizeMm: TEXT_MM, bold: true }
	const items: Item[] = [
		...frontArrow(at(head.from + 16, upper + 1), front, 12),
		text(at(-4, upper), words.label, { ...big, sizeMm: TEXT_MM * 1.2, anchor: back(way) }),
		text(at(-4, foot), `station ${words.station}`, { ...big, anchor: back(way) }),
		text(at(head.from + 3, foot), 'this face up', { anchor: away(way) }),
		...bar(at(way === 1 ? -56 : -6, -head.half + 6.2), 0, 50, 1),
	]
	if (top > head.half + 8) items.push(text(at(body / 2, top - TEXT_MM - 1), words.halves[0], { ...big, anchor: 'middle' }))
	if (bottom < -head.half - 8) items.push(text(at(body / 2, bottom + 2), words.halves[1], { ...big, anchor: 'middle' }))
	return items
}
