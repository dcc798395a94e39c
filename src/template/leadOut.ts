/** Words for which a piece has no room: set beside it, each with a line that leads to where it belongs. */
import { boxOf } from '../drawing/box.ts'
import type { Item, PathItem } from '../drawing/drawing.ts'
import { textBox, textWidth } from '../drawing/metrics.ts'
import { arrow as arrowPath } from '../drawing/path.ts'
import type { PlanePoint } from '../plane/point.ts'
import { pointInRegion } from '../plane/polyline.ts'
import { simplify } from '../plane/simplify.ts'
import { path, stroke, text } from './marks.ts'
import { BOLD, FAINT, SMALL_MM } from './style.ts'

export interface LedWords {
	readonly words: string
	readonly bold?: boolean
	/** where they belong */
	readonly from: PlanePoint
	/** the way out of the piece from there, radians */
	readonly way: number
	/** an arrow behind the words, pointing this way on paper */
	readonly arrow?: number
}

/** Words keep this far from all else, mm. */
const CLEAR_MM = 0.7
const STEP_MM = 1.5
const FARTHEST_MM = 120
/** Off the straight way out, nearest first, radians. */
const TURNS = [0, 0.3, -0.3, 0.6, -0.6, 0.9, -0.9, 1.2, -1.2, 1.5, -1.5]
const ARROW_MM = 8
const ROUGH_MM = 0.2

type Corners = readonly PlanePoint[]

/** The words with their leaders, clear of each other, of the loops and of the items that are there already. */
export function leadOut(led: readonly LedWords[], items: readonly Item[], loops: readonly (readonly PlanePoint[])[]): Item[] {
	if (led.length === 0) return []
	const outlines = loops.map((loop) => simplify(loop, ROUGH_MM, true))
	const edges = outlines.flatMap((loop) => loop.map((p, i): Corners => [p, loop[(i + 1) % loop.length] as PlanePoint]))
	const texts = items.flatMap((i): Corners[] => {
		const box = i.kind === 'text' ? textBox(i) : undefined
		return box ? [box] : []
	})
	// Crosses of datums beside a piece.
	const strokes = items.flatMap((i) => (i.kind === 'path' && i.segments.length === 2 ? [ends(i)] : []))
	const out: Item[] = []
	const leaders: Corners[] = []
	for (const one of led) {
		const width = textWidth(one.words, { sizeMm: SMALL_MM, bold: one.bold ?? false })
		const w = width + (one.arrow === undefined ? 0 : ARROW_MM + 1.5)
		const h = Math.max(SMALL_MM, one.arrow === undefined ? 0 : ARROW_MM * Math.abs(Math.sin(one.arrow)) + 2)
		const place = placeFor(one, w, h)
		const { x, y } = place.at
		const middle = y + h / 2
		const pointsLeft = one.arrow !== undefined && Math.cos(one.arrow) < 0
		const style = { bold: one.bold ?? false }
		out.push(text({ x: x + (pointsLeft ? w - width : 0), y: middle - SMALL_MM * 0.35 }, one.words, style))
		if (one.arrow !== undefined) {
			const c = { x: pointsLeft ? x + ARROW_MM / 2 : x + w - ARROW_MM / 2, y: middle }
			const d = { x: (Math.cos(one.arrow) * ARROW_MM) / 2, y: (Math.sin(one.arrow) * ARROW_MM) / 2 }
			const shaft = arrowPath({ x: c.x - d.x, y: c.y - d.y }, { x: c.x + d.x, y: c.y + d.y }, 2.4)
			out.push(path('guide', shaft, { ...BOLD, widthMm: 0.3 }, `to the ${one.words.toLowerCase()}`))
		}
		out.push(stroke('label', one.from, place.to, FAINT))
		texts.push(boxAt(x, y, w, h, 0))
		leaders.push([one.from, place.to])
	}
	return out

	function placeFor(one: LedWords, w: number, h: number): { at: PlanePoint; to: PlanePoint } {
		for (let r = 2.5; r <= FARTHEST_MM; r += STEP_MM) {
			for (const turn of TURNS) {
				const [c, s] = [Math.cos(one.way + turn), Math.sin(one.way + turn)]
				const to = { x: one.from.x + r * c, y: one.from.y + r * s }
				// The side of the box that the leader comes to.
				const flat = Math.abs(c) > 0.8
				const at = flat
					? { x: c > 0 ? to.x + 0.5 : to.x - w - 0.5, y: to.y - h / 2 }
					: { x: to.x - w / 2, y: s > 0 ? to.y + 0.5 : to.y - h - 0.5 }
				if (isFree(one.from, to, at, w, h)) return { at, to }
			}
		}
		// Beyond all that is there: under it, line by line.
		const all = boxOf([...outlines.flat(), ...texts.flat()]) ?? { minX: 0, minY: 0 }
		const at = { x: all.minX, y: all.minY - h - 2 }
		return { at, to: { x: at.x + w / 2, y: at.y + h + 0.5 } }
	}

	function isFree(from: PlanePoint, to: PlanePoint, at: PlanePoint, w: number, h: number): boolean {
		const box = boxAt(at.x, at.y, w, h, CLEAR_MM)
		if (texts.some((t) => overlap(t, box)) || strokes.some((s) => overlap(s, box))) return false
		if (leaders.some((l) => overlap(l, box) || overlap(l, [from, to]))) return false
		if (texts.some((t) => overlap(t, [from, to]))) return false
		if (box.some((p) => pointInRegion(p, outlines))) return false
		return !edges.some((e) => overlap(e, box))
	}
}

const ends = (i: PathItem): Corners => i.segments.flatMap((s) => (s.to === 'close' ? [] : [s.p]))

const boxAt = (x: number, y: number, w: number, h: number, by: number): Corners => [
	{ x: x - by, y: y - by },
	{ x: x + w + by, y: y - by },
	{ x: x + w + by, y: y + h + by },
	{ x: x - by, y: y + h + by },
]

/** Do two convex shapes (or stretches) overlap? Separating axes of both: Ericson, Real-Time Collision Detection (2005), 5.2.1. */
export function overlap(a: Corners, b: Corners): boolean {
	for (const shape of [a, b]) {
		for (let i = 0; i < shape.length; i++) {
			const [p, q] = [shape[i] as PlanePoint, shape[(i + 1) % shape.length] as PlanePoint]
			const [nx, ny] = [p.y - q.y, q.x - p.x]
			if (nx === 0 && ny === 0) continue
			let [a0, a1, b0, b1] = [Infinity, -Infinity, Infinity, -Infinity]
			for (const c of a) {
				const d = c.x * nx + c.y * ny
				a0 = Math.min(a0, d)
				a1 = Math.max(a1, d)
			}
			for (const c of b) {
				const d = c.x * nx + c.y * ny
				b0 = Math.min(b0, d)
				b1 = Math.max(b1, d)
			}
			if (a1 < b0 || b1 < a0) return false
		}
	}
	return true
}
