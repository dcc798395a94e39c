/** Readings of a table entered into the text of a job. */
import type { Unit } from '../units/length.ts'
import type { CsvReadings, CsvRow } from './csv.ts'
import { unfit } from './enterFit.ts'
import { differences, identityOf, sayEntry } from './enterMatch.ts'
import { panelNotSaid, readAgain, tooMany, unknownNames } from './enterNotes.ts'
import { type JobPanel, type JobReading, jobPanels, listTrouble } from './enterPanels.ts'
import { type PanelChange, type ReadingChange, writeReadings } from './enterText.ts'
import { READING_LIMIT } from './load.ts'
import type { PlainObject } from './migrate.ts'
import type { Outcome, Problem } from './problem.ts'
import type { ReadingInput } from './schema.ts'
import { readSource, type Source } from './source.ts'

/** What became of the readings of one panel. */
export interface EnteredPanel {
	readonly id: string
	readonly title: string
	readonly added: readonly string[]
	/** "left/t1: girth 52, before 51.5" */
	readonly changed: readonly string[]
	/** that stood there as they are */
	readonly same: number
	/** rows of the table without figures, whose readings the job does not have either */
	readonly blank: readonly string[]
}

export interface Entered {
	/** the job file with the readings; the text as it was where nothing is new */
	readonly text: string
	readonly panels: readonly EnteredPanel[]
	/** rows of other panels than the one that was asked for */
	readonly passed: number
}

export interface EnterOptions {
	readonly unit: Unit
	/** the only panel that is entered, and the one of rows that name none */
	readonly panel?: string
}

/**
 * A reading that the job has already (same kind, marks and side) is changed where a figure differs, others are added after the last.
 * Nothing else in the text changes: only its syntax must be readable. A row that does not fit its panel is a problem with its line
 * in the table, and left out.
 */
export function enterReadings(source: Source, table: CsvReadings, { unit, panel: wanted }: EnterOptions): Outcome<Entered> {
	const panels = jobPanels(source)
	const problems: Problem[] = []
	const only = wanted ?? (panels.length === 1 ? panels[0]?.fit.id : undefined)
	const work = new Map(panels.map((panel) => [panel.fit.id, { panel, rows: [] as Fresh[], blank: [] as CsvRow[] }]))
	const lost: number[] = []
	let passed = 0
	for (const row of [...table.rows, ...table.blank]) {
		const to = row.panel ?? only
		if (to === undefined) lost.push(row.line)
		else if (wanted !== undefined && to !== wanted) passed++
		else if (row.readings.length === 0) work.get(to)?.blank.push(row)
		else for (const reading of row.readings) work.get(to)?.rows.push({ reading, line: row.line })
	}
	if (lost.length > 0) problems.push(panelNotSaid(lost, [...work.keys()]))

	const changes: PanelChange[] = []
	const entered: EnteredPanel[] = []
	for (const { panel, rows, blank } of work.values()) {
		if (rows.length === 0 && blank.length === 0) continue
		const wrong = listTrouble(panel.node)
		if (wrong) {
			problems.push({ ...wrong, place: { panel: panel.fit.id } })
			continue
		}
		const done = enterPanel(panel, rows, unit)
		problems.push(...done.problems)
		changes.push(done.change)
		entered.push({ ...done.said, blank: blank.flatMap((row) => stillBlank(row, panel.fit.hand, done.known, unit)) })
	}
	const count =
		panels.reduce((sum, { readings }) => sum + readings.length, 0) + changes.reduce((sum, { add }) => sum + add.length, 0)
	if (count > READING_LIMIT) return { problems: [...problems, tooMany(count)] }
	const text = writeReadings(source.text, changes)
	mustRead(text)
	return { value: { text, panels: entered, passed }, problems }
}

interface Fresh {
	readonly reading: ReadingInput
	readonly line: number
}

