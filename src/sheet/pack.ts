/** Small pieces together on sheets. */
import { MaxRectsBin, PACKING_LOGIC, type Placed } from 'maxrects-packer/dist/maxrects-packer.mjs'
import { boxHeight, boxWidth } from '../drawing/box.ts'
import type { Box } from '../drawing/drawing.ts'
import type { PlanePoint } from '../plane/point.ts'
import type { PieceSide } from '../template/piece.ts'
import type { Arrangement } from './arrange.ts'
import { type PieceShape, type Turn, turnedBox } from './shape.ts'
import { upright } from './turn.ts'

/** A piece on a sheet: turned by `angle`, then shifted. */
export interface Laid {
	readonly shape: PieceShape
	readonly angle: number
	readonly shift: PlanePoint
}

export interface Packed {
	readonly arrangement: Arrangement
	readonly laid: readonly Laid[]
	/** boxes of the sheet that nothing stands in */
	readonly free: readonly Box[]
}

/** Enough for scissors between two pieces. */
export const APART_MM = 4
/** More pieces than this on a sheet are not found again. */
const MOST_PIECES = 24
/** A leaning box must be this much smaller before a piece is not laid as drawn. */
const LEAN_WORTH = 0.9
/** The height of a roll's packing before it is cut: longer is out of reach on a bench. */
const ROLL_MM = 1000

const SIDE_ORDER = { LEFT: 0, RIGHT: 1, BOTH: 2 } as const

/** By panel in the order of their first pieces, then left, right, both; the larger first; then by number. */
export function packingOrder(shapes: readonly PieceShape[]): readonly PieceShape[] {
	const panels = [...new Set(shapes.map(({ piece }) => piece.panel))]
	const rank = new Map(panels.map((panel, index) => [panel, index]))
	const long = new Map(shapes.map((shape) => [shape, Math.max(...sizes(turnedBox(shape, 0)))]))
	return shapes.toSorted(
		(a, b) =>
			(rank.get(a.piece.panel) ?? 0) - (rank.get(b.piece.panel) ?? 0) ||
			SIDE_ORDER[a.piece.side] - SIDE_ORDER[b.piece.side] ||
			Math.round(long.get(b) ?? 0) - Math.round(long.get(a) ?? 0) ||
			a.piece.number - b.piece.number,
	)
}

const sizes = (box: Box) => [boxWidth(box), boxHeight(box)]

interface Rect extends Placed {
	readonly shape: PieceShape
	readonly angle: number
	readonly box: Box
}

/** The turn whose box is smallest among those that fit the room either way round; as drawn unless leaning is worth it. */
export function packingTurn(turns: readonly Turn[], live: Box): Turn | undefined {
	const [across, along] = [boxWidth(live), boxHeight(live)]
	const fits = ({ box }: Turn) => {
		const [w, h] = [boxWidth(box), boxHeight(box)]
		return (w <= across && h <= along) || (h <= across && w <= along)
	}
	const area = ({ box }: Turn) => boxWidth(box) * boxHeight(box)
	return turns
		.filter(fits)
		.reduce<Turn | undefined>((best, one) => (!best || area(one) < LEAN_WORTH * area(best) ? one : best), undefined)
}

type Hand = Exclude<PieceSide, 'BOTH'>
/** The side that a piece makes its sheet one of; a piece for both goes with either. */
const handOf = ({ piece: { side } }: PieceShape): Hand | undefined => (side === 'BOTH' ? undefined : side)

interface Trial {
	readonly arrangement: Arrangement
	readonly rects: readonly Rect[]
	readonly free: readonly Box[]
	readonly area: number
}

/** As `packingTurn`, remembered: every sheet is tried with every piece. */
type TurnOn = (shape: PieceShape, live: Box) => Turn | undefined

function rememberedTurns(): TurnOn {
	const known = new Map<PieceShape, { readonly across: number; readonly along: number; readonly turn: Turn | undefined }[]>()
	return (shape, live) => {
		const [across, along] = [boxWidth(live), boxHeight(live)]
		const own = known.get(shape) ?? []
		const found = own.find((one) => one.across === across && one.along === along)
		if (found) return found.turn
		const turn = packingTurn(shape.turns, live)
		known.set(shape, [...own, { across, along, turn }])
		return turn
	}
}

/** Whether a free rectangle of the sheet is as large as that, either way round: asked of every piece at every sheet. */
function mayHold({ freeRects }: MaxRectsBin<Rect>, { box }: Turn): boolean {
	const [w, h] = [boxWidth(box) + APART_MM, boxHeight(box) + APART_MM]
	return freeRects.some(({ width, height }) => (w <= width && h <= height) || (h <= width && w <= height))
}

