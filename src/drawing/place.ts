/** Items moved and turned on paper, and groups taken apart into items that stand where they are printed. */
import type { PlanePoint } from '../plane/point.ts'
import { corners } from './box.ts'
import type { GroupItem, Item, PathItem, Segment, TextItem } from './drawing.ts'

/** First turned anticlockwise by `angle` (radians) about the origin, then shifted to `at`. */
export interface Placing {
	readonly at: PlanePoint
	readonly angle: number
}

export const UNMOVED: Placing = { at: { x: 0, y: 0 }, angle: 0 }

const NO_TURN = { cos: 1, sin: 0 }

/** Cosine and sine, exact at quarter turns so that upright lines stay upright. */
export function turnOf(angle: number): { readonly cos: number; readonly sin: number } {
	if (angle === 0) return NO_TURN
	const quarters = angle / (Math.PI / 2)
	const whole = Math.round(quarters)
	if (Math.abs(quarters - whole) > 1e-12) return { cos: Math.cos(angle), sin: Math.sin(angle) }
	const quarter = ((whole % 4) + 4) % 4
	return { cos: [1, 0, -1, 0][quarter] as number, sin: [0, 1, 0, -1][quarter] as number }
}

/** What moves points by the placing, its turn worked out once. */
function mover({ at, angle }: Placing): (p: PlanePoint) => PlanePoint {
	const { cos, sin } = turnOf(angle)
	return (p) => ({ x: at.x + p.x * cos - p.y * sin, y: at.y + p.x * sin + p.y * cos })
}

export const movePoint = (p: PlanePoint, placing: Placing): PlanePoint => mover(placing)(p)

/** The point that `movePoint` brings to `p`. */
export function movePointBack(p: PlanePoint, { at, angle }: Placing): PlanePoint {
	return movePoint({ x: p.x - at.x, y: p.y - at.y }, { at: { x: 0, y: 0 }, angle: -angle })
}

/** `inner` first, then `outer`. */
export const compose = (outer: Placing, inner: Placing): Placing => ({
	at: movePoint(inner.at, outer),
	angle: outer.angle + inner.angle,
})

const isUnmoved = ({ at, angle }: Placing) => at.x === 0 && at.y === 0 && angle === 0

export function movePath(item: PathItem, placing: Placing): PathItem {
	if (isUnmoved(placing)) return item
	const move = mover(placing)
	const segments = item.segments.map((segment): Segment => {
		if (segment.to === 'close') return segment
		const p = move(segment.p)
		return segment.to === 'cubic' ? { to: 'cubic', a: move(segment.a), b: move(segment.b), p } : { to: segment.to, p }
	})
	return { ...item, segments }
}

export const moveText = (item: TextItem, placing: Placing): TextItem =>
	isUnmoved(placing) ? item : { ...item, at: movePoint(item.at, placing), angle: item.angle + placing.angle }

export const placingOf = (group: GroupItem): Placing => ({ at: group.at ?? UNMOVED.at, angle: group.angle ?? 0 })

/** A group's clip box as a loop on the sheet, once the group has been placed. */
export const clipLoop = (group: GroupItem, placing: Placing): readonly PlanePoint[] | undefined =>
	group.clip && corners(group.clip).map((corner) => movePoint(corner, placing))

/** One path or text where it is printed, and the loops that it is clipped to (all of them). */
export interface FlatItem {
	readonly item: PathItem | TextItem
	readonly clips: readonly (readonly PlanePoint[])[]
}

/** All paths and texts in order of printing, with every group's shift, turn and clip worked in. */
export function flatten(items: readonly Item[], placing: Placing = UNMOVED, clips: FlatItem['clips'] = []): readonly FlatItem[] {
	return items.flatMap((item): readonly FlatItem[] => {
		if (item.kind === 'path') return [{ item: movePath(item, placing), clips }]
		if (item.kind === 'text') return [{ item: moveText(item, placing), clips }]
		const own = compose(placing, placingOf(item))
		const clip = clipLoop(item, own)
		return flatten(item.items, own, clip ? [...clips, clip] : clips)
	})
}
