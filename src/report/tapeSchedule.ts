/** Every run of tape of a job, and how much of each tape that makes. */
import type { Drawing } from '../drawing/drawing.ts'
import { overstayFix } from '../plan/dwell.ts'
import type { Paper } from '../sheet/paper.ts'
import type { Margins } from '../sheet/printer.ts'
import { tapeWords } from '../tape/tapeWords.ts'
import { lengthFigure } from '../template/measured.ts'
import { formatLength } from '../units/format.ts'
import type { Unit } from '../units/length.ts'
import { type Cell, tableFlow } from './measuringSheetTable.ts'
import { type PaintworkPrint, panelTitle, stageWorks } from './paintworkPrint.ts'
import {
	alongRow,
	alongWords,
	bodySide,
	ENDS_NOTE,
	endsSaid,
	knifeWhy,
	lineWhatOf,
	placeWords,
	spans,
	untilWords,
} from './runWords.ts'
import { hoursWords } from './sprayWords.ts'
import { noteBlock, writtenPages } from './writtenPages.ts'

const READ_MM = 5

export function tapeSchedule(print: PaintworkPrint, paper: Paper, margins: Margins): readonly Drawing[] {
	const { job, revision } = print.result
	const { unit } = job
	const bare = (mm: number) => lengthFigure(mm, unit).replace(/ (mm|in)$/, '')
	const rows: (readonly Cell[] | { readonly group: string })[] = []
	for (const of of stageWorks(print)) {
		const lineWhat = lineWhatOf(print, of)
		// what stays from before was listed where it was laid
		const own = [...of.tape.runs, ...of.tape.knives]
			.filter(({ laid }) => laid === of.stage.number)
			.sort((a, b) => a.number - b.number)
		if (own.length === 0) continue
		rows.push({ group: `${of.title}, session ${of.stage.number}, ${of.paint.name}` })
		for (const each of own) {
			const until = untilWords(each, of.stage.number)
			if (!('tape' in each)) {
				const piece = print.pieceOf?.(each.id)
				const how = { text: piece === undefined ? 'knife mask' : `knife mask, piece ${piece}` }
				rows.push([
					{ text: String(each.number), bold: true },
					...[
						{ text: '' },
						{ text: alongWords(of, each.follows, lineWhat) },
						{ text: placeWords(of, each.at, unit) },
						{ text: knifeWhy(each) },
					],
					...[{ text: bare(each.lengthMm), bold: true }, how, { text: '' }, { text: until }],
				])
				continue
			}
			const { side, from, to } = endsSaid(of, each, unit)
			const joints = each.joints > 0 ? `, ${each.joints + 1} lengths` : ''
			rows.push([
				{ text: String(each.number), bold: true },
				...[
					{ text: side },
					{ text: alongRow(of, each, lineWhat, unit) },
					{ text: from },
					{ text: to },
					{ text: bare(each.lengthMm), bold: true },
				],
				...[{ text: `${tapeWords(each.tape)}${joints}` }, { text: bodySide(of, each) }, { text: until }],
			])
		}
	}
	if (rows.length === 0) return []
	const widthMm = paper.widthMm - margins.left - margins.right
	const columns = [
		{ title: 'run', part: 9 },
		{ title: 'side', part: 12 },
		{ title: 'along', part: 44 },
		{ title: `from, ${unit}`, part: 28 },
		{ title: `to, ${unit}`, part: 28 },
		{ title: `length, ${unit}`, part: 17 },
		{ title: 'tape', part: 24 },
		{ title: 'body', part: 16 },
		{ title: 'stays until', part: 18 },
	]
	const flows = [
		tableFlow({ title: 'All runs', columns, rows, rowMm: READ_MM }),
		totalsFlow(print),
		{ blocks: [noteBlock([ENDS_NOTE, ...tooLong(print)], widthMm)] },
	]
	return writtenPages({ kind: 'Tape schedule', job, revision, paper, margins }, [{ subject: 'all panels', flows }])
}

/** Tape that the plan leaves on for longer than it may lie. */
const tooLong = ({ paintwork }: PaintworkPrint): readonly string[] =>
	paintwork.overstays.map((one) => {
		const work = paintwork.panels.find(({ prefix }) => prefix === one.prefix)
		const on = work ? panelTitle(work) : one.prefix
		return `Too long on the paint: ${on}, ${one.runs.length === 1 ? 'run' : 'runs'} ${spans([...one.runs].sort((a, b) => a - b))}, ${tapeWords(one.tape)}, from session ${one.laid} to ${one.until}: at least ${hoursWords(one.hours)} by the plan, ${hoursWords(one.longestHours)} by its sheet. ${overstayFix(one)}`
	})

/** Long lengths as one asks for them: metres, or feet. */
export const longLength = (mm: number, unit: Unit): string =>
	unit === 'mm' ? `${(mm / 1000).toFixed(1)} m` : `${(formatLength(mm, 'in', { decimals: 1 }).mm / 304.8).toFixed(1)} ft`

function totalsFlow(print: PaintworkPrint) {
	const { unit } = print.result.job
	const { waste } = print.shop.taping
	const rows = print.paintwork.shopping.tapes.map(({ tape, lengths, laidMm, backingMm, buyMm }): readonly Cell[] => [
		{ text: tapeWords(tape), bold: true },
		{ text: String(lengths) },
		{ text: longLength(laidMm - backingMm, unit) },
		{ text: backingMm > 0 ? longLength(backingMm, unit) : '' },
		{ text: longLength(buyMm, unit), bold: true },
	])
	const columns = [
		{ title: 'tape', part: 50 },
		{ title: 'lengths', part: 20 },
		{ title: 'in runs', part: 32 },
		{ title: 'under the edge of paper', part: 40 },
		{ title: `all, with ${Math.round(100 * waste)} % waste`, part: 50 },
	]
	return tableFlow({ title: 'Tape by width', columns, rows, rowMm: READ_MM, together: rows.length < 12 })
}
