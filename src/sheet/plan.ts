/** How a piece goes onto paper: together with others, alone round the check square, or over several sheets. */
import { boxHeight, boxOf, boxWidth, grown } from '../drawing/box.ts'
import type { Box } from '../drawing/drawing.ts'
import type { Outcome, Problem } from '../job/problem.ts'
import type { Piece } from '../template/piece.ts'
import { type Around, planAround } from './around.ts'
import { type Arrangement, arrangements, LONGEST_ROLL_MM, type Stock } from './arrange.ts'
import { boxOfLines, type InkShape, turnInk } from './ink.ts'
import { type Join, joinsOf } from './join.ts'
import { packingTurn } from './pack.ts'
import type { Paper } from './paper.ts'
import { placeGrid, rasterFor, type TurnedShape } from './placeGrid.ts'
import { type DetailedShape, type PieceShape, type ShapeDetail, shapeOf, turnedBox, turnPoints } from './shape.ts'
import { type Grid, type GridPlace, gridAt, joinsThrough, type Room, type Tile, windowsOf } from './tile.ts'
import { wholeOn } from './wholeOn.ts'

/** A piece over several sheets. */
export interface Tiled {
	readonly arrangement: Arrangement
	readonly angle: number
	readonly grid: Grid
	readonly place: GridPlace
	/** as `joinsThrough` counts them */
	readonly joins: number
	/** ticks, figures and labels that a join runs through */
	readonly marks: number
	/** where its sheets meet */
	readonly meetings: readonly Join[]
}

interface Candidate extends Omit<Tiled, 'meetings'> {
	/** the piece's ink, turned by `angle` */
	readonly ink: readonly InkShape[]
}

export type PiecePlan =
	| { readonly how: 'packed'; readonly shape: PieceShape }
	| { readonly how: 'around'; readonly shape: PieceShape; readonly around: Around }
	| {
			readonly how: 'tiled'
			readonly shape: PieceShape
			readonly tiled: Tiled
			/** the least paper that takes it in one */
			readonly whole?: Paper
	  }

/** Plans of earlier runs, by piece (the very object) and by paper; the caller keeps it. Safe to throw away. */
export type PlanCache = WeakMap<Piece, Map<string, Outcome<PiecePlan>>>

/** Turns tried beside the plain ones where a piece must be tiled: every 15 degrees. */
const TURNS = 12

/** The better plan has fewer joins through an edge to tape along, then fewer sheets, fewer marks cut, less paper; of equals the first. */
function better(a: Candidate, b: Candidate | undefined): boolean {
	if (!b) return true
	const area = ({ arrangement, grid }: Candidate) => arrangement.widthMm * arrangement.heightMm * grid.tiles.length
	const by = [
		Number(!connected(a.grid.tiles)) - Number(!connected(b.grid.tiles)),
		a.joins - b.joins,
		a.grid.tiles.length - b.grid.tiles.length,
		a.marks - b.marks,
		// a square millimetre apart counts as equal, so that rounding does not choose
		Math.round(area(a) - area(b)),
	]
	return (by.find((difference) => difference !== 0) ?? 0) < 0
}

/** Can each tile be joined to the others, from neighbour to neighbour? A piece in parts may lie in tiles with a blank one between. */
function connected(tiles: readonly Tile[]): boolean {
	const reached = new Set(tiles.slice(0, 1))
	// a set grows while it is gone through
	for (const one of reached) {
		for (const other of tiles) if (Math.abs(other.row - one.row) + Math.abs(other.column - one.column) === 1) reached.add(other)
	}
	return reached.size === tiles.length
}

export const roomOf = (live: Box): Room => ({ widthMm: boxWidth(live), heightMm: boxHeight(live) })

function once<T>(make: () => T): () => T {
	let made: { readonly value: T } | undefined
	return () => {
		made ??= { value: make() }
		return made.value
	}
}

export function turnedShape(shape: DetailedShape, angle: number): TurnedShape {
	const detail = shape.detail()
	const ink = turnInk(detail.ink, angle)
	const box = turnedBox(shape, angle)
	return {
		ink,
		box,
		working: detail.working.map((line) => turnPoints(line, angle)),
		marks: detail.marks.map(({ lines, clearMm }) =>
			grown(boxOfLines(lines.map((line) => turnPoints(line, angle))) ?? box, clearMm),
		),
		raster: once(() => rasterFor(ink, box)),
	}
}

/** Joins that no grid can do without: an edge that reaches further than a sheet is joined once at least. */
function fewestJoins({ working }: ShapeDetail, ways: readonly Arrangement[]): number {
	const most = Math.max(...ways.map(({ live }) => Math.hypot(boxWidth(live), boxHeight(live))))
	return working.filter((line) => {
		const box = boxOf(line)
		return box !== undefined && Math.max(boxWidth(box), boxHeight(box)) > most
	}).length
}

