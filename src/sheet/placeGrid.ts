/** Where the grid of windows is laid over a piece: the fewest joins through its working edges, then the fewest sheets, then the fewest marks. */
import type { Box } from '../drawing/drawing.ts'
import type { PlanePoint } from '../plane/point.ts'
import type { InkShape } from './ink.ts'
import { type Raster, rasterOf } from './raster.ts'
import {
	CORNER_MM,
	cutsFrom,
	type GridPlace,
	gridSize,
	joinCounter,
	MOST_TILES,
	OVERLAP_MM,
	type Room,
	windowsOf,
} from './tile.ts'

/** A piece as it is turned. */
export interface TurnedShape {
	readonly ink: readonly InkShape[]
	readonly box: Box
	readonly working: readonly (readonly PlanePoint[])[]
	/** boxes of ticks, figures and labels */
	readonly marks: readonly Box[]
	/** made when it is asked for */
	readonly raster: () => Raster
}

export interface PlacedGrid {
	readonly place: GridPlace
	readonly joins: number
	readonly sheets: number
	/** ticks, figures and labels that joins run through */
	readonly marks: number
}

/** Cells in which blank windows are looked for; what is kept is looked at exactly. */
export const CELL_MM = 1
/** Places tried along one axis: 3 mm apart on a small sheet; fewer where there are many windows. */
const MOST_PLACES = 60
const LEAST_PLACES = 8
/** Nudges, in mm, that bring a mating line between ticks a millimetre apart. */
const NUDGES_MM = [0, 0.25, -0.25, 0.5, -0.5, 0.75, -0.75, 1, -1, 1.5, -1.5, 2, -2]

export const rasterFor = (ink: readonly InkShape[], box: Box): Raster => rasterOf(ink, [], box, CELL_MM)

interface Start {
	readonly at: number
	readonly count: number
	readonly joins: number
	readonly marks: number
	/** how far the box is from the middle of the windows */
	readonly off: number
}

/** All starts along one axis: every place of the first window that leaves no window outside the box. `way` is -1 downwards from the top. */
function startsAlong(shape: TurnedShape, axis: 'x' | 'y', roomMm: number): readonly Start[] {
	const { box, working, marks } = shape
	const way = axis === 'x' ? 1 : -1
	const [near, far] = axis === 'x' ? [box.minX, box.maxX] : [box.maxY, box.minY]
	const step = way * (roomMm - OVERLAP_MM)
	const length = Math.abs(far - near)
	const lows = Float64Array.from(marks, (mark) => (axis === 'x' ? mark.minX : mark.minY))
	const highs = Float64Array.from(marks, (mark) => (axis === 'x' ? mark.maxX : mark.maxY))
	const joinsAt = joinCounter(working, axis)
	const marksAt = (cut: number) => {
		let through = 0
		for (let i = 0; i < lows.length; i++) if ((lows[i] as number) < cut && cut < (highs[i] as number)) through++
		return through
	}
	/** undefined where it would take more windows, or more joins, than that */
	const startAt = (at: number, mostWindows = Infinity, mostJoins = Infinity): Start | undefined => {
		const count = Math.max(1, Math.ceil((Math.abs(far - at) - OVERLAP_MM - 1e-6) / Math.abs(step)))
		if (count > mostWindows) return undefined
		const cuts = cutsFrom(at, count, step)
		const joins = cuts.reduce((sum, cut) => sum + joinsAt(cut), 0)
		if (joins > mostJoins) return undefined
		const through = cuts.reduce((sum, cut) => sum + marksAt(cut), 0)
		const end = at + count * step + way * OVERLAP_MM
		return { at, count, joins, marks: through, off: Math.abs((at + end) / 2 - (near + far) / 2) }
	}
	if (length <= roomMm + 1e-6) return [startAt((near + far) / 2 - (way * roomMm) / 2) as Start]
	const least = gridSize({ minX: 0, minY: 0, maxX: length, maxY: 0 }, { widthMm: roomMm, heightMm: roomMm }).columns
	const places = Math.max(LEAST_PLACES, Math.min(MOST_PLACES, Math.round((2 * MOST_PLACES) / least)))
	// with the box in the middle of the fewest windows, at either end of them, and all over one step
	const slack = least * Math.abs(step) + OVERLAP_MM - length
	const wanted = [
		near - (way * slack) / 2,
		near,
		near - way * slack,
		...Array.from({ length: places }, (_, i) => near - (step * i) / places),
	]
	return wanted.map((at) => {
		const first = startAt(at) as Start
		if (first.marks === 0) return first
		let best = first
		for (const by of NUDGES_MM) {
			const to = at + by
			const one = (near - to) * way >= -1e-9 ? startAt(to, first.count, best.joins) : undefined
			if (one && (one.joins < best.joins || one.marks < best.marks)) best = one
		}
		return best
	})
}

const least = (starts: readonly Start[]) => {
	const joins = Math.min(...starts.map((start) => start.joins))
	return starts.filter((start) => start.joins === joins)
}

/** The best place of a grid over the turned piece; undefined where it would take more than 400 windows, or more joins than that. */
export function placeGrid(shape: TurnedShape, room: Room, mostJoins = Infinity): PlacedGrid | undefined {
	const size = gridSize(shape.box, room)
	if (size.rows * size.columns > MOST_TILES) return undefined
	const across = least(startsAlong(shape, 'x', room.widthMm))
	const few = (across[0] as Start).joins
	if (few > mostJoins) return undefined
	const down = least(startsAlong(shape, 'y', room.heightMm))
	if (few + (down[0] as Start).joins > mostJoins) return undefined
	const raster = shape.raster()
	let best: (PlacedGrid & { readonly off: number }) | undefined
	for (const x of across) {
		for (const y of down) {
			const place = { left: x.at, top: y.at, columns: x.count, rows: y.count }
			if (x.count * y.count > MOST_TILES) continue
			const sheets = sheetsAt(raster, place, room)
			const found = { place, joins: x.joins + y.joins, sheets, marks: x.marks + y.marks, off: x.off + y.off }
			const by = best ? [found.sheets - best.sheets, found.marks - best.marks, Math.round(found.off - best.off)] : [-1]
			if ((by.find((difference) => difference !== 0) ?? 0) < 0) best = found
		}
	}
	return best
}

const sheetsAt = (raster: Raster, place: GridPlace, room: Room): number =>
	windowsOf(place, room).filter(
		({ own }) =>
			raster.covered({
				minX: own.minX - CORNER_MM,
				minY: own.minY - CORNER_MM,
				maxX: own.maxX + CORNER_MM,
				maxY: own.maxY + CORNER_MM,
			}) > 0,
	).length
