/** How far items reach on paper. */
import type { PlanePoint } from '../plane/point.ts'
import { boxOf, grown, meet, unionBox } from './box.ts'
import type { Box, Item, PathItem, Segment } from './drawing.ts'
import { textBox } from './metrics.ts'
import { type FlatItem, flatten } from './place.ts'

/** Where the coordinate of a cubic turns back, as parameters between 0 and 1. */
function turns(p0: number, p1: number, p2: number, p3: number): readonly number[] {
	const a = p3 - 3 * p2 + 3 * p1 - p0
	const b = 2 * (p2 - 2 * p1 + p0)
	const c = p1 - p0
	const root = b * b - 4 * a * c
	if (root < 0) return []
	const q = -(b + Math.sign(b || 1) * Math.sqrt(root)) / 2
	return [q / a, c / q].filter((t) => t > 0 && t < 1)
}

function cubicAt(p0: number, p1: number, p2: number, p3: number, t: number): number {
	const u = 1 - t
	return u * u * u * p0 + 3 * u * u * t * p1 + 3 * u * t * t * p2 + t * t * t * p3
}

/** The exact box round a path's line, without the width of its stroke; undefined for an empty path. */
export function pathBounds(segments: readonly Segment[]): Box | undefined {
	const points: PlanePoint[] = []
	let pen: PlanePoint | undefined
	for (const segment of segments) {
		if (segment.to === 'close') continue
		if (segment.to === 'cubic' && pen) {
			const { a, b, p } = segment
			const from = pen
			const ts = [...turns(from.x, a.x, b.x, p.x), ...turns(from.y, a.y, b.y, p.y)]
			points.push(...ts.map((t) => ({ x: cubicAt(from.x, a.x, b.x, p.x, t), y: cubicAt(from.y, a.y, b.y, p.y, t) })))
		}
		points.push(segment.p)
		pen = segment.p
	}
	return boxOf(points)
}

/** The box round what a path prints: its line and half the width of its stroke on every side. */
export function pathInk(item: PathItem): Box | undefined {
	const box = pathBounds(item.segments)
	return box && grown(box, (item.stroke?.widthMm ?? 0) / 2)
}

/** The box round what one item prints, inside its clips; undefined where nothing is left. */
export function inkBox({ item, clips }: FlatItem): Box | undefined {
	let box = item.kind === 'path' ? pathInk(item) : boxOf(textBox(item) ?? [])
	for (const clip of clips) {
		const around = boxOf(clip)
		box = box && around && meet(box, around)
	}
	return box
}

/** The upright box round everything the items print (strokes with their width, texts with their ink); undefined for nothing. */
export const boundsOf = (items: readonly Item[]): Box | undefined => unionBox(flatten(items).map(inkBox))
