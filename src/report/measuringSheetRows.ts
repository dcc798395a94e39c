/** What is to be measured on a panel: its marks, lengths that check them, and what was measured of them before. */
import { handOf, marksOf, readRef, refOf, refsOf } from '../job/marks.ts'
import type { Panel, Reading } from '../job/schema.ts'
import type { Unit } from '../units/length.ts'
import {
	type Blank,
	columnsOf,
	type HandSide,
	LENGTH_GROUPS,
	type LengthBlank,
	type LengthGroup,
	type LengthRow,
	type MarkRow,
	type MeasuringRows,
} from './measuringSheetBlanks.ts'
import { sayFigure } from './measuringSheetFigure.ts'
import { suggestedLengths } from './measuringSheetLengths.ts'
import type { RoughPlaces } from './measuringSheetPlaces.ts'

/** Everything that lines go through and that was read of the panel; the lengths are those that were read, and those that would check. */
export function measuringRows(panel: Panel, places: RoughPlaces, unit: Unit): MeasuringRows {
	const marks = [...markRows(panel, unit), ...crossingRows(panel, unit)]
	const order = new Map(marks.map(({ mark }, i) => [mark, i]))
	// in the order in which one goes round the panel
	const rank = ({ group, blanks: [blank] }: LengthRow) =>
		group === 'others' || !blank ? 0 : Math.max(...[blank.from, blank.to].map((ref) => order.get(readRef(ref).name) ?? -1))
	const lengths = lengthRows(panel, places, unit).toSorted((a, b) => rank(a) - rank(b))
	return { marks, lengths: LENGTH_GROUPS.flatMap((group) => lengths.filter((row) => row.group === group)) }
}

function markRows(panel: Panel, unit: Unit): readonly MarkRow[] {
	const rows = new Map<string, { line?: string; sides: Set<HandSide | undefined> }>()
	const datums = new Set(panel.datums.map(({ id }) => id))
	const columns = columnsOf(panel)
	const add = (ref: string, line: string | undefined, sides: readonly (HandSide | undefined)[]) => {
		const { name, side } = readRef(ref)
		if (datums.has(name)) return
		const row = rows.get(name) ?? { ...(line === undefined ? {} : { line }), sides: new Set() }
		for (const each of side && columns.length > 1 ? [side] : sides) row.sides.add(each)
		rows.set(name, row)
	}
	for (const edge of panel.edges) {
		const hand = handOf(panel, edge.hand)
		// a line across may have its mark on either side
		const sides = hand === 'across' ? [undefined] : columns.length === 1 || hand === 'mirrored' ? columns : [hand]
		for (const step of edge.through) add(refOf(step), edge.what ?? edge.id, sides)
	}
	for (const { id, what, hand: own, place } of panel.decals ?? []) {
		if (place.kind !== 'marks') continue
		const hand = handOf(panel, own)
		const sides = hand === 'across' ? [undefined] : columns.length === 1 || hand === 'mirrored' ? columns : [hand]
		for (const { mark } of place.marks) add(mark, what ?? id, sides)
	}
	for (const [name, sides] of marksOf(panel)) {
		const line = rows.get(name)?.line
		if (!rows.has(name) || sides.size > 0) add(name, line, sides.size > 0 && columns.length > 1 ? [...sides] : [undefined])
	}
	return [...rows].map(([mark, { line, sides }]) => {
		const own = columns.length > 1 && sides.size > 1 ? columns : [...sides]
		const blanks = own.map((side) => ({ ...(side ? { side } : {}), before: squaresOf(panel, mark, side, unit) }))
		return { mark, ...(line === undefined ? {} : { line }), blanks }
	})
}

/** Lines that were read where they cross a station, a row for each line and station. */
function crossingRows(panel: Panel, unit: Unit): readonly MarkRow[] {
	const rows = new Map<string, { mark: string; blanks: Blank[] }>()
	for (const reading of panel.readings) {
		if (reading.kind !== 'crossing') continue
		const centre = panel.hand === 'centre'
		const side = centre ? (reading.side as HandSide | undefined) : reading.panel
		const figures = [sayFigure(reading.station, unit), sayFigure(reading.girth, unit)]
		const before = [centre || !reading.side ? figures : [figures[0] ?? '', `${figures[1]} ${reading.side}`]]
		const key = `${reading.edge} ${figures[0]}`
		const row = rows.get(key) ?? { mark: reading.edge, blanks: [] }
		row.blanks.push({ ...(side ? { side } : {}), before })
		rows.set(key, row)
	}
	return [...rows.values()].map((row) => ({ ...row, crossing: true, line: 'Where a line crosses a station' }))
}

