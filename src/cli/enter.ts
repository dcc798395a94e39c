/** `stripewright enter JOB TABLE`: the rows of a table go into the job file, which otherwise stays as it is. */
import { resolve } from 'node:path'
import { readText } from '../files/readText.ts'
import type { Entered, EnteredPanel } from '../job/enter.ts'
import { enteredWords } from '../job/enteredWords.ts'
import { panelIds } from '../job/enterPanels.ts'
import { enterTable, unitSaid } from '../job/enterTable.ts'
import { nearest } from '../job/nearest.ts'
import type { Problem } from '../job/problem.ts'
import { listedShort, plural, quoteValue } from '../job/say.ts'
import { readSource } from '../job/source.ts'
import type { Unit } from '../units/length.ts'
import type { Answer } from './answer.ts'
import { jobFile } from './readJob.ts'
import { keptName, replaceFile } from './replaceFile.ts'
import type { World } from './world.ts'

export interface EnterOptions {
	readonly panel?: string
	readonly unit?: Unit
}

const command = 'enter'

export async function enter(world: World, job: string, from: string, options: EnterOptions): Promise<Answer> {
	const { disk, folder } = world
	const misuse = (problems: readonly Problem[]): Answer => ({ command, problems, misuse: true })
	const file = await jobFile(disk, folder, job)
	if (file.value === undefined) return misuse(file.problems)
	const said = file.value
	const text = await readText(disk, said, { from: folder })
	if (text.value === undefined) return misuse(text.problems)
	const path = await disk.real(resolve(folder, said))
	const before = await disk.read(path)
	const source = readSource(text.value, said)
	if (!source.value) return { command, problems: source.problems }
	const unit = unitSaid(source.value)
	if (unit.value === undefined) return { command, problems: unit.problems }
	const panels = panelIds(source.value)
	if (options.panel !== undefined && !panels.includes(options.panel)) return misuse([unknownPanel(options.panel, panels)])

	const cells = await readText(disk, from, { from: folder, oldEncodings: true })
	if (cells.value === undefined) return misuse(cells.problems)
	const entered = enterTable(source.value, unit.value, cells.value, { ...options, file: from })
	const { problems } = entered
	const answer = { command, unit: unit.value }
	if (!entered.value) return { ...answer, problems }
	const fresh = entered.value.text !== source.value.text
	if (fresh) {
		const bytes = encodedAs(before, entered.value.text)
		const wrong = await replaceFile(disk, path, bytes, { before, said, process: world.process })
		if (wrong) return { ...answer, problems: [...problems, wrong] }
	}
	const kept = fresh ? keptName(said) : undefined
	const data = { file: said, ...(kept === undefined ? {} : { kept }), panels: entered.value.panels }
	return { ...answer, problems, text: report(entered.value, said, kept, job), data }
}

function unknownPanel(wanted: string, panels: readonly string[]): Problem {
	const near = nearest(wanted, panels)
	return {
		...{ code: 'UNKNOWN_PANEL', severity: 'error', path: '', found: `the panel ${quoteValue(wanted)}` },
		expected: panels.length > 0 ? `one of ${listedShort(panels)}` : 'a panel of the job, which has none',
		fix: near ? `write ${near} if that is meant` : 'look at the ids of the panels in the job file',
	}
}

/** In the encoding that the file had: UTF-8, with its byte order mark where it had one, or UTF-16. */
function encodedAs(before: Uint8Array, text: string): Uint8Array {
	if (before[0] === 0xff && before[1] === 0xfe) return Buffer.from(`\ufeff${text}`, 'utf16le')
	const marked = before[0] === 0xef && before[1] === 0xbb && before[2] === 0xbf
	return new TextEncoder().encode(marked ? `\ufeff${text}` : text)
}

function report({ panels, passed }: Entered, said: string, kept: string | undefined, job: string): string {
	const lines = [kept === undefined ? `Nothing new for ${said}; it is as it was.` : `Entered into ${said} (as it was: ${kept}).`]
	for (const panel of panels) lines.push(...panelLines(panel))
	if (passed > 0) lines.push(`${plural(passed, 'row')} of other panels passed over.`)
	return `${lines.join('\n')}\n\nNext:\n  stripewright check ${job}\n`
}

function panelLines(panel: EnteredPanel): readonly string[] {
	const { counts, more } = enteredWords(panel)
	return [`  ${panel.title}: ${counts}`, ...more.map((line) => `    ${line}`)]
}
