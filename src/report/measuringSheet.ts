/** The measuring sheet: pages to write on at the stand, panel by panel, before anything is stripped. */
import type { Drawing, Item } from '../drawing/drawing.ts'
import { textWidth } from '../drawing/metrics.ts'
import { wrapText } from '../drawing/wrap.ts'
import { revisionOf } from '../engine/cache.ts'
import type { Outcome, Problem } from '../job/problem.ts'
import type { Job, Panel } from '../job/schema.ts'
import type { Shop } from '../job/shop.ts'
import type { Paper } from '../sheet/paper.ts'
import type { Margins } from '../sheet/printer.ts'
import { benchCautions } from './cautions.ts'
import { decalTable, lengthTable, markTable, photoTable, stripeTable } from './measuringSheetContent.ts'
import { measuringCsv, type SheetPanel } from './measuringSheetCsv.ts'
import { pagesOf } from './measuringSheetPages.ts'
import { pictureBlock } from './measuringSheetPicture.ts'
import { knownPanels, roughPlaces } from './measuringSheetPlaces.ts'
import { measuringRows } from './measuringSheetRows.ts'
import { type Block, type Flow, fitted, rule, SMALL_MM, STRONG, tableFlow, words } from './measuringSheetTable.ts'

export interface MeasuringSheetOptions {
	readonly paper: Paper
	readonly margins: Margins
	/** this panel alone */
	readonly panel?: string
}

export interface MeasuringSheet {
	readonly revision: string
	readonly pages: readonly Drawing[]
	readonly csv: string
	readonly panels: number
	readonly marks: number
	readonly lengths: number
}

/** The narrowest and lowest room that the tables fit into: Letter and A4 upright with margins of 15 mm do. */
const LEAST = { widthMm: 175, heightMm: 225 }
/** A picture is no higher than a part of the page, so that the first table begins on it. */
const PICTURE_PART = 0.38
const HEAD_MM = 17
const FOOT_MM = 5

/**
 * Pages for every panel (or one), each beginning on a page of its own: the panel with its marks, tables with blanks for them, lengths
 * that check them, widths of stripes, decals, photographs; and the same blanks as a table for `enter`. Asks for datums and a rough
 * scheme alone: what is measured already stands beside its blank. Problem MEASURING_PAPER where the paper has no room.
 */
export function measuringSheet(job: Job, shop: Shop, { paper, margins, panel }: MeasuringSheetOptions): Outcome<MeasuringSheet> {
	const widthMm = paper.widthMm - margins.left - margins.right
	const heightMm = (paper.heightMm ?? 0) - margins.top - margins.bottom
	if (widthMm < LEAST.widthMm || heightMm < LEAST.heightMm) return { problems: [noRoom(paper)] }
	const revision = revisionOf(job, shop)
	const known = knownPanels(job, shop)
	const chosen = job.panels.flatMap((each, i) =>
		panel === undefined || each.id === panel ? [{ panel: each, known: known[i] }] : [],
	)
	const sheets = chosen.map((each) => {
		const places = roughPlaces(each.panel, each.known)
		return { panel: each.panel, places, rows: measuringRows(each.panel, places, job.unit) }
	})
	const room = { x: margins.left, widthMm, top: paper.heightMm! - margins.top - HEAD_MM, bottom: margins.bottom + FOOT_MM }
	const bodies = sheets.flatMap((sheet, i) => {
		const picture = pictureBlock(sheet.panel, sheet.rows.marks, sheet.places, widthMm, heightMm * PICTURE_PART)
		const flows: Flow[] = [
			{ blocks: [picture, noteBlock(notesOf(job, sheet.panel, i === 0), widthMm)] },
			tableFlow(markTable(sheet.panel, sheet.rows.marks, job.unit)),
			tableFlow(lengthTable(sheet.panel, sheet.rows.lengths, job.unit)),
			...stripeTable(sheet.panel, job).map(tableFlow),
			tableFlow(decalTable(sheet.panel, job.unit)),
			tableFlow(photoTable),
		]
		return pagesOf(flows, room).map((items) => ({ panel: sheet.panel, items }))
	})
	const pages = bodies.map(({ panel: own, items }, i): Drawing => {
		const head = headItems(job, own, revision, {
			x: room.x,
			widthMm,
			top: paper.heightMm! - margins.top,
			of: `page ${i + 1} of ${bodies.length}`,
		})
		const title = `Measuring sheet: ${own.title ?? own.id}, page ${i + 1} of ${bodies.length}`
		return { widthMm: paper.widthMm, heightMm: paper.heightMm!, title, items: [...head, ...items] }
	})
	const csv = measuringCsv(job.title, sheets satisfies readonly SheetPanel[], job.unit)
	const count = (of: 'marks' | 'lengths') => sheets.reduce((sum, { rows }) => sum + rows[of].length, 0)
	return {
		value: { revision, pages, csv, panels: sheets.length, marks: count('marks'), lengths: count('lengths') },
		problems: [],
	}
}