function enterPanel(panel: JobPanel, rows: readonly Fresh[], unit: Unit) {
	const { node, fit, title, readings } = panel
	const problems: Problem[] = []
	const old = new Map<string, JobReading[]>()
	for (const each of readings) addTo(old, identityOf(each.value, fit.hand, unit), each)
	const fresh = new Map<string, PlainObject[]>()
	for (const { reading, line } of rows) {
		const problem = unfit(reading, fit, line)
		if (problem) {
			problems.push(problem)
			continue
		}
		addTo(fresh, identityOf(reading, fit.hand, unit), reading)
	}
	const add: ReadingInput[] = []
	const set: ReadingChange[] = []
	const changed: string[] = []
	const again: string[] = []
	let same = 0
	for (const [key, list] of fresh) {
		const before = [...(old.get(key) ?? [])]
		const others: PlainObject[] = []
		for (const reading of list) {
			const at = before.findIndex(({ value }) => Object.keys(differences(value, reading, unit)).length === 0)
			if (at < 0) others.push(reading)
			else before.splice(at, 1)
		}
		same += list.length - others.length
		// read more than once before: nobody can tell which of them this one is to take the place of
		const [first, second] = before
		if (first && second && others.length > 0) again.push(...others.map(sayEntry))
		else if (first && others[0]) {
			const reading = others.shift() as PlainObject
			const values = differences(first.value, reading, unit)
			set.push({ reading: first.node, values })
			changed.push(`${sayEntry(reading)}: ${sayChange(values, first.value)}`)
		}
		add.push(...(others as unknown as ReadingInput[]).map(inOrder))
	}
	if (again.length > 0) problems.push(readAgain(again, fit.id))
	const unknown = unknownNames([...fresh.values()].flat(), panel)
	if (unknown) problems.push(unknown)
	const known = new Set([...old.keys(), ...fresh.keys()])
	const change: PanelChange = { panel: node, add, set }
	return { problems, change, known, said: { id: fit.id, title, added: add.map((each) => sayEntry({ ...each })), changed, same } }
}

function addTo<T>(map: Map<string, T[]>, key: string, value: T): void {
	const list = map.get(key)
	if (list) list.push(value)
	else map.set(key, [value])
}

/** Which of a pair comes after the kind, as one says it. */
const inOrder = ({ kind, ...rest }: ReadingInput): ReadingInput =>
	(rest.panel === undefined ? { kind, ...rest } : { kind, panel: rest.panel, ...rest }) as ReadingInput

const sayChange = (values: Readonly<Record<string, string | number>>, old: PlainObject) =>
	Object.entries(values)
		.map(([key, value]) => `${key} ${value}${old[key] === undefined ? '' : `, before ${old[key]}`}`)
		.join('; ')

/** What a row without figures would have been, where the job does not have it. */
function stillBlank({ cells }: CsvRow, hand: unknown, known: ReadonlySet<string>, unit: Unit): readonly string[] {
	const cell = (name: string) => cells.get(name)?.toLowerCase()
	const [mark, from, to] = [cell('mark'), cell('from'), cell('to')]
	if (mark === undefined && (from === undefined || to === undefined)) return []
	// of lines, wherever one likes
	if (['crossing', 'between'].includes(cells.get('kind') ?? '')) return []
	const kind = cells.get('kind') ?? (from === undefined ? 'square' : mark === undefined ? 'tape' : 'toLine')
	const ends = kind === 'toLine' ? { mark, line: [from, to] } : kind === 'square' ? { mark } : { from, to }
	const own = { kind, panel: cell('panel'), ...ends, girth: 1 }
	const sides = kind === 'square' && hand === 'centre' && cell('side') === undefined ? ['left', 'right'] : [cell('side')]
	const missing = sides.map((side) => ({ ...own, side })).filter((each) => !known.has(identityOf(each, hand, unit)))
	if (missing.length < 2) return known.has(identityOf({ ...own, girth: 0 }, hand, unit)) ? [] : missing.map(sayEntry)
	return [sayEntry(own)]
}

/** A text that can no longer be read would be a fault of ours: it is never written. */
function mustRead(text: string): void {
	if (!readSource(text).value) throw new Error('a job that could not be read after readings were entered')
}
