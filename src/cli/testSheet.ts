/** `stripewright test-sheet`: a page to measure a printer with. */
import { printsOn } from '../engine/compute.ts'
import { fonts } from '../files/package.ts'
import { defaultShop } from '../job/shopDefaults.ts'
import { printedPdf, printedTestSheet } from '../report/printed.ts'
import { findPaper, type Paper } from '../sheet/paper.ts'
import type { Answer } from './answer.ts'
import { type JobOptions, readShop, unknownChoice } from './readJob.ts'
import type { World } from './world.ts'
import { writeNewFile } from './writeNewFile.ts'

export interface TestSheetOptions extends JobOptions {
	readonly out?: string
}

const command = 'test-sheet'
const FILE = 'test-sheet.pdf'

/** The sheet is always written without a correction: it is what the correction comes from. Never over another file. */
export async function printTestSheet(world: World, options: TestSheetOptions): Promise<Answer> {
	const read = await readShop(world, ['.'], options.shop)
	if ('unread' in read) return { command, problems: read.unread, misuse: true }
	const { shop: found } = read
	if (found && !found.value) return { command, problems: found.problems }
	const shop = found?.value?.shop ?? defaultShop()
	const unknown = unknownChoice(shop, options)
	if (unknown) return { command, problems: [unknown], misuse: true }
	const { paper: name, printer } = printsOn(shop, options)
	const sheet = printedTestSheet(shop, options)
	const problems = [...(found?.problems ?? []), ...sheet.problems]
	if (!sheet.value) return { command, problems }
	const bytes = await printedPdf(sheet.value, fonts())
	const file = options.out ?? FILE
	const wrong = await writeNewFile(world, file, bytes)
	if (wrong) return { command, problems: [...problems, wrong], misuse: wrong.code === 'FILE_IN_THE_WAY' }
	return { command, problems, text: next(file, findPaper(name, shop.papers).value as Paper, printer?.id), data: { file } }
}

const next = (file: string, paper: Paper, printer: string | undefined) =>
	`${file} is ready. Print it on ${paper.name} at 100 %, measure what it says, and type both lengths into the shop file${
		printer ? `, at the printer ${printer}` : ''
	}.\n`
