/** A sheet for edges as taped: where to measure them before anything is sprayed, and what they should read. */
import type { Drawing } from '../drawing/drawing.ts'
import type { Result } from '../engine/compute.ts'
import type { PanelResult } from '../engine/panel.ts'
import { checksFor, type ToCheck } from '../engine/taped.ts'
import type { Panel } from '../job/schema.ts'
import type { Paper } from '../sheet/paper.ts'
import type { Margins } from '../sheet/printer.ts'
import { girthFigure } from '../template/measured.ts'
import type { Unit } from '../units/length.ts'
import { columnsOf } from './measuringSheetBlanks.ts'
import { type Cell, type Table, tableFlow } from './measuringSheetTable.ts'
import { seamSections } from './seamSheet.ts'
import { noteBlock, type Section, writtenPages } from './writtenPages.ts'

/** The pages, panel by panel, then seam by seam on the assembled vehicle; none where no panel has lines. */
export function checkSheet(result: Result, paper: Paper, margins: Margins): readonly Drawing[] {
	const { job, revision } = result
	const widthMm = paper.widthMm - margins.left - margins.right
	const sections = result.panels.flatMap((panel): readonly Section[] => {
		const checks = checksFor(panel)
		if (checks.length === 0) return []
		const flows = [{ blocks: [noteBlock([NOTE, NAMES], widthMm)] }, tableFlow(tableOf(panel, checks, job.unit))]
		return [{ subject: panel.title, flows }]
	})
	const pages = [...sections, ...seamSections(result, widthMm)]
	return writtenPages({ kind: 'Check sheet', job, revision, paper, margins }, pages)
}

const NOTE =
	'With the tape in place and nothing sprayed: at each station lay a measure square off the baseline, along the panel, and write what it reads at the edge of the tape where the paint will stop. The figure in grey is the plan. Read without looking at it.'
const NAMES =
	'Type the figures into the table beside this file and enter it into the job. Then check says of each edge and side: go, or where to lay it again and which way.'

function tableOf({ panel }: PanelResult, checks: readonly ToCheck[], unit: Unit): Table {
	const sides = columnsOf(panel)
	const rows: (readonly Cell[] | { readonly group: string })[] = []
	for (const line of new Set(checks.map((check) => check.line))) {
		const own = checks.filter((check) => check.line === line)
		rows.push({ group: `${line}: ${own[0]?.name ?? ''}` })
		for (const station of stationsOf(own))
			rows.push([{ text: read(station, unit), bold: true }, ...cellsOf(panel, own, station, unit), {}])
	}
	const columns = [
		{ title: `station, ${unit}`, part: 30 },
		...sides.map((side) => ({
			title: `girth as taped, ${unit}`,
			part: sides.length > 1 ? 45 : 70,
			over: { title: side?.toUpperCase() ?? panel.hand.toUpperCase(), columns: 1 },
		})),
		{ title: 'remark', part: 60 },
	]
	return { title: 'Edges as taped', columns, rows }
}

/** As a strip says it, without the unit that the heading has. */
const read = (mm: number, unit: Unit) => girthFigure(mm, unit).replace(/ in$/, '')

/** Stations nearer than this are one. */
const SAME_MM = 0.05

function stationsOf(checks: readonly ToCheck[]): readonly number[] {
	const all = checks.flatMap(({ places }) => places.map(({ station }) => station)).sort((a, b) => a - b)
	return all.filter((station, i) => i === 0 || station - (all[i - 1] as number) > SAME_MM)
}

function cellsOf(panel: Panel, checks: readonly ToCheck[], at: number, unit: Unit): readonly Cell[] {
	return columnsOf(panel).map((side): Cell => {
		const check = checks.find((each) => side === undefined || each.side === side || each.side === 'both')
		const place = check?.places.find(({ station }) => Math.abs(station - at) <= SAME_MM)
		return { light: place ? read(place.girth, unit) : '–' }
	})
}
