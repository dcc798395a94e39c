/** `stripewright proof JOB`: strips and guides to hold against the old paint before it is stripped. */
import { compute } from '../engine/compute.ts'
import { fonts, version } from '../files/package.ts'
import { plural } from '../job/say.ts'
import { paperToWriteOn } from '../report/paperToWriteOn.ts'
import { type Filled, printedPdf, printedProof } from '../report/printed.ts'
import type { Answer } from './answer.ts'
import { sayProgress } from './check.ts'
import { type JobOptions, readJob } from './readJob.ts'
import type { World } from './world.ts'
import { tableBeside, writeSheet } from './writeSheet.ts'
import { unknownPaper } from './writtenPaper.ts'

export interface ProofOptions extends JobOptions {
	readonly out?: string
	readonly semicolons?: boolean
}

const FILE = 'proof.pdf'

export async function printProof(world: World, said: string, options: ProofOptions): Promise<Answer> {
	const command = 'proof'
	const answer = await readJob(world, said, options)
	if (answer.kind !== 'read') return { command, problems: answer.problems, misuse: answer.kind === 'misuse' }
	const { loaded, shop, problems: read, placed } = answer.job
	const result = compute(loaded.job, shop, {
		proof: true,
		version: version(),
		progress: (part, doing) => world.progress(sayProgress(part, doing)),
		...(options.paper === undefined ? {} : { paper: options.paper }),
		...(options.printer === undefined ? {} : { printer: options.printer }),
	})
	const problems = [...read, ...placed(result.problems)]
	const sheets = result.sheets?.sheets ?? []
	const { unit } = loaded
	if (sheets.length === 0) return { command, unit, problems, text: 'Nothing was made.\n', data: { file: null } }
	if (!paperToWriteOn(shop, options)) return { command, unit, problems: [unknownPaper], misuse: true }
	const print = printedProof(result, shop, options, { semicolons: options.semicolons === true }) as Filled
	const bytes = await printedPdf(print, fonts())
	const file = options.out ?? FILE
	const wrong = await writeSheet(world, file, bytes, print.csv)
	if (wrong) return { command, unit, problems: [...problems, wrong], misuse: wrong.code === 'FILE_IN_THE_WAY' }
	const table = tableBeside(file)
	const pages = print.pages.length - sheets.length
	const pieces = result.panels.reduce((sum, panel) => sum + (panel.pieces?.length ?? 0), 0)
	const what = `${plural(pieces, 'piece')} on ${plural(sheets.length, 'sheet')}, and ${plural(pages, 'page')} to write on`
	const text = `${file} is ready: ${what}. Lay the strips and guides on the OLD paint, write at each tick what the line misses it by, type the figures into ${table}, then:\n  stripewright enter ${said} ${table}\n  stripewright check ${said}\n`
	const data = { file, table, pieces, sheets: sheets.length, pages }
	return { command, unit, problems, text, data }
}
