/** What is printed on a girth strip. */
import type { Item } from '../drawing/drawing.ts'
import { textWidth } from '../drawing/metrics.ts'
import type { PlanePoint } from '../plane/point.ts'
import { bar, filled, frontArrow, MIDDLE, stroke, text } from './marks.ts'
import type { Span } from './measured.ts'
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
/** Room for figures written by hand beside each tick. */
export const BLANK_STEP_MM = 6.5
/** What is written at a tick of a proof strip: by how much the old paint misses it, towards the baseline or away from it. */
export const BLANK = 'misses __________ inb / outb'
/** The same where room is short. */
export const SHORT_BLANK = '_______ inb/outb'
const RULE_FIGURE_MM = 1.9
/** A patch of paint beside a tick reaches this far from it, with a little. */
const SWATCH_MM = 1.6

const lower = (p: PlanePoint, by: number): PlanePoint => ({ x: p.x, y: p.y - by })
/** Text that starts at a place and runs away from the working edge, whichever way that is on paper. */
const away = (way: 1 | -1) => (way === 1 ? ('start' as const) : ('end' as const))
const back = (way: 1 | -1) => (way === 1 ? ('end' as const) : ('start' as const))

/** The working edge ruled from zero at the baseline: every millimetre, or every sixteenth of an inch. */
export function ruling(at: Placer, way: 1 | -1, shape: StripShape, taken: readonly Crossing[], unit: 'mm' | 'in'): Item[] {
	const step = unit === 'mm' ? 1 : 25.4 / 16
	const [five, ten] = unit === 'mm' ? [5, 10] : [4, 16]
	const items: Item[] = []
	// A tick and its tip, as far as figures of the ruling may not stand.
	const { tips } = labelsOf(taken, shape.head.half, shape.labelStepMm, shape.room)
	const spans = taken.map(({ g }, i) => [Math.min(g, tips[i]?.y ?? g) - 3, Math.max(g, tips[i]?.y ?? g) + 3] as const)
	for (let i = Math.ceil((shape.edge.from + 1) / step); i * step <= shape.edge.to - 1; i++) {
		const y = i * step
		if (Math.abs(y) < shape.pocketHalf) continue
		const long = i % ten === 0 ? 4 : i % five === 0 ? 3 : 1.8
		items.push(stroke('tick', at(0, y), at(long, y), { ...THIN, widthMm: 0.1 }))
		const clear =
			spans.every(([low, high]) => y < low || y > high) && Math.abs(y) > shape.head.half && Math.abs(y) < shape.top - 6
		if (i !== 0 && i % ten === 0 && clear) {
			const figure = String(Math.abs(unit === 'mm' ? i : i / 16))
			items.push(text(lower(at(4.6, y), RULE_FIGURE_MM * MIDDLE), figure, { sizeMm: RULE_FIGURE_MM, anchor: away(way) }))
		}
	}
	return items
}

interface Tip {
	readonly x: number
	readonly y: number
	/** which way along the line is into the body */
	readonly sign: 1 | -1
}

/** Where the ticks end, and the heights of their labels, each near its tick and clear of the head. */
export function labelsOf(
	crossings: readonly Crossing[],
	headHalf: number,
	stepMm = LABEL_STEP_MM,
	room?: StripShape['room'],
): { tips: readonly Tip[]; heights: readonly number[] } {
	const tips = crossings.map((c): Tip => {
		// Always into the body, so against the line's own direction where that runs forward.
		const sign = Math.cos(c.angle) >= 0 ? 1 : -1
		return { x: sign * TICK_MM * Math.cos(c.angle), y: c.g + sign * TICK_MM * Math.sin(c.angle), sign }
	})
	const heights = spread(
		tips.map((t) => t.y),
		stepMm,
		headHalf + 1,
	)
	return { tips, heights: room ? pushedIn(heights, stepMm, room) : heights }
}

/** Past the last label, and past it with the name of that half of the strip, mm. */
export const PAST_LABEL_MM = 8

