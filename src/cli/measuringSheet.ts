/** `stripewright measuring-sheet JOB`: pages to measure with, and the table that brings the numbers back. */
import { dirname, join } from 'node:path'
import { fonts } from '../files/package.ts'
import { nearest } from '../job/nearest.ts'
import type { Problem } from '../job/problem.ts'
import { listedShort, plural, quoteValue } from '../job/say.ts'
import { paperToWriteOn } from '../report/paperToWriteOn.ts'
import { printedMeasuringSheet, printedPdf } from '../report/printed.ts'
import type { Answer } from './answer.ts'
import { type JobOptions, readJob } from './readJob.ts'
import type { World } from './world.ts'
import { inTheWay, tableBeside, writeSheet } from './writeSheet.ts'
import { unknownPaper } from './writtenPaper.ts'

export interface MeasuringSheetOptions extends JobOptions {
	readonly panel?: string
	readonly out?: string
	readonly semicolons?: boolean
}

const command = 'measuring-sheet'
const FILE = 'measuring-sheet.pdf'

/** Neither the sheet nor its table is ever written over another file: figures may stand in it. */
export async function printMeasuringSheet(world: World, said: string, options: MeasuringSheetOptions): Promise<Answer> {
	const answer = await readJob(world, said, options)
	if (answer.kind !== 'read') return { command, problems: answer.problems, misuse: answer.kind === 'misuse' }
	const { loaded, shop, problems: read, file } = answer.job
	const { job, unit } = loaded
	const misuse = (problem: Problem): Answer => ({ command, unit, problems: [problem], misuse: true })
	const { panel } = options
	const ids = job.panels.map(({ id }) => id)
	if (panel !== undefined && !ids.includes(panel)) return misuse(unknownPanel(panel, ids))

	const paper = paperToWriteOn(shop, options)
	if (!paper) return misuse(unknownPaper)
	const sheet = printedMeasuringSheet(job, shop, paper, options)
	const problems = [...read, ...sheet.problems]
	if (!sheet.value) return { command, unit, problems }
	const { pages, csv } = sheet.value
	const pdf = options.out ?? join(dirname(file), FILE)
	const there = await inTheWay(world, pdf)
	if (there) return misuse(there)
	const bytes = await printedPdf(sheet.value, fonts())
	const wrong = await writeSheet(world, pdf, bytes, csv)
	if (wrong) return { command, unit, problems: [...problems, wrong], misuse: wrong.code === 'FILE_IN_THE_WAY' }
	const table = tableBeside(pdf)
	const { marks, lengths } = sheet.value
	const what = `${plural(marks, 'mark')} and ${plural(lengths, 'length')} on ${plural(pages.length, 'page')}`
	const text = `${pdf} is ready: ${what} (${paper.name}). Measure, write, type the figures into ${table}, then:\n  stripewright enter ${said} ${table}\n`
	return { command, unit, problems, text, data: { file: pdf, table, pages: pages.length, marks, lengths } }
}

function unknownPanel(wanted: string, panels: readonly string[]): Problem {
	const near = nearest(wanted, panels)
	return {
		...{ code: 'UNKNOWN_PANEL', severity: 'error', path: '', found: `the panel ${quoteValue(wanted)}` },
		expected: `one of ${listedShort(panels)}`,
		fix: near ? `write ${near} if that is meant` : 'look at the ids of the panels in the job file',
	}
}
