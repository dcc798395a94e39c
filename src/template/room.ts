import type { Item, Stroke } from '../drawing/drawing.ts'
import { textWidth } from '../drawing/metrics.ts'
import { polyline } from '../drawing/path.ts'
import type { PlanePoint, Region } from '../plane/point.ts'
import { pointInRegion, signedArea } from '../plane/polyline.ts'
import { simplify } from '../plane/simplify.ts'
import { type LedWords, leadOut } from './leadOut.ts'
import { bar, boxAround, frontArrow, MIDDLE, path, stroke, text } from './marks.ts'
import { SPANS } from './measured.ts'
import { BOLD, CENTRE, FAINT, SMALL_MM, TEXT_MM, THIN } from './style.ts'

/** What is printed on a piece that lies flat whole, besides its own lines. */
export interface Furnishing {
	readonly knife: Region
	/** what is drawn already */
	readonly items: readonly Item[]
	/** lines of stations across the piece, from rim to rim, with what a viewer calls each, and what is written on it if anything */
	readonly stations: readonly { readonly points: readonly PlanePoint[]; readonly words?: string; readonly title: string }[]
	readonly baseline: readonly (readonly PlanePoint[])[]
	/** slits: nothing may stand on them */
	readonly cuts?: readonly (readonly PlanePoint[])[]
	readonly datums: readonly { readonly id: string; readonly at: PlanePoint }[]
	/** ticks in corners at seams, with their names */
	readonly seams?: readonly { readonly words: string; readonly at: PlanePoint; readonly to: PlanePoint }[]
	/** other lines, with what is written beside them if anything */
	readonly drawn?: readonly PaperLine[]
	/** number, side and revision */
	readonly label: string
	readonly panelTitle: string
	/** the way to the front on paper, and the word for it */
	readonly front: number
	readonly frontWord: string
	readonly unit: 'mm' | 'in'
}

/** A line of the panel as it lies on a piece. */
export interface PaperLine {
	readonly points: readonly PlanePoint[]
	readonly stroke: Stroke
	readonly title: string
	readonly words?: string
}

const middleOf = (points: readonly PlanePoint[]) => points[Math.floor(points.length / 2)] as PlanePoint

/** Lines, crosses, figures, label, arrow and bars, each where the piece has room for it; words without room are led out of it. */
export function furnish(input: Furnishing): Item[] {
	const { knife } = input
	// What stands in a hole is cut away with it.
	const rims = knife.filter((loop) => signedArea(loop) > 0)
	const items: Item[] = []
	const labels: { at: PlanePoint; end: PlanePoint; words: string }[] = []
	const used: Taken[] = (input.cuts ?? []).flatMap(along)
	// Words keep off these; arrows and bars may cross them.
	const lines: Taken[] = []
	const led: LedWords[] = []
	for (const { points, words, title } of input.stations) {
		items.push(path('guide', polyline(points), FAINT, title))
		lines.push(...along(points))
		const [at, end] = [points[0] as PlanePoint, points[points.length - 1] as PlanePoint]
		if (words !== undefined) labels.push({ at, end, words })
	}
	for (const points of input.baseline) {
		items.push(path('guide', polyline(points), CENTRE, 'baseline'))
		lines.push(...along(points))
	}
	for (const { words, at, to } of input.seams ?? []) {
		items.push({ ...stroke('tick', at, to, { ...BOLD, widthMm: 0.3 }), title: `seam tick ${words}` })
		lines.push(...along([at, to]))
	}
	for (const { points, stroke: how, title } of input.drawn ?? []) {
		items.push(path('guide', polyline(points), how, title))
		lines.push(...along(points))
	}
	for (const { at: p } of input.datums) {
		items.push(
			stroke('guide', { x: p.x - 3, y: p.y }, { x: p.x + 3, y: p.y }, THIN),
			stroke('guide', { x: p.x, y: p.y - 3 }, { x: p.x, y: p.y + 3 }, THIN),
		)
		used.push([p.x - 3, p.x + 3, p.y - 3, p.y + 3])
	}
	const named = [
		...input.datums,
		...(input.seams ?? []).map(({ words, at }) => ({ id: words, at })),
		...(input.drawn ?? []).flatMap(({ words, points }) => (words ? [{ id: words, at: middleOf(points) }] : [])),
	]
	for (const { id, at: p } of named) {
		const width = textWidth(id, { sizeMm: SMALL_MM })
		const places = DATUM_LABELS.map(([x, y]) => ({ x: p.x + (x < 0 ? x - width : x), y: p.y + y }))
		const at = places.find(({ x, y }) => {
			const box: Taken = [x - 0.5, x + width + 0.5, y - 0.7, y + SMALL_MM]
			return free(used, box) && free(lines, box) && (fits(knife, ...box) || isOutside(rims, ...box))
		})
		if (!at) {
			led.push({ words: id, from: p, way: wayOut(knife, p) })
			continue
		}
		used.push([at.x, at.x + width, at.y - 0.7, at.y + SMALL_MM])
		items.push(text(at, id))
	}
	// A station's figure stands at one end of its line, on either side of it; else outside, led to it.
	for (const { at, end, words } of labels) {
		const width = textWidth(words, { sizeMm: SMALL_MM })
		const places = [
			{ x: at.x + 0.8, y: at.y + 1.2 },
			{ x: at.x - 0.8 - width, y: at.y + 1.2 },
			{ x: end.x + 0.8, y: end.y - 1.2 - SMALL_MM },
			{ x: end.x - 0.8 - width, y: end.y - 1.2 - SMALL_MM },
		]
		const found = places
			.map(({ x, y }): Taken => [x - 0.3, x + width + 0.3, y - 0.3, y + SMALL_MM])
			.find((box) => free(used, box) && free(lines, box) && fits(knife, ...box))
		if (!found) {
			led.push({ words, from: at, way: wayOut(knife, at) })
			continue
		}
		used.push(found)
		items.push(text({ x: found[0] + 0.3, y: found[2] + 0.3 }, words, { colour: '#707070' }))
	}
	items.push(...inside(input, used, lines, led))
	items.push(...leadOut(led, [...input.items, ...items], knife))
	return items
}

