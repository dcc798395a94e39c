/** The measuring sheet: pages to write on at the stand, panel by panel, before anything is stripped. */
import type { Drawing } from '../drawing/drawing.ts'
import { revisionOf } from '../engine/cache.ts'
import type { Outcome, Problem } from '../job/problem.ts'
import type { Job, Panel } from '../job/schema.ts'
import type { Shop } from '../job/shop.ts'
import type { Paper } from '../sheet/paper.ts'
import type { Margins } from '../sheet/printer.ts'
import { benchCautions } from './cautions.ts'
import { decalTable, lengthTable, markTable, photoTable, stripeTable } from './measuringSheetContent.ts'
import { measuringCsv, type SheetPanel } from './measuringSheetCsv.ts'
import { pictureBlock } from './measuringSheetPicture.ts'
import { knownPanels, roughPlaces } from './measuringSheetPlaces.ts'
import { measuringRows } from './measuringSheetRows.ts'
import { tableFlow } from './measuringSheetTable.ts'
import { noteBlock, type Section, writtenPages } from './writtenPages.ts'

export interface MeasuringSheetOptions {
	readonly paper: Paper
	readonly margins: Margins
	/** this panel alone */
	readonly panel?: string
	/** in its table */
	readonly semicolons?: boolean
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

/**
 * Pages for every panel (or one), each beginning on a page of its own: the panel with its marks, tables with blanks for them, lengths
 * that check them, widths of stripes, decals, photographs; and the same blanks as a table for `enter`. Asks for datums and a rough
 * scheme alone: what is measured already stands beside its blank. Problem MEASURING_PAPER where the paper has no room.
 */
export function measuringSheet(
	job: Job,
	shop: Shop,
	{ paper, margins, panel, semicolons = false }: MeasuringSheetOptions,
): Outcome<MeasuringSheet> {
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
	const sections = sheets.map((sheet, i): Section => {
		const picture = pictureBlock(sheet.panel, sheet.rows.marks, sheet.places, widthMm, heightMm * PICTURE_PART)
		const flows = [
			{ blocks: [picture, noteBlock(notesOf(job, sheet.panel, i === 0), widthMm)] },
			tableFlow(markTable(sheet.panel, sheet.rows.marks, job.unit)),
			tableFlow(lengthTable(sheet.panel, sheet.rows.lengths, job.unit)),
			...stripeTable(sheet.panel, job).map(tableFlow),
			tableFlow(decalTable(sheet.panel, job.unit)),
			tableFlow(photoTable),
		]
		return { subject: sheet.panel.title ?? sheet.panel.id, flows }
	})
	const pages = writtenPages({ kind: 'Measuring sheet', job, revision, paper, margins }, sections)
	const csv = measuringCsv(job.title, sheets satisfies readonly SheetPanel[], job.unit, { semicolons })
	const count = (of: 'marks' | 'lengths') => sheets.reduce((sum, { rows }) => sum + rows[of].length, 0)
	return {
		value: { revision, pages, csv, panels: sheets.length, marks: count('marks'), lengths: count('lengths') },
		problems: [],
	}
}

function notesOf(job: Job, panel: Panel, first: boolean): readonly string[] {
	const zero = panel.datums.find(({ station, girth }) => station === 0 && girth === 0)
	const from = zero ? `${zero.id}${zero.what ? ` (${zero.what})` : ''}` : 'the first datum'
	const ring = panel.found.kind === 'sections' && panel.found.closed === true
	const run = ring ? `round from the top, over the ${panel.hand} side first` : `rearward from ${from}, negative ahead of it`
	const sides = panel.hand === 'centre' || panel.hand === 'pair' ? ' LEFT and RIGHT are the rider’s.' : ''
	const above = panel.hand === 'centre' ? '' : ' Ring above or below: the side of the baseline that the mark is on.'
	return [
		`Not to scale. Rings are datums, crosses the marks, roughly where they are. Stations run ${run}; girth is square off the baseline, the tape lying on the panel.${sides}${above} Figures in grey were read before: read again without looking at them.`,
		...(first ? benchCautions(job) : []),
	]
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
