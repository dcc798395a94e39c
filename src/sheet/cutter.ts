/** Pieces nested on sheets of film for a cutter. */
import { MaxRectsBin, PACKING_LOGIC, type Placed } from 'maxrects-packer/dist/maxrects-packer.mjs'
import { pathBounds } from '../drawing/bounds.ts'
import { boxHeight, boxWidth, grown, unionBox } from '../drawing/box.ts'
import { CUTTER_STROKE, cutterGroups, type KnifeLines, knifeLines } from '../drawing/cutter.ts'
import type { Box, Drawing, GroupItem, PathItem, TextItem } from '../drawing/drawing.ts'
import { circle, line, rect } from '../drawing/path.ts'
import { movePath, moveText, type Placing } from '../drawing/place.ts'
import { polylinesOf } from '../drawing/polylines.ts'
import type { Outcome, Problem } from '../job/problem.ts'
import type { PlanePoint } from '../plane/point.ts'
import type { Piece } from '../template/piece.ts'
import { roomyPlace } from './roomyPlace.ts'
import { turnsToTry } from './turn.ts'

export interface CutterOptions {
	/** of the sheet of film, mm */
	readonly widthMm: number
	readonly heightMm: number
	/** between pieces, and to the edge of the sheet */
	readonly gapMm: number
	/** a rectangle cut round each piece, so that the waste comes off by itself */
	readonly weedingBox: boolean
	/** crosses in the corners, to lay one film over another or to find the place again */
	readonly registerMarks: boolean
}

/** From the piece to its weeding box: waste that is wide enough to be gripped (common practice, no source). */
const WEED_MM = 3
/** Half an arm of a register mark, and what is kept free round it. */
const MARK_ARM_MM = 5
const MARK_CLEAR_MM = 1
/** The room that marks take along each edge. */
const MARK_BAND_MM = 2 * (MARK_ARM_MM + MARK_CLEAR_MM)
/** Chords this near to a line are good enough to ask where it reaches and where its middle is. */
const ROUGH_MM = 0.05
/** A sheet that is as large as a piece takes it, whatever rounding says. */
const SLACK_MM = 1e-6
const NUMBER_SIZE = { leastMm: 2.3, mostMm: 8 }
/** Of a number's size to the free circle that its middle stands in: three figures with a little room. */
const SIZE_TO_RADIUS = 1.2

/** A piece's knife lines, turned to lie on the sheet. */
interface Cut {
	readonly piece: Piece
	readonly lines: KnifeLines
	readonly number: TextItem
	/** of the lines and the weeding box */
	readonly box: Box
}

interface Rect extends Placed {
	readonly cut: Cut
}

const all = ({ closed, slits }: KnifeLines): readonly PathItem[] => [...closed, ...slits]

const moved = ({ closed, slits }: KnifeLines, placing: Placing): KnifeLines => ({
	closed: closed.map((one) => movePath(one, placing)),
	slits: slits.map((one) => movePath(one, placing)),
})

const named = (piece: Piece, one: PathItem): PathItem => ({
	...one,
	title: `${piece.number}${one.title ? `: ${one.title}` : ''}`,
})

function numberOf(piece: Piece, lines: KnifeLines): TextItem {
	const loops = lines.closed.flatMap(({ segments }) => polylinesOf(segments, ROUGH_MM).map(({ points }) => points))
	const { at, radiusMm } = roomyPlace(loops)
	const sizeMm = Math.min(NUMBER_SIZE.mostMm, Math.max(NUMBER_SIZE.leastMm, SIZE_TO_RADIUS * radiusMm))
	// capitals and figures are 0.7 of the size high
	return {
		kind: 'text',
		role: 'label',
		at: { x: at.x, y: at.y - 0.35 * sizeMm },
		text: `${piece.number}`,
		sizeMm,
		anchor: 'middle',
		angle: 0,
	}
}

