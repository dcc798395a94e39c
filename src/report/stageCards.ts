/** Stage cards: for each panel and session a card for the wall, from laying the tape to lifting it. */
import type { Drawing } from '../drawing/drawing.ts'
import type { Paper } from '../sheet/paper.ts'
import type { Margins } from '../sheet/printer.ts'
import { tapeWords } from '../tape/tapeWords.ts'
import { girthFigure, lengthFigure } from '../template/measured.ts'
import type { Unit } from '../units/length.ts'
import { SPRAY_CAUTION } from './cautions.ts'
import { clearCards } from './clearCards.ts'
import { type Block, type Cell, type Flow, tableFlow } from './measuringSheetTable.ts'
import { type PaintworkPrint, type StageWork, stageWorks } from './paintworkPrint.ts'
import {
	alongRow,
	alongWords,
	bodySide,
	ENDS_NOTE,
	endsSaid,
	knifeWhy,
	lineWhatOf,
	overUnderWords,
	placeWords,
	spans,
	trimWords,
	untilWords,
} from './runWords.ts'
import { ASSUMED_NOTE, sprayLines } from './sprayWords.ts'
import { legendBlock } from './stageLegend.ts'
import { pictureBlock } from './stagePicture.ts'
import { LARGE } from './stageView.ts'
import { headed, noteBlock, type Section, writtenPages } from './writtenPages.ts'

/** Of the page's height, what a picture may take. */
const PICTURE_SHARE = 0.4
const LEGEND_MM = 3.2
/** Rows that are read, not written in. */
const READ_MM = 5

export function stageCards(print: PaintworkPrint, paper: Paper, margins: Margins): readonly Drawing[] {
	const { job, revision } = print.result
	const widthMm = paper.widthMm - margins.left - margins.right
	const mostMm = PICTURE_SHARE * (paper.heightMm ?? 0)
	const sections = stageWorks(print).map((of): Section => {
		const size = { ...LARGE, textMm: 4.5, widthMm, mostMm }
		const picture = pictureBlock(of, print.result, print.shop.tapes, size)
		const legend = legendBlock([of], job.paints, print.shop.tapes, widthMm, LEGEND_MM)
		return {
			subject: `${of.title}, session ${of.stage.number}, ${of.paint.name}`,
			flows: [
				{ blocks: [picture, legend, noteBlock([orderNote(of)], widthMm)] },
				...runFlows(print, of),
				...gateFlows(print, of),
				sprayFlow(print, of),
				{ blocks: [cautionBlock(widthMm)] },
			],
		}
	})
	return writtenPages({ kind: 'Stage card', job, revision, paper, margins }, [...sections, ...clearCards(print, widthMm)])
}

/** In which order they are laid, and lifted. */
export function orderNote({ tape, stage }: StageWork): string {
	const all = [...tape.runs, ...tape.knives]
	if (all.length === 0) return 'Nothing to tape: all of it is open.'
	const number = (id: string) => all.find((each) => each.id === id)?.number
	const numbers = (ids: readonly string[]) => ids.flatMap((id) => number(id) ?? [])
	const stays = all.filter(({ laid }) => laid < stage.number).map((each) => each.number)
	const ordered = (ids: readonly string[]) => {
		const list = numbers(ids)
		const rising = list.every((each, i) => i === 0 || each > (list[i - 1] as number))
		return rising ? spans(list) : list.join(', ')
	}
	return [
		...(stays.length > 0 ? [`On from before: ${spans(stays)}.`] : []),
		...(tape.lay.length > 0 ? [`Lay ${ordered(tape.lay)}${inThisOrder(tape.lay)}.`] : []),
		...trimWords(tape),
		...(tape.lift.length > 0 ? [`Lift ${ordered(tape.lift)}${inThisOrder(tape.lift)}.`] : []),
	].join(' ')
}

const inThisOrder = (ids: readonly string[]) => (ids.length > 1 ? ', in this order' : '')

