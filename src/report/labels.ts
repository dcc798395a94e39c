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
	/** stands on its anchor, not beside it */
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

/** Places each in turn: what comes first has the choice. */
export function placeLabels(labels: readonly Label[], obstacles: Obstacles): Placed {
	const boxes: Box[] = [...obstacles.boxes]
	const leaders: (readonly [PlanePoint, PlanePoint])[] = []
	const lines = obstacles.lines.map((points) => ({ points, box: boxOf(points) }))
	const placed: PlacedLabel[] = []
	const left: Label[] = []
	for (const label of labels) {
		const found = bestPlace(label, { boxes, leaders, lines })
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
	readonly boxes: readonly Box[]
	readonly leaders: readonly (readonly [PlanePoint, PlanePoint])[]
	readonly lines: readonly { readonly points: readonly PlanePoint[]; readonly box?: Box }[]
}

function bestPlace(label: Label, taken: Taken): PlacedLabel | undefined {
	let best: { readonly place: PlacedLabel; readonly cost: number } | undefined
	const rings = label.on ? 1 : RINGS
	for (let ring = 0; ring < rings; ring++) {
		// whatever comes further out costs at least this much
		if (best && best.cost <= ring) break
		for (const [rank, anchor] of label.anchors.entries()) {
			for (const [turn, way] of (label.on ? [0] : waysFrom(label.towards ?? Math.PI / 4)).entries()) {
				const place = placeAt(label, anchor, way, ring)
				if (!place || !isFree(place, taken)) continue
				const cost = ring + rank * 0.3 + turn * 0.02 + covering(place, taken)
				if (!best || cost < best.cost) best = { place, cost }
			}
		}
	}
	return best?.place
}

function waysFrom(first: number): readonly number[] {
	return Array.from({ length: WAYS }, (_, i) => first + (((i + 1) >> 1) * (i % 2 === 0 ? -1 : 1) * 2 * Math.PI) / WAYS)
}

function placeAt(label: Label, anchor: PlanePoint, way: number, ring: number): PlacedLabel | undefined {
	const at0: TextItem = {
		kind: 'text',
		role: 'label',
		at: { x: 0, y: 0 },
		text: label.text,
		sizeMm: label.sizeMm,
		anchor: 'middle',
		angle: 0,
		...(label.bold ? { bold: true } : {}),
		...(label.colour ? { colour: label.colour } : {}),
	}
	const ink = boxOf(textBox(at0) ?? [])
	if (!ink) return undefined
	const half = { x: (ink.maxX - ink.minX) / 2 + AIR_MM, y: (ink.maxY - ink.minY) / 2 + AIR_MM }
	const [ux, uy] = [Math.cos(way), Math.sin(way)]
	// The box touches a circle round the anchor: its middle lies that much further out.
	const off = label.on ? 0 : (label.reachMm ?? 0.5) + ring * RING_MM
	const spread = label.on ? 0 : Math.min(half.x / Math.max(Math.abs(ux), 1e-9), half.y / Math.max(Math.abs(uy), 1e-9))
	const middle = { x: anchor.x + ux * (off + spread), y: anchor.y + uy * (off + spread) }
	const box = { minX: middle.x - half.x, maxX: middle.x + half.x, minY: middle.y - half.y, maxY: middle.y + half.y }
	const item = { ...at0, at: { x: middle.x - (ink.minX + ink.maxX) / 2, y: middle.y - (ink.minY + ink.maxY) / 2 } }
	const reach = label.reachMm ?? 0.5
	const far = !label.on && off - reach > LEADER_FROM_MM
	if (!far) return { label, item, box }
	const from = { x: anchor.x + ux * reach, y: anchor.y + uy * reach }
	return { label, item, box, leader: [from, { x: anchor.x + ux * off, y: anchor.y + uy * off }] }
}

function isFree({ box, leader }: PlacedLabel, { boxes, leaders }: Taken): boolean {
	if (boxes.some((other) => overlaps(box, other))) return false
	if (leaders.some(([a, b]) => meetsBox(a, b, box))) return false
	if (!leader) return true
	// the leader starts at a mark's own box: that one it may leave
	const rest = boxes.filter((other) => !contains(grown(other, 0.05), leader[0]))
	return !rest.some((other) => meetsBox(leader[0], leader[1], other)) && !leaders.some(([a, b]) => crosses(a, b, leader[0], leader[1]))
}

function covering({ box, leader }: PlacedLabel, { lines }: Taken): number {
	let cost = 0
	const reach = leader ? boxOf([...leader, { x: box.minX, y: box.minY }, { x: box.maxX, y: box.maxY }]) : box
	for (const line of lines) {
		if (!line.box || !reach || !touches(line.box, reach)) continue
		let covered = false
		for (let i = 0; i + 1 < line.points.length; i++) {
			const [a, b] = [line.points[i] as PlanePoint, line.points[i + 1] as PlanePoint]
			covered ||= meetsBox(a, b, box)
			if (leader && crosses(a, b, leader[0], leader[1])) cost += LEADER_CROSSING
		}
		if (covered) cost += CROSSING
	}
	return cost
}

const contains = (box: Box, p: PlanePoint) => p.x >= box.minX && p.x <= box.maxX && p.y >= box.minY && p.y <= box.maxY
const touches = (a: Box, b: Box) => a.minX <= b.maxX && b.minX <= a.maxX && a.minY <= b.maxY && b.minY <= a.maxY

/** Does the straight from a to b enter the box? Liang & Barsky, "A new concept and method for line clipping", ACM TOG 3 (1984). */
export function meetsBox(a: PlanePoint, b: PlanePoint, box: Box): boolean {
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
