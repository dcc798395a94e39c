/** What the ticks of a proof miss the old paint by: pages with a blank for each, and the same blanks as a table. */
import type { Drawing } from '../drawing/drawing.ts'
import type { Result } from '../engine/compute.ts'
import type { PanelResult } from '../engine/panel.ts'
import type { Side } from '../scheme/side.ts'
import type { Paper } from '../sheet/paper.ts'
import type { Margins } from '../sheet/printer.ts'
import { girthFigure } from '../template/measured.ts'
import type { Unit } from '../units/length.ts'
import { blankTable, panelCell, sideCell, type TableOptions, tableFigure } from './blankTable.ts'
import { columnsOf } from './measuringSheetBlanks.ts'
import { type Cell, type Table, tableFlow } from './measuringSheetTable.ts'
import { noteBlock, type Section, writtenPages } from './writtenPages.ts'

/** One line where it meets one station: a strip has its tick, and a guide may have it too. */
interface Tick {
	readonly line: string
	readonly side: Side
	readonly station: number
	readonly pieces: readonly number[]
}

/** Stations nearer than this are one, mm. */
const SAME_MM = 0.05

/** In the order of the lines, each from front to rear. */
function ticksOf(panel: PanelResult): readonly Tick[] {
	const ticks: Tick[] = []
	for (const { number, blanks = [] } of panel.pieces ?? []) {
		for (const { line, side, station } of blanks) {
			const same = (tick: Tick) => tick.line === line && tick.side === side && Math.abs(tick.station - station) < SAME_MM
			const at = ticks.findIndex(same)
			if (at < 0) ticks.push({ line, side, station, pieces: [number] })
			else ticks[at] = { ...(ticks[at] as Tick), pieces: [...(ticks[at] as Tick).pieces, number] }
		}
	}
	const order = [...new Set(ticks.map(({ line }) => line))]
	return ticks.toSorted((a, b) => order.indexOf(a.line) - order.indexOf(b.line) || a.station - b.station)
}

/** A row for each tick, to be filled and entered. */
export function proofTable(result: Result, options: TableOptions = {}): string {
	const { job } = result
	const heading = ['kind', 'panel', 'line', 'side', `station (${job.unit})`, `misses (${job.unit})`, 'towards', 'note', 'piece']
	const rows = result.panels.flatMap((panel) =>
		ticksOf(panel).map(({ line, side, station, pieces }) => [
			...['proof', panelCell(panel.panel, side), line, sideCell(panel.panel, side), tableFigure(station, job.unit)],
			...['', '', '', pieces.join(' ')],
		]),
	)
	return blankTable(job.title, heading, rows, options)
}

/** Pages to write on, panel by panel. */
export function proofPages(result: Result, paper: Paper, margins: Margins): readonly Drawing[] {
	const { job, revision } = result
	const widthMm = paper.widthMm - margins.left - margins.right
	const sections = result.panels.flatMap((panel): readonly Section[] => {
		const ticks = ticksOf(panel)
		if (ticks.length === 0) return []
		const flows = [{ blocks: [noteBlock([NOTE, TWICE], widthMm)] }, tableFlow(pageTable(panel, ticks, job.unit))]
		return [{ subject: panel.title, flows }]
	})
	return writtenPages({ kind: 'Proof on the old paint', job, revision, paper, margins }, sections)
}

const NOTE =
	'With each strip and guide lying on the OLD paint: write how far the original line lies from the tick, measured along the strip, and ring inb (towards the baseline) or outb (away from it). 0 where it meets it. Three ticks or more on each side make a line safe to strip.'
const TWICE =
	'Where a strip and a guide have the same tick write what the strip says: the guide was laid by the line. Then type the figures into the table beside this file.'

function pageTable({ panel }: PanelResult, ticks: readonly Tick[], unit: Unit): Table {
	const sides = columnsOf(panel)
	const rows: (readonly Cell[] | { readonly group: string })[] = []
	for (const line of new Set(ticks.map((tick) => tick.line))) {
		const own = ticks.filter((tick) => tick.line === line)
		const stations = own.map(({ station }) => station).filter((s, i, all) => i === 0 || s - (all[i - 1] as number) > SAME_MM)
		rows.push({ group: line })
		for (const station of stations) {
			const here = own.filter((tick) => Math.abs(tick.station - station) < SAME_MM)
			const cells = sides.map((side): Cell => {
				const there = here.some((tick) => side === undefined || tick.side === side || tick.side === 'both')
				return there ? { ring: 'inb / outb' } : { light: '–' }
			})
			const pieces = [...new Set(here.flatMap((tick) => tick.pieces))].join(', ')
			rows.push([{ text: girthFigure(station, unit).replace(/ in$/, ''), bold: true }, ...cells, { text: pieces }, {}])
		}
	}
	const columns = [
		{ title: `station, ${unit}`, part: 26 },
		...sides.map((side) => ({
			title: `misses, ${unit}`,
			part: sides.length > 1 ? 45 : 70,
			over: { title: side?.toUpperCase() ?? panel.hand.toUpperCase(), columns: 1 },
		})),
		{ title: 'on pieces', part: 34 },
		{ title: 'remark', part: 36 },
	]
	return { title: 'What each tick misses the old line by', columns, rows }
}