/** The best grid of all turns and ways to share out the paper; undefined where it would take more than 400 sheets. */
export function planTiles(shape: DetailedShape, waysFor: (needHeightMm: number) => readonly Arrangement[]): Tiled | undefined {
	let best: Candidate | undefined
	const bound = fewestJoins(shape.detail(), waysFor(0))
	const plain = shape.turns.map(({ angle }) => angle)
	const swept = Array.from({ length: TURNS - 1 }, (_, i) => Math.PI * ((i + 1) / TURNS - 0.5))
	for (const angle of [...plain, ...swept.filter((angle) => !plain.includes(angle))]) {
		// two sheets, and no join that could be saved: leaning the piece further gains nothing
		if (best && best.joins <= bound && best.grid.tiles.length <= 2 && best.marks === 0) break
		const turned = turnedShape(shape, angle)
		for (const arrangement of waysFor(boxHeight(turned.box))) {
			const room = roomOf(arrangement.live)
			const found = placeGrid(turned, room, best && connected(best.grid.tiles) ? best.joins : undefined)
			if (!found) continue
			const grid = gridAt(turned.ink, found.place, room)
			const plan = {
				arrangement,
				angle,
				grid,
				place: found.place,
				ink: turned.ink,
				joins: joinsThrough(turned.working, grid),
				marks: found.marks,
			}
			if (better(plan, best)) best = plan
		}
	}
	if (!best) return undefined
	const { ink, ...found } = best
	// better a blank sheet than parts that nothing joins
	const tiles = connected(found.grid.tiles) ? found.grid.tiles : windowsOf(found.place, roomOf(found.arrangement.live))
	return { ...found, grid: { ...found.grid, tiles }, meetings: joinsOf(tiles, ink) }
}

const keyOf = ({ paper, margins, correction }: Stock) => JSON.stringify([paper, margins, correction])

/** The plan of one piece on this stock. Problems PAPER_TOO_SMALL, PIECE_TOO_LONG and TOO_MANY_SHEETS. */
export function planPiece(piece: Piece, stock: Stock, cache?: PlanCache): Outcome<PiecePlan> {
	const key = keyOf(stock)
	const known = cache?.get(piece)?.get(key)
	if (known) return known
	const plan = planNew(piece, stock)
	if (cache) cache.set(piece, new Map([...(cache.get(piece) ?? []), [key, plan]]))
	return plan
}

function planNew(piece: Piece, stock: Stock): Outcome<PiecePlan> {
	const { paper, margins, correction } = stock
	const ways = arrangements(paper, margins, correction, 0)
	if (!ways.value) return { problems: ways.problems }
	const detailed = shapeOf(piece)
	const { detail: _, ...shape } = detailed
	const { turns } = shape
	const long = Math.min(...turns.map(({ box }) => Math.max(boxWidth(box), boxHeight(box))))
	if (long > LONGEST_ROLL_MM) return { problems: [tooLong(piece, long)] }
	const waysFor = (need: number) => arrangements(paper, margins, correction, need).value ?? []
	// a roll is as long as is asked for
	const rooms = paper.heightMm === undefined ? waysFor(long) : ways.value
	if (rooms.some(({ live }) => packingTurn(turns, live))) {
		return {
			value: { how: 'packed', shape },
			problems: paper.heightMm === undefined ? onlyRoll(piece, wholeOn(shape, stock)) : [],
		}
	}
	const around = planAround(detailed, stock)
	if (around) return { value: { how: 'around', shape, around }, problems: [] }
	const tiled = planTiles(detailed, waysFor)
	if (tiled) {
		const whole = wholeOn(shape, stock)
		return { value: { how: 'tiled', shape, tiled, ...(whole ? { whole } : {}) }, problems: onlyRoll(piece, whole) }
	}
	return { problems: [tooMany(piece, paper.name)] }
}

const sizeOf = ({ bounds }: Piece) => `${Math.round(boxWidth(bounds))} x ${Math.round(boxHeight(bounds))} mm`

/** What only a roll takes in one piece is said, whatever it is printed on. */
function onlyRoll(piece: Piece, whole: Paper | undefined): readonly Problem[] {
	if (whole && whole.heightMm !== undefined) return []
	return [
		{
			code: 'ONLY_ROLL',
			severity: 'note',
			path: '',
			place: { panel: piece.panel },
			found: `piece ${piece.number}, ${sizeOf(piece)}, goes on no sheet in one piece`,
			expected: whole ? `a ${whole.name.toLowerCase()} to print it on whole` : 'a piece no wider than a roll',
			fix: whole
				? `Print it on a roll (paper ${whole.id}), or join its sheets by their marks.`
				: 'Join its sheets by their marks.',
		},
	]
}

const tooLong = (piece: Piece, long: number): Problem => ({
	code: 'PIECE_TOO_LONG',
	severity: 'error',
	path: '',
	place: { panel: piece.panel },
	found: `piece ${piece.number} (${piece.id}) is ${Math.round(long)} mm long`,
	expected: `pieces of no more than ${LONGEST_ROLL_MM} mm, the longest sheet of a roll that can be written`,
	fix: 'Break the line or the field into parts, each with edges of its own.',
})

const tooMany = (piece: Piece, paper: string): Problem => ({
	code: 'TOO_MANY_SHEETS',
	severity: 'error',
	path: '',
	place: { panel: piece.panel },
	found: `the piece ${piece.id}, ${sizeOf(piece)}, on ${paper}`,
	expected: 'a piece of no more than 400 sheets',
	fix: 'Take a larger paper or a roll.',
})