function squaresOf(panel: Panel, mark: string, side: HandSide | undefined, unit: Unit): Blank['before'] {
	return panel.readings.flatMap((reading) => {
		if (reading.kind !== 'square' || reading.mark !== mark) return []
		const own = panel.hand === 'pair' ? reading.panel : panel.hand === 'centre' ? reading.side : undefined
		if (side !== undefined && own !== undefined && own !== side) return []
		const where = own !== reading.side && reading.side ? ` ${reading.side}` : side === undefined && own ? ` ${own}` : ''
		return [[sayFigure(reading.station, unit), `${sayFigure(reading.girth, unit)}${where}`]]
	})
}

/** Lengths that were read, each beside its like of the other side, then those that would check what is to come. */
function lengthRows(panel: Panel, places: RoughPlaces, unit: Unit): readonly LengthRow[] {
	const rows = new Map<string, LengthRow>()
	const take = (row: LengthRow) => {
		const key = keyOf(row)
		const known = rows.get(key)
		rows.set(key, known ? { ...known, blanks: merged(known.blanks, row.blanks) } : row)
	}
	for (const row of suggestedLengths(panel, places, unit)) take(row)
	for (const reading of panel.readings) {
		const row = readRow(panel, reading, unit)
		if (row) take(row)
	}
	return [...rows.values()]
}

/** The same for both sides of one thing, whichever end is named first. */
function keyOf({ kind, mark = '', tight = false, station = '', blanks }: LengthRow): string {
	const ends = blanks.slice(0, 1).flatMap(({ from, to }) => [readRef(from), readRef(to)])
	const over = new Set(ends.flatMap(({ side }) => side ?? [])).size > 1
	return [kind, mark, tight, station, over, ...ends.map(({ name }) => name).toSorted()].join('|')
}

function merged(known: readonly LengthBlank[], more: readonly LengthBlank[]): readonly LengthBlank[] {
	const same = (a: LengthBlank, b: LengthBlank) =>
		a.side === b.side && [a.from, a.to].toSorted().join() === [b.from, b.to].toSorted().join()
	const rest = more.filter((blank) => !known.some((other) => same(other, blank)))
	const joined = known.map((blank) => {
		const again = more.filter((other) => same(blank, other)).flatMap(({ before }) => before)
		return { ...blank, before: [...blank.before, ...again] }
	})
	return [...joined, ...rest].toSorted((a, b) => (a.side ?? '').localeCompare(b.side ?? ''))
}

function readRow(panel: Panel, reading: Reading, unit: Unit): LengthRow | undefined {
	if (reading.kind === 'between') {
		const side = reading.panel ?? reading.side
		const [from, to] = reading.lines
		const blank = { from, to, before: [[sayFigure(reading.width, unit)]], ...(side ? { side } : {}) }
		const station = reading.station === undefined ? {} : { station: sayFigure(reading.station, unit) }
		return { kind: 'between', group: 'others', ...station, blanks: [blank] }
	}
	if (reading.kind === 'square' || !('length' in reading || 'distance' in reading)) return undefined
	const value = reading.kind === 'toLine' ? reading.distance : reading.length
	const before = [[sayFigure(value, unit)]]
	const [a, b, c] = refsOf(reading).map(({ ref }) => ref)
	const [from, to] = reading.kind === 'toLine' ? [b, c] : [a, b]
	if (a === undefined || from === undefined || to === undefined) return undefined
	const sides = [a, from, to].flatMap((ref) => readRef(ref).side ?? [])
	const both = new Set(sides).size > 1
	const side = reading.panel ?? (both ? readRef(from).side : sides[0])
	const diagonal = both && readRef(from).name !== readRef(to).name
	const column = columnsOf(panel).length > 1 && (!both || diagonal) ? side : undefined
	const tight = 'pull' in reading && reading.pull === 'tight'
	return {
		kind: reading.kind,
		group: groupOf(panel, reading, from, to),
		...(reading.kind === 'toLine' ? { mark: a } : {}),
		...(tight ? { tight } : {}),
		blanks: [{ from, to, before, ...(column ? { side: column } : {}) }],
	}
}

function groupOf(panel: Panel, { kind }: Reading, from: string, to: string): LengthGroup {
	const datum = (ref: string) => panel.datums.some(({ id }) => id === readRef(ref).name)
	if (kind !== 'tape' && kind !== 'width') return 'others'
	if (datum(from) && datum(to)) return 'datums'
	if (datum(from) || datum(to)) return 'squaring'
	const [a, b] = [readRef(from), readRef(to)]
	if (a.side !== undefined && b.side !== undefined && a.side !== b.side) return a.name === b.name ? 'across' : 'diagonals'
	return 'others'
}
