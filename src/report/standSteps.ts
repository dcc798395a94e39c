/** What is done at the stand for one stage, step by step: one sentence, and one length. */

import { gateRows } from '../engine/gates.ts'
import { girthFigure, lengthFigure } from '../template/measured.ts'
import { SPRAY_CAUTION } from './cautions.ts'
import type { PaintworkPrint, StageWork } from './paintworkPrint.ts'
import { alongSaid, alongWords, bodySide, endsOf, knifeWhy, overUnder, placeSaid, spans, trimWords } from './runWords.ts'
import { ASSUMED_NOTE, sprayLines } from './sprayWords.ts'
import { lineWhatOf, orderNote } from './stageCards.ts'
import { tapeWords } from './tapeWords.ts'

export interface StandStep {
	/** as the plan calls its steps: tank/gold/lay/3 */
	readonly id: string
	readonly sentence: string
	/** the one length of the step, with its unit */
	readonly length?: string
	/** figures to be compared with, or filled in */
	readonly rows?: readonly (readonly [string, string])[]
	/** the run or the mask that is shown on the picture */
	readonly number?: number
	readonly note?: string
}

export function standSteps(print: PaintworkPrint, of: StageWork): readonly StandStep[] {
	const { work, stage, tape, paint } = of
	const name = `${work.prefix}/${stage.paint}`
	const lay = tape.lay.flatMap((id): StandStep[] => {
		const step = layStep(print, of, id)
		const kind = tape.runs.some((run) => run.id === id) ? 'lay' : 'mask'
		return step ? [{ id: `${name}/${kind}/${step.number}`, ...step }] : []
	})
	const cover = coverStep(of)
	const gates = gateSteps(print, of).map((step, i): StandStep => ({ id: `${name}/check/${i + 1}`, ...step }))
	return [
		{ id: `${name}/wipe`, sentence: `${of.title}: ${paint.name}. ${orderNote(of)}` },
		...lay,
		...(cover ? [{ id: `${name}/paper`, ...cover }] : []),
		...gates,
		{
			id: `${name}/spray`,
			sentence: `Spray ${paint.name}.`,
			rows: sprayLines(print, of).map(({ what, text, blank }) => [what, blank ? "from the paint's sheet" : text] as const),
			note: `${SPRAY_CAUTION} ${ASSUMED_NOTE}`,
		},
		...liftSteps(print, of).map((step): StandStep => ({ id: `${name}/lift`, ...step })),
	]
}

type Said = Omit<StandStep, 'id'>

function layStep(print: PaintworkPrint, of: StageWork, id: string): Said | undefined {
	const { unit } = print.result.job
	const lineWhat = lineWhatOf(print, of)
	const over = overUnder(of.tape, id).over
	const lying = [...(over.length > 0 ? [`It lies over ${spans(over)}.`] : []), ...trimWords(of.tape, id)]
	const mask = of.tape.knives.find((each) => each.id === id)
	if (mask) {
		const piece = print.pieceOf?.(id)
		const which = piece === undefined ? `Knife mask ${mask.number}` : `Knife mask ${mask.number}, piece ${piece}`
		return {
			sentence: `${which}: on ${alongWords(of, mask.follows, lineWhat)}, where it ${knifeWhy(mask)}.`,
			length: lengthFigure(mask.lengthMm, unit),
			rows: [['about', placeSaid(of, mask.at, unit)]],
			number: mask.number,
			...(lying.length > 0 ? { note: lying.join(' ') } : {}),
		}
	}
	const run = of.tape.runs.find((each) => each.id === id)
	if (!run) return undefined
	const [from, to] = endsOf(run)
	const side = bodySide(of, run)
	const lies = run.kind === 'stripe' ? 'on the stripe itself' : `body ${side}`
	const cut = [from, to].some(({ kind }) => kind === 'cut') ? ['Cut the ends that are marked before pressing them down.'] : []
	const notes = [...lying, ...cut]
	return {
		sentence: `Run ${run.number}: ${tapeWords(run.tape)} ${alongSaid(of, run, lineWhat, unit)}, ${lies}.`,
		length: lengthFigure(run.lengthMm, unit),
		rows: [
			['from', placeSaid(of, from.at, unit)],
			['to', placeSaid(of, to.at, unit)],
		],
		number: run.number,
		...(notes.length > 0 ? { note: notes.join(' ') } : {}),
	}
}

function coverStep({ tape }: StageWork): Said | undefined {
	if (tape.paper.areaMm2 <= 0 && tape.backing.length === 0) return undefined
	const numbers = [...tape.runs, ...tape.knives].filter(({ id }) => tape.backing.some(({ over }) => over === id))
	const tapes = [...new Set(tape.backing.map((each) => tapeWords(each.tape)))].join(' and ')
	const over = numbers.map(({ number }) => number).sort((a, b) => a - b)
	const wide = tapes === '' ? '' : `${tapes} at least half over run ${spans(over)}, away from the painted edge. `
	return { sentence: `${wide}Paper or film over all that is hatched, taped to that.` }
}

function gateSteps(print: PaintworkPrint, of: StageWork): readonly Said[] {
	const { unit } = print.result.job
	return gateRows(of, print.result.panels).map(({ name, side, places }) => ({
		sentence: `Measure before spraying: ${name}${of.work.hand === 'centre' && side !== 'both' ? `, ${side}` : ''}.`,
		rows: places.map(({ station, girth }) => [`at station ${girthFigure(station, unit)}`, lengthFigure(girth, unit)] as const),
		note: 'Read without looking at the plan first. What is off is laid again.',
	}))
}

function liftSteps(print: PaintworkPrint, of: StageWork): readonly Said[] {
	if (of.tape.lift.length === 0) return []
	const lines = sprayLines(print, of)
	const when = lines.find(({ what }) => what === 'Lift')?.text ?? ''
	const note = orderNote(of)
	const order = note.slice(note.indexOf('Lift '))
	return [{ sentence: `${order} When: ${when}. Back over itself, away from the edge.` }]
}
