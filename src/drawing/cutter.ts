/** A drawing as a cutter wants it: lines alone, all in one style, in groups that are switched on and off. */

import { pathBounds } from './bounds.ts'
import { boxHeight, boxWidth } from './box.ts'
import type { GroupItem, Item, PathItem, Segment, Stroke, TextItem } from './drawing.ts'
import { flatten } from './place.ts'

/** One colour and a hairline: a cutter follows the line's middle, and takes colours and widths for orders. */
export const CUTTER_STROKE: Stroke = { widthMm: 0.1, colour: '#000000' }

/** Ends this near, mm, are one point: what the files are rounded to. */
const MEET_MM = 1e-4

/** Knife lines one by one: those that come back to their start, and slits, which do not. */
export interface KnifeLines {
	/** inner ones first, so that a window is not cut in a piece that has already come loose */
	readonly closed: readonly PathItem[]
	readonly slits: readonly PathItem[]
}

function subpaths(segments: readonly Segment[]): readonly (readonly Segment[])[] {
	const parts: Segment[][] = []
	for (const segment of segments) {
		if (segment.to === 'move') parts.push([])
		parts.at(-1)?.push(segment)
	}
	return parts.filter((part) => part.length > 1)
}

/** A line that ends where it began, closed in so many words; undefined for an open one. */
function closedLine(part: readonly Segment[]): readonly Segment[] | undefined {
	const [first, last] = [part[0], part.at(-1)]
	if (last?.to === 'close') return part
	const meets = first?.to === 'move' && last && Math.hypot(first.p.x - last.p.x, first.p.y - last.p.y) < MEET_MM
	return meets && part.length > 2 ? [...part, { to: 'close' }] : undefined
}

function boxArea({ segments }: PathItem): number {
	const box = pathBounds(segments)
	return box ? boxWidth(box) * boxHeight(box) : 0
}

/** The knife lines of the items where they stand, each a path of its own in the cutter's stroke. Fills and clips are left out. */
export function knifeLines(items: readonly Item[]): KnifeLines {
	const closed: PathItem[] = []
	const slits: PathItem[] = []
	for (const { item } of flatten(items)) {
		if (item.kind !== 'path' || item.role !== 'knife') continue
		for (const part of subpaths(item.segments)) {
			const whole = closedLine(part)
			const line = { kind: 'path', role: 'knife', segments: whole ?? part, stroke: CUTTER_STROKE, title: item.title } as const
			if (whole) closed.push(line)
			else slits.push(line)
		}
	}
	// what lies inside another line has the smaller box
	return { closed: closed.sort((a, b) => boxArea(a) - boxArea(b)), slits }
}

/** The groups of a cutter's file, slits before knife lines: they are cut while the piece is still held. Empty ones are left out. */
export function cutterGroups(lines: KnifeLines, labels: readonly TextItem[]): readonly GroupItem[] {
	const group = (id: string, title: string, items: readonly Item[]): readonly GroupItem[] =>
		items.length > 0 ? [{ kind: 'group', id, title, items }] : []
	return [
		...group('slits', 'Slits: open knife lines', lines.slits),
		...group('knife', 'Knife lines: all closed', lines.closed),
		...group('labels', 'Labels: not for the knife', labels),
	]
}
