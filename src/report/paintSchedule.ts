/** Paint by session: area, coats, film, what to mix; the log of every coat; and what to write on spray-out cards. */
import type { Drawing } from '../drawing/drawing.ts'
import { filmWords } from '../paint/clearProblems.ts'
import type { PaintQuantity } from '../paint/quantity.ts'
import type { PaintSystem } from '../paint/system.ts'
import type { Paper } from '../sheet/paper.ts'
import type { Margins } from '../sheet/printer.ts'
import type { Unit } from '../units/length.ts'
import { type Cell, type Flow, tableFlow } from './measuringSheetTable.ts'
import type { PaintworkPrint } from './paintworkPrint.ts'
import { ASSUMED_NOTE, amountMarked, hoursWords, liftWords, marked, mlWords, recoatWords, smallMixWords } from './sprayWords.ts'
import { headed, noteBlock, type Section, writtenPages } from './writtenPages.ts'

export function paintSchedule(print: PaintworkPrint, paper: Paper, margins: Margins): readonly Drawing[] {
	const { job, revision } = print.result
	const { quantities } = print.paintwork
	if (quantities.stages.length === 0) return []
	const widthMm = paper.widthMm - margins.left - margins.right
	const sections: readonly Section[] = [
		{
			subject: 'what to mix',
			flows: [
				amountFlow(print, quantities.stages),
				panelFlow(print, quantities.stages),
				timesFlow(print),
				{ blocks: [noteBlock([ASSUMED_NOTE, cupNote(print), ...print.paintwork.smallMixes.map(smallMixWords)], widthMm)] },
			],
		},
		{
			subject: 'spray-out cards, log of every coat',
			flows: [
				headed('Spray-out cards', undefined, sprayOutSentences(print), widthMm),
				cardFlow(print),
				{ blocks: [noteBlock([LOG_NOTE], widthMm)] },
				logFlow(print, quantities.stages),
			],
		},
	]
	return writtenPages({ kind: 'Paint schedule', job, revision, paper, margins }, sections)
}

const LOG_NOTE =
	'Write each coat down as it is sprayed, on all panels in turn. Type it into the log of the job: the count of coats is what makes a repair match.'

const cupNote = ({ shop }: PaintworkPrint) =>
	`To mix: ready to spray, with what is lost at the gun and what is mixed over it. A cup holds ${shop.spraying.cupMl} ml.`

const sessionWords = ({ stage }: PaintQuantity) => String(stage ?? '')

const nameOf = ({ paintwork, result }: PaintworkPrint, id: string) =>
	paintwork.systems.get(id)?.name ?? result.job.paints.find((paint) => paint.id === id)?.name ?? id

const MM2_PER_IN2 = 25.4 ** 2
const areaWords = (mm2: number, unit: Unit) =>
	unit === 'mm' ? `${(mm2 / 100).toFixed(0)} cm²` : `${(mm2 / MM2_PER_IN2).toFixed(0)} sq in`

function amountFlow(print: PaintworkPrint, stages: readonly PaintQuantity[]): Flow {
	const { unit } = print.result.job
	const rows = stages.map((each): readonly Cell[] => {
		const system = print.paintwork.systems.get(each.paint)
		const say = (text: string) => (system ? amountMarked(text, system) : text)
		const coats = each.mlPerCoat.length
		return [
			{ text: sessionWords(each), bold: true },
			{ text: nameOf(print, each.paint), bold: true },
			{ text: areaWords(each.areaMm2, unit) },
			{ text: system ? marked(String(coats), system.coats) : String(coats) },
			{ text: filmText(each, system) },
			{ text: say(mlWords(Math.max(...each.mlPerCoat))) },
			{ text: say(mlWords(each.ml)), bold: true },
			{ text: String(Math.max(...each.cupsPerCoat)) },
		]
	})
	const columns = [
		{ title: 'session', part: 15 },
		{ title: 'paint', part: 45 },
		{ title: 'area', part: 24 },
		{ title: 'coats', part: 13 },
		{ title: 'dry film', part: 34 },
		{ title: 'a coat', part: 20 },
		{ title: 'to mix', part: 20 },
		{ title: 'cups a coat', part: 18 },
	]
	return tableFlow({ title: 'By session', columns, rows, rowMm: 6.4, together: rows.length < 12 })
}

/** All coats together; of a clear that differs from panel to panel the least and the most. */
function filmText({ panels }: PaintQuantity, system: PaintSystem | undefined): string {
	const films = panels.map(({ coats, filmUm }) => coats * filmUm)
	const [least, most] = [Math.min(...films), Math.max(...films)]
	const text = most - least < 0.5 ? filmWords(most) : `${Math.round(least)} to ${filmWords(most)}`
	return system ? marked(text, system.filmUm) : text
}

