/** Pieces on sheets, each sheet a finished page. */
import { boxHeight, boxWidth } from '../drawing/box.ts'
import { movePoint } from '../drawing/place.ts'
import type { Outcome, Problem } from '../job/problem.ts'
import type { Piece } from '../template/piece.ts'
import { type Arrangement, arrangements, type Stock } from './arrange.ts'
import { numberList } from './notes.ts'
import { type Packed, packPieces } from './pack.ts'
import { drawPage, type JobWords, type Page, wordsFit } from './page.ts'
import { findPaper, type OwnPaper, type Paper } from './paper.ts'
import { type PiecePlan, type PlanCache, planPiece } from './plan.ts'
import { correctionOf, correctionText, type Margins, type Printer } from './printer.ts'
import type { PieceShape } from './shape.ts'
import { type MapPart, mapBeside, mapSheets } from './sheetMap.ts'
import type { SheetMap, Sheets } from './sheets.ts'
import { type Tile, tileName } from './tile.ts'

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
	/** plans of earlier runs for the very same pieces */
	readonly cache?: PlanCache
}

/** Sheets that belong together, in order: one, or all of a piece. */
interface SheetSet {
	readonly pages: readonly Page[]
	readonly map: MapPart
	readonly tiled?: SheetMap
	/** boxes of its first sheet that nothing stands in */
	readonly free: readonly Packed['free'][number][]
}

const firstNumber = ({ pages }: SheetSet): number =>
	Math.min(...pages.flatMap(({ laid }) => laid.map(({ shape }) => shape.piece.number)))

const outlinesOn = (page: Page) =>
	page.laid.flatMap(({ shape, angle, shift }) => shape.outline.map((loop) => loop.map((p) => movePoint(p, { at: shift, angle }))))

/** A sheet with one or more whole pieces. */
function wholeSet(arrangement: Arrangement, laid: Page['laid'], free: SheetSet['free'] = []): SheetSet {
	const numbers = laid.map(({ shape }) => shape.piece.number).sort((a, b) => a - b)
	const name = numbers.length === 1 ? `${numbers[0]}` : `${numbers[0]} +${numbers.length - 1}`
	const page = { name, arrangement, laid }
	const { widthMm, heightMm } = arrangement
	const map: MapPart = {
		widthMm,
		heightMm,
		label: numberList(numbers),
		outlines: outlinesOn(page),
		windows: [{ box: { minX: 0, minY: 0, maxX: widthMm, maxY: heightMm } }],
	}
	return { pages: [page], map, free }
}

/** Sets of earlier runs, by the plan of the piece, or the shape of the first of several, and how they are laid. */
const known = new WeakMap<PiecePlan | PieceShape, Map<string, SheetSet>>()
const ids = new WeakMap<PieceShape, number>()
let lastId = 0

function idOf(shape: PieceShape): number {
	const id = ids.get(shape) ?? ++lastId
	ids.set(shape, id)
	return id
}

/** The set made for this before, so that its pages are the very ones that were drawn; else made now. */
function setOnce(of: PiecePlan | PieceShape, key: string, make: () => SheetSet): SheetSet {
	const own = known.get(of) ?? new Map<string, SheetSet>()
	known.set(of, own)
	const set = own.get(key) ?? make()
	own.set(key, set)
	return set
}

/** A sheet of pieces that were packed together. */
function packedSet({ arrangement, laid, free }: Packed): SheetSet {
	const { paper: _, ...way } = arrangement
	const key = JSON.stringify([way, laid.map(({ shape, angle, shift }) => [idOf(shape), angle, shift]), free])
	return setOnce((laid[0] as Packed['laid'][number]).shape, key, () => wholeSet(arrangement, laid, free))
}