/** Room that something stands on: from x to x, from y to y. */
type Taken = readonly [number, number, number, number]
const free = (used: readonly Taken[], [a, b, c, d]: Taken) => isFree(used, a, b, c, d)
const isFree = (used: readonly Taken[], a: number, b: number, c: number, d: number) =>
	used.every((t) => a >= t[1] || b <= t[0] || c >= t[3] || d <= t[2])
/** Boxes along a line, each no longer than this: it may lean. */
const LINE_STEP_MM = 2
const LINE_HALF_MM = 0.15
const along = (points: readonly PlanePoint[]): Taken[] =>
	points.slice(1).flatMap((q, i) => {
		const p = points[i] as PlanePoint
		const n = Math.max(1, Math.ceil(Math.hypot(q.x - p.x, q.y - p.y) / LINE_STEP_MM))
		return Array.from({ length: n }, (_, k): Taken => {
			const [a, b] = [k / n, (k + 1) / n].map((t) => ({ x: p.x + (q.x - p.x) * t, y: p.y + (q.y - p.y) * t }))
			const box = boxAround([a as PlanePoint, b as PlanePoint])
			return [box.minX - LINE_HALF_MM, box.maxX + LINE_HALF_MM, box.minY - LINE_HALF_MM, box.maxY + LINE_HALF_MM]
		})
	})
/** Where a datum's name may start (or, to the left, end) off its cross, mm; the first that is free is taken. */
const DATUM_LABELS = [3, 6, 9, 13, 18].flatMap((r) => [
	[r + 0.6, 0.9],
	[-r - 0.6, 0.9],
	[0.6, r + 0.8],
	[0.6, -r - 2.6],
	[r + 0.6, r - 1],
	[-r - 0.6, -r - 1],
]) as readonly (readonly [number, number])[]

const isOutside = (region: Region, ...box: Taken): boolean => everyPlace(box, (p) => !pointInRegion(p, region))
const fits = (region: Region, ...box: Taken): boolean => everyPlace(box, (p) => pointInRegion(p, region))

/** At places all over a box: twelve steps along its longer way, as many across a broad one, else its edges and its middle. */
function everyPlace([x0, x1, y0, y1]: Taken, holds: (p: PlanePoint) => boolean): boolean {
	const steps = (length: number) => (length > BROAD_MM ? 12 : 2)
	const [nx, ny] = [x1 - x0 < y1 - y0 ? steps(x1 - x0) : 12, steps(y1 - y0)]
	for (let k = 0; k <= ny; k++) {
		const y = y0 + ((y1 - y0) * k) / ny
		for (let i = 0; i <= nx; i++) if (!holds({ x: x0 + ((x1 - x0) * i) / nx, y })) return false
	}
	return true
}
/** Nothing narrower than this lies across words unseen. */
const BROAD_MM = 8

/** The way from a place to the nearest of four sides of what a piece covers: up, down, right or left on paper. */
function wayOut(knife: Region, p: PlanePoint): number {
	const box = boxAround(knife.flat())
	const ways: readonly (readonly [number, number])[] = [
		[box.maxY - p.y, Math.PI / 2],
		[p.y - box.minY, -Math.PI / 2],
		[box.maxX - p.x, 0],
		[p.x - box.minX, Math.PI],
	]
	return ways.reduce((best, way) => (way[0] < best[0] ? way : best))[1]
}