function panelFlow(print: PaintworkPrint, stages: readonly PaintQuantity[]): Flow {
	const { unit } = print.result.job
	const titleOf = (id: string, hand: string) => {
		const title = print.result.panels.find((panel) => panel.id === id)?.title ?? id
		return hand === 'centre' ? title : `${title}, ${hand}`
	}
	const rows = stages.flatMap((each): (readonly Cell[] | { group: string })[] => {
		const system = print.paintwork.systems.get(each.paint)
		const say = (text: string) => (system ? amountMarked(text, system) : text)
		return [
			{ group: `Session ${each.stage}: ${nameOf(print, each.paint)}` },
			...each.panels.map((panel): readonly Cell[] => [
				{ text: titleOf(panel.panel, panel.hand) },
				{ text: areaWords(panel.areaMm2, unit) },
				{ text: String(panel.coats) },
				{ text: say(mlWords(panel.mlPerCoat)) },
				{ text: say(mlWords(panel.ml)) },
			]),
		]
	})
	const columns = [
		{ title: 'panel', part: 70 },
		{ title: 'open to the gun', part: 34 },
		{ title: 'coats', part: 18 },
		{ title: 'a coat', part: 28 },
		{ title: 'all coats', part: 28 },
	]
	return tableFlow({ title: 'By panel', columns, rows, rowMm: 5.4 })
}

function timesFlow(print: PaintworkPrint): Flow {
	const used = new Set(print.paintwork.quantities.paints.map(({ paint }) => paint))
	const rows = [...print.paintwork.systems.values()]
		.filter(({ id }) => used.has(id))
		.map((system): readonly Cell[] => [
			{ text: system.name, bold: true },
			{ text: marked(hoursWords(system.potLifeHours.value), system.potLifeHours) },
			{ text: marked(recoatWords(system.recoatHours.value), system.recoatHours) },
			{ text: marked(hoursWords(system.tapeHours.value), system.tapeHours) },
			{ text: marked(liftWords(system), system.lift) },
			{ text: marked(`${system.volumeSolids.value} %`, system.volumeSolids) },
		])
	const columns = [
		{ title: 'paint', part: 42 },
		{ title: 'pot life', part: 20 },
		{ title: 'recoat window', part: 34 },
		{ title: 'tape on it after', part: 28 },
		{ title: 'lift tape', part: 40 },
		{ title: 'solids', part: 18 },
	]
	return tableFlow({ title: 'Times', columns, rows, rowMm: 6.4, together: rows.length < 12 })
}

function sprayOutSentences({ paintwork, result }: PaintworkPrint): readonly string[] {
	const systems = paintwork.order.flatMap((id) => paintwork.systems.get(id) ?? [])
	const through = systems.filter(({ hides }) => !hides).map(({ name }) => name)
	const done = (result.job.paintwork?.sprayOut ?? []).map(({ paint, coats, matched, on, note }) => {
		const name = paintwork.systems.get(paint)?.name ?? paint
		return `${name}, ${coats} coats: ${matched ? 'matched' : 'did not match'}${on === undefined ? '' : `, ${on}`}${note === undefined ? '' : ` (${note})`}.`
	})
	return [
		'Spray a card of each paint over the same primer, with the same gun, and add a coat at a time with a strip of tape left between coats: the card then shows every count. Match it dry, in daylight, against the old paint. Write the count and the batch on its back.',
		...(through.length > 0
			? [
					`${through.join(' and ')}: the shade goes with the number of coats and with how far they overlap. The same count on all panels, in one session, the overlap as on the card.`,
				]
			: []),
		...done,
	]
}

function cardFlow(print: PaintworkPrint): Flow {
	const rows = print.paintwork.order.flatMap((id): (readonly Cell[])[] => {
		const system = print.paintwork.systems.get(id)
		return system
			? [[{ text: system.name, bold: true }, { light: marked(String(system.coats.value), system.coats) }, {}, {}, {}]]
			: []
	})
	const columns = [
		{ title: 'paint', part: 46 },
		{ title: 'coats that matched', part: 32 },
		{ title: 'batch', part: 34 },
		{ title: 'gun, needle, pressure', part: 44 },
		{ title: 'date, initials', part: 30 },
	]
	return tableFlow({ title: 'Cards', columns, rows, together: rows.length < 12 })
}

/** A row for each coat: a log is filled as the work goes on. */
function logFlow(print: PaintworkPrint, stages: readonly PaintQuantity[]): Flow {
	const log = print.result.job.paintwork?.log ?? []
	const rows = stages.flatMap((each): (readonly Cell[] | { group: string })[] => [
		{ group: `Session ${each.stage}: ${nameOf(print, each.paint)}` },
		...each.mlPerCoat.map((ml, i): readonly Cell[] => {
			// A clear is sprayed in several sessions: its coats are counted on.
			const before = stages.filter((other) => other.paint === each.paint && (other.stage ?? 0) < (each.stage ?? 0))
			const number = before.reduce((sum, { mlPerCoat }) => sum + mlPerCoat.length, 0) + i + 1
			const done = log.find(({ paint, coat }) => paint === each.paint && coat === number)
			const said = (value: string | number | undefined): Cell => (value === undefined ? {} : { text: String(value) })
			return [
				{ text: String(number), bold: true },
				{ light: mlWords(ml) },
				...[said(done?.on), said(done?.at), said(done?.celsius), said(done?.humidity), said(done?.batch), {}],
			]
		}),
	])
	const columns = [
		{ title: 'coat', part: 12 },
		{ title: 'mixed', part: 22 },
		{ title: 'date', part: 26 },
		{ title: 'time', part: 20 },
		{ title: 'temperature, °C', part: 26 },
		{ title: 'humidity, %', part: 22 },
		{ title: 'batch', part: 30 },
		{ title: 'remark, initials', part: 40 },
	]
	return tableFlow({ title: 'Coats', columns, rows })
}
