/** What of a piece matters to where it is laid: its extent, its ink, its working edges and the marks that no join should run through. */
import { boxOf, grown } from '../drawing/box.ts'
import type { Box, Item } from '../drawing/drawing.ts'
import { textBox } from '../drawing/metrics.ts'
import { flatten, turnOf } from '../drawing/place.ts'
import { polylinesOf } from '../drawing/polylines.ts'
import type { PlanePoint } from '../plane/point.ts'
import { simplify } from '../plane/simplify.ts'
import type { Piece } from '../template/piece.ts'
import { type InkShape, inkOf } from './ink.ts'
import { hull } from './turn.ts'

/** Points and the reach of the stroke about them. */
export interface Mark {
	readonly points: readonly PlanePoint[]
	readonly reachMm: number
}

export interface PieceShape {
	readonly piece: Piece
	readonly ink: readonly InkShape[]
	/** corners of the ink's hull, strokes with their width */
	readonly hull: readonly PlanePoint[]
	/** working edges, simplified */
	readonly working: readonly (readonly PlanePoint[])[]
	/** ticks, bars, figures and labels */
	readonly marks: readonly Mark[]
	/** knife lines, simplified, closed */
	readonly outline: readonly (readonly PlanePoint[])[]
}

/** Working edges and outlines are asked which sheet they are on: a tenth of a mm decides nothing. */
const ROUGH_MM = 0.1
const MARK_ROLES: ReadonlySet<string> = new Set(['tick', 'bar', 'label'])

function marksOf(items: readonly Item[]): readonly Mark[] {
	return flatten(items).flatMap(({ item }): readonly Mark[] => {
		if (!MARK_ROLES.has(item.role)) return []
		if (item.kind === 'text') {
			const corners = textBox(item)
			return corners ? [{ points: corners, reachMm: 0 }] : []
		}
		const points = polylinesOf(item.segments, ROUGH_MM).flatMap((line) => line.points)
		return points.length > 0 ? [{ points, reachMm: (item.stroke?.widthMm ?? 0) / 2 }] : []
	})
}

export function shapeOf(piece: Piece): PieceShape {
	const ink = inkOf(piece.items)
	const reach = ink.flatMap(({ lines, reachMm, box }) => {
		// a short mark has no inside to look into
		if (lines.length === 1 && (lines[0]?.length ?? 0) <= 2) return boxCorners(box)
		return lines.flatMap((points) => points.flatMap((p) => (reachMm > 0 ? boxCorners(grown(boxAt(p), reachMm)) : [p])))
	})
	return {
		piece,
		ink,
		hull: hull(reach.length > 0 ? reach : boxCorners(piece.bounds)),
		working: piece.working.map((line) => simplify(line, ROUGH_MM)),
		marks: marksOf(piece.items),
		outline: piece.knife.map((loop) => simplify(loop, ROUGH_MM, true)),
	}
}

const boxAt = ({ x, y }: PlanePoint): Box => ({ minX: x, minY: y, maxX: x, maxY: y })
const boxCorners = ({ minX, minY, maxX, maxY }: Box): readonly PlanePoint[] => [
	{ x: minX, y: minY },
	{ x: maxX, y: minY },
	{ x: maxX, y: maxY },
	{ x: minX, y: maxY },
]

export function turnPoints(points: readonly PlanePoint[], angle: number): readonly PlanePoint[] {
	if (angle === 0) return points
	const { cos, sin } = turnOf(angle)
	return points.map(({ x, y }) => ({ x: x * cos - y * sin, y: x * sin + y * cos }))
}

/** The box round the piece's ink once it is turned; strokes that lean are taken a little wider than they are. */
export const turnedBox = ({ hull, piece }: PieceShape, angle: number): Box => boxOf(turnPoints(hull, angle)) ?? piece.bounds