function runFlows(print: PaintworkPrint, of: StageWork): readonly Flow[] {
	const { unit } = print.result.job
	const lineWhat = lineWhatOf(print, of)
	const byNumber = <T extends { readonly number: number }>(list: readonly T[]) => [...list].sort((a, b) => a.number - b.number)
	const runs = byNumber(of.tape.runs).map((run): readonly Cell[] => {
		const { side, from, to } = endsSaid(of, run, unit)
		return [
			{ text: String(run.number), bold: true },
			{ text: side },
			{ text: alongRow(of, run, lineWhat, unit) },
			{ text: from },
			{ text: to },
			{ text: bareLength(run.lengthMm, unit), bold: true },
			{ text: tapeWords(run.tape) },
			{ text: bodySide(of, run) },
			{ text: overUnderWords(of.tape, run.id) },
			{ text: untilWords(run, of.stage.number) },
		]
	})
	const columns = [
		{ title: 'run', part: 8 },
		{ title: 'side', part: 10 },
		{ title: 'along', part: 35 },
		{ title: `from, ${unit}`, part: 27 },
		{ title: `to, ${unit}`, part: 27 },
		{ title: `length, ${unit}`, part: 16 },
		{ title: 'tape', part: 21 },
		{ title: 'body', part: 14 },
		{ title: 'lies', part: 40 },
		{ title: 'stays until', part: 17 },
	]
	const masks = byNumber(of.tape.knives).map((mask): readonly Cell[] => {
		const piece = print.pieceOf?.(mask.id)
		return [
			{ text: String(mask.number), bold: true },
			{ text: alongWords(of, mask.follows, lineWhat) },
			{ text: placeWords(of, mask.at, unit) },
			{ text: bareLength(mask.lengthMm, unit), bold: true },
			{ text: piece === undefined ? '' : String(piece), bold: true },
			{ text: knifeWhy(mask) },
			{ text: overUnderWords(of.tape, mask.id) },
			{ text: untilWords(mask, of.stage.number) },
		]
	})
	const maskColumns = [
		{ title: 'mask', part: 10 },
		{ title: 'along', part: 30 },
		{ title: `about, ${unit}`, part: 26 },
		{ title: `line, ${unit}`, part: 16 },
		{ title: 'piece', part: 12 },
		{ title: 'why no tape', part: 37 },
		{ title: 'lies', part: 32 },
		{ title: 'stays until', part: 22 },
	]
	return [
		...(runs.length > 0 ? [tableFlow({ title: 'Runs of tape', columns, rows: runs, rowMm: READ_MM })] : []),
		...(masks.length > 0
			? [tableFlow({ title: 'Knife masks', columns: maskColumns, rows: masks, rowMm: READ_MM, together: masks.length < 12 })]
			: []),
	]
}

const bareLength = (mm: number, unit: Unit) => lengthFigure(mm, unit).replace(/ (mm|in)$/, '')

function gateFlows(print: PaintworkPrint, of: StageWork): readonly Flow[] {
	const { unit } = print.result.job
	const figure = (mm: number) => girthFigure(mm, unit).replace(/ in$/, '')
	const gates = print.paintwork.steps.flatMap((step) =>
		step.kind === 'check' && step.prefix === of.work.prefix && step.stage === of.stage.number ? step.lines : [],
	)
	if (gates.length === 0) return []
	const rows = gates.map(({ name, side, places }): readonly Cell[] => [
		{ text: of.work.hand === 'centre' && side !== 'both' ? `${name}, ${side}` : name },
		...[0, 1, 2].map((i): Cell => {
			const place = places[i]
			return place ? { ring: `at ${figure(place.station)}`, light: figure(place.girth) } : { light: '–' }
		}),
		{},
	])
	const columns = [
		{ title: 'line', part: 66 },
		{ title: 'front', part: 28, over: { title: `girth as taped, ${unit}, at station; grey: as planned`, columns: 3 } },
		{ title: 'middle', part: 28 },
		{ title: 'rear', part: 28 },
		{ title: 'initials', part: 22 },
	]
	return [tableFlow({ title: 'Gate: measure before anything is sprayed', columns, rows, rowMm: 7.2 })]
}

/** Two lines of words side by side; a blank where the paint does not say. */
function sprayFlow(print: PaintworkPrint, of: StageWork): Flow {
	const lines = sprayLines(print, of)
	const half = Math.ceil(lines.length / 2)
	const rows = Array.from({ length: half }, (_, i): readonly Cell[] =>
		[lines[i], lines[i + half]].flatMap((each): Cell[] => [
			{ text: each?.what ?? '' },
			each?.blank ? { light: "from the paint's sheet" } : { text: each?.text ?? '', bold: true },
		]),
	)
	const columns = [
		{ title: 'what', part: 24 },
		{ title: 'figure', part: 60 },
		{ title: 'what', part: 34 },
		{ title: 'figure', part: 54 },
	]
	return tableFlow({ title: 'Spray', columns, rows, rowMm: 6.4, together: true })
}

function cautionBlock(widthMm: number): Block {
	const flow = headed('', undefined, [SPRAY_CAUTION], widthMm)
	const note = noteBlock([ASSUMED_NOTE, ENDS_NOTE], widthMm)
	const [caution] = flow.blocks
	if (!caution) return note
	return {
		heightMm: note.heightMm + caution.heightMm,
		draw: (at) => [...caution.draw(at), ...note.draw({ ...at, top: at.top - caution.heightMm })],
	}
}
