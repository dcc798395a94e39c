/** Marks and words on the narrow body of a guide, along its line. */
import type { Item } from '../drawing/drawing.ts'
import { textWidth } from '../drawing/metrics.ts'
import { polyline } from '../drawing/path.ts'
import type { PlanePoint } from '../plane/point.ts'
import type { DevelopedLine } from './developLine.ts'
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
}

const at = (body: Body, l: number, off: number): PlanePoint => body.line.at(l, body.open * off)
export const take = (body: Body, from: number, to: number): void => void body.taken.push([from, to])

/** Where this guide and its neighbour must meet. */
export const acrossTick = (body: Body, l: number): Item => stroke('tick', at(body, l, 0), at(body, l, body.width), DASHED)

/** An end of a length to measure along the working edge. */
export const barTick = (body: Body, l: number): Item => stroke('bar', at(body, l, 0), at(body, l, 2), { ...THIN, widthMm: 0.2 })

/** A tick from the working edge across the body, at the angle `turn` (towards the plus side) from the line's direction. */
export function slantedTick(body: Body, l: number, turn: number): Item {
	const { line } = body
	const into = Math.sin(turn) * body.open >= 0 ? turn : turn + Math.PI
	const way = line.heading(l) + line.handed * into
	// Nearly along the line it would run the whole length of the body: it is cut where it still shows the way.
	const length = Math.min(body.width / Math.max(0.05, Math.abs(Math.sin(turn))), 2.5 * body.width)
	const p = at(body, l, 0)
	return stroke('tick', p, { x: p.x + Math.cos(way) * length, y: p.y + Math.sin(way) * length }, { ...BOLD, widthMm: 0.3 })
}

/** Words set one by one along the middle of the body, in the first free stretch at or after `from`; none if there is no room. */
export function wordsOn(body: Body, words: string, from: number, bold = false): Item[] {
	const list = words.split(' ').filter((w) => w !== '')
	const style = { sizeMm: SMALL_MM, bold }
	const gap = textWidth(' ', style) * 1.2
	const widths = list.map((w) => textWidth(w, style))
	const need = widths.reduce((a, b) => a + b, 0) + gap * (list.length - 1)
	const start = free(body, from, need) ?? free(body, body.from + 1.5, need)
	if (start === undefined) return []
	take(body, start - 1.2, start + need + 1.2)
	const { line } = body
	const backwards = Math.cos(line.heading(start + need / 2)) < -1e-9
	// Read from the left: on a backward heading, from the far end.
	let l = backwards ? start + need : start
	return list.map((word, i) => {
		const step = (backwards ? -1 : 1) * (widths[i] as number)
		const heading = line.heading(l + step / 2) + (backwards ? Math.PI : 0)
		const p = at(body, l + step / 2, body.width / 2)
		l += step + (backwards ? -gap : gap)
		const drop = SMALL_MM * MIDDLE
		return text({ x: p.x + Math.sin(heading) * drop, y: p.y - Math.cos(heading) * drop }, word, {
			anchor: 'middle',
			angle: heading,
			bold,
		})
	})
}

/** An arrow along the body to the front, with the word behind it; `rearward` says whether the line runs to the rear at a length. */
export function frontOn(body: Body, rearward: (l: number) => boolean): Item[] {
	const word = textWidth('FRONT', { sizeMm: SMALL_MM, bold: true })
	const need = word + 13
	const start = free(body, body.from + 2, need)
	if (start === undefined) return []
	const back = rearward(start + need / 2)
	const [tail, tip] = back ? [start + 10, start] : [start + need - 10, start + need]
	const w = body.width / 2
	const barb = tip > tail ? -2.4 : 2.4
	const shaft = polyline([0, 0.5, 1].map((f) => at(body, tail + (tip - tail) * f, w)))
	const head = polyline([at(body, tip + barb, w - 0.9), at(body, tip, w), at(body, tip + barb, w + 0.9)])
	const items: Item[] = [path('guide', [...shaft, ...head], { ...BOLD, widthMm: 0.3 }, 'to the front')]
	take(body, Math.min(tail, tip) - 1, Math.max(tail, tip) + 1)
	items.push(...wordsOn(body, 'FRONT', back ? start + 11.3 : start, true))
	return items
}

/** The first place at or after `from` with `need` mm that nothing stands on, inside the piece. */
function free({ taken, to }: Body, from: number, need: number): number | undefined {
	let start = from
	const clash = () => taken.filter(([a, b]) => a < start + need && b > start)
	for (let i = 0; i <= taken.length; i++) {
		const ends = clash().map(([, b]) => b)
		if (ends.length === 0) break
		start = Math.max(...ends) + 0.2
	}
	return start + need <= to - 1 && clash().length === 0 ? start : undefined
}