/** One sheet of this arrangement: the first piece and all that go in after it, in order. */
function trialOf(arrangement: Arrangement, shapes: readonly PieceShape[], turnOn: TurnOn): Trial | undefined {
	const { live, paper } = arrangement
	const bin = new MaxRectsBin<Rect>(boxWidth(live), boxHeight(live), APART_MM, {
		smart: false,
		pot: false,
		square: false,
		allowRotation: true,
		// a roll is filled row by row, to be cut short; a sheet wherever the least is left over
		logic: paper.heightMm === undefined ? PACKING_LOGIC.FILL_WIDTH : PACKING_LOGIC.MAX_EDGE,
	})
	const rects: Rect[] = []
	let taken: Hand | undefined
	for (const shape of shapes) {
		if (rects.length >= MOST_PIECES) break
		const hand = handOf(shape)
		if (taken && hand && hand !== taken) continue
		const turn = turnOn(shape, live)
		const rect =
			turn &&
			mayHold(bin, turn) &&
			bin.add({ x: 0, y: 0, width: boxWidth(turn.box), height: boxHeight(turn.box), shape, ...turn })
		if (rect) {
			rects.push(rect)
			taken ??= hand
		} else if (rects.length === 0) return undefined
	}
	const free = bin.freeRects.map(({ x, y, width, height }) => ({
		minX: live.minX + x,
		minY: live.minY + y,
		maxX: live.minX + x + width - APART_MM,
		maxY: live.minY + y + height - APART_MM,
	}))
	return { arrangement, rects, free, area: rects.reduce((sum, { box }) => sum + boxWidth(box) * boxHeight(box), 0) }
}

/** More paper used (to a square mm), or as much and fewer pieces on their side. */
function moreThan(a: Trial, b: Trial): boolean {
	const turned = ({ rects }: Trial) => rects.filter(({ rot }) => rot).length
	return a.area > b.area + 1 || (a.area > b.area - 1 && turned(a) < turned(b))
}

/** The rectangle's piece with its box at the rectangle's place. */
function laidAt({ shape, angle, box, x, y, rot }: Rect, live: Box): Laid {
	const turned = rot ? upright(angle + Math.PI / 2) : angle
	const at = rot ? turnedBox(shape, turned) : box
	return { shape, angle: turned, shift: { x: live.minX + x - at.minX, y: live.minY + y - at.minY } }
}

export interface PackOptions {
	/** the ways to share out a sheet that leaves this height for pieces (for a roll; a sheet has its own) */
	readonly ways: (needHeightMm: number) => readonly Arrangement[]
	readonly roll: boolean
	/** do the words about these pieces have room? */
	readonly wordsFit: (pieces: readonly PieceShape[], arrangement: Arrangement) => boolean
}

/**
 * Pieces that each fit on one sheet, as many to a sheet as go in; left and right never on one sheet, so that none is taken for its
 * mirror image. Each sheet takes at least one piece.
 */
export function packPieces(shapes: readonly PieceShape[], options: PackOptions): readonly Packed[] {
	const ordered = packingOrder(shapes)
	const turnOn = rememberedTurns()
	const pack = (...sides: PieceSide[]) =>
		packInOrder(
			ordered.filter(({ piece }) => sides.includes(piece.side)),
			turnOn,
			options,
		)
	const [left, right] = [pack('LEFT'), pack('RIGHT')]
	// of equals the first: a sheet of one kind is told at a glance
	const ways = [
		[...left, ...right, ...pack('BOTH')],
		[...left, ...pack('RIGHT', 'BOTH')],
		[...pack('LEFT', 'BOTH'), ...right],
		pack('LEFT', 'RIGHT', 'BOTH'),
	]
	return ways.reduce((best, one) => (one.length < best.length ? one : best))
}

/** The first of the remaining pieces, then every one after it that still has room, on the sharing out of the paper that takes most. */
function packInOrder(ordered: readonly PieceShape[], turnOn: TurnOn, { ways, roll, wordsFit }: PackOptions): readonly Packed[] {
	let rest = ordered
	const sheets: Packed[] = []
	while (rest.length > 0) {
		const first = (rest[0] as PieceShape).turns
		const need = roll ? Math.max(ROLL_MM, Math.min(...first.map(({ box }) => Math.max(...sizes(box)))) + 1) : 0
		const trials = ways(need).flatMap((way) => trialOf(way, rest, turnOn) ?? [])
		const best = trials.reduce<Trial | undefined>((a, b) => (!a || moreThan(b, a) ? b : a), undefined)
		if (!best) throw new RangeError('a piece to pack fits no sheet')
		let rects = best.rects
		while (
			rects.length > 1 &&
			!wordsFit(
				rects.map(({ shape }) => shape),
				best.arrangement,
			)
		)
			rects = rects.slice(0, -1)
		sheets.push(finished(best, rects, ways, roll))
		const gone = new Set(rects.map(({ shape }) => shape))
		rest = rest.filter((shape) => !gone.has(shape))
	}
	return sheets
}

/** Laid out on the sheet; a roll is cut to what its pieces need. */
function finished(trial: Trial, rects: readonly Rect[], ways: PackOptions['ways'], roll: boolean): Packed {
	let { arrangement } = trial
	if (roll) {
		const need = Math.max(...rects.map(({ y, height, width, rot }) => y + (rot ? width : height)))
		const { band } = arrangement
		arrangement = ways(need).find((way) => way.band === band) ?? arrangement
	}
	const free = roll || rects.length < trial.rects.length ? [] : trial.free
	return { arrangement, laid: rects.map((rect) => laidAt(rect, arrangement.live)), free }
}
