/** `stripewright enter JOB TABLE`: the rows of a table go into the job file, which otherwise stays as it is. */
import { resolve } from 'node:path'
import { readText } from '../files/readText.ts'
import { type CsvReadings, readCsv } from '../job/csv.ts'
import { FIGURES } from '../job/csvHeading.ts'
import type { List } from '../job/csvRow.ts'
import { type Entered, type EnteredPanel, enterReadings } from '../job/enter.ts'
import { panelIds } from '../job/enterPanels.ts'
import { isObject } from '../job/migrate.ts'
import { nearest } from '../job/nearest.ts'
import type { Outcome, Problem } from '../job/problem.ts'
import { listedShort, plural, quoteValue } from '../job/say.ts'
import { FORMAT } from '../job/schema.ts'
import { readSource, type Source, valuesOf } from '../job/source.ts'
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
	const unit = unitOf(source.value)
	if (unit.value === undefined) return { command, problems: unit.problems }
	const panels = panelIds(source.value)
	if (options.panel !== undefined && !panels.includes(options.panel)) return misuse([unknownPanel(options.panel, panels)])

	const cells = await readText(disk, from, { from: folder, oldEncodings: true })
	if (cells.value === undefined) return misuse(cells.problems)
	const table = readCsv(cells.value, {
		...{ unit: unit.value, file: from, panels, forJob: true },
		...(options.unit !== undefined && options.unit !== unit.value ? { bare: options.unit } : {}),
	})
	if (!table.value) return { command, problems: table.problems }
	const inches = unit.value === 'mm' && options.unit === undefined ? bareFraction(table.value, from) : undefined
	if (inches) return { command, problems: [...table.problems, inches] }
	const entered = enterReadings(source.value, table.value, {
		unit: unit.value,
		...(options.panel === undefined ? {} : { panel: options.panel }),
	})
	const problems = [...table.problems, ...entered.problems.map((problem) => ({ ...problem, file: problem.file ?? from }))]
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

/** The unit of a job's plain figures: nothing is written into a job that does not say it. */
function unitOf(source: Source): Outcome<Unit> {
	const file = valuesOf(source)
	const { unit, format } = isObject(file) ? file : ({} as { unit?: unknown; format?: unknown })
	const refuse = (code: string, found: string, expected: string, fix: string): Outcome<Unit> => ({
		problems: [{ code, severity: 'error', path: '', ...(source.file ? { file: source.file } : {}), found, expected, fix }],
	})
	if (typeof format === 'number' && format > FORMAT) {
		const fix = 'Use the newer version of this program that wrote it. Nothing was changed.'
		return refuse('FORMAT_NEWER', `a job of format ${format}`, `format ${FORMAT} or older`, fix)
	}
	if (unit === 'mm' || unit === 'in') return { value: unit, problems: [] }
	const found = unit === undefined ? 'a job that does not say its unit' : `\`unit\` is ${quoteValue(unit)}`
	return refuse('UNIT_NOT_SAID', found, '"mm" or "in"', 'Write "unit": "mm" (or "in") into the job. Nothing was changed.')
}

/** Nobody measures millimetres in fractions: a table of inches was meant for a job of inches, or has to say so. */
function bareFraction({ rows }: CsvReadings, file: string): Problem | undefined {
	for (const { cells, line } of rows) {
		for (const name of FIGURES) {
			const cell = cells.get(name)
			if (cell === undefined || !/\d\s*[/\u2044]\s*\d|[½¼¾⅛⅜⅝⅞]/.test(cell) || /[a-z"'\u2033]/i.test(cell)) continue
			return {
				...{ code: 'UNIT_NOT_SAID', severity: 'error', path: '', file, line },
				found: `a fraction (${name} ${quoteValue(cell)}) that does not say its unit, for a job in mm; nothing was entered`,
				expected: 'inches that say so',
				fix: 'add --unit in, or write the unit with the figure: "1 3/4 in"',
			}
		}
	}
	return undefined
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

/** So many changes are read line by line; the rest are counted. */
const MOST_LINES = 30

function report({ panels, passed }: Entered, said: string, kept: string | undefined, job: string): string {
	const lines = [kept === undefined ? `Nothing new for ${said}; it is as it was.` : `Entered into ${said} (as it was: ${kept}).`]
	for (const panel of panels) lines.push(...panelLines(panel))
	if (passed > 0) lines.push(`${plural(passed, 'row')} of other panels passed over.`)
	return `${lines.join('\n')}\n\nNext:\n  stripewright check ${job}\n`
}

const NOUNS: Readonly<Record<List, string>> = { readings: 'reading', proof: 'tick', checks: 'taped place' }

function panelLines({ title, lists, added, changed, same, blank }: EnteredPanel): readonly string[] {
	const [list = 'readings', other] = lists
	const counts = [
		`${plural(added.length, other ? 'row' : NOUNS[list])} new`,
		...(changed.length > 0 ? [`${changed.length} changed`] : []),
		...(same > 0 ? [`${same} as they were`] : []),
	]
	const shown = changed.slice(0, MOST_LINES).map((each) => `    changed ${each}`)
	const more = changed.length > MOST_LINES ? [`    and ${changed.length - MOST_LINES} more`] : []
	const still = blank.length > 0 ? [`    still blank: ${listedShort(blank, 'and', 8)}`] : []
	return [`  ${title}: ${counts.join(', ')}`, ...shown, ...more, ...still]
}
