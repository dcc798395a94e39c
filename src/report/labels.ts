/** Labels put beside what they name, so that none lies on another, on a mark, or on another's leader. */
import { boxOf, grown, overlaps } from '../drawing/box.ts'
import type { Box, TextItem } from '../drawing/drawing.ts'
import { textBox } from '../drawing/metrics.ts'
import type { PlanePoint } from '../plane/point.ts'

export interface Label {
	readonly text: string
	/** places that it may name, the best first */
	readonly anchors: readonly PlanePoint[]
	readonly sizeMm: number
	readonly bold?: boolean
	readonly colour?: string
	/** stands on an anchor where one is free, beside one else */
	readonly on?: boolean
	/** framed, as piece numbers are */
	readonly framed?: boolean
	/** how far what it names reaches from its anchor, mm */
	readonly reachMm?: number
	/** the way to go first, radians; up and to the right where not said */
	readonly towards?: number
}

export interface Obstacles {
	/** must not be covered */
	readonly boxes: readonly Box[]
	/** better not covered */
	readonly lines: readonly (readonly PlanePoint[])[]
}

export interface PlacedLabel {
	readonly label: Label
	readonly item: TextItem
	/** the ink with a little air */
	readonly box: Box
	/** from what it names to its box, where it stands further off */
	readonly leader?: readonly [PlanePoint, PlanePoint]
}

export interface Placed {
	readonly labels: readonly PlacedLabel[]
	/** found no place: to be told elsewhere */
	readonly left: readonly Label[]
}

/** Air round a label, mm. */
const AIR_MM = 0.7
/** The ways round an anchor that are tried, in this order from the wanted one: a sixteenth of a turn at a time to either side. */
const WAYS = 16
/** Rings round the anchor: each further by this, and how many. Half a metre is beyond any panel's rim. */
const RING_MM = 2.5
const RINGS = 60
/** Standing further off than this a label wants a leader. */
const LEADER_FROM_MM = 3
/** What crossing a line costs, in rings further off that it is worth. */
const CROSSING = 3
const LEADER_CROSSING = 0.5
/** What the next anchor and the next way round cost. */
const LATER_ANCHOR = 0.3
const LATER_WAY = 0.02
/** Of many places inside an area only the first are gone round. */
const MOST_ANCHORS = 16

/** Places each in turn: what comes first has the choice. */
export function placeLabels(labels: readonly Label[], obstacles: Obstacles): Placed {
	const boxes: Box[] = []
	const leaders: (readonly [PlanePoint, PlanePoint])[] = []
	const lines = obstacles.lines.map((points) => ({ points, box: boxOf(points) }))
	const placed: PlacedLabel[] = []
	const left: Label[] = []
	for (const label of labels) {
		const found = bestPlace(label, { marks: obstacles.boxes, boxes, leaders, lines })
		if (!found) {
			left.push(label)
			continue
		}
		placed.push(found)
		boxes.push(found.box)
		if (found.leader) leaders.push(found.leader)
	}
	return { labels: placed, left }
}

interface Taken {
	readonly marks: readonly Box[]
	/** of labels that are placed */
	readonly boxes: readonly Box[]
	readonly leaders: readonly (readonly [PlanePoint, PlanePoint])[]
	readonly lines: readonly { readonly points: readonly PlanePoint[]; readonly box?: Box }[]
}

function bestPlace(label: Label, taken: Taken): PlacedLabel | undefined {
	const words = wordsOf(label)
	if (!words) return undefined
	return (label.on ? onAnchor(words, taken) : undefined) ?? besideAnchor(words, taken)
}

function onAnchor(words: Words, taken: Taken): PlacedLabel | undefined {
	let best: { readonly place: PlacedLabel; readonly cost: number } | undefined
	for (const [rank, anchor] of words.label.anchors.entries()) {
		if (best && best.cost <= rank * LATER_ANCHOR) break
		const place = { label: words.label, ...wordsAt(words, anchor) }
		if (!isFree(place, taken)) continue
		const cost = rank * LATER_ANCHOR + covering(place, taken)
		if (!best || cost < best.cost) best = { place, cost }
	}
	return best?.place
}

function besideAnchor(words: Words, taken: Taken): PlacedLabel | undefined {
	const ways = waysFrom(words.label.towards ?? Math.PI / 4)
	let best: { readonly place: PlacedLabel; readonly cost: number } | undefined
	for (let ring = 0; ring < RINGS; ring++) {
		// whatever comes further out costs at least this much
		if (best && best.cost <= ring) break
		for (const [rank, anchor] of words.label.anchors.slice(0, MOST_ANCHORS).entries()) {
			for (const [turn, way] of ways.entries()) {
				const least = ring + rank * LATER_ANCHOR + turn * LATER_WAY
				if (best && best.cost <= least) break
				const place = placeBeside(words, anchor, way, ring)
				if (!isFree(place, taken)) continue
				const cost = least + covering(place, taken)
				if (!best || cost < best.cost) best = { place, cost }
			}
		}
	}
	return best?.place
}

function waysFrom(first: number): readonly number[] {
	return Array.from({ length: WAYS }, (_, i) => first + (((i + 1) >> 1) * (i % 2 === 0 ? -1 : 1) * 2 * Math.PI) / WAYS)
}

/** A label's text with its middle at 0, 0, and half of the room it takes. */
interface Words {
	readonly label: Label
	readonly item: TextItem
	readonly half: PlanePoint
}