/** The turn whose box is smallest among those that fit the room either way round; undefined where none does. */
function cutOf(piece: Piece, lines: KnifeLines, room: Box, weedingBox: boolean): Cut | { readonly least: Box } {
	const points = all(lines).flatMap(({ segments }) => polylinesOf(segments, ROUGH_MM).flatMap((one) => one.points))
	const turned = turnsToTry(points).map((angle) => {
		const own = moved(lines, { at: { x: 0, y: 0 }, angle })
		const box = unionBox(all(own).map(({ segments }) => pathBounds(segments))) as Box
		return { lines: own, box: weedingBox ? grown(box, WEED_MM) : box }
	})
	const [across, along] = [boxWidth(room) + SLACK_MM, boxHeight(room) + SLACK_MM]
	const fits = (w: number, h: number) => w <= across && h <= along
	const area = ({ box }: { box: Box }) => boxWidth(box) * boxHeight(box)
	// a hundredth of a square mm apart counts as equal, so that rounding does not choose
	const small = turned.toSorted((a, b) => Math.round((area(a) - area(b)) * 100))
	const found = small.find(({ box }) => fits(boxWidth(box), boxHeight(box)) || fits(boxHeight(box), boxWidth(box)))
	return found ? { piece, number: numberOf(piece, found.lines), ...found } : { least: (small[0] as { box: Box }).box }
}

function tooLarge(piece: Piece, least: Box, options: CutterOptions, border: number): Problem {
	const sides = [boxWidth(least), boxHeight(least)].map((side) => Math.ceil(side + 2 * border - SLACK_MM)).sort((a, b) => b - a)
	const needs = sides.join(' x ')
	return {
		code: 'PIECE_TOO_LARGE',
		severity: 'error',
		path: '',
		place: { panel: piece.panel },
		found: `piece ${piece.number} (${piece.title}) on a cutter’s sheet of ${options.widthMm} x ${options.heightMm} mm`,
		expected: `a sheet of at least ${needs} mm for it, edges${options.weedingBox ? ' and weeding box' : ''} included`,
		fix: `Give a sheet of ${needs} mm or more, or cut piece ${piece.number} by hand from the printed sheets.`,
	}
}

/** The rectangle's piece with its box at the rectangle's place, turned by a quarter where the packing says so. */
function placed({ cut, x, y, rot }: Rect, room: Box): Cut {
	const { box } = cut
	// anticlockwise by a quarter the upper left corner becomes the lower left one
	const placing: Placing = rot
		? { at: { x: room.minX + x + box.maxY, y: room.minY + y - box.minX }, angle: Math.PI / 2 }
		: { at: { x: room.minX + x - box.minX, y: room.minY + y - box.minY }, angle: 0 }
	const [width, height] = rot ? [boxHeight(box), boxWidth(box)] : [boxWidth(box), boxHeight(box)]
	const [minX, minY] = [room.minX + x, room.minY + y]
	return {
		piece: cut.piece,
		lines: moved(cut.lines, placing),
		number: moveText(cut.number, placing),
		box: { minX, minY, maxX: minX + width, maxY: minY + height },
	}
}

function mark(at: PlanePoint, title: string, ring: boolean): readonly PathItem[] {
	const across = line({ x: at.x - MARK_ARM_MM, y: at.y }, { x: at.x + MARK_ARM_MM, y: at.y })
	const along = line({ x: at.x, y: at.y - MARK_ARM_MM }, { x: at.x, y: at.y + MARK_ARM_MM })
	const path = { kind: 'path', role: 'register', stroke: CUTTER_STROKE, title } as const
	const cross = { ...path, segments: [...across, ...along] }
	return ring ? [cross, { ...path, segments: circle(at, MARK_ARM_MM / 2) }] : [cross]
}

/** Crosses in the corners; the lower left one has a ring, so that a film is not laid upside down. */
function marks({ widthMm, heightMm }: CutterOptions): GroupItem {
	const [near, right, top] = [MARK_BAND_MM / 2, widthMm - MARK_BAND_MM / 2, heightMm - MARK_BAND_MM / 2]
	const items = [
		...mark({ x: near, y: near }, 'lower left', true),
		...mark({ x: right, y: near }, 'lower right', false),
		...mark({ x: right, y: top }, 'upper right', false),
		...mark({ x: near, y: top }, 'upper left', false),
	]
	return { kind: 'group', id: 'register', title: 'Register marks', items }
}

