/** The tables of a measuring sheet. */
import type { Job, Panel, Stripe } from '../job/schema.ts'
import type { Unit } from '../units/length.ts'
import {
	columnsOf,
	LENGTH_GROUPS,
	type LengthBlank,
	type LengthGroup,
	type LengthRow,
	type MarkRow,
} from './measuringSheetBlanks.ts'
import { sayFigure } from './measuringSheetFigure.ts'
import type { Cell, Column, Table } from './measuringSheetTable.ts'

const SIDES = 'above / below'
/** Rows for what nobody thought of. */
const MORE_ROWS = 3

const sideColumns = (panel: Panel, titles: readonly string[], part: number): readonly Column[] =>
	columnsOf(panel).flatMap((side) =>
		titles.map((title, i) => ({
			title,
			part,
			...(i === 0 ? { over: { title: side?.toUpperCase() ?? panel.hand.toUpperCase(), columns: titles.length } } : {}),
		})),
	)

const empty = (count: number): readonly Cell[] => Array.from({ length: count }, () => ({}))
const blankRows = (count: number, columns: number) => Array.from({ length: count }, () => empty(columns))

/** The marks of each line: station and girth, left and right. */
export function markTable(panel: Panel, marks: readonly MarkRow[], unit: Unit): Table {
	const rows: (readonly Cell[] | { readonly group: string })[] = []
	let line: string | undefined
	for (const row of marks) {
		if (row.line !== line || rows.length === 0) rows.push({ group: row.line ?? 'Other marks' })
		line = row.line
		rows.push([{ text: row.mark, bold: true }, ...markCells(panel, row), {}, {}])
	}
	const columns = [
		{ title: 'mark', part: 20 },
		...sideColumns(panel, [`station, ${unit}`, `girth, ${unit}`], columnsOf(panel).length > 1 ? 27 : 40),
		{ title: 'instrument', part: 22 },
		{ title: 'remark', part: 40 },
	]
	return { title: 'Marks', columns, rows: [...rows, ...blankRows(MORE_ROWS, columns.length)] }
}

function markCells(panel: Panel, { blanks }: MarkRow): readonly Cell[] {
	const either = blanks.some(({ side }) => side === undefined)
	const ringed = panel.hand === 'centre' ? '' : SIDES
	return columnsOf(panel).flatMap((side): readonly Cell[] => {
		const blank = blanks.find((each) => either || each.side === side)
		// nothing to measure there
		if (!blank) return [{ light: '–' }, { light: '–' }]
		const shown = either && side === 'right' ? [] : blank.before
		const [stations, girths] = [0, 1].map((i) => shown.map((figures) => figures[i] ?? '').join('; '))
		return [{ light: stations ?? '' }, { light: girths ?? '', ring: ringed }]
	})
}

const GROUPS: Readonly<Record<LengthGroup, string>> = {
	datums: 'From datum to datum',
	squaring: 'From a datum to a mark: where two such tapes agree left and right, the station is square off the baseline',
	across: 'Across, from the left mark to the right one',
	diagonals: 'Diagonals: each column from the side that it names',
	others: 'Others',
}

const HOW: Readonly<Record<LengthRow['kind'], string>> = {
	tape: 'tape',
	width: 'tape',
	straight: 'straight through the air',
	gap: 'rule',
	toLine: 'from a taut line',
	between: 'square off the lines',
}

/** Lengths that check the marks: nothing else finds a slip. */
export function lengthTable(panel: Panel, lengths: readonly LengthRow[], unit: Unit): Table {
	const rows: (readonly Cell[] | { readonly group: string })[] = []
	for (const group of LENGTH_GROUPS) {
		const own = lengths.filter((row) => row.group === group)
		if (own.length > 0 || group === 'others') rows.push({ group: GROUPS[group] }, ...own.map((row) => lengthCells(panel, row)))
	}
	const columns: readonly Column[] = [
		{ title: 'from', part: 32 },
		{ title: 'to', part: 32 },
		...sideColumns(panel, [`length, ${unit}`], columnsOf(panel).length > 1 ? 28 : 40),
		{ title: 'instrument', part: 24 },
		{ title: 'remark', part: 36 },
	]
	const title = 'Lengths that check the marks: as many as you can'
	return { title, columns, rows: [...rows, ...blankRows(MORE_ROWS, columns.length)] }
}

