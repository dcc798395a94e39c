/** Which way up a piece is laid, on which way of sharing out the paper, and over how many sheets. */
import { boxHeight, boxWidth, corners, unionBox } from '../drawing/box.ts'
import type { Box } from '../drawing/drawing.ts'
import { movePoint } from '../drawing/place.ts'
import type { Outcome } from '../job/problem.ts'
import type { Piece } from '../template/piece.ts'
import { type Arrangement, arrangements } from './arrange.ts'
import { type InkShape, inkOf, turnInk } from './ink.ts'
import type { Paper } from './paper.ts'
import type { Correction, Margins } from './printer.ts'
import { type Grid, gridOver, joinsThrough } from './tile.ts'
import { turnsToTry } from './turn.ts'

export interface Plan {
	readonly piece: Piece
	readonly arrangement: Arrangement
	readonly angle: number
	readonly grid: Grid
	/** the piece's ink, turned by `angle` */
	readonly ink: readonly InkShape[]
	readonly joinsThroughWorking: number
}

export interface Stock {
	readonly paper: Paper
	readonly margins: Margins
	readonly correction: Correction
}

const turned = (lines: Piece['working'], angle: number) =>
	lines.map((points) => points.map((p) => movePoint(p, { at: { x: 0, y: 0 }, angle })))

/** The better plan has fewer joins through an edge to tape along, then fewer sheets, then less paper; of equals the first. */
function better(a: Plan, b: Plan | undefined): boolean {
	if (!b) return true
	const area = ({ arrangement, grid }: Plan) => arrangement.widthMm * arrangement.heightMm * grid.tiles.length
	const by = [
		a.joinsThroughWorking - b.joinsThroughWorking,
		a.grid.tiles.length - b.grid.tiles.length,
		// a square millimetre apart counts as equal, so that rounding does not choose
		Math.round(area(a) - area(b)),
	]
	return (by.find((difference) => difference !== 0) ?? 0) < 0
}

const room = (live: Box) => ({ widthMm: boxWidth(live), heightMm: boxHeight(live) })

/** The best of all turns and ways to share out the paper. Problems PAPER_TOO_SMALL and TOO_MANY_SHEETS. */
export function planPiece(piece: Piece, { paper, margins, correction }: Stock): Outcome<Plan> {
	const drawn = inkOf(piece.items)
	const points = drawn.length > 0 ? drawn.flatMap(({ lines }) => lines.flat()) : corners(piece.bounds)
	let best: Plan | undefined
	for (const angle of turnsToTry(points)) {
		const ink = turnInk(drawn, angle)
		const box = unionBox(ink.map((shape) => shape.box)) ?? piece.bounds
		const ways = arrangements(paper, margins, correction, boxHeight(box))
		if (!ways.value) return { problems: ways.problems }
		const working = turned(piece.working, angle)
		for (const arrangement of ways.value) {
			const grid = gridOver(ink, box, room(arrangement.live))
			if (!grid) continue
			const plan = { piece, arrangement, angle, grid, ink, joinsThroughWorking: joinsThrough(working, grid) }
			if (better(plan, best)) best = plan
			// nothing beats one sheet of a size that is given
			if (paper.heightMm !== undefined && grid.tiles.length === 1) return { value: best as Plan, problems: [] }
		}
	}
	if (best) return { value: best, problems: [] }
	return {
		problems: [
			{
				code: 'TOO_MANY_SHEETS',
				severity: 'error',
				path: '',
				place: { panel: piece.panel },
				found: `the piece ${piece.id}, ${Math.round(boxWidth(piece.bounds))} x ${Math.round(boxHeight(piece.bounds))} mm, on ${paper.name}`,
				expected: 'a piece of no more than 400 sheets',
				fix: 'Take a larger paper or a roll.',
			},
		],
	}
}
