/** Everything that is printed, as pages: one function for each print, so that whoever asks for it gets the same. */
import type { Drawing } from '../drawing/drawing.ts'
import { type PageScale, type PdfOptions, toPdf } from '../drawing/pdf.ts'
import { printsOn, type Result } from '../engine/compute.ts'
import type { Outcome } from '../job/problem.ts'
import type { Job } from '../job/schema.ts'
import type { Shop } from '../job/shop.ts'
import { findPaper, type Paper } from '../sheet/paper.ts'
import { testSheet } from '../sheet/testSheet.ts'
import type { TableOptions } from './blankTable.ts'
import { checkSheet } from './checkSheet.ts'
import { checkTable } from './checkTable.ts'
import { type MeasuringSheet, type MeasuringSheetOptions, measuringSheet } from './measuringSheet.ts'
import { type PaintworkFile, paintworkFiles } from './paintworkFiles.ts'
import { type Asked, pageFor, paperToWriteOn } from './paperToWriteOn.ts'
import { proofPages, proofTable } from './proofTable.ts'
import { sidesReport } from './sidesReport.ts'

/** The pages of one PDF, what it is called, and how much larger each page is printed. */
export interface Printed {
	readonly title: string
	readonly revision: string
	readonly pages: readonly Drawing[]
	readonly scale?: readonly PageScale[]
}

/** Pages with the table that brings back what is written on them. */
export interface Filled extends Printed {
	readonly csv: string
}

export const pdfOptions = ({ title, revision, scale }: Printed, fonts: PdfOptions['fonts']): PdfOptions => ({
	...{ title, fonts, revision },
	...(scale ? { scale } : {}),
})

export const printedPdf = (print: Printed, fonts: PdfOptions['fonts']): Promise<Uint8Array> =>
	toPdf(print.pages, pdfOptions(print, fonts))

/** The templates; undefined where nothing came as far as sheets. */
export function printedSheets({ sheets, job, revision }: Result): Printed | undefined {
	const all = sheets?.sheets ?? []
	if (all.length === 0) return undefined
	return { title: job.title, revision, pages: all.map(({ drawing }) => drawing), scale: all.map(({ scale }) => scale) }
}

/** The decals themselves, as they are seen and mirrored; none where the job has none. */
export function printedDecals({
	decalSheets,
	job,
	revision,
}: Result): readonly { readonly name: string; readonly printed: Printed }[] {
	return (
		[
			['decals.pdf', 'Decals', decalSheets?.plain],
			['decals-mirrored.pdf', 'Decals, mirrored', decalSheets?.mirrored],
		] as const
	).flatMap(([name, title, made]) => {
		const all = made?.sheets ?? []
		if (all.length === 0) return []
		const pages = all.map(({ drawing }) => drawing)
		return [{ name, printed: { title: `${title}: ${job.title}`, revision, pages, scale: all.map(({ scale }) => scale) } }]
	})
}

/** Pages to read, not to lay: on any office paper as large as A4 (common practice, no source). */
const PAGE_MARGINS = { left: 15, right: 15, top: 15, bottom: 15 }

/** Left against right and as taped; undefined where no panel has either. */
export function printedSides(result: Result): Printed | undefined {
	const pages = sidesReport(result, pageFor(result.sheets?.sheets[0]?.paper), PAGE_MARGINS)
	return pages.length > 0 ? { title: `Both sides: ${result.job.title}`, revision: result.revision, pages } : undefined
}

/** Cards, schedules, pictures and the stand file of tape and paint; none where they were not worked out. */
export function printedPaintwork(result: Result, shop: Shop): readonly PaintworkFile[] {
	const { paintwork, panels } = result
	const paper = pageFor(result.sheets?.sheets[0]?.paper)
	if (!paintwork) return []
	const numbers = new Map(panels.flatMap(({ pieces = [] }) => pieces.map(({ id, number }) => [id, number] as const)))
	const pieceOf = (mask: string) => numbers.get(`${mask}/piece`)
	return paintworkFiles({ result, shop, paintwork, pieceOf }, paper, PAGE_MARGINS)
}

/** Strips and guides for the old paint and the pages to write on, of a job computed as a proof; undefined where there are none. */
export function printedProof(result: Result, shop: Shop, asked: Asked, table: TableOptions = {}): Filled | undefined {
	const sheets = result.sheets?.sheets ?? []
	const paper = paperToWriteOn(shop, asked)
	if (sheets.length === 0 || !paper) return undefined
	const pages = proofPages(result, paper, printsOn(shop, asked).margins)
	return {
		...{ title: `Proof: ${result.job.title}`, revision: result.revision },
		pages: [...sheets.map(({ drawing }) => drawing), ...pages],
		scale: [...sheets.map(({ scale }) => scale), ...pages.map(() => ({ x: 1, y: 1 }))],
		csv: proofTable(result, table),
	}
}

/** Where to measure edges as taped; undefined where no line is known. */
export function printedCheckSheet(result: Result, shop: Shop, asked: Asked, table: TableOptions = {}): Filled | undefined {
	const paper = paperToWriteOn(shop, asked)
	const pages = paper ? checkSheet(result, paper, printsOn(shop, asked).margins) : []
	if (pages.length === 0) return undefined
	return { title: `Check sheet: ${result.job.title}`, revision: result.revision, pages, csv: checkTable(result, table) }
}

/** Pages to measure with. */
export function printedMeasuringSheet(
	job: Job,
	shop: Shop,
	paper: Paper,
	asked: Asked & Pick<MeasuringSheetOptions, 'panel' | 'semicolons'>,
): Outcome<MeasuringSheet & Filled> {
	const { margins } = printsOn(shop, asked)
	const { value, problems } = measuringSheet(job, shop, { ...asked, paper, margins })
	return value ? { value: { ...value, title: `Measuring sheet: ${job.title}` }, problems } : { problems }
}

/** The sheet that a printer is measured with: always without a correction, which comes from it. */
export function printedTestSheet(shop: Shop, asked: Asked): Outcome<Printed> {
	const { paper: name, margins, printer } = printsOn(shop, asked)
	const paper = findPaper(name, shop.papers)
	const { value, problems } = paper.value ? testSheet(paper.value, margins, printer) : paper
	return value && 'items' in value ? { value: { title: value.title, revision: 'test', pages: [value] }, problems } : { problems }
}