function lengthCells(panel: Panel, { kind, group, mark, tight, station, blanks }: LengthRow): readonly Cell[] {
	const columns = columnsOf(panel)
	const first = blanks[0] as LengthBlank
	const sided = blanks.some(({ side }) => side !== undefined)
	const said = (ref: string) => {
		const [side, name] = ref.includes('/') ? ref.split('/') : [undefined, ref]
		if (group === 'diagonals' || (sided && group !== 'others')) return name ?? ref
		return side ? `${name}, ${side}` : ref
	}
	const read = (blank: LengthBlank | undefined) => (blank?.before ?? []).map(([figure]) => figure).join('; ')
	const cells: readonly Cell[] = sided
		? columns.map((side) => {
				const own = blanks.find((blank) => blank.side === side)
				return { light: own ? read(own) : '–' }
			})
		: [{ light: read(first), span: columns.length }]
	const names = mark ? [said(mark), `line ${said(first.from)} to ${said(first.to)}`] : [said(first.from), said(first.to)]
	if (station !== undefined) names.push(`${names.pop()}, station ${station}`)
	const how = kind === 'tape' || kind === 'width' ? (tight ? 'pulled tight' : '') : HOW[kind]
	return [{ text: names[0] as string }, { text: names[1] as string }, ...cells, { light: how }, {}]
}

/** Widths and gaps of each stripe as they are on the old paint. No table where the panel has no stripes. */
export function stripeTable(panel: Panel, { unit, paints }: Job): readonly Table[] {
	if (panel.stripes.length === 0) return []
	const named = new Map(paints.map(({ id, name }) => [id, name]))
	const sides = columnsOf(panel)
	const columns: readonly Column[] = [
		{ title: `in the job, ${unit}`, part: 38 },
		...sideColumns(panel, [`front, ${unit}`, `rear, ${unit}`], sides.length > 1 ? 22 : 36),
		{ title: 'remark', part: 40 },
	]
	const rows = panel.stripes.flatMap((stripe) => [
		{ group: `${stripe.what ?? stripe.id}, away from the line` },
		...stripeRows(stripe, named, unit).map(({ name, light }) => [{ text: name, light }, ...empty(sides.length * 2 + 1)]),
	])
	return [{ title: 'Stripes: widths and gaps, square off the line', columns, rows }]
}

function stripeRows(stripe: Stripe, named: ReadonlyMap<string, string>, unit: Unit) {
	const offset = stripe.lay === 'centred' ? [] : [{ name: 'from the line', light: sayFigure(stripe.offset, unit) }]
	const bands = stripe.bands.map((band) => {
		if ('gap' in band) return { name: 'gap', light: sayFigure(band.gap, unit) }
		const { width } = band
		const said = typeof width === 'number' ? [width] : [width[0]?.width ?? 0, width.at(-1)?.width ?? 0]
		return { name: named.get(band.paint) ?? band.paint, light: said.map((mm) => sayFigure(mm, unit)).join(' to ') }
	})
	return [...offset, ...bands]
}

export function decalTable(panel: Panel, unit: Unit): Table {
	const columns: readonly Column[] = [
		{ title: panel.hand === 'centre' || panel.hand === 'pair' ? 'decal, and its side' : 'decal', part: 42 },
		{ title: `station, ${unit}`, part: 24, over: { title: 'front end of its baseline', columns: 2 } },
		{ title: `girth, ${unit}`, part: 24 },
		{ title: `length, ${unit}`, part: 24 },
		{ title: `height, ${unit}`, part: 24 },
		{ title: 'angle, °', part: 18 },
		{ title: 'remark', part: 32 },
	]
	return {
		title: 'Decals: the lower edge of the letters is their baseline; its angle is to ours',
		columns,
		rows: blankRows(3, columns.length),
		together: true,
	}
}

export const photoTable: Table = {
	title: 'Photographs',
	columns: [0, 1].flatMap(() => [
		{ title: 'number', part: 22 },
		{ title: 'what it shows', part: 70 },
	]),
	rows: blankRows(3, 4),
	together: true,
}
