/** Marks and words on the narrow body of a guide, along its line. */
import type { Item } from '../drawing/drawing.ts'
import { textWidth } from '../drawing/metrics.ts'
import { polyline } from '../drawing/path.ts'
import type { PlanePoint } from '../plane/point.ts'
import type { DevelopedLine } from './developLine.ts'
import type { LedWords } from './leadOut.ts'
import { MIDDLE, path, stroke, text } from './marks.ts'
import { BOLD, DASHED, SMALL_MM, THIN } from './style.ts'

/** A stretch of a line with a body on its open side, and the lengths on it that are already printed on. */
export interface Body {
	readonly line: DevelopedLine
	readonly open: 1 | -1
	readonly width: number
	readonly from: number
	readonly to: number
	readonly taken: [number, number][]
	/** words for which there was no room */
	readonly led: LedWords[]
}

const at = (body: Body, l: number, off: number): PlanePoint => body.line.at(l, body.open * off)
export const take = (body: Body, from: number, to: number): void => void body.taken.push([from, to])

/** Where this guide and its neighbour must meet. */
export const acrossTick = (body: Body, l: number): Item => stroke('tick', at(body, l, 0), at(body, l, body.width), DASHED)

/** An end of a length to measure along the working edge. */
const barTick = (body: Body, l: number): Item => stroke('bar', at(body, l, 0), at(body, l, 2), { ...THIN, widthMm: 0.2 })

/** A tick from the working edge across the body, at the angle `turn` (towards the plus side) from the line's direction. */
export function slantedTick(body: Body, l: number, turn: number): { readonly tick: Item; readonly end: PlanePoint } {
	const { line } = body
	const into = Math.sin(turn) * body.open >= 0 ? turn : turn + Math.PI
	const way = line.heading(l) + line.handed * into
	// Nearly along the line it would run the whole length of the body: it is cut where it still shows the way.
	const length = Math.min(body.width / Math.max(0.05, Math.abs(Math.sin(turn))), 2.5 * body.width)
	const p = at(body, l, 0)
	const end = { x: p.x + Math.cos(way) * length, y: p.y + Math.sin(way) * length }
	return { tick: stroke('tick', p, end, { ...BOLD, widthMm: 0.3 }), end }
}

/** A stretch from one length to another that nothing stands on, inside the piece. */
const isFree = ({ taken, from: first, to: last }: Body, from: number, to: number) =>
	from >= first + 1 && to <= last - 1 && taken.every(([a, b]) => a >= to || b <= from)

const styleOf = (bold: boolean) => ({ sizeMm: SMALL_MM, bold })
const GAP_EM = 1.2
/** Half of what a line of words is high, with a little. */
const HALF_MM = 1.3
/** On a body that folds over itself words have no place at all; they are then as good as anywhere. */
const LEAST_SHARE = 0.3
const listOf = (words: string) => words.split(' ').filter((w) => w !== '')
function widthOf(words: string, bold: boolean): number {
	const list = listOf(words)
	const gap = textWidth(' ', styleOf(bold)) * GAP_EM
	return list.reduce((sum, w) => sum + textWidth(w, styleOf(bold)), 0) + gap * (list.length - 1)
}

/** How long the inner side of words is, at its least, as a share of the line's own length from one length to another. */
function shareOf({ line, open, width }: Body, from: number, to: number): number {
	let least = 1
	for (let i = 0; i <= 4; i++) {
		const k = line.curvature(Math.max(0, Math.min(line.length, from + ((to - from) * i) / 4)))
		for (const off of [width / 2 - HALF_MM, width / 2 + HALF_MM]) least = Math.min(least, 1 - open * off * k)
	}
	return Math.max(LEAST_SHARE, least)
}

/** The stretch of the line that words of a width take from `start` on (or up to it, for a negative width). */
function stretchOf(body: Body, start: number, width: number): number {
	return width / shareOf(body, start, start + width * 1.3)
}

/** A body that bends by no more than this under some words keeps them, straight, well inside it, mm. */
const STRAIGHT_MM = 0.6

/** Words along the middle of the body from `start` on, one by one where it bends. */
function setOn(body: Body, words: string, start: number, bold: boolean): Item[] {
	const { line } = body
	const list = listOf(words)
	const width = widthOf(words, bold)
	const need = stretchOf(body, start, width)
	const each = need / width
	const gap = textWidth(' ', styleOf(bold)) * GAP_EM * each
	take(body, start - 1.2, start + need + 1.2)
	const backwards = Math.cos(line.heading(start + need / 2)) < -1e-9
	const centred = (l: number, words: string): Item => {
		const heading = line.heading(l) + (backwards ? Math.PI : 0)
		const p = at(body, l, body.width / 2)
		const drop = SMALL_MM * MIDDLE
		return text({ x: p.x + Math.sin(heading) * drop, y: p.y - Math.cos(heading) * drop }, words, {
			anchor: 'middle',
			angle: heading,
			bold,
		})
	}
	// As one text where the body hardly bends under it: it stays in reading order on a mirrored sheet too.
	const middle = start + need / 2
	if ((need * need * Math.abs(line.curvature(middle))) / 8 <= STRAIGHT_MM) return [centred(middle, list.join(' '))]
	// Read from the left: on a backward heading, from the far end.
	let l = backwards ? start + need : start
	return list.map((word) => {
		const step = (backwards ? -each : each) * textWidth(word, styleOf(bold))
		const item = centred(l + step / 2, word)
		l += step + (backwards ? -gap : gap)
		return item
	})
}

