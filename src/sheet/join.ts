/** Where two tiles meet, and the marks that bring them together. */
import { overlaps } from '../drawing/box.ts'
import type { Box } from '../drawing/drawing.ts'
import type { PlanePoint } from '../plane/point.ts'
import { hasInk, type InkShape, inkNear } from './ink.ts'
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
	/** middles of the combs, on the mating line; none where there is no room for one */
	readonly combs: readonly PlanePoint[]
	/** the piece's ink on the strip */
	readonly ink: readonly InkShape[]
}

/** Half a register mark across the join: as large as the strip allows, with a mm to spare. */
export const MARK_ARM_MM = OVERLAP_MM / 2 - 1
/**
 * Half a mark along the join. Its arms lie at about 30 degrees to the mating line, so that a gap or a lap of 0.2 mm parts the halves of an
 * arm by 0.17 mm, more than the 0.1 mm that the line is wide; a shift along the join parts them too.
 */
export const MARK_ALONG_MM = 6
/** Half a comb along the join. */
export const COMB_HALF_MM = 4
/** From a mark's middle to its comb's. */
const COMB_FROM_MARK_MM = MARK_ALONG_MM + COMB_HALF_MM + 1
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

/** The box about a place on the mating line, so far along it to each side and as far across as marks go. */
function boxOn(join: Pick<Join, 'upright'>, { x, y }: PlanePoint, alongMm: number): Box {
	const [dx, dy] = join.upright ? [MARK_ARM_MM, alongMm] : [alongMm, MARK_ARM_MM]
	return { minX: x - dx, minY: y - dy, maxX: x + dx, maxY: y + dy }
}

/** The boxes of a join's marks and combs. */
export const boxesOf = (join: Pick<Join, 'upright' | 'marks' | 'combs'>): readonly Box[] => [
	...join.marks.map((p) => boxOn(join, p, MARK_ALONG_MM)),
	...join.combs.map((p) => boxOn(join, p, COMB_HALF_MM)),
]

type Bare = Pick<Join, 'upright' | 'strip' | 'first'>

/** A comb beside each mark, on the first of its two sides that has room. */
function combsOf(ink: readonly InkShape[], join: Bare, marks: readonly PlanePoint[]): readonly PlanePoint[] {
	const clear = clearSpan(join)
	const taken = marks.map((p) => boxOn(join, p, MARK_ALONG_MM))
	return marks.flatMap((mark) => {
		const along = join.upright ? mark.y : mark.x
		for (const way of [1, -1]) {
			const at = along + way * COMB_FROM_MARK_MM
			if (at - COMB_HALF_MM < clear.from + 1 || at + COMB_HALF_MM > clear.to - 1) continue
			const place = onJoin(join, at)
			const box = boxOn(join, place, COMB_HALF_MM)
			if (hasInk(ink, box) || taken.some((other) => overlaps(other, box))) continue
			taken.push(box)
			return [place]
		}
		return []
	})
}

function marksOf(ink: readonly InkShape[], join: Bare): readonly PlanePoint[] {
	const clear = clearSpan(join)
	const markBox = (p: PlanePoint) => boxOn(join, p, MARK_ALONG_MM)
	const room = { from: clear.from + MARK_ALONG_MM + 1, to: clear.to - MARK_ALONG_MM - 1 }
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
			const near = inkNear(ink, strip)
			const base = { first, second, upright, strip }
			const { from, to } = spanOf(base)
			const marks = marksOf(near, base)
			const line = [onJoin(base, from + LINE_END_MM), onJoin(base, to - LINE_END_MM)] as const
			return [{ ...base, line, marks, combs: combsOf(near, base, marks), ink: near }]
		}),
	)
}
