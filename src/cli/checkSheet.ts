/** `stripewright check-sheet JOB`: where to measure edges as taped, before anything is sprayed. */
import { dirname, join } from 'node:path'
import { compute } from '../engine/compute.ts'
import { fonts, version } from '../files/package.ts'
import { plural } from '../job/say.ts'
import { paperToWriteOn } from '../report/paperToWriteOn.ts'
import { printedCheckSheet, printedPdf } from '../report/printed.ts'
import type { Answer } from './answer.ts'
import { sayProgress } from './check.ts'
import { type JobOptions, readJob } from './readJob.ts'
import type { World } from './world.ts'
import { tableBeside, writeSheet } from './writeSheet.ts'
import { unknownPaper } from './writtenPaper.ts'

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
	const print = printedCheckSheet(result, shop, options, { semicolons: options.semicolons === true })
	if (!print) return { command, unit, problems, text: 'No line to check: nothing was made.\n', data: { file: null } }
	const bytes = await printedPdf(print, fonts())
	const out = options.out ?? join(dirname(file), FILE)
	const wrong = await writeSheet(world, out, bytes, print.csv)
	if (wrong) return { command, unit, problems: [...problems, wrong], misuse: wrong.code === 'FILE_IN_THE_WAY' }
	const table = tableBeside(out)
	const text = `${out} is ready: ${plural(print.pages.length, 'page')} (${paper.name}). Measure the tape, write, type the figures into ${table}, then:\n  stripewright enter ${said} ${table}\n  stripewright check ${said}\n`
	return { command, unit, problems, text, data: { file: out, table, pages: print.pages.length } }
}
