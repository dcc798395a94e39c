/** `stripewright check-sheet JOB`: where to measure edges as taped, before anything is sprayed. */
import { dirname, join } from 'node:path'
import { toPdf } from '../drawing/pdf.ts'
import { compute, printsOn } from '../engine/compute.ts'
import { fonts, version } from '../files/package.ts'
import { plural } from '../job/say.ts'
import { checkSheet } from '../report/checkSheet.ts'
import { checkTable } from '../report/checkTable.ts'
import type { Answer } from './answer.ts'
import { sayProgress } from './check.ts'
import { type JobOptions, readJob } from './readJob.ts'
import type { World } from './world.ts'
import { tableBeside, writeSheet } from './writeSheet.ts'
import { paperToWriteOn, unknownPaper } from './writtenPaper.ts'

export interface CheckSheetOptions extends JobOptions {
	readonly out?: string
	readonly semicolons?: boolean
}

const FILE = 'check-sheet.pdf'

export async function printCheckSheet(world: World, said: string, options: CheckSheetOptions): Promise<Answer> {
	const command = 'check-sheet'
	const answer = await readJob(world, said, options)
	if (answer.kind !== 'read') return { command, problems: answer.problems, misuse: answer.kind === 'misuse' }
	const { loaded, shop, problems: read, placed, file } = answer.job
	const { unit } = loaded
	const paper = paperToWriteOn(shop, options)
	if (!paper) return { command, unit, problems: [unknownPaper], misuse: true }
	const result = compute(loaded.job, shop, {
		until: 'pieces',
		version: version(),
		progress: (part, doing) => world.progress(sayProgress(part, doing)),
	})
	const problems = [...read, ...placed(result.problems)]
	const pages = checkSheet(result, paper, printsOn(shop, options).margins)
	if (pages.length === 0) return { command, unit, problems, text: 'No line to check: nothing was made.\n', data: { file: null } }
	const bytes = await toPdf(pages, { title: `Check sheet: ${result.job.title}`, fonts: fonts(), revision: result.revision })
	const out = options.out ?? join(dirname(file), FILE)
	const wrong = await writeSheet(world, out, bytes, checkTable(result, { semicolons: options.semicolons === true }))
	if (wrong) return { command, unit, problems: [...problems, wrong], misuse: wrong.code === 'FILE_IN_THE_WAY' }
	const table = tableBeside(out)
	const text = `${out} is ready: ${plural(pages.length, 'page')} (${paper.name}). Measure the tape, write, type the figures into ${table}, then:\n  stripewright enter ${said} ${table}\n  stripewright check ${said}\n`
	return { command, unit, problems, text, data: { file: out, table, pages: pages.length } }
}
