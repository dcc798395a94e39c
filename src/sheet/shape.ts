/** What of a piece matters to where it is laid: its extent, its ink, its working edges and the marks that no join should run through. */
import { boxOf, corners, grown, unionBox } from '../drawing/box.ts'
import type { Box } from '../drawing/drawing.ts'
import { turnOf } from '../drawing/place.ts'
import type { PlanePoint } from '../plane/point.ts'
import { simplify } from '../plane/simplify.ts'
import type { Piece } from '../template/piece.ts'
import { type InkShape, inkOf } from './ink.ts'
import { hull, turnsToTry } from './turn.ts'

/** Lines of a tick, figure or label, and how far from them a join has to keep. */
export interface Mark {
	readonly lines: readonly (readonly PlanePoint[])[]
	readonly clearMm: number
}

export interface Turn {
	readonly angle: number
	readonly box: Box
}

export interface Rim {
	readonly points: readonly PlanePoint[]
	/** half the width of the stroke */
	readonly reachMm: number
}

/** What is kept of a piece for as long as it is laid as it is. */
export interface PieceShape {
	readonly piece: Piece
	/** hulls of all that is printed with the same width of stroke */
	readonly rims: readonly Rim[]
	/** turns worth trying, the plainest first, with the box round the ink; half of them, as a box may also lie on its side */
	readonly turns: readonly Turn[]
	/** knife lines, simplified, closed */
	readonly outline: readonly (readonly PlanePoint[])[]
}

/** What a place for a piece is found by, where it does not go beside others. */
export interface ShapeDetail {
	/** lines simplified: which sheet they are on is all that is asked of them */
	readonly ink: readonly InkShape[]
	/** working edges, simplified */
	readonly working: readonly (readonly PlanePoint[])[]
	/** ticks, bars, figures and labels */
	readonly marks: readonly Mark[]
}

/** A shape while its piece is planned. */
export interface DetailedShape extends PieceShape {
	/** worked out when it is first asked for */
	readonly detail: () => ShapeDetail
}

/** Working edges and outlines are asked which sheet they are on: a tenth of a mm decides nothing. */
const ROUGH_MM = 0.1
/** Shorter lines are not worth simplifying. */
const LONG = 8
/** A mating line keeps this far from words, and this far from ticks: they may stand a millimetre apart. */
const TEXT_CLEAR_MM = 1
const TICK_CLEAR_MM = 0.35
const MARK_ROLES: ReadonlySet<string> = new Set(['tick', 'bar', 'label'])

/** What is filled among them is words. */
const marksOf = (ink: readonly InkShape[]): readonly Mark[] =>
	ink.flatMap(({ lines, filled, role }) => {
		if (!MARK_ROLES.has(role)) return []
		return [{ lines, clearMm: filled ? TEXT_CLEAR_MM : TICK_CLEAR_MM }]
	})

export function shapeOf(piece: Piece): DetailedShape {
	const ink = inkOf(piece.items)
	let made: ShapeDetail | undefined
	const rims = ink.length > 0 ? rimsOf(ink) : [{ points: corners(piece.bounds), reachMm: 0 }]
	const turns = turnsToTry(rims.flatMap(({ points }) => points))
	return {
		piece,
		rims,
		turns: turns.map((angle) => ({ angle, box: turnedRims(rims, angle) ?? piece.bounds })),
		outline: piece.knife.map((loop) => simplify(loop, ROUGH_MM, true)),
		detail() {
			made ??= detailOf(piece, ink)
			return made
		},
	}
}

const detailOf = (piece: Piece, ink: readonly InkShape[]): ShapeDetail => ({
	ink: ink.map((one) => ({ ...one, lines: one.lines.map((line) => (line.length > LONG ? simplify(line, ROUGH_MM) : line)) })),
	working: piece.working.map((line) => simplify(line, ROUGH_MM)),
	marks: marksOf(ink),
})

function rimsOf(ink: readonly InkShape[]): readonly Rim[] {
	const byReach = new Map<number, PlanePoint[]>()
	for (const { lines, reachMm } of ink) {
		const points = byReach.get(reachMm) ?? []
		for (const line of lines) for (const p of line) points.push(p)
		byReach.set(reachMm, points)
	}
	return [...byReach].map(([reachMm, points]) => ({ points: hull(points), reachMm }))
}

const turnedRims = (rims: readonly Rim[], angle: number): Box | undefined =>
	unionBox(
		rims.map(({ points, reachMm }) => {
			const box = boxOf(turnPoints(points, angle))
			return box && grown(box, reachMm)
		}),
	)

export function turnPoints(points: readonly PlanePoint[], angle: number): readonly PlanePoint[] {
	if (angle === 0) return points
	const { cos, sin } = turnOf(angle)
	return points.map(({ x, y }) => ({ x: x * cos - y * sin, y: x * sin + y * cos }))
}

/** The box round the piece's ink, strokes with their width, once it is turned. */
export const turnedBox = ({ rims, piece }: PieceShape, angle: number): Box => turnedRims(rims, angle) ?? piece.bounds
