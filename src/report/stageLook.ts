/** How open, covered and finished places look on the picture of a stage: told apart without colours too. */
import type { Item, Segment, Stroke } from '../drawing/drawing.ts'
import { line } from '../drawing/path.ts'
import type { PlanePoint, Region } from '../plane/point.ts'
import { boxOf } from '../plane/polyline.ts'
import { clipPolyline } from '../plane/region.ts'

/** Covered: up to the right. A knife mask: up to the left, closer. */
export const COVERED: Stroke = { widthMm: 0.13, colour: '#6d675c' }
export const KNIFE: Stroke = { widthMm: 0.25, colour: '#1b1a17' }
/** Between the lines of a hatch, mm on paper. */
export const COVERED_MM = 2
export const KNIFE_MM = 1.2
/** What is finished is seen through so much white. */
const PALE = 0.62
const MOST_LINES = 2000

/** Straight lines under 45 degrees over a region, `apartMm` from each other; up to the right, or up to the left. */
export function hatch(region: Region, apartMm: number, up: 'right' | 'left' = 'right'): readonly Segment[] {
	const box = boxOf(region.flat())
	if (!box) return []
	const sign = up === 'right' ? 1 : -1
	const step = apartMm * Math.SQRT2
	const at = (x: number, y: number) => y - sign * x
	const offs = [at(box.minX, box.minY), at(box.maxX, box.maxY), at(box.minX, box.maxY), at(box.maxX, box.minY)]
	const [least, most] = [Math.min(...offs), Math.max(...offs)]
	const count = Math.min(MOST_LINES, Math.ceil((most - least) / step))
	const out: Segment[] = []
	for (let i = 0; i <= count; i++) {
		// on one grid for the whole picture: hatches of neighbours go on over their border
		const c = (Math.ceil(least / step) + i) * step
		const ends: readonly PlanePoint[] = [
			{ x: box.minX - 1, y: sign * (box.minX - 1) + c },
			{ x: box.maxX + 1, y: sign * (box.maxX + 1) + c },
		]
		for (const { points } of clipPolyline(ends, region)) {
			const [a, b] = [points[0], points[points.length - 1]]
			if (a && b) out.push(...line(a, b))
		}
	}
	return out
}

export const hatchItem = (region: Region, stroke: Stroke, apartMm: number, title: string, up?: 'left'): Item => ({
	kind: 'path',
	role: 'guide',
	segments: hatch(region, apartMm, up),
	stroke,
	title,
})

/** A colour seen through white: "#rrggbb". */
export function paler(colour: string): string {
	const parts = [1, 3, 5].map((i) => Number.parseInt(colour.slice(i, i + 2), 16))
	return `#${parts
		.map((part) =>
			Math.round(part + (255 - part) * PALE)
				.toString(16)
				.padStart(2, '0'),
		)
		.join('')}`
}
