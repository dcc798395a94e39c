/** What a piece prints, as plain shapes, to ask what lies where. */
import { grown, overlaps } from '../drawing/box.ts'
import type { Box, Item, Role } from '../drawing/drawing.ts'
import { textBox } from '../drawing/metrics.ts'
import { flatten, turnOf } from '../drawing/place.ts'
import { polylinesOf } from '../drawing/polylines.ts'
import type { PlanePoint } from '../plane/point.ts'

export interface InkShape {
	/** the lines of one path, ends not joined; or the box of one text */
	readonly lines: readonly (readonly PlanePoint[])[]
	readonly filled: boolean
	readonly role: Role
	/** half the width of the stroke */
	readonly reachMm: number
	/** round the lines and their width */
	readonly box: Box
}

/** Fine enough to ask which sheet a line is on. */
const TOLERANCE_MM = 0.02

function shape(lines: readonly (readonly PlanePoint[])[], filled: boolean, role: Role, reachMm: number): readonly InkShape[] {
	const box = boxOfLines(lines)
	return box ? [{ lines, filled, role, reachMm, box: grown(box, reachMm) }] : []
}

/** The smallest box round all lines; undefined for no points. */
export function boxOfLines(lines: readonly (readonly PlanePoint[])[]): Box | undefined {
	let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity]
	for (const line of lines) {
		for (const { x, y } of line) {
			if (x < minX) minX = x
			if (x > maxX) maxX = x
			if (y < minY) minY = y
			if (y > maxY) maxY = y
		}
	}
	return minX > maxX ? undefined : { minX, minY, maxX, maxY }
}

const closed = (points: readonly PlanePoint[]) => (points[0] ? [...points, points[0]] : points)

/** The shapes of all that the items print. Clips are not looked at: what is clipped away counts as printed. */
export function inkOf(items: readonly Item[]): readonly InkShape[] {
	return flatten(items).flatMap(({ item }) => {
		if (item.kind === 'text') return shape([closed(textBox(item) ?? [])], true, item.role, 0)
		if (!item.stroke && item.fill === undefined) return []
		const lines = polylinesOf(item.segments, TOLERANCE_MM)
		const filled = item.fill !== undefined
		return shape(
			lines.map((one) => (one.closed || filled ? closed(one.points) : one.points)),
			filled,
			item.role,
			(item.stroke?.widthMm ?? 0) / 2,
		)
	})
}

/** The ink turned about the origin. */
export function turnInk(ink: readonly InkShape[], angle: number): readonly InkShape[] {
	if (angle === 0) return ink
	const { cos, sin } = turnOf(angle)
	const turned = ({ x, y }: PlanePoint): PlanePoint => ({ x: x * cos - y * sin, y: x * sin + y * cos })
	return ink.flatMap(({ lines, filled, role, reachMm }) =>
		shape(
			lines.map((points) => points.map(turned)),
			filled,
			role,
			reachMm,
		),
	)
}

/** The ink near the box, lines reduced to the stretches that come near it: for asking many times in a small place. */
export function inkNear(ink: readonly InkShape[], box: Box): readonly InkShape[] {
	return ink.flatMap((one) => {
		if (!overlaps(one.box, box)) return []
		if (one.filled) return [one]
		const near = grown(box, one.reachMm)
		const lines = one.lines.flatMap((points) =>
			points.flatMap((b, i) => {
				const a = points[i - 1]
				return a && segmentMeetsBox(a, b, near) ? [[a, b]] : []
			}),
		)
		return shape(lines, false, one.role, one.reachMm)
	})
}

/** Does the straight line between two points touch the box? Liang and Barsky, ACM TOG 3 (1984). */
export function segmentMeetsBox(a: PlanePoint, b: PlanePoint, box: Box): boolean {
	// by far the most segments lie wholly to one side
	if (a.x < box.minX && b.x < box.minX) return false
	if (a.x > box.maxX && b.x > box.maxX) return false
	if (a.y < box.minY && b.y < box.minY) return false
	if (a.y > box.maxY && b.y > box.maxY) return false
	let [from, to] = [0, 1]
	const dx = b.x - a.x
	if (dx !== 0) {
		const [t0, t1] = [(box.minX - a.x) / dx, (box.maxX - a.x) / dx]
		from = Math.max(from, Math.min(t0, t1))
		to = Math.min(to, Math.max(t0, t1))
	}
	const dy = b.y - a.y
	if (dy !== 0) {
		const [t0, t1] = [(box.minY - a.y) / dy, (box.maxY - a.y) / dy]
		from = Math.max(from, Math.min(t0, t1))
		to = Math.min(to, Math.max(t0, t1))
	}
	return from <= to
}

/** How often the closed lines run round the point, anticlockwise. Sunday, "Inclusion of a point in a polygon" (2001). */
function windings(lines: readonly (readonly PlanePoint[])[], p: PlanePoint): number {
	let count = 0
	for (const points of lines) {
		for (let i = 1; i < points.length; i++) {
			const [a, b] = [points[i - 1] as PlanePoint, points[i] as PlanePoint]
			const left = (b.x - a.x) * (p.y - a.y) - (p.x - a.x) * (b.y - a.y)
			if (a.y <= p.y && b.y > p.y && left > 0) count++
			if (a.y > p.y && b.y <= p.y && left < 0) count--
		}
	}
	return count
}

/** Does any ink fall inside the box? */
export function hasInk(ink: readonly InkShape[], box: Box): boolean {
	for (const shape of ink) {
		if (!overlaps(shape.box, box)) continue
		const near = shape.reachMm > 0 ? grown(box, shape.reachMm) : box
		for (const points of shape.lines) {
			for (let i = 1; i < points.length; i++) {
				if (segmentMeetsBox(points[i - 1] as PlanePoint, points[i] as PlanePoint, near)) return true
			}
		}
		if (shape.filled && windings(shape.lines, { x: (box.minX + box.maxX) / 2, y: (box.minY + box.maxY) / 2 }) !== 0) return true
	}
	return false
}
