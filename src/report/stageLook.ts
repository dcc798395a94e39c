/** How open, covered and finished places look on the picture of a stage: told apart without colours too. */
import type { Item, Segment, Stroke } from '../drawing/drawing.ts'
import { line } from '../drawing/path.ts'
import type { PlanePoint, Region } from '../plane/point.ts'

/** Covered: up to the right. A knife mask: up to the left, closer. */
export const COVERED: Stroke = { widthMm: 0.13, colour: '#6d675c' }
export const KNIFE: Stroke = { widthMm: 0.25, colour: '#1b1a17' }
/** Between the lines of a hatch, mm on paper. */
export const COVERED_MM = 2
export const KNIFE_MM = 1.2
/** What is finished is seen through so much white. */
const PALE = 0.62
const MOST_LINES = 2000

/**
 * Straight lines under 45 degrees over a region, `apartMm` from each other; up to the right, or up to the left. Each is followed
 * from left to right over the outlines that it crosses: within where these go round it (non-zero winding).
 */
export function hatch(region: Region, apartMm: number, up: 'right' | 'left' = 'right'): readonly Segment[] {
	const sign = up === 'right' ? 1 : -1
	const step = apartMm * Math.SQRT2
	// on one grid for the whole picture: hatches of neighbours go on over their border
	const row = ({ x, y }: PlanePoint) => (y - sign * x) / step
	const rows = new Map<number, { readonly x: number; readonly turn: 1 | -1 }[]>()
	for (const loop of region) {
		let a = loop[loop.length - 1] as PlanePoint
		for (const b of loop) {
			const [from, to] = [row(a), row(b)]
			const turn = from < to ? 1 : -1
			for (let i = Math.floor(Math.min(from, to)) + 1; i <= Math.max(from, to); i++) {
				const crossing = { x: a.x + ((b.x - a.x) * (i - from)) / (to - from), turn } as const
				const known = rows.get(i)
				if (known) known.push(crossing)
				else if (rows.size < MOST_LINES) rows.set(i, [crossing])
			}
			a = b
		}
	}
	return [...rows]
		.sort(([i], [k]) => i - k)
		.flatMap(([i, crossings]) => within(crossings, (x) => ({ x, y: sign * x + i * step })))
}

function within(crossings: { readonly x: number; readonly turn: 1 | -1 }[], at: (x: number) => PlanePoint): Segment[] {
	const out: Segment[] = []
	let winding = 0
	let start = 0
	for (const { x, turn } of crossings.sort((a, b) => a.x - b.x)) {
		if (winding === 0) start = x
		winding += turn
		if (winding === 0 && x > start) out.push(...line(at(start), at(x)))
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
