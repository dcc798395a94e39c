/** Marks and readings as tables for a terminal. */
import type { Result } from '../engine/compute.ts'
import type { PanelResult } from '../engine/panel.ts'
import type { CheckedReading, Mark } from '../survey/survey.ts'
import { girthSide } from '../survey/words.ts'
import { crossingsIn, formatLength } from '../units/format.ts'
import type { Unit } from '../units/length.ts'
import { sayReadingShort } from './words.ts'

/** A reading further off than this, in its own standard deviations, is pointed at: 1 in 20 is by chance. */
const POINTED_AT = 2

/** For each panel its marks with their ±, then its readings with what they are off by. Ends in an empty line; no text for no marks. */
export const marksTable = (result: Result): string =>
	result.panels
		.filter((panel) => Object.keys(panel.survey?.survey.marks ?? {}).length > 0)
		.map(
			(panel) =>
				`${panel.title}\n${indent(marksOf(panel, result.job.unit))}\n\n${indent(readingsOf(panel, result.job.unit))}\n\n`,
		)
		.join('')

const indent = (lines: readonly string[]) => lines.map((line) => `  ${line}`.trimEnd()).join('\n')

/** Front to rear; both sides of a mark together, as nearly alike as they are. */
function inOrder(a: Mark, b: Mark): number {
	if (a.id === b.id) return a.key < b.key ? -1 : 1
	return a.at.s - b.at.s || (a.id < b.id ? -1 : 1)
}

function marksOf({ survey, panel }: PanelResult, unit: Unit): string[] {
	const marks = Object.values(survey?.survey.marks ?? {}).toSorted(inOrder)
	const figure = (mm: number) => figures(mm, unit)
	const row = (mark: Mark) => [
		crossingsIn(mark.key, unit),
		figure(mark.at.s),
		mark.fixed ? 'datum' : plusMinus(mark.sd.s, unit),
		`${figure(Math.abs(mark.at.g))} ${mark.at.g === 0 ? '' : girthSide(panel, mark.at.g)}`.trim(),
		mark.fixed ? 'datum' : plusMinus(mark.sd.g, unit),
	]
	return table('lrrrr', [['mark', `station, ${unit}`, '±', `girth, ${unit}`, '±'], ...marks.map(row)])
}

function readingsOf({ survey }: PanelResult, unit: Unit): string[] {
	const readings = survey?.survey.readings ?? []
	if (readings.length === 0) return ['no readings']
	const row = (reading: CheckedReading) => [
		crossingsIn(sayReadingShort(reading), unit),
		figures(reading.value, unit),
		figures(reading.fitted, unit),
		signed(reading.residual, unit),
		remark(reading),
	]
	return table('lrrrl', [['reading', `read, ${unit}`, 'by the rest', 'off by', ''], ...readings.map(row)])
}

function remark({ redundancy, w }: CheckedReading): string {
	if (redundancy < 1e-6 || w === undefined) return 'nothing checks this reading'
	return Math.abs(w) > POINTED_AT ? `${Math.abs(w).toFixed(1)} times its usual error` : ''
}

const digits = (unit: Unit) => (unit === 'mm' ? 2 : 3)
const figures = (mm: number, unit: Unit) => formatLength(mm, unit, { decimals: digits(unit) }).text.replace(` ${unit}`, '')
const plusMinus = (mm: number, unit: Unit) => `±${figures(mm, unit)}`
const signed = (mm: number, unit: Unit) => {
	const text = figures(mm, unit)
	return mm > 0 && Number(text) !== 0 ? `+${text}` : text
}

/** Columns as wide as their widest cell, each to the left (l) or right (r). */
function table(sides: string, rows: readonly (readonly string[])[]): string[] {
	const widths = [...sides].map((_, i) => Math.max(...rows.map((row) => (row[i] ?? '').length)))
	const cell = (text: string, i: number) => (sides[i] === 'r' ? text.padStart(widths[i] ?? 0) : text.padEnd(widths[i] ?? 0))
	return rows.map((row) => row.map(cell).join('   '))
}
