/** Whether the words on a sheet can be read: what each text overlaps. */
import { boxOf, overlaps } from '../drawing/box.ts'
import type { Box, Item, Role } from '../drawing/drawing.ts'
import { type Corners, textBox } from '../drawing/metrics.ts'
import { flatten } from '../drawing/place.ts'
import { polylinesOf } from '../drawing/polylines.ts'
import type { PlanePoint } from '../plane/point.ts'

export interface LabelFault {
	readonly text: string
	/** a text, a tick, a knife line, or the edge of what the sheet shows */
	readonly on: 'text' | Role | 'clip'
	/** the other text, or the title of the line */
	readonly other: string
	readonly at: PlanePoint
}

/** Lines that no text may touch. */
const LINES: ReadonlySet<Role> = new Set(['knife', 'tick', 'working', 'register'])
const TOLERANCE_MM = 0.02
/** Boxes may touch within this: rounding. */
const SLACK_MM = 1e-3

interface Word {
	readonly text: string
	readonly role: Role
	readonly corners: Corners
	readonly box: Box
	readonly clips: readonly (readonly PlanePoint[])[]
}

/** Do two convex shapes overlap by more than the slack? Separating axes of both: Ericson, Real-Time Collision Detection (2005), 5.2.1. */
function convexOverlap(a: readonly PlanePoint[], b: readonly PlanePoint[], slackMm: number): boolean {
	for (const [one, other] of [
		[a, b],
		[b, a],
	] as const) {
		for (let i = 0; i < one.length; i++) {
			const [p, q] = [one[i] as PlanePoint, one[(i + 1) % one.length] as PlanePoint]
			const length = Math.hypot(q.x - p.x, q.y - p.y)
			if (length === 0) continue
			const [nx, ny] = [(q.y - p.y) / length, (p.x - q.x) / length]
			const most = (points: readonly PlanePoint[]) => points.reduce((m, c) => Math.max(m, c.x * nx + c.y * ny), -Infinity)
			const least = (points: readonly PlanePoint[]) => points.reduce((m, c) => Math.min(m, c.x * nx + c.y * ny), Infinity)
			if (least(other) >= most(one) - slackMm || least(one) >= most(other) - slackMm) return false
		}
	}
	return true
}

/** The stretch between two points as a thin box, as wide as its stroke. */
function strokeBox(a: PlanePoint, b: PlanePoint, widthMm: number): readonly PlanePoint[] {
	const length = Math.hypot(b.x - a.x, b.y - a.y)
	if (length === 0) return [a, a, a]
	const [nx, ny] = [((b.y - a.y) / length) * (widthMm / 2), ((a.x - b.x) / length) * (widthMm / 2)]
	return [
		{ x: a.x + nx, y: a.y + ny },
		{ x: b.x + nx, y: b.y + ny },
		{ x: b.x - nx, y: b.y - ny },
		{ x: a.x - nx, y: a.y - ny },
	]
}

const inside = (corners: Corners, clip: readonly PlanePoint[]) => {
	const box = boxOf(clip)
	return box
		? corners.filter(
				({ x, y }) =>
					x >= box.minX - SLACK_MM && x <= box.maxX + SLACK_MM && y >= box.minY - SLACK_MM && y <= box.maxY + SLACK_MM,
			).length
		: 4
}

/**
 * Every text that overlaps another text, a tick, a knife line, a working edge or a register mark, by the fonts' own figures; and
 * every text that the edge of a tile cuts ('clip'), which is a fault only where no tile shows it whole. Texts clipped away whole do not count.
 */
export function labelFaults(items: readonly Item[]): readonly LabelFault[] {
	const words: Word[] = []
	const strokes: {
		readonly role: Role
		readonly title: string
		readonly box: Box
		readonly thick: readonly PlanePoint[]
		readonly seen: readonly (Box | undefined)[]
	}[] = []
	for (const { item, clips } of flatten(items)) {
		if (item.kind === 'text') {
			const corners = textBox(item)
			const box = corners && boxOf(corners)
			if (corners && box && clips.every((clip) => inside(corners, clip) > 0))
				words.push({ text: item.text, role: item.role, corners, box, clips })
			continue
		}
		if (!LINES.has(item.role) || !item.stroke) continue
		for (const { points, closed } of polylinesOf(item.segments, TOLERANCE_MM)) {
			const all = closed && points[0] ? [...points, points[0]] : points
			for (let i = 1; i < all.length; i++) {
				const thick = strokeBox(all[i - 1] as PlanePoint, all[i] as PlanePoint, item.stroke.widthMm)
				const box = boxOf(thick)
				// What lies outside its clip is on another sheet.
				if (box) strokes.push({ role: item.role, title: item.title ?? item.role, box, thick, seen: clips.map(boxOf) })
			}
		}
	}
	const faults: LabelFault[] = []
	words.forEach((word, i) => {
		const at = word.corners[0]
		for (const other of words.slice(i + 1)) {
			if (overlaps(word.box, other.box) && convexOverlap(word.corners, other.corners, SLACK_MM))
				faults.push({ text: word.text, on: 'text', other: other.text, at })
		}
		const hit = strokes.find(
			({ box, thick, seen }) =>
				overlaps(word.box, box) &&
				seen.every((clip) => clip && overlaps(word.box, clip)) &&
				convexOverlap(word.corners, thick, SLACK_MM),
		)
		if (hit) faults.push({ text: word.text, on: hit.role, other: hit.title, at })
		if (word.clips.some((clip) => inside(word.corners, clip) < 4))
			faults.push({ text: word.text, on: 'clip', other: 'the edge of the sheet', at })
	})
	return faults
}