/** Words to set outside the body, led to its far side at a length. */
function leave(body: Body, words: string, l: number, more: Partial<LedWords> = {}): void {
	const heading = body.line.heading(l)
	body.led.push({
		words,
		from: at(body, l, body.width),
		way: heading + (body.line.handed * body.open * Math.PI) / 2,
		...more,
	})
}

/** Words along the body, in the free stretch nearest to `from`; set outside where there is none, unless they are optional. */
export function wordsOn(body: Body, words: string, from: number, { bold = false, optional = false } = {}): Item[] {
	const need = widthOf(words, bold)
	const start = free(body, from, need)
	if (start !== undefined) return setOn(body, words, start, bold)
	if (!optional) leave(body, words, Math.max(body.from, Math.min(body.to, from)), bold ? { bold } : {})
	return []
}

/** Words farther than this from their tick are of no use there, mm. */
const NEAR_MM = 40

/** Words along the body on a free stretch near a length; none where there is no room. */
export function wordsNear(body: Body, words: string, l: number): Item[] {
	const need = widthOf(words, false)
	const start = free(body, l, need)
	const near = start !== undefined && start - l <= NEAR_MM && l - (start + need) <= NEAR_MM
	return near ? setOn(body, words, start, false) : []
}

/** Room between a tick and its figure, mm. */
const BESIDE_MM = 0.5

/**
 * The figure of a tick at `l` that covers the body from one length to another: right beside it, on whichever side is free;
 * else outside, led to the tick's end at `end`.
 */
export function figureOn(body: Body, words: string, l: number, [low, high]: readonly [number, number], end?: PlanePoint): Item[] {
	const width = widthOf(words, false)
	const before = stretchOf(body, low - BESIDE_MM, -width)
	for (const start of [high + BESIDE_MM, low - BESIDE_MM + before]) {
		if (isFree(body, start, start + stretchOf(body, start, width))) return setOn(body, words, start, false)
	}
	leave(body, words, l, end ? { from: end } : {})
	return []
}

/** An arrow along the body to the front, with its word behind it; `rearward` says whether the line runs to the rear at a length. */
export function frontOn(body: Body, rearward: (l: number) => boolean, word: string): Item[] {
	const need = textWidth(word, { sizeMm: SMALL_MM, bold: true }) + 13
	const start = free(body, body.from + 2, need)
	if (start === undefined) {
		const l = (body.from + body.to) / 2
		leave(body, word, l, { bold: true, arrow: body.line.heading(l) + (rearward(l) ? Math.PI : 0) })
		return []
	}
	const back = rearward(start + need / 2)
	const [tail, tip] = back ? [start + 10, start] : [start + need - 10, start + need]
	const w = body.width / 2
	const barb = tip > tail ? -2.4 : 2.4
	const shaft = polyline([0, 0.5, 1].map((f) => at(body, tail + (tip - tail) * f, w)))
	const head = polyline([at(body, tip + barb, w - 0.9), at(body, tip, w), at(body, tip + barb, w + 0.9)])
	take(body, Math.min(tail, tip) - 1, Math.max(tail, tip) + 1)
	return [
		path('guide', [...shaft, ...head], { ...BOLD, widthMm: 0.3 }, `to the ${word.toLowerCase()}`),
		...setOn(body, word, back ? start + 11.3 : start, true),
	]
}

/** A length to measure along the working edge, about the middle, its ends clear of what is there already; its words are in the notes. */
export function barOn(body: Body, length: number): Item[] {
	const middle = (body.from + body.to - length) / 2
	const clear = (l: number) => body.taken.every(([a, b]) => a >= l + 0.5 || b <= l - 0.5)
	const room = Math.floor((middle - body.from) / BAR_STEP_MM)
	const shifts = Array.from({ length: 2 * room + 1 }, (_, i) => (i % 2 ? 1 : -1) * Math.ceil(i / 2) * BAR_STEP_MM)
	const start = middle + (shifts.find((d) => clear(middle + d) && clear(middle + d + length)) ?? 0)
	return [start, start + length].map((l) => {
		take(body, l - 0.5, l + 0.5)
		return barTick(body, l)
	})
}
const BAR_STEP_MM = 1.5

/** The start, nearest to `near`, of a stretch for words of a width on which nothing stands. */
function free(body: Body, near: number, width: number): number | undefined {
	const looks = Math.ceil((body.to - body.from) / LOOK_MM)
	for (let i = 0; i <= 2 * looks; i++) {
		const start = near + (i % 2 ? 1 : -1) * Math.ceil(i / 2) * LOOK_MM
		if (isFree(body, start, start + width) && isFree(body, start, start + stretchOf(body, start, width))) return start
	}
	return undefined
}
const LOOK_MM = 0.8
