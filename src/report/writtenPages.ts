/** Pages to be written on or read at the stand: the same head on each, flows of blocks below it. */
import type { Drawing, Item } from '../drawing/drawing.ts'
import { textWidth } from '../drawing/metrics.ts'
import { wrapText } from '../drawing/wrap.ts'
import type { Job } from '../job/schema.ts'
import type { Paper } from '../sheet/paper.ts'
import type { Margins } from '../sheet/printer.ts'
import { pagesOf } from './measuringSheetPages.ts'
import { type Block, type Flow, fitted, rule, SMALL_MM, STRONG, words } from './measuringSheetTable.ts'

/** What all pages of one paper are told. */
export interface Written {
	/** "Measuring sheet" */
	readonly kind: string
	readonly job: Job
	readonly revision: string
	/** a cut sheet */
	readonly paper: Paper
	readonly margins: Margins
}

/** One panel, beginning on a page of its own. */
export interface Section {
	readonly subject: string
	readonly flows: readonly Flow[]
}

const HEAD_MM = 17
const FOOT_MM = 5

export function writtenPages({ kind, job, revision, paper, margins }: Written, sections: readonly Section[]): readonly Drawing[] {
	const widthMm = paper.widthMm - margins.left - margins.right
	const heightMm = paper.heightMm ?? 0
	const room = { x: margins.left, widthMm, top: heightMm - margins.top - HEAD_MM, bottom: margins.bottom + FOOT_MM }
	const bodies = sections.flatMap(({ subject, flows }) => pagesOf(flows, room).map((items) => ({ subject, items })))
	return bodies.map(({ subject, items }, i): Drawing => {
		const of = `page ${i + 1} of ${bodies.length}`
		const title = `${kind}: ${subject}`
		const head = headItems(job, title, revision, { x: room.x, widthMm, top: heightMm - margins.top, of })
		return { widthMm: paper.widthMm, heightMm, title: `${title}, ${of}`, items: [...head, ...items] }
	})
}

interface Head {
	readonly x: number
	readonly widthMm: number
	readonly top: number
	readonly of: string
}

/** What it is of, at the top of every page: loose sheets get mixed. */
function headItems(job: Job, heading: string, revision: string, { x, widthMm, top, of }: Head): readonly Item[] {
	const right = x + widthMm
	const title = fitted(heading, widthMm * 0.78, { sizeMm: 5.5, bold: true })
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

const STEP = 1.25

/** Small print. */
export function noteBlock(notes: readonly string[], widthMm: number): Block {
	const style = { sizeMm: SMALL_MM + 0.2 }
	const lines = notes.flatMap((note) => wrapText(note, widthMm, style))
	return {
		heightMm: lines.length * STEP * style.sizeMm + 2,
		draw: ({ x, top }) => lines.map((text, i) => words(x, top - (i + 1) * STEP * style.sizeMm, text, style)),
	}
}

const LINE_MM = 3.2
const TITLE_MM = 8

/** A heading, a picture where there is one, and a paragraph for each sentence. */
export function headed(title: string, picture: Block | undefined, sentences: readonly string[], widthMm: number): Flow {
	const style = { sizeMm: LINE_MM }
	const heading = (again: boolean): Block => ({
		heightMm: TITLE_MM,
		withNext: true,
		draw: ({ x, top }) => [words(x, top - TITLE_MM + 2, again ? `${title} (continued)` : title, { sizeMm: 4, bold: true })],
	})
	const paragraphs = sentences.map((sentence): Block => {
		const lines = wrapText(sentence, widthMm, style)
		return {
			heightMm: lines.length * STEP * LINE_MM + 1.5,
			draw: ({ x, top }) => lines.map((text, i) => words(x, top - (i + 1) * STEP * LINE_MM, text, style)),
		}
	})
	return { heading, blocks: [...(picture ? [picture] : []), ...paragraphs] }
}