/** A piece over several sheets. */
function tiledSet(plan: Extract<PiecePlan, { how: 'tiled' }>): SheetSet {
	const { shape, tiled, whole } = plan
	const { grid, arrangement, angle, meetings } = tiled
	const { tiles } = grid
	const nameOf = (tile: Tile) => (tiles.length > 1 ? `${shape.piece.number}-${tileName(tile)}` : `${shape.piece.number}`)
	const pages = tiles.map(
		(tile): Page => ({
			name: nameOf(tile),
			arrangement,
			laid: [
				{ shape, angle, shift: { x: arrangement.live.minX - tile.window.minX, y: arrangement.live.minY - tile.window.minY } },
			],
			tile: { tile, joins: meetings.filter(({ first, second }) => first === tile || second === tile), nameOf },
			notes: [whole ? `In one piece it goes on ${whole.name}.` : 'It goes on no sheet or roll in one piece.'],
		}),
	)
	const left = Math.min(...tiles.map(({ window }) => window.minX))
	const bottom = Math.min(...tiles.map(({ window }) => window.minY))
	const at = { x: -left, y: -bottom }
	const map: MapPart = {
		widthMm: Math.max(...tiles.map(({ window }) => window.maxX)) - left,
		heightMm: Math.max(...tiles.map(({ window }) => window.maxY)) - bottom,
		label: `${shape.piece.number}, ${tiles.length} sheets to join`,
		outlines: shape.outline.map((loop) => loop.map((p) => movePoint(p, { at, angle }))),
		windows: tiles.map((tile) => ({
			box: {
				minX: tile.window.minX - left,
				minY: tile.window.minY - bottom,
				maxX: tile.window.maxX - left,
				maxY: tile.window.maxY - bottom,
			},
			name: tileName(tile),
		})),
	}
	const sheetMap: SheetMap = {
		pieceId: shape.piece.id,
		rows: grid.rows,
		columns: grid.columns,
		joinsThroughWorking: tiled.joins,
		places: tiles.map((tile) => ({ row: tile.row, column: tile.column, sheet: nameOf(tile) })),
	}
	return { pages, map, tiled: sheetMap, free: [] }
}

const shortened = (name: string): Problem => ({
	code: 'TEXT_SHORTENED',
	severity: 'note',
	path: '',
	found: `more words than sheet ${name} has room for`,
	expected: 'titles and notes that fit beside and inside the check square',
	fix: 'Shorten the titles or take a larger paper; the words in full are in the report.',
})

function setsOf(plans: readonly PiecePlan[], stock: Stock, words: JobWords): readonly SheetSet[] {
	const { paper, margins, correction } = stock
	const small = plans.flatMap((plan) => (plan.how === 'packed' ? [plan.shape] : []))
	const fits = new Map<string, boolean>()
	const packed = packPieces(small, {
		ways: (need) => arrangements(paper, margins, correction, need).value ?? [],
		roll: paper.heightMm === undefined,
		// Most sheets come up in several of the ways that are tried.
		wordsFit: (shapes, arrangement) => {
			const key = `${arrangement.orientation} ${arrangement.band} ${arrangement.heightMm} ${shapes.map(idOf).join(' ')}`
			const known = fits.get(key)
			if (known !== undefined) return known
			const laid = shapes.map((shape) => ({ shape, angle: 0, shift: { x: 0, y: 0 } }))
			const fit = wordsFit({ name: '', arrangement, laid }, words)
			fits.set(key, fit)
			return fit
		},
	})
	const sets = [
		...packed.map(packedSet),
		...plans.flatMap((plan): readonly SheetSet[] => {
			if (plan.how === 'packed') return []
			return [
				setOnce(plan, '', () => {
					if (plan.how === 'tiled') return tiledSet(plan)
					const { arrangement, angle, shift } = plan.around
					return wholeSet(arrangement, [{ shape: plan.shape, angle, shift }])
				}),
			]
		}),
	]
	return sets.sort((a, b) => firstNumber(a) - firstNumber(b))
}

