/** Items as seen in a mirror that stands upright: left and right change places, words stay readable. */
import type { PlanePoint } from '../plane/point.ts'
import type { Box, GroupItem, Item, PathItem, Segment, TextItem } from './drawing.ts'
import { textBox } from './metrics.ts'
import { placingOf } from './place.ts'

/** Turns that differ by less than this, radians, are one: rounding must not choose which way a word reads. */
const SAME_TURN = 1e-6

// 0 - x, so that no zero becomes -0
export const mirrorPoint = ({ x, y }: PlanePoint): PlanePoint => ({ x: 0 - x, y })

export const mirrorBox = ({ minX, minY, maxX, maxY }: Box): Box => ({ minX: 0 - maxX, minY, maxX: 0 - minX, maxY })

function mirrorSegment(segment: Segment): Segment {
	if (segment.to === 'close') return segment
	const p = mirrorPoint(segment.p)
	return segment.to === 'cubic' ? { to: 'cubic', a: mirrorPoint(segment.a), b: mirrorPoint(segment.b), p } : { to: segment.to, p }
}

const mirrorPath = (item: PathItem): PathItem => ({ ...item, segments: item.segments.map(mirrorSegment) })

const OTHER_END = { start: 'end', middle: 'middle', end: 'start' } as const

/** Does it read from the right hand (a quarter turn anticlockwise)? */
const readsUp = (angle: number) => Math.abs(Math.atan2(Math.sin(angle - Math.PI / 2), Math.cos(angle - Math.PI / 2))) < SAME_TURN

/** Turned by a half about the middle of its ink, which then covers the same box. */
function halfTurn(item: TextItem): TextItem {
	const box = textBox(item)
	if (!box) return item
	const [a, , c] = box
	return { ...item, at: { x: a.x + c.x - item.at.x, y: a.y + c.y - item.at.y }, angle: item.angle + Math.PI }
}

/**
 * The text in the mirrored place of its line, still readable: it turns the other way and begins at its other end. What reads upwards
 * from the right hand still does. `outer` is the turn of the groups round it, before mirroring.
 */
function mirrorText(item: TextItem, outer: number): TextItem {
	const mirrored = { ...item, at: mirrorPoint(item.at), angle: 0 - item.angle, anchor: OTHER_END[item.anchor] }
	return readsUp(outer + item.angle) ? halfTurn(mirrored) : mirrored
}

function mirrorGroup(item: GroupItem, outer: number): GroupItem {
	const { at, angle } = placingOf(item)
	return {
		...item,
		at: mirrorPoint(at),
		angle: 0 - angle,
		...(item.clip ? { clip: mirrorBox(item.clip) } : {}),
		items: mirrorItems(item.items, outer + angle),
	}
}

/**
 * The items mirrored left to right about x = 0. Lines, clips and the places of texts are mirrored; the texts themselves stay readable,
 * within the mirrored box of their ink along the line they stand on. `outer` is the turn (radians) of what the items stand in.
 * Lettering must not come here (see `hasLettering`): it would stay readable too, and so come out reversed on the panel.
 */
export function mirrorItems(items: readonly Item[], outer = 0): readonly Item[] {
	return items.map((item) => {
		if (item.kind === 'path') return mirrorPath(item)
		return item.kind === 'text' ? mirrorText(item, outer) : mirrorGroup(item, outer)
	})
}

/** Are there words among the items that are to be seen on the panel? */
export const hasLettering = (items: readonly Item[]): boolean =>
	items.some((item) => item.lettering === true || (item.kind === 'group' && hasLettering(item.items)))
