/** The rows of a table entered into the text of a job. */
import type { Unit } from '../units/length.ts'
import type { CsvReadings, CsvRow } from './csv.ts'
import { LISTS, type List, type RowEntry } from './csvRow.ts'
import { unfit } from './enterFit.ts'
import { differences, identityOf, sayEntry, sayReading } from './enterMatch.ts'
import { panelNotSaid, readAgain, tooMany, unknownNames } from './enterNotes.ts'
import { type JobEntry, type JobPanel, jobPanels, listTrouble } from './enterPanels.ts'
import { type EntryChange, type ListChange, type PanelChange, writeEntries } from './enterText.ts'
import { READING_LIMIT } from './load.ts'
import type { PlainObject } from './migrate.ts'
import type { Outcome, Problem } from './problem.ts'
import { readSource, type Source } from './source.ts'

/** What became of the rows of one panel. */
export interface EnteredPanel {
	readonly id: string
	readonly title: string
	/** into which of its lists */
	readonly lists: readonly List[]
	readonly added: readonly string[]
	/** "left/t1: girth 52, before 51.5" */
	readonly changed: readonly string[]
	/** that stood there as they are */
	readonly same: number
	/** rows of the table without figures, whose entries the job does not have either */
	readonly blank: readonly string[]
}

export interface Entered {
	/** the job file with the entries; the text as it was where nothing is new */
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
 * An entry that the job has already (a reading: same kind, marks and side; a tick or a taped edge: same line, station and side) is
 * changed where a figure differs, others are added after the last of their list. Nothing else in the text changes: only its syntax
 * must be readable. A row that does not fit its panel is a problem with its line in the table, and left out.
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
		else if (row.entries.length === 0) work.get(to)?.blank.push(row)
		else for (const entry of row.entries) work.get(to)?.rows.push({ ...entry, line: row.line })
	}
	if (lost.length > 0) problems.push(panelNotSaid(lost, [...work.keys()]))

	const changes: PanelChange[] = []
	const entered: EnteredPanel[] = []
	for (const { panel, rows, blank } of work.values()) {
		if (rows.length === 0 && blank.length === 0) continue
		const { id, hand } = panel.fit
		const lists = LISTS.flatMap((list) => {
			const own = rows.filter((row) => row.list === list)
			const wrong = own.length > 0 ? listTrouble(panel.node, list) : undefined
			if (!wrong) return own.length > 0 || blank.length > 0 ? [enterList(panel, list, own, unit)] : []
			problems.push({ ...wrong, place: { panel: id } })
			return []
		})
		problems.push(...lists.flatMap((done) => done.problems))
		changes.push({ panel: panel.node, lists: lists.map(({ change }) => change) })
		const known = new Set(lists.flatMap((done) => [...done.known]))
		entered.push({
			...{ id, title: panel.title, lists: LISTS.filter((list) => rows.some((row) => row.list === list)) },
			added: lists.flatMap(({ added }) => added),
			changed: lists.flatMap(({ changed }) => changed),
			same: lists.reduce((sum, { same }) => sum + same, 0),
			blank: blank.flatMap((row) => stillBlank(row, hand, known, unit)),
		})
	}
	const count =
		panels.reduce((sum, { lists }) => sum + lists.readings.length, 0) +
		changes.reduce((sum, { lists }) => sum + lists.reduce((own, { add }) => own + add.length, 0), 0)
	if (count > READING_LIMIT) return { problems: [...problems, tooMany(count)] }
	const text = writeEntries(source.text, changes)
	mustRead(text)
	return { value: { text, panels: entered, passed }, problems }
}

type Fresh = RowEntry & { readonly line: number }

interface EnteredList extends Pick<EnteredPanel, 'added' | 'changed' | 'same'> {
	readonly problems: readonly Problem[]
	readonly change: ListChange
	/** what it has now, by identity */
	readonly known: ReadonlySet<string>
}

