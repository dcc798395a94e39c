/** What is drawn on one sheet. */
import type { Drawing, GroupItem, Item } from '../drawing/drawing.ts'
import { movePoint } from '../drawing/place.ts'
import type { PlanePoint } from '../plane/point.ts'
import type { Piece } from '../template/piece.ts'
import { lengthsIn } from '../units/format.ts'
import type { Unit } from '../units/length.ts'
import type { Arrangement } from './arrange.ts'
import { checkSquare, notesFit } from './checkSquare.ts'
import type { Join } from './join.ts'
import { KINDS, notesOf } from './notes.ts'
import type { Laid } from './pack.ts'
import { joinItems, READING_JOINS } from './register.ts'
import type { Placement, Sheet, SheetJoin } from './sheets.ts'
import type { Tile } from './tile.ts'
import { type BlockText, blockFits, titleBlock } from './titleBlock.ts'

/** A tile of a piece on this sheet, and its joins. */
export interface PageTile {
	readonly tile: Tile
	readonly joins: readonly Join[]
	/** the sheet of another tile */
	readonly nameOf: (tile: Tile) => string
}

export interface Page {
	readonly name: string
	readonly arrangement: Arrangement
	readonly laid: readonly Laid[]
	readonly tile?: PageTile
	/** the map of all sheets */
	readonly map?: GroupItem
	/** about the sheet itself, after the pieces' own */
	readonly notes?: readonly string[]
}

export interface JobWords {
	readonly title: string
	readonly revision: string
	readonly unit: 'mm' | 'in'
	readonly creator: string
	/** what is said of the printer's correction */
	readonly print: string
}

const piecesOf = ({ laid }: Pick<Page, 'laid'>): readonly Piece[] =>
	laid.map(({ shape }) => shape.piece).sort((a, b) => a.number - b.number)

const notesFor = (page: Pick<Page, 'laid' | 'tile' | 'notes'>, unit: Unit): readonly string[] => [
	...notesOf(piecesOf(page), unit),
	...[...(page.notes ?? []), ...(page.tile && page.tile.joins.length > 0 ? READING_JOINS : [])].map((note) =>
		lengthsIn(note, unit),
	),
]

function sheetJoin({ tile, nameOf }: PageTile, shift: PlanePoint, join: Join): SheetJoin {
	const first = join.first === tile
	const move = (p: PlanePoint) => movePoint(p, { at: shift, angle: 0 })
	return {
		at: join.upright ? (first ? 'right' : 'left') : first ? 'below' : 'above',
		sheet: nameOf(first ? join.second : join.first),
		cutHere: !first,
		line: [move(join.line[0]), move(join.line[1])],
		marks: join.marks.map(move),
	}
}

/** A piece as this sheet shows it. */
function placed({ shape, angle, shift }: Laid, page: Page): GroupItem {
	const { piece } = shape
	const inner: GroupItem = { kind: 'group', at: shift, angle, items: piece.items }
	if (!page.tile) return { kind: 'group', id: piece.id, title: piece.title, items: [inner] }
	return {
		kind: 'group',
		id: piece.id,
		title: `${piece.title} (sheet ${page.name})`,
		clip: page.arrangement.live,
		items: [inner],
	}
}

function registerGroup({ tile, joins, nameOf }: PageTile, name: string, shift: PlanePoint): GroupItem {
	const items = joins.flatMap((join) => {
		const first = join.first === tile
		const names = { own: name, other: nameOf(first ? join.second : join.first) }
		return joinItems(join, first ? 'first' : 'second', names, shift)
	})
	return { kind: 'group', id: 'register', title: 'Register marks', items }
}

function blockText(page: Page, words: JobWords, sheet: number, of: number, joins: readonly SheetJoin[]): BlockText {
	const { paper, orientation, widthMm, heightMm } = page.arrangement
	const size = paper.heightMm === undefined ? `, ${Math.round(widthMm)} x ${Math.round(heightMm)} mm` : ` ${orientation}`
	return {
		...words,
		name: page.name,
		sheet,
		of,
		pieces: piecesOf(page).map((piece) => ({
			...piece,
			panel: piece.panelTitle,
			number: `${piece.number}`,
			kind: KINDS[piece.kind].name,
		})),
		print: `${paper.name}${size}, ${words.print}`,
		joins: joins.map((join) => `${join.at}: sheet ${join.sheet}`),
	}
}

/** Have the title block and the notes room for all that is to be said of these pieces? */
export function wordsFit(page: Page, words: JobWords): boolean {
	const { block, square, notes } = page.arrangement
	// as long as any number of sheets
	return blockFits(blockText(page, words, 100, 100, []), block) && notesFit(square, words.unit, notesFor(page, words.unit), notes)
}

/** What a page shows whatever its number, its set's and its revision are. */
interface Content {
	readonly items: readonly Item[]
	readonly joins: readonly SheetJoin[]
	readonly placements: readonly Placement[]
	readonly cut: boolean
}

/** By page and unit: the pages of pieces that are laid as before are drawn as before. */
const contents = new WeakMap<Page, { readonly unit: Unit; readonly content: Content }>()

function contentOf(page: Page, unit: 'mm' | 'in'): Content {
	const known = contents.get(page)
	if (known?.unit === unit) return known.content
	const { arrangement, laid, tile, map, name } = page
	const { live, square, notes } = arrangement
	const shift = laid[0]?.shift ?? { x: 0, y: 0 }
	const joins = tile ? tile.joins.map((join) => sheetJoin(tile, shift, join)) : []
	const drawnSquare = checkSquare(square, unit, notesFor(page, unit), notes)
	const items: Item[] = laid.map((one) => placed(one, page))
	if (map) items.push(map)
	if (tile && joins.length > 0) items.push(registerGroup(tile, name, shift))
	items.push(drawnSquare.group, ...(drawnSquare.notes ? [drawnSquare.notes] : []))
	const placements: Placement[] = laid.map(({ shape, angle, shift: at }) => ({ pieceId: shape.piece.id, at, angle, clip: live }))
	const content = { items, joins, placements, cut: drawnSquare.cut > 0 }
	contents.set(page, { unit, content })
	return content
}

/** The sheet; `cut` says that not all words found room. */
export function drawPage(
	page: Page,
	number: number,
	total: number,
	words: JobWords,
): { readonly sheet: Sheet; readonly cut: boolean } {
	const { arrangement, laid, name } = page
	const { live, square, block, band, orientation, widthMm, heightMm, paper, scale } = arrangement
	const content = contentOf(page, words.unit)
	const { joins, placements } = content
	const drawnBlock = titleBlock(blockText(page, words, number, total, joins), block, band === 'beside' ? 'bottom' : 'top')
	const titles = laid.map(({ shape }) => shape.piece.title)
	const what = titles.length === 1 ? titles[0] : titles.length === 0 ? 'map' : `${titles.length} pieces`
	const drawing: Drawing = {
		widthMm,
		heightMm,
		title: `${words.title}, sheet ${number} of ${total}: ${what}`,
		items: [...content.items, drawnBlock.group],
	}
	return {
		sheet: {
			number,
			name,
			paper: paper.id,
			orientation,
			pieceIds: placements.map(({ pieceId }) => pieceId),
			placements,
			joins,
			live,
			checkSquare: square,
			scale,
			drawing,
		},
		cut: drawnBlock.cut || content.cut,
	}
}