/** Heights, rising, brought below and above the ends of the strip, still a step apart. */
function pushedIn(heights: readonly number[], stepMm: number, { from, to }: NonNullable<StripShape['room']>): number[] {
	const n = heights.length
	return heights.map((h, i) =>
		h > 0 ? Math.min(h, to - PAST_LABEL_MM - (n - 1 - i) * stepMm) : Math.max(h, from + PAST_LABEL_MM + i * stepMm),
	)
}

/** A tick at the true crossing angle, a patch of the paint on its own side, and the name and girth led to it. */
export function crossingMarks(at: Placer, way: 1 | -1, shape: StripShape, crossings: readonly Crossing[]): Item[] {
	const items: Item[] = []
	const { tips, heights } = labelsOf(crossings, shape.head.half, shape.labelStepMm, shape.room)
	crossings.forEach((c, i) => {
		const tip = tips[i] as Tip
		const height = heights[i] as number
		items.push(stroke('tick', at(0, c.g), at(tip.x, tip.y), c.paint ? { ...BOLD, widthMm: 0.3 } : DASHED))
		if (c.paint) {
			// The plus side is towards +g where the line runs rearward.
			const up = tip.sign * c.paint.open
			const [dx, dy] = [tip.x / TICK_MM, (tip.y - c.g) / TICK_MM]
			const patch = (l: number, h: number) => at(l * dx - up * h * dy, c.g + l * dy + up * h * dx)
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
	/** number, side and revision */
	readonly label: string
	/** the panel's name, where there is room */
	readonly panel: string
	readonly station: string
	readonly bar: Span
	readonly halves: readonly [string, string]
	/** beside its arrow; FRONT where not said */
	readonly front?: string
}

/** Number, station, arrow, bar and sides. */
export function headWords(at: Placer, way: 1 | -1, shape: StripShape, crossings: readonly Crossing[], words: HeadText): Item[] {
	const { head, body } = shape
	const { from: bottom, to: top } = shape.room ?? { from: shape.bottom, to: shape.top }
	const upper = head.half - 4.4
	const foot = -head.half + 1.6
	const front = way === 1 ? Math.PI : 0
	const big = { sizeMm: TEXT_MM, bold: true }
	const items: Item[] = [
		...frontArrow(at(head.from + 16, upper + 1), front, 12, words.front),
		text(at(-4, upper), words.label, { ...big, sizeMm: TEXT_MM * 1.2, anchor: back(way) }),
		text(at(-4, foot), `station ${words.station}`, { ...big, anchor: back(way) }),
		text(at(head.from + 3, foot), 'this face up', { anchor: away(way) }),
		...bar(at(way === 1 ? -6 - words.bar.mm : -6, -head.half + 6.2), 0, words.bar, 1),
	]
	// Past the working edge, under or over the taped line, where no tick or what leads from it to its label runs.
	const room = head.to - 12
	const name = { ...big, sizeMm: SMALL_MM, bold: false }
	const { tips, heights } = labelsOf(crossings, head.half, shape.labelStepMm, shape.room)
	const clear = (y: number) =>
		crossings.every((c, i) => {
			const ys = [c.g, tips[i]?.y ?? c.g, heights[i] ?? c.g]
			return Math.min(...ys) > y + SMALL_MM + SWATCH_MM || Math.max(...ys) < y - SWATCH_MM
		})
	const line = [foot, upper].find(clear)
	if (line !== undefined && textWidth(words.panel, name) <= room) {
		items.push(text(at(6, line), words.panel, { ...name, anchor: away(way) }))
	}
	if (top > head.half + 8) items.push(text(at(body / 2, top - TEXT_MM - 1), words.halves[0], { ...big, anchor: 'middle' }))
	if (bottom < -head.half - 8) items.push(text(at(body / 2, bottom + 2), words.halves[1], { ...big, anchor: 'middle' }))
	return items
}