function enterList(panel: JobPanel, list: List, rows: readonly Fresh[], unit: Unit): EnteredList {
	const { fit, lists } = panel
	const problems: Problem[] = []
	const old = new Map<string, JobEntry[]>()
	for (const each of lists[list]) addTo(old, identityOf(list, each.value, fit.hand, unit), each)
	const fresh = new Map<string, PlainObject[]>()
	for (const { input, line } of rows) {
		const entry: PlainObject = list === 'readings' ? { ...input } : asPrinted(input, fit.printed)
		const problem = unfit(list, entry, fit, line)
		if (problem) problems.push(problem)
		else addTo(fresh, identityOf(list, entry, fit.hand, unit), entry)
	}
	const add: PlainObject[] = []
	const set: EntryChange[] = []
	const changed: string[] = []
	const again: string[] = []
	let same = 0
	for (const [key, own] of fresh) {
		const before = [...(old.get(key) ?? [])]
		const others: PlainObject[] = []
		for (const entry of own) {
			const at = before.findIndex(({ value }) => Object.keys(differences(value, entry, unit)).length === 0)
			if (at < 0) others.push(entry)
			else before.splice(at, 1)
		}
		same += own.length - others.length
		// read more than once before: nobody can tell which of them this one is to take the place of
		const [first, second] = before
		if (first && second && others.length > 0) again.push(...others.map((entry) => sayEntry(list, entry)))
		else if (first && others[0]) {
			const entry = others.shift() as PlainObject
			const values = differences(first.value, entry, unit)
			set.push({ entry: first.node, values })
			changed.push(`${sayEntry(list, entry)}: ${sayChange(values, first.value)}`)
		}
		add.push(...others.map(inOrder))
	}
	if (again.length > 0) problems.push(readAgain(again, fit.id))
	const unknown = list === 'readings' ? unknownNames([...fresh.values()].flat(), panel) : undefined
	if (unknown) problems.push(unknown)
	const known = new Set([...old.keys(), ...fresh.keys()])
	return { problems, known, change: { list, add, set }, added: add.map((each) => sayEntry(list, each)), changed, same }
}

/** With the line as it is printed, however its letters were typed. */
const asPrinted = (entry: PlainObject, printed: ReadonlyMap<string, string>): PlainObject => ({
	...entry,
	line: printed.get(String(entry.line).toLowerCase()) ?? entry.line,
})

function addTo<T>(map: Map<string, T[]>, key: string, value: T): void {
	const list = map.get(key)
	if (list) list.push(value)
	else map.set(key, [value])
}

/** Which of a pair comes after the kind, as one says it. */
function inOrder({ kind, panel, ...rest }: PlainObject): PlainObject {
	return { ...(kind === undefined ? {} : { kind }), ...(panel === undefined ? {} : { panel }), ...rest }
}

const sayChange = (values: Readonly<Record<string, string | number>>, old: PlainObject) =>
	Object.entries(values)
		.map(([key, value]) => `${key} ${value}${old[key] === undefined ? '' : `, before ${old[key]}`}`)
		.join('; ')

const TICKS: Readonly<Record<string, List>> = { proof: 'proof', check: 'checks' }

/** What a row without figures would have been, where the job does not have it. */
function stillBlank({ cells }: CsvRow, hand: unknown, known: ReadonlySet<string>, unit: Unit): readonly string[] {
	const cell = (name: string) => cells.get(name)?.toLowerCase()
	const list = TICKS[cell('kind') ?? '']
	if (list) {
		const station = cell('station')?.replace(',', '.')
		const own = { line: cells.get('line'), station, side: cell('panel') ?? cell('side') }
		const has = station === undefined || known.has(identityOf(list, own, hand, unit))
		return has ? [] : [sayEntry(list, own)]
	}
	const [mark, from, to] = [cell('mark'), cell('from'), cell('to')]
	if (mark === undefined && (from === undefined || to === undefined)) return []
	// of lines, wherever one likes
	if (['crossing', 'between'].includes(cells.get('kind') ?? '')) return []
	const kind = cells.get('kind') ?? (from === undefined ? 'square' : mark === undefined ? 'tape' : 'toLine')
	const ends = kind === 'toLine' ? { mark, line: [from, to] } : kind === 'square' ? { mark } : { from, to }
	const own = { kind, panel: cell('panel'), ...ends, girth: 1 }
	const sides = kind === 'square' && hand === 'centre' && cell('side') === undefined ? ['left', 'right'] : [cell('side')]
	const missing = sides.map((side) => ({ ...own, side })).filter((each) => !known.has(identityOf('readings', each, hand, unit)))
	if (missing.length < 2)
		return known.has(identityOf('readings', { ...own, girth: 0 }, hand, unit)) ? [] : missing.map(sayReading)
	return [sayReading(own)]
}

/** A text that can no longer be read would be a fault of ours: it is never written. */
function mustRead(text: string): void {
	if (!readSource(text).value) throw new Error('a job that could not be read after rows were entered')
}
