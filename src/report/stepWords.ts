/** A step of the plan as it is read at the stand: one sentence, one length, and the run that it is about. */

import { overstayFix } from '../plan/dwell.ts'
import type { Overstay } from '../plan/overstay.ts'
import type { StageStep, Step } from '../plan/steps.ts'
import { tapeWords } from '../tape/tapeWords.ts'
import { girthFigure, lengthFigure } from '../template/measured.ts'
import { SPRAY_CAUTION } from './cautions.ts'
import { type PaintworkPrint, panelTitle, type StageWork } from './paintworkPrint.ts'
import {
	alongWords,
	bodySide,
	edgeWord,
	endsOf,
	girthSide,
	knifeWhy,
	lineWhatOf,
	overUnder,
	placeSaid,
	spans,
	trimWords,
} from './runWords.ts'
import { ASSUMED_NOTE, hoursWords, liftWords, marked, sprayLines } from './sprayWords.ts'

export interface StepWords {
	/** as the plan calls it: tank/ivory/lay/3 */
	readonly id: string
	readonly kind: Step['kind']
	readonly session: number
	/** what its picture is of: its stage, or the films of its panel */
	readonly stage: string
	readonly sentence: string
	/** the one length of it, with its unit */
	readonly length?: string
	/** figures to go by */
	readonly rows?: readonly (readonly [what: string, figure: string])[]
	readonly note?: string
	/** the run or the mask that is shown on the picture */
	readonly number?: number
	readonly done?: Step['done']
}

export function stepWords(print: PaintworkPrint, of: StageWork, step: StageStep): StepWords {
	const { id, kind, session, done } = step
	return { id, kind, session, stage: of.key, ...said(print, of, step), ...(done ? { done } : {}) }
}

type Said = Pick<StepWords, 'sentence' | 'length' | 'rows' | 'note' | 'number'>

function said(print: PaintworkPrint, of: StageWork, step: StageStep): Said {
	const { unit } = print.result.job
	switch (step.kind) {
		case 'wipe':
			return {
				sentence: `Wipe ${panelTitle(of.work)} clean and dry.`,
				...(of.tape.lay.length === 0 ? { note: 'Nothing is taped for this paint: all of the panel is open.' } : {}),
			}
		case 'lay':
			return laySaid(print, of, step)
		case 'mask':
			return maskSaid(print, of, step)
		case 'back':
			return backSaid(of, step, unit)
		case 'paper':
			return { sentence: 'Paper or film over all that is hatched, taped to the wide tape.' }
		case 'check':
			return {
				sentence: 'Measure every line that is taped, before anything is sprayed.',
				rows: step.lines.flatMap(({ name, side, places }) =>
					places.map(({ station, girth }) => {
						const where = of.work.hand === 'centre' && side !== 'both' ? `${name}, ${side}` : name
						return [`${where}, at station ${girthFigure(station, unit)}`, lengthFigure(girth, unit)] as const
					}),
				),
				note: 'Read without looking at the plan first. What is off is laid again.',
			}
		case 'spray':
			return {
				sentence: step.coats ? `Spray ${of.paint.name}, ${coatsWords(step.coats)}.` : `Spray ${of.paint.name}.`,
				rows: sprayLines(print, of).map(({ what, text, blank }) => [what, blank ? 'from the paint’s sheet' : text] as const),
				note: `${SPRAY_CAUTION} ${ASSUMED_NOTE}`,
			}
		case 'uncover':
			return { sentence: 'Take paper and wide tape off. The tape at the lines stays for now.' }
		case 'lift':
			return liftSaid(print, of, step)
		case 'leave':
			return {
				...oneOf(of, step),
				sentence: `Leave ${nameOf(of, step)} on: it stays until after session ${step.until}.`,
				...notes(longest(step).note ?? '', tooLong(step.stays)),
			}
	}
}

const coatsWords = (coats: { readonly value: number; readonly assumed: boolean }) =>
	marked(coats.value === 1 ? '1 coat' : `${coats.value} coats`, coats)

type Of<K extends StageStep['kind']> = Extract<StageStep, { readonly kind: K }>