/** The map on the first sheet, beside its pieces where there is room, else on a sheet of its own before them; one sheet needs none. */
function withMap(sets: readonly SheetSet[], stock: Stock): readonly Page[] {
	const pages = sets.flatMap((set) => set.pages)
	const [first, ...rest] = pages
	if (!first || rest.length === 0) return pages
	const partsFrom = (start: number) => {
		let next = start
		return sets.map(({ map, pages: own }): MapPart => {
			const from = next
			next += own.length
			const sheets = own.length === 1 ? `Sheet ${from}` : `Sheets ${from}-${next - 1}`
			return { ...map, label: `${sheets}: ${map.label}` }
		})
	}
	for (const box of (sets[0] as SheetSet).free.toSorted((a, b) => boxWidth(b) * boxHeight(b) - boxWidth(a) * boxHeight(a))) {
		const map = mapBeside(partsFrom(1), box)
		if (map) return [{ ...first, map }, ...rest]
	}
	const { paper, margins, correction } = stock
	const way = (arrangements(paper, margins, correction, 180).value ?? []).reduce<Arrangement | undefined>(
		(best, one) =>
			!best || boxWidth(one.live) * boxHeight(one.live) > boxWidth(best.live) * boxHeight(best.live) + 1 ? one : best,
		undefined,
	)
	if (!way) return pages
	// how many sheets the map takes shifts the numbers it prints; by then it is known
	const count = mapSheets(partsFrom(2), way.live).length
	const maps = mapSheets(partsFrom(count + 1), way.live)
	const page = (map: NonNullable<Page['map']>, i: number): Page => ({
		name: maps.length > 1 ? `Map ${i + 1}` : 'Map',
		arrangement: way,
		laid: [],
		map,
	})
	return [...maps.map(page), ...pages]
}

/**
 * The finished sheets, numbered in the order of the pieces. Small pieces share sheets; a piece that has no room beside the check square
 * is laid round it; a larger one goes over several sheets that overlap by 10 mm, with the fewest joins through its working edges, then
 * the fewest sheets. Drawings are true size; a printer's correction is stated on them and left to the PDF writer (`sheet.scale`).
 * Problems: UNKNOWN_PAPER, PAPER_TOO_SMALL, PRINTER_MEASURE, PIECE_TOO_LONG and TOO_MANY_SHEETS (for that piece alone), ONLY_ROLL,
 * TEXT_SHORTENED.
 */
export function layoutSheets(pieces: readonly Piece[], options: LayoutOptions): Outcome<Sheets> {
	const paper: Outcome<Paper> =
		typeof options.paper === 'string' ? findPaper(options.paper, options.papers) : { value: options.paper, problems: [] }
	const correction = correctionOf(options.printer)
	const early = [...paper.problems, ...correction.problems]
	if (!paper.value || !correction.value) return { problems: early }
	const stock: Stock = { paper: paper.value, margins: options.margins, correction: correction.value }
	const planned = pieces.map((piece) => planPiece(piece, stock, options.cache))
	const plans = planned.flatMap(({ value }) => (value ? [value] : []))
	const problems = [...early, ...unique(planned.flatMap((outcome) => outcome.problems))]
	if (pieces.length > 0 && plans.length === 0) return { problems }
	const words: JobWords = {
		...options.job,
		creator: options.version ? `Stripewright ${options.version}` : 'Stripewright',
		print: correctionText(options.printer, correction.value),
	}
	const sets = setsOf(plans, stock, words)
	const pages = withMap(sets, stock)
	const drawn = pages.map((page, index) => ({ page, ...drawPage(page, index + 1, pages.length, words) }))
	const told = new Set<unknown>()
	for (const { page, cut } of drawn) {
		// one word per piece is enough
		const key = page.laid[0]?.shape ?? page
		if (cut && !told.has(key)) problems.push(shortened(page.name))
		if (cut) told.add(key)
	}
	return {
		value: { sheets: drawn.map(({ sheet }) => sheet), maps: sets.flatMap(({ tiled }) => (tiled ? [tiled] : [])) },
		problems,
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
