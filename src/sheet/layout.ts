/** Pieces on sheets, each sheet a finished page. */
import type { GroupItem } from '../drawing/drawing.ts'
import { movePoint } from '../drawing/place.ts'
import type { Outcome, Problem } from '../job/problem.ts'
import type { PlanePoint } from '../plane/point.ts'
import type { Piece, PieceKind } from '../template/piece.ts'
import { checkSquare } from './checkSquare.ts'
import { type Join, joinsOf } from './join.ts'
import { findPaper, type OwnPaper, type Paper } from './paper.ts'
import { type Plan, planPiece } from './plan.ts'
import { correctionOf, correctionText, type Margins, type Printer } from './printer.ts'
import { joinItems } from './register.ts'
import type { Placement, Sheet, SheetJoin, SheetMap, Sheets } from './sheets.ts'
import { type Tile, tileName } from './tile.ts'
import { titleBlock } from './titleBlock.ts'

export interface LayoutOptions {
	/** a paper, or its name */
	readonly paper: Paper | string
	/** names of the shop's own papers */
	readonly papers?: readonly OwnPaper[]
	readonly margins: Margins
	readonly printer?: Printer
	readonly job: { readonly title: string; readonly revision: string; readonly unit: 'mm' | 'in' }
	/** of this program, printed on each sheet */
	readonly version?: string
}

/** What a kind of piece is called in the title block, and the paper it wants. */
const KINDS: Readonly<Record<PieceKind, { readonly name: string; readonly paper: string }>> = {
	strip: { name: 'girth strip', paper: 'Plain paper will do; keep it flat and dry.' },
	guide: { name: 'edge guide', paper: 'Card or adhesive sheet recommended.' },
	stripe: { name: 'stripe', paper: 'Adhesive sheet recommended.' },
	area: { name: 'area', paper: 'Plain paper or adhesive sheet.' },
}

interface Page {
	readonly plan: Plan
	readonly tile: Tile
	readonly name: string
	/** moves the turned piece onto this sheet */
	readonly shift: PlanePoint
	readonly joins: readonly Join[]
}

/** The sheet's name: the piece's number, and the tile's where there are several. */
const nameOf = ({ piece, grid }: Plan, tile: Tile) =>
	grid.tiles.length > 1 ? `${piece.number}-${tileName(tile)}` : `${piece.number}`

function pagesOf(plan: Plan): readonly Page[] {
	const joins = joinsOf(plan.grid.tiles, plan.ink)
	const { live } = plan.arrangement
	return plan.grid.tiles.map((tile) => ({
		plan,
		tile,
		name: nameOf(plan, tile),
		shift: { x: live.minX - tile.window.minX, y: live.minY - tile.window.minY },
		joins: joins.filter(({ first, second }) => first === tile || second === tile),
	}))
}

function sheetJoin({ plan, tile, shift }: Page, join: Join): SheetJoin {
	const first = join.first === tile
	const move = (p: PlanePoint) => movePoint(p, { at: shift, angle: 0 })
	return {
		at: join.upright ? (first ? 'right' : 'left') : first ? 'below' : 'above',
		sheet: nameOf(plan, first ? join.second : join.first),
		cutHere: !first,
		line: [move(join.line[0]), move(join.line[1])],
		marks: join.marks.map(move),
	}
}

/** The piece as this sheet shows it. */
function placed({ plan, name }: Page, { at, angle, clip }: Placement): GroupItem {
	const { piece, grid } = plan
	const group: GroupItem = { kind: 'group', at, angle, items: piece.items }
	const title = grid.tiles.length > 1 ? `${piece.title} (sheet ${name})` : piece.title
	return { kind: 'group', id: piece.id, title, ...(grid.tiles.length > 1 ? { clip } : {}), items: [group] }
}

function registerGroup({ plan, tile, name, shift, joins }: Page): GroupItem {
	const items = joins.flatMap((join) => {
		const first = join.first === tile
		const names = { own: name, other: nameOf(plan, first ? join.second : join.first) }
		return joinItems(join, first ? 'first' : 'second', names, plan.ink, shift)
	})
	return { kind: 'group', id: 'register', title: 'Register marks', items }
}

function notesOf({ piece }: Plan): readonly string[] {
	const sd = piece.lineSdMm === undefined ? '' : ` The line itself is known to ±${piece.lineSdMm.toFixed(2)} mm (1 sd).`
	const error = Math.max(0.01, piece.errorMm).toFixed(2)
	return [KINDS[piece.kind].paper, `Shape true to ${error} mm.${sd}`, ...piece.notes]
}