function wordsOf(label: Label): Words | undefined {
	const { text, sizeMm, bold, colour } = label
	const style = { sizeMm, ...(bold ? { bold } : {}), ...(colour ? { colour } : {}) }
	const item: TextItem = { kind: 'text', role: 'label', at: { x: 0, y: 0 }, text, anchor: 'middle', angle: 0, ...style }
	const ink = boxOf(textBox(item) ?? [])
	if (!ink) return undefined
	const half = { x: (ink.maxX - ink.minX) / 2 + AIR_MM, y: (ink.maxY - ink.minY) / 2 + AIR_MM }
	return { label, item: { ...item, at: { x: -(ink.minX + ink.maxX) / 2, y: -(ink.minY + ink.maxY) / 2 } }, half }
}

const wordsAt = ({ item, half }: Words, middle: PlanePoint) => ({
	item: { ...item, at: { x: middle.x + item.at.x, y: middle.y + item.at.y } },
	box: { minX: middle.x - half.x, maxX: middle.x + half.x, minY: middle.y - half.y, maxY: middle.y + half.y },
})

function placeBeside(words: Words, anchor: PlanePoint, way: number, ring: number): PlacedLabel {
	const { label, half } = words
	const [ux, uy] = [Math.cos(way), Math.sin(way)]
	// The box touches a circle round the anchor: its middle lies that much further out.
	const reach = label.reachMm ?? 0.5
	const off = reach + ring * RING_MM
	const spread = Math.min(half.x / Math.max(Math.abs(ux), 1e-9), half.y / Math.max(Math.abs(uy), 1e-9))
	const at = (d: number): PlanePoint => ({ x: anchor.x + ux * d, y: anchor.y + uy * d })
	const place = { label, ...wordsAt(words, at(off + spread)) }
	return off - reach > LEADER_FROM_MM ? { ...place, leader: [at(reach), at(off)] } : place
}

function isFree({ box, leader }: PlacedLabel, { marks, boxes, leaders }: Taken): boolean {
	if (marks.some((other) => overlaps(box, other)) || boxes.some((other) => overlaps(box, other))) return false
	if (leaders.some(([a, b]) => meetsBox(a, b, box))) return false
	if (!leader) return true
	const [from, to] = leader
	if (boxes.some((other) => meetsBox(from, to, other)) || leaders.some(([a, b]) => crosses(a, b, from, to))) return false
	// it starts at the rim of its own mark, and of any that lies so close that they touch
	return !marks.some((other) => !contains(grown(other, 0.05), from) && meetsBox(from, to, other))
}

function covering({ box, leader }: PlacedLabel, { lines }: Taken): number {
	let cost = 0
	const reach = leader ? boxOf([...leader, { x: box.minX, y: box.minY }, { x: box.maxX, y: box.maxY }]) : box
	for (const line of lines) {
		if (!line.box || !reach || !touches(line.box, reach)) continue
		let covered = false
		for (let i = 0; i + 1 < line.points.length; i++) {
			const a = line.points[i] as PlanePoint
			const b = line.points[i + 1] as PlanePoint
			if (isBeside(a, b, reach)) continue
			covered ||= meetsBox(a, b, box)
			if (leader && crosses(a, b, leader[0], leader[1])) cost += LEADER_CROSSING
		}
		if (covered) cost += CROSSING
	}
	return cost
}

const contains = (box: Box, p: PlanePoint) => p.x >= box.minX && p.x <= box.maxX && p.y >= box.minY && p.y <= box.maxY
const touches = (a: Box, b: Box) => a.minX <= b.maxX && b.minX <= a.maxX && a.minY <= b.maxY && b.minY <= a.maxY

/** Does the straight from a to b lie wholly to one side of the box? By far the most do. */
const isBeside = (a: PlanePoint, b: PlanePoint, box: Box): boolean =>
	(a.x < box.minX && b.x < box.minX) ||
	(a.x > box.maxX && b.x > box.maxX) ||
	(a.y < box.minY && b.y < box.minY) ||
	(a.y > box.maxY && b.y > box.maxY)

/** Does the straight from a to b enter the box? Liang & Barsky, "A new concept and method for line clipping", ACM TOG 3 (1984). */
export function meetsBox(a: PlanePoint, b: PlanePoint, box: Box): boolean {
	if (isBeside(a, b, box)) return false
	let from = 0
	let to = 1
	const [dx, dy] = [b.x - a.x, b.y - a.y]
	for (const [d, near, far] of [
		[dx, box.minX - a.x, box.maxX - a.x],
		[dy, box.minY - a.y, box.maxY - a.y],
	] as const) {
		if (d === 0) {
			if (near > 0 || far < 0) return false
			continue
		}
		const [t0, t1] = d > 0 ? [near / d, far / d] : [far / d, near / d]
		from = Math.max(from, t0)
		to = Math.min(to, t1)
		if (from > to) return false
	}
	return true
}

/** Do two straights cross? */
function crosses(a: PlanePoint, b: PlanePoint, c: PlanePoint, d: PlanePoint): boolean {
	const side = (p: PlanePoint, q: PlanePoint, r: PlanePoint) => (q.x - p.x) * (r.y - p.y) - (q.y - p.y) * (r.x - p.x)
	return side(a, b, c) * side(a, b, d) < 0 && side(c, d, a) * side(c, d, b) < 0
}