/** Places tried each way when looking for room, those in the middle first: the room nearest to it is what is wanted. */
const LOOKS = 24
const FROM_THE_MIDDLE = Array.from({ length: (LOOKS + 1) ** 2 }, (_, n) => {
	const [i, k] = [Math.floor(n / (LOOKS + 1)), n % (LOOKS + 1)]
	return { i, k, off: Math.hypot(i - LOOKS / 2, k - LOOKS / 2) }
}).sort((a, b) => a.off - b.off)

/** Number, side, arrow and bars; the words for which the piece has no room are to be led out of it. */
function inside(input: Furnishing, used: Taken[], lines: readonly Taken[], led: LedWords[]): Item[] {
	const { knife } = input
	const box = boxAround(knife.flat())
	const items: Item[] = []
	// The rough outline will do for finding room, and is many times quicker.
	const rough = knife.map((loop) => simplify(loop, 0.3, true))
	const centre = { x: (box.minX + box.maxX) / 2, y: (box.minY + box.maxY) / 2 }
	// Room of which only the middle holds words, so wide and so high.
	const room = (w: number, h: number, words = { w, h }): PlanePoint | undefined => {
		const [dx, dy] = [(w - words.w) / 2, (h - words.h) / 2]
		let at: (PlanePoint & { readonly off: number }) | undefined
		for (const { i, k } of FROM_THE_MIDDLE) {
			const x = box.minX + ((box.maxX - box.minX - w) * i) / LOOKS
			const y = box.minY + ((box.maxY - box.minY - h) * k) / LOOKS
			const off = Math.hypot(x + w / 2 - centre.x, y + h / 2 - centre.y)
			if (at && (off - at.off || x - at.x || y - at.y) >= 0) continue
			if (!isFree(used, x, x + w, y, y + h) || !isFree(lines, x + dx, x + w - dx, y + dy, y + h - dy)) continue
			if (fits(rough, x - 1, x + w + 1, y - 1, y + h + 1)) at = { x, y, off }
		}
		if (at) used.push([at.x - 1.5, at.x + w + 1.5, at.y - 1.5, at.y + h + 1.5])
		return at
	}
	// Words that find no room belong to a place on the edge, each farther along.
	const rim = knife.reduce<readonly PlanePoint[]>((best, loop) => (loop.length > best.length ? loop : best), [])
	const leave = (words: string, part: number, more: Partial<LedWords> = {}) => {
		const from = rim[Math.floor(rim.length * part)] ?? centre
		led.push({ words, from, way: wayOut(knife, from), ...more })
	}
	const { label } = input
	const sizes = [TEXT_MM * 1.4, TEXT_MM, SMALL_MM]
	const found = sizes.some((size) => {
		const at = room(textWidth(label, { sizeMm: size, bold: true }), size)
		if (at) items.push(text({ x: at.x, y: at.y + size * 0.15 }, label, { sizeMm: size, bold: true }))
		return at !== undefined
	})
	if (!found) leave(label, 0.2, { bold: true })
	const way = input.front
	const arrowWidth = textWidth(input.frontWord, { sizeMm: SMALL_MM, bold: true }) + 17
	const at = room(arrowWidth, 3)
	if (at)
		items.push(...frontArrow({ x: way === 0 ? at.x + arrowWidth - 14 : at.x + 14, y: at.y + 1.5 }, way, 12, input.frontWord))
	else leave(input.frontWord, 0.3, { bold: true, arrow: way })
	for (const across of [true, false]) {
		for (const span of SPANS[input.unit]) {
			const figure = textWidth(span.words, { sizeMm: SMALL_MM }) + 1
			const p = across ? room(span.mm, 5, { w: figure, h: 5 }) : room(5, span.mm, { w: 5, h: figure })
			if (!p) continue
			items.push(...bar(across ? { x: p.x, y: p.y + 2.5 } : { x: p.x + 2.5, y: p.y }, across ? 0 : Math.PI / 2, span))
			break
		}
	}
	const up = room(textWidth('this face up', { sizeMm: SMALL_MM }), SMALL_MM)
	if (up) items.push(text({ x: up.x, y: up.y + SMALL_MM * (0.5 - MIDDLE) }, 'this face up'))
	else leave('this face up', 0.25)
	const name = room(textWidth(input.panelTitle, { sizeMm: SMALL_MM }), SMALL_MM)
	if (name) items.push(text({ x: name.x, y: name.y + SMALL_MM * (0.5 - MIDDLE) }, input.panelTitle))
	return items
}
