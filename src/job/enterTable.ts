/** A filled table into the text of a job: read, checked against the job's unit, entered. */
import type { Unit } from '../units/length.ts'
import { type CsvReadings, readCsv } from './csv.ts'
import { FIGURES } from './csvHeading.ts'
import { type Entered, enterReadings } from './enter.ts'
import { panelIds } from './enterPanels.ts'
import { isObject } from './migrate.ts'
import type { Outcome, Problem } from './problem.ts'
import { quoteValue } from './say.ts'
import { FORMAT } from './schema.ts'
import { type Source, valuesOf } from './source.ts'

export interface TableOptions {
	/** the table's file, as the person named it */
	readonly file: string
	/** of figures that say none, where it is not the job's */
	readonly unit?: Unit
	/** the only panel that is entered, and the one of rows that name none */
	readonly panel?: string
}

/** Rows that do not fit are problems with their lines and left out; without a value nothing may be written. `unit` is the job's. */
export function enterTable(
	source: Source,
	unit: Unit,
	table: string,
	{ file, unit: bare, panel }: TableOptions,
): Outcome<Entered> {
	const read = readCsv(table, {
		...{ unit, file, panels: panelIds(source), forJob: true },
		...(bare !== undefined && bare !== unit ? { bare } : {}),
	})
	if (!read.value) return { problems: read.problems }
	const inches = unit === 'mm' && bare === undefined ? bareFraction(read.value, file) : undefined
	if (inches) return { problems: [...read.problems, inches] }
	const entered = enterReadings(source, read.value, { unit, ...(panel === undefined ? {} : { panel }) })
	const problems = [...read.problems, ...entered.problems.map((problem) => ({ ...problem, file: problem.file ?? file }))]
	return { ...entered, problems }
}

/** The unit of a job's plain figures: nothing is written into a job that does not say it. */
export function unitSaid(source: Source): Outcome<Unit> {
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
export function bareFraction({ rows }: CsvReadings, file?: string): Problem | undefined {
	for (const { cells, line } of rows) {
		for (const name of FIGURES) {
			const cell = cells.get(name)
			if (cell === undefined || !/\d\s*[/\u2044]\s*\d|[½¼¾⅛⅜⅝⅞]/.test(cell) || /[a-z"'\u2033]/i.test(cell)) continue
			return {
				...{ code: 'UNIT_NOT_SAID', severity: 'error', path: '', ...(file === undefined ? {} : { file }), line },
				found: `a fraction (${name} ${quoteValue(cell)}) that does not say its unit, for a job in mm; nothing was entered`,
				expected: 'inches that say so',
				fix: 'add --unit in, or write the unit with the figure: "1 3/4 in"',
			}
		}
	}
	return undefined
}