function drawn(cuts: readonly Cut[], options: CutterOptions, sheet: number, of: number): Drawing {
	const lines: KnifeLines = {
		closed: cuts.flatMap(({ piece, lines: { closed } }) => closed.map((one) => named(piece, one))),
		slits: cuts.flatMap(({ piece, lines: { slits } }) => slits.map((one) => named(piece, one))),
	}
	const boxes = cuts.map(
		({ piece, box }): PathItem => ({
			kind: 'path',
			role: 'knife',
			segments: rect(box),
			stroke: CUTTER_STROKE,
			title: `${piece.number}: weeding box`,
		}),
	)
	const weeding: GroupItem = { kind: 'group', id: 'weeding', title: 'Weeding boxes', items: boxes }
	const numbers = cuts.map(({ number }) => number)
	const knife = cutterGroups(lines, [])
	return {
		widthMm: options.widthMm,
		heightMm: options.heightMm,
		title: `Cutter’s sheet ${sheet} of ${of}: ${cuts.map(({ piece }) => piece.number).join(', ')}`,
		items: [
			...knife,
			...(options.weedingBox ? [weeding] : []),
			...(options.registerMarks ? [marks(options)] : []),
			{ kind: 'group', id: 'numbers', title: 'Numbers of the pieces: not for the knife', items: numbers },
		],
	}
}

const newBin = (room: Box, gapMm: number) =>
	new MaxRectsBin<Rect>(boxWidth(room) + SLACK_MM, boxHeight(room) + SLACK_MM, gapMm, {
		smart: false,
		pot: false,
		square: false,
		allowRotation: true,
		logic: PACKING_LOGIC.MAX_EDGE,
	})

/** Each piece, the longest first, on the first sheet that has room for it. */
function nested(cuts: readonly Cut[], room: Box, gapMm: number): readonly (readonly Cut[])[] {
	const sheets: { readonly bin: MaxRectsBin<Rect>; readonly rects: Rect[] }[] = []
	const longest = ({ box }: Cut) => Math.round(Math.max(boxWidth(box), boxHeight(box)))
	for (const cut of cuts.toSorted((a, b) => longest(b) - longest(a) || a.piece.number - b.piece.number)) {
		const wanted = (): Rect => ({ x: 0, y: 0, width: boxWidth(cut.box), height: boxHeight(cut.box), cut })
		const before = sheets.some(({ bin, rects }) => {
			const rect = bin.add(wanted())
			return rect !== undefined && rect !== null && rects.push(rect) > 0
		})
		if (before) continue
		const bin = newBin(room, gapMm)
		const rect = bin.add(wanted())
		if (rect) sheets.push({ bin, rects: [rect] })
	}
	return sheets.map(({ rects }) => rects.map((rect) => placed(rect, room)))
}

const wrongSheet = ({ widthMm, heightMm, gapMm }: CutterOptions): Problem => ({
	code: 'CUTTER_SHEET',
	severity: 'error',
	path: '',
	found: `a cutter’s sheet of ${widthMm} x ${heightMm} mm with ${gapMm} mm between pieces`,
	expected: 'a width and a height above 0 with room inside the gap at the edges and the register marks',
	fix: 'Give the size of the film, width x height in mm, or leave out the register marks in the shop file.',
})

/**
 * The pieces' knife lines nested on sheets of the given size, true to size, as drawings for `toSvg`: groups `slits` (open knife lines),
 * `knife` (closed ones alone; a window before the outline round it), `weeding`, `register` and `numbers`, all lines in one stroke.
 * Pieces are turned as they fit; a sheet has no grain. Pieces without knife lines are passed over.
 * Problems: PIECE_TOO_LARGE for each piece that fits no way round (the others are nested); CUTTER_SHEET for a size that is none.
 */
export function cutterSheets(pieces: readonly Piece[], options: CutterOptions): Outcome<readonly Drawing[]> {
	const { widthMm, heightMm, gapMm, weedingBox, registerMarks } = options
	const border = Math.max(gapMm, registerMarks ? MARK_BAND_MM : 0)
	const room: Box = { minX: border, minY: border, maxX: widthMm - border, maxY: heightMm - border }
	const sound = [widthMm, heightMm, gapMm].every(Number.isFinite) && gapMm >= 0 && boxWidth(room) > 0 && boxHeight(room) > 0
	if (!sound) return { problems: [wrongSheet(options)] }
	const problems: Problem[] = []
	const cuts: Cut[] = []
	for (const piece of pieces) {
		const lines = knifeLines(piece.items)
		if (all(lines).length === 0) continue
		const cut = cutOf(piece, lines, room, weedingBox)
		if ('least' in cut) problems.push(tooLarge(piece, cut.least, options, border))
		else cuts.push(cut)
	}
	const sheets = nested(cuts, room, gapMm)
	return { value: sheets.map((sheet, index) => drawn(sheet, options, index + 1, sheets.length)), problems }
}
