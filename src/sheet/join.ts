/** Where two tiles meet, and the marks that bring them together. */
import { overlaps } from '../drawing/box.ts'
import type { Box } from '../drawing/drawing.ts'
import type { PlanePoint } from '../plane/point.ts'
import { hasInk, type InkShape } from './ink.ts'
import { OVERLAP_MM, type Tile } from './tile.ts'

/** Two neighbours: `first` is left of or above `second`. In the turned piece's coordinates. */
export interface Join {
	readonly first: Tile
	readonly second: Tile
	/** the mating line stands upright (neighbours in a row) or lies (neighbours in a column) */
	readonly upright: boolean
	/** the strip that both print */
	readonly strip: Box
	/** ends of the mating line, in the middle of the strip: from lower left */
	readonly line: readonly [PlanePoint, PlanePoint]
	/** middles of the register marks, on the mating line */
	readonly marks: readonly PlanePoint[]
}

/** Half an arm of a register mark: as large as the strip allows, with a mm to spare. */
export const MARK_ARM_MM = OVERLAP_MM / 2 - 1
/** Marks stand this far outside the piece's ink where there is room. */
const OUTSIDE_MM = 8
/** Marks closer together than this square nothing. */
const LEAST_APART_MM = 60
/** From here on, one more in the middle. */
const MIDDLE_FROM_MM = 150
/** The mating line stops short of the edge of the room, so that its ends are printed. */
const LINE_END_MM = 0.5
/** Steps in which a free place is looked for. */
const STEP_MM = 2

interface Span {
	readonly from: number
	readonly to: number
}

/** A point of the mating line at `along`, and `across` it. */
export const onJoin = (join: Pick<Join, 'upright' | 'strip'>, along: number, across = 0): PlanePoint =>
	join.upright
		? { x: (join.strip.minX + join.strip.maxX) / 2 + across, y: along }
		: { x: along, y: (join.strip.minY + join.strip.maxY) / 2 + across }

const spanOf = ({ upright, strip }: Pick<Join, 'upright' | 'strip'>): Span =>
	upright ? { from: strip.minY, to: strip.maxY } : { from: strip.minX, to: strip.maxX }

/** The part of the strip, along it, that is clear of the strips of other joins at its ends. */
export function clearSpan(join: Pick<Join, 'upright' | 'strip' | 'first'>): Span {
	const { own, window } = join.first
	const { from, to } = spanOf(join)
	const [joinedFrom, joinedTo] = join.upright
		? [own.minY > window.minY, own.maxY < window.maxY]
		: [own.minX > window.minX, own.maxX < window.maxX]
	return { from: from + (joinedFrom ? OVERLAP_MM : 0), to: to - (joinedTo ? OVERLAP_MM : 0) }
}

/** The stretch of the strip, along it, in which the piece has ink. */
function inkSpan(ink: readonly InkShape[], join: Pick<Join, 'upright' | 'strip'>): Span | undefined {
	const whole = spanOf(join)
	let found: Span | undefined
	for (let at = whole.from; at < whole.to; at += STEP_MM) {
		const end = Math.min(at + STEP_MM, whole.to)
		const cell = join.upright ? { ...join.strip, minY: at, maxY: end } : { ...join.strip, minX: at, maxX: end }
		if (hasInk(ink, cell)) found = { from: found?.from ?? at, to: end }
	}
	return found
}

/** The free place nearest to `wanted` inside the span; `wanted` itself where none is free. */
export function nearestFree(wanted: number, { from, to }: Span, free: (at: number) => boolean): number {
	const start = Math.min(Math.max(wanted, from), to)
	for (let off = 0; off <= to - from; off += STEP_MM) {
		for (const at of [start - off, start + off]) if (at >= from && at <= to && free(at)) return at
	}
	return start
}

/** The box of a register mark. */
const markBox = (p: PlanePoint): Box => ({
	minX: p.x - MARK_ARM_MM,
	minY: p.y - MARK_ARM_MM,
	maxX: p.x + MARK_ARM_MM,
	maxY: p.y + MARK_ARM_MM,
})

function marksOf(ink: readonly InkShape[], join: Pick<Join, 'upright' | 'strip' | 'first'>): readonly PlanePoint[] {
	const clear = clearSpan(join)
	const room = { from: clear.from + MARK_ARM_MM + 1, to: clear.to - MARK_ARM_MM - 1 }
	const used = inkSpan(ink, join)
	const middle = (room.from + room.to) / 2
	const margin = Math.min(LEAST_APART_MM / 2, middle - room.from)
	const centre = Math.min(Math.max(used ? (used.from + used.to) / 2 : middle, room.from + margin), room.to - margin)
	const spread = Math.max(LEAST_APART_MM, used ? used.to - used.from + 2 * OUTSIDE_MM : 0) / 2
	const taken: PlanePoint[] = []
	const free = (at: number) => {
		const box = markBox(onJoin(join, at))
		return !hasInk(ink, box) && !taken.some((other) => overlaps(markBox(other), box))
	}
	const add = (wanted: number, span: Span) => taken.push(onJoin(join, nearestFree(wanted, span, free)))
	// each in its own half, so that looking for a free place does not bring them together
	add(centre - spread, { from: room.from, to: centre - margin / 2 })
	add(centre + spread, { from: centre + margin / 2, to: room.to })
	if (2 * spread > MIDDLE_FROM_MM && room.to - room.from > MIDDLE_FROM_MM) add(centre, room)
	return taken
}

/** All joins between the tiles that are kept, row by row, those to the right before those below. */
export function joinsOf(tiles: readonly Tile[], ink: readonly InkShape[]): readonly Join[] {
	return tiles.flatMap((first) =>
		[true, false].flatMap((upright): readonly Join[] => {
			const second = tiles.find(
				({ row, column }) => row === first.row + (upright ? 0 : 1) && column === first.column + (upright ? 1 : 0),
			)
			if (!second) return []
			const strip = upright ? { ...first.window, minX: second.window.minX } : { ...first.window, maxY: second.window.maxY }
			const near = ink.filter(({ box }) => overlaps(box, strip))
			const base = { first, second, upright, strip }
			const { from, to } = spanOf(base)
			return [{ ...base, line: [onJoin(base, from + LINE_END_MM), onJoin(base, to - LINE_END_MM)], marks: marksOf(near, base) }]
		}),
	)
}