const fullBlock = (name: string): Problem => ({
	code: 'TEXT_SHORTENED',
	severity: 'note',
	path: '',
	found: `more words than sheet ${name} has room for`,
	expected: 'titles and notes that fit beside and inside the check square',
	fix: 'Shorten the titles or take a larger paper; the words in full are in the report.',
})

interface Job {
	readonly options: LayoutOptions
	readonly print: string
	readonly total: number
}

function drawSheet(
	page: Page,
	number: number,
	{ options, print, total }: Job,
): { readonly sheet: Sheet; readonly problems: readonly Problem[] } {
	const { plan, name, tile, shift } = page
	const { piece, arrangement, angle } = plan
	const { live, square, block, band, orientation, widthMm, heightMm, paper, scale } = arrangement
	const placement: Placement = { pieceId: piece.id, at: shift, angle, clip: live }
	const joins = page.joins.map((join) => sheetJoin(page, join))
	const words = {
		...options.job,
		creator: options.version ? `Stripewright ${options.version}` : 'Stripewright',
		name,
		sheet: number,
		of: total,
		pieces: [{ ...piece, panel: piece.panelTitle, number: `${piece.number}`, kind: KINDS[piece.kind].name }],
		print: `${paper.name}${paper.heightMm === undefined ? '' : ` ${orientation}`}, ${print}`,
		joins: joins.map((join) => `${join.at}: sheet ${join.sheet}`),
	}
	const drawnBlock = titleBlock(words, block, band === 'below' ? 'top' : 'bottom')
	const drawnSquare = checkSquare(square, options.job.unit, notesOf(plan))
	const register = joins.length > 0 ? [registerGroup(page)] : []
	const drawing = {
		widthMm,
		heightMm,
		title: `${options.job.title}, sheet ${number} of ${total}: ${piece.title}`,
		items: [placed(page, placement), ...register, drawnSquare.group, drawnBlock.group],
	}
	const sheet: Sheet = {
		number,
		name,
		paper: paper.id,
		orientation,
		pieceIds: [piece.id],
		placements: [placement],
		joins,
		live,
		checkSquare: square,
		scale,
		drawing,
	}
	const short = drawnBlock.cut || drawnSquare.cut > 0
	// one word per piece is enough
	return { sheet, problems: short && tile === plan.grid.tiles[0] ? [fullBlock(name)] : [] }
}

const mapOf = ({ piece, grid, joinsThroughWorking }: Plan, pages: readonly Page[]): SheetMap => ({
	pieceId: piece.id,
	rows: grid.rows,
	columns: grid.columns,
	joinsThroughWorking,
	places: pages.map(({ tile, name }) => ({ row: tile.row, column: tile.column, sheet: name })),
})

/**
 * The finished sheets, numbered in the order of the pieces: each piece has a sheet of its own, or several that overlap by
 * 10 mm. Drawings are true size; a printer's correction is stated on them and left to the PDF writer (`sheet.scale`).
 * Problems: UNKNOWN_PAPER, PAPER_TOO_SMALL, PRINTER_MEASURE, TOO_MANY_SHEETS (for that piece alone), TEXT_SHORTENED.
 */
export function layoutSheets(pieces: readonly Piece[], options: LayoutOptions): Outcome<Sheets> {
	const paper: Outcome<Paper> =
		typeof options.paper === 'string' ? findPaper(options.paper, options.papers) : { value: options.paper, problems: [] }
	const correction = correctionOf(options.printer)
	const early = [...paper.problems, ...correction.problems]
	if (!paper.value || !correction.value) return { problems: early }
	const stock = { paper: paper.value, margins: options.margins, correction: correction.value }
	const planned = pieces.map((piece) => planPiece(piece, stock))
	const plans = planned.flatMap(({ value }) => (value ? [value] : []))
	const problems = [...early, ...unique(planned.flatMap((outcome) => outcome.problems))]
	if (pieces.length > 0 && plans.length === 0) return { problems }
	const sets = plans.map(pagesOf)
	const pages = sets.flat()
	const set = { options, print: correctionText(options.printer, correction.value), total: pages.length }
	const drawn = pages.map((page, index) => drawSheet(page, index + 1, set))
	return {
		value: {
			sheets: drawn.map(({ sheet }) => sheet),
			maps: plans.flatMap((plan, i) => (plan.grid.tiles.length > 1 ? [mapOf(plan, sets[i] as readonly Page[])] : [])),
		},
		problems: [...problems, ...drawn.flatMap((one) => one.problems)],
	}
}

/** A paper that is too small is too small for every piece: said once. */
function unique(problems: readonly Problem[]): readonly Problem[] {
	const seen = new Set()
	return problems.filter(({ code, found }) => {
		const key = `${code} ${found}`
		return !seen.has(key) && seen.add(key)
	})
}