function laySaid(print: PaintworkPrint, of: StageWork, { run, trims, stays }: Of<'lay'>): Said {
	const { unit } = print.result.job
	const [from, to] = endsOf(run)
	const along = sided(of, alongWords(of, run.follows, lineWhatOf(print, of)), (from.at.g + to.at.g) / 2)
	const [a, b] = [girthFigure(from.at.s, unit), girthFigure(to.at.s, unit)]
	const lies = run.kind === 'stripe' ? 'it covers the stripe itself' : `its body ${bodySide(of, run)}`
	const word = edgeWord(of, run)
	const edge = word === undefined ? 'line ' : `${word} edge `
	const way =
		run.kind === 'stripe'
			? 'on'
			: run.kind === 'lap'
				? `${lengthFigure(run.offMm, unit)} beyond the ${edge}of`
				: `along the ${edge}of`
	const cut = [from, to].some(({ kind }) => kind === 'cut')
	return {
		sentence: `Lay ${tapeWords(run.tape)} tape ${way} ${along}, from station ${a} to ${b}; ${lies}.`,
		length: lengthFigure(run.lengthMm, unit),
		rows: [
			['from', placeSaid(of, from.at, unit)],
			['to', placeSaid(of, to.at, unit)],
		],
		number: run.number,
		...notes(
			lying(of, run.id),
			...(trims.length > 0 ? trimWords(of.tape, run.id) : []),
			cut ? 'Trim the ends that are marked before you press them down.' : '',
			tooLong(stays),
		),
	}
}

/** With the side of the vehicle, on a panel that has both. */
function sided(of: StageWork, what: string, g: number): string {
	const side = girthSide(of, g)
	return side === '' || of.work.hand !== 'centre' ? what : `${what}, ${side}`
}

function maskSaid(print: PaintworkPrint, of: StageWork, { mask }: Of<'mask'>): Said {
	const { unit } = print.result.job
	const piece = print.pieceOf?.(mask.id)
	const along = sided(of, alongWords(of, mask.follows, lineWhatOf(print, of)), mask.at.g)
	return {
		sentence: `Lay knife mask ${mask.number}${piece === undefined ? '' : `, piece ${piece}`}, on ${along}, where it ${knifeWhy(mask)}.`,
		length: lengthFigure(mask.lengthMm, unit),
		rows: [['about', placeSaid(of, mask.at, unit)]],
		number: mask.number,
		...notes(lying(of, mask.id)),
	}
}

function backSaid(of: StageWork, { backing }: Of<'back'>, unit: 'mm' | 'in'): Said {
	const all = [...of.tape.runs, ...of.tape.knives]
	const numbers = [...new Set(backing.flatMap(({ over }) => all.find(({ id }) => id === over)?.number ?? []))]
	const tapes = [...new Set(backing.map(({ tape }) => tapeWords(tape)))].join(' and ')
	const mm = backing.reduce((sum, { lengthMm }) => sum + lengthMm, 0)
	return {
		sentence: `Lay ${tapes} tape over ${runsWords(numbers)}, at least half over, away from the painted edge.`,
		length: lengthFigure(mm, unit),
	}
}

function liftSaid(print: PaintworkPrint, of: StageWork, step: Of<'lift'>): Said {
	const system = print.paintwork.systems.get(of.stage.paint)
	const when = system ? `, ${marked(liftWords(system), system.lift)}` : ''
	const starred = system?.lift.assumed ? ASSUMED_NOTE : ''
	return {
		...oneOf(of, step),
		sentence: `Lift ${nameOf(of, step)}${when}: back over itself, away from the edge.`,
		...notes(longest(step).note ?? '', starred),
	}
}

const longest = ({ longestHours }: { readonly longestHours?: number }): { readonly note?: string } =>
	longestHours === undefined ? {} : { note: `Its sheet lets it lie for ${hoursWords(longestHours)} at the longest.` }

const tooLong = (stays: Overstay | undefined): string =>
	stays
		? `By the plan it would lie for at least ${hoursWords(stays.hours)}, and may for ${hoursWords(stays.longestHours)}. ${overstayFix(stays)}`
		: ''

const isRun = (of: StageWork, number: number) => of.tape.runs.some((run) => run.number === number)
const nameOf = (of: StageWork, { number }: { readonly number: number }) =>
	isRun(of, number) ? `run ${number}` : `knife mask ${number}`
const oneOf = (_: StageWork, { number }: { readonly number: number }) => ({ number })
const runsWords = (numbers: readonly number[]) =>
	`${numbers.length === 1 ? 'run' : 'runs'} ${spans([...numbers].sort((a, b) => a - b))}`

function lying(of: StageWork, id: string): string {
	const { over } = overUnder(of.tape, id)
	return over.length > 0 ? `It lies over ${over.length === 1 ? 'number' : 'numbers'} ${spans(over)}.` : ''
}

function notes(...all: readonly string[]): { readonly note?: string } {
	const own = all.filter((one) => one !== '')
	return own.length > 0 ? { note: own.join(' ') } : {}
}
