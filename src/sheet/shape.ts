/** What of a piece matters to where it is laid: its extent, its ink, its working edges and the marks that no join should run through. */
import { boxOf, corners, grown } from '../drawing/box.ts'
import type { Box, Item } from '../drawing/drawing.ts'
import { textBox } from '../drawing/metrics.ts'
import { flatten, turnOf } from '../drawing/place.ts'
import { polylinesOf } from '../drawing/polylines.ts'
import type { PlanePoint } from '../plane/point.ts'
import { simplify } from '../plane/simplify.ts'
import type { Piece } from '../template/piece.ts'
import { type InkShape, inkOf } from './ink.ts'
import { hull, turnsToTry } from './turn.ts'

/** Points of a tick, figure or label, and how far from them a join has to keep. */
export interface Mark {
	readonly points: readonly PlanePoint[]
	readonly clearMm: number
}

export interface Turn {
	readonly angle: number
	readonly box: Box
}

export interface PieceShape {
	readonly piece: Piece
	readonly ink: readonly InkShape[]
	/** corners of the ink's hull, strokes with their width */
	readonly hull: readonly PlanePoint[]
	/** turns worth trying, the plainest first, with the box round the ink; half of them, as a box may also lie on its side */
	readonly turns: readonly Turn[]
	/** working edges, simplified */
	readonly working: readonly (readonly PlanePoint[])[]
	/** ticks, bars, figures and labels */
	readonly marks: readonly Mark[]
	/** knife lines, simplified, closed */
	readonly outline: readonly (readonly PlanePoint[])[]
}

/** Working edges and outlines are asked which sheet they are on: a tenth of a mm decides nothing. */
const ROUGH_MM = 0.1
/** A mating line keeps this far from words, and this far from ticks: they may stand a millimetre apart. */
const TEXT_CLEAR_MM = 1
const TICK_CLEAR_MM = 0.35
const MARK_ROLES: ReadonlySet<string> = new Set(['tick', 'bar', 'label'])

function marksOf(items: readonly Item[]): readonly Mark[] {
	return flatten(items).flatMap(({ item }): readonly Mark[] => {
		if (!MARK_ROLES.has(item.role)) return []
		if (item.kind === 'text') {
			const box = textBox(item)
			return box ? [{ points: box, clearMm: TEXT_CLEAR_MM }] : []
		}
		const points = polylinesOf(item.segments, ROUGH_MM).flatMap((line) => line.points)
		return points.length > 0 ? [{ points, clearMm: TICK_CLEAR_MM }] : []
	})
}

export function shapeOf(piece: Piece): PieceShape {
	const ink = inkOf(piece.items)
	const rim = hull(ink.length > 0 ? ink.flatMap(rimOf) : corners(piece.bounds))
	return {
		piece,
		ink,
		hull: rim,
		turns: turnsToTry(rim).map((angle) => ({ angle, box: boxOf(turnPoints(rim, angle)) ?? piece.bounds })),
		working: piece.working.map((line) => simplify(line, ROUGH_MM)),
		marks: marksOf(piece.items),
		outline: piece.knife.map((loop) => simplify(loop, ROUGH_MM, true)),
	}
}

/** Points that the hull of a shape's ink has its corners among. */
function rimOf({ lines, reachMm, box }: InkShape): readonly PlanePoint[] {
	// a short mark has no inside to look into
	if (lines.length === 1 && (lines[0]?.length ?? 0) <= 2) return corners(box)
	const points = hull(lines.flat())
	return reachMm > 0 ? points.flatMap((p) => corners(grown({ minX: p.x, minY: p.y, maxX: p.x, maxY: p.y }, reachMm))) : points
}

export function turnPoints(points: readonly PlanePoint[], angle: number): readonly PlanePoint[] {
	if (angle === 0) return points
	const { cos, sin } = turnOf(angle)
	return points.map(({ x, y }) => ({ x: x * cos - y * sin, y: x * sin + y * cos }))
}

/** The box round the piece's ink once it is turned; strokes that lean are taken a little wider than they are. */
export const turnedBox = ({ hull, piece }: PieceShape, angle: number): Box => boxOf(turnPoints(hull, angle)) ?? piece.bounds