interface Head {
	readonly x: number
	readonly widthMm: number
	readonly top: number
	readonly of: string
}

/** What it is of, at the top of every page: loose sheets get mixed. */
function headItems(job: Job, panel: Panel, revision: string, { x, widthMm, top, of }: Head): readonly Item[] {
	const right = x + widthMm
	const title = fitted(`Measuring sheet: ${panel.title ?? panel.id}`, widthMm * 0.78, { sizeMm: 5.5, bold: true })
	const style = { sizeMm: 3.4 }
	const code = `, job code ${revision}, figures in ${job.unit === 'mm' ? 'mm' : 'inches'}`
	const about = fitted(job.title, widthMm * 0.55 - textWidth(code, style), style)
	return [
		words(x, top - 5, title.text, { sizeMm: title.sizeMm, bold: true }),
		words(right, top - 5, of, { sizeMm: 3.4, anchor: 'end' }),
		words(x, top - 11.5, about.text, { sizeMm: about.sizeMm }),
		words(x + textWidth(about.text, about), top - 11.5, code, style),
		words(right - widthMm * 0.43, top - 11.5, 'Date', { sizeMm: 3.4 }),
		rule(right - widthMm * 0.43 + 8, top - 12, right - widthMm * 0.22, top - 12),
		words(right - widthMm * 0.21, top - 11.5, 'By', { sizeMm: 3.4 }),
		rule(right - widthMm * 0.21 + 5.5, top - 12, right, top - 12),
		rule(x, top - 14, right, top - 14, STRONG),
	]
}

function notesOf(job: Job, panel: Panel, first: boolean): readonly string[] {
	const zero = panel.datums.find(({ station, girth }) => station === 0 && girth === 0)
	const from = zero ? `${zero.id}${zero.what ? ` (${zero.what})` : ''}` : 'the first datum'
	const sides = panel.hand === 'centre' || panel.hand === 'pair' ? ' LEFT and RIGHT are the rider’s.' : ''
	const above = panel.hand === 'centre' ? '' : ' Ring above or below: the side of the baseline that the mark is on.'
	return [
		`Not to scale. Rings are datums, crosses the marks, roughly where they are. Stations run rearward from ${from}, negative ahead of it; girth is square off the baseline, the tape lying on the panel.${sides}${above} Figures in grey were read before: read again without looking at them.`,
		...(first ? benchCautions(job) : []),
	]
}

const STEP = 1.25

function noteBlock(notes: readonly string[], widthMm: number): Block {
	const style = { sizeMm: SMALL_MM + 0.2 }
	const lines = notes.flatMap((note) => wrapText(note, widthMm, style))
	return {
		heightMm: lines.length * STEP * style.sizeMm + 2,
		draw: ({ x, top }) => lines.map((text, i) => words(x, top - (i + 1) * STEP * style.sizeMm, text, style)),
	}
}

function noRoom(paper: Paper): Problem {
	const found =
		paper.heightMm === undefined
			? `${paper.name}, which has no pages`
			: `${paper.name}, too small for the tables inside its margins`
	return {
		...{ code: 'MEASURING_PAPER', severity: 'error', path: '/paper', found },
		...{ expected: 'a cut sheet of A4, Letter or more', fix: 'Add --paper A4 (or letter).' },
	}
}
