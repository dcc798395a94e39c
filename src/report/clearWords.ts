/** A step of clear and decals as it is read at the stand. */
import { filmWords } from '../paint/clearProblems.ts'
import { DECAL_CHOICE } from '../paint/decalChoice.ts'
import { cupsFor, type PanelQuantity } from '../paint/quantity.ts'
import type { ClearPhase } from '../plan/clearSessions.ts'
import { type ClearStep, isClearStep } from '../plan/steps.ts'
import { lengthFigure } from '../template/measured.ts'
import { SPRAY_CAUTION } from './cautions.ts'
import { type PaintworkPrint, panelTitle } from './paintworkPrint.ts'
import { ASSUMED, ASSUMED_NOTE, amountMarked, hoursWords, mlWords, recoatWords } from './sprayWords.ts'
import type { StepWords } from './stepWords.ts'

/** What a session of clear is for. */
export const PHASE: Readonly<Record<ClearPhase, string>> = {
	'below-decals': 'below the decals',
	over: 'all over',
	flow: 'flow coat',
	finish: 'to finish',
}

/** What its picture and its list are of: the films of the panel. */
export const clearKey = (panel: string): string => `films/${panel}`

export const clearStepsOf = ({ paintwork }: Pick<PaintworkPrint, 'paintwork'>): readonly ClearStep[] =>
	paintwork.steps.filter(isClearStep)

/** "clear and decals", where it has decals. */
export const clearTitle = (steps: readonly ClearStep[]): string =>
	steps.some(({ kind }) => kind === 'decals') ? 'clear and decals' : 'clear'

export function clearWords(print: PaintworkPrint, step: ClearStep): StepWords {
	const { id, kind, session, panel, done } = step
	return { id, kind, session, stage: clearKey(panel), ...said(print, step), ...(done ? { done } : {}) }
}

type Said = Pick<StepWords, 'sentence' | 'length' | 'rows' | 'note'>

const starred = (text: string, assumed: boolean) => (assumed ? `${text}${ASSUMED}` : text)
const PRACTICE = `${ASSUMED} a usual figure: change it with the panel's clear.`

function said(print: PaintworkPrint, step: ClearStep): Said {
	const title = titleOf(print, step)
	switch (step.kind) {
		case 'ridges':
			return {
				sentence: `Flat the ridges of ${title} where decals will lie, wet, P1500 to P2000.`,
				rows: [
					['highest', filmWords(step.mostUm)],
					['their length in all', lengthFigure(step.lengthMm, print.result.job.unit)],
				],
				note: 'A ridge that is left shows through the decal. Stop when it is level: one stroke more goes through the colour.',
			}
		case 'decals':
			return decalsSaid(title, step)
		case 'clear':
			return clearSaid(print, title, step)
		case 'rub':
			return rubbedSaid(print, title, step)
	}
}

/** What is done, for a list of sessions. */
export function clearDoing(step: ClearStep): string {
	switch (step.kind) {
		case 'ridges':
			return 'flat the ridges where decals will lie'
		case 'decals':
			return 'lay the decals'
		case 'clear':
			return 'spray'
		case 'rub':
			return { flatting: 'flat', cutting: 'cut', polishing: 'polish' }[step.what]
	}
}

export const titleOf = ({ paintwork }: Pick<PaintworkPrint, 'paintwork'>, { prefix, panel }: ClearStep): string => {
	const work = paintwork.panels.find((each) => each.prefix === prefix)
	return work ? panelTitle(work) : panel
}

type Of<K extends ClearStep['kind']> = Extract<ClearStep, { readonly kind: K }>

function decalsSaid(title: string, { where, chosen }: Of<'decals'>): Said {
	const [first] = DECAL_CHOICE[where].filter(({ code }) => code === 'TRY_CLEAR_FIRST' || code === 'EDGE_CAN_LIFT')
	return {
		sentence:
			where === 'under'
				? `Lay the decals of ${title}: clear goes over them.`
				: `Lay the decals of ${title} on the finished clear.`,
		note: [
			'Set out each by its sheet first: there is one attempt. Let them dry as their maker says.',
			...(first ? [first.sentence] : []),
			...(chosen ? [] : ['Under the clear or over it is the owner’s choice; as nothing is said, they lie under it.']),
		].join(' '),
	}
}

/** What a session of clear takes on this panel. */
export const clearQuantity = (
	{ paintwork }: Pick<PaintworkPrint, 'paintwork'>,
	{ session, paint, panel, hand }: ClearStep,
): PanelQuantity | undefined =>
	paintwork.quantities.stages
		.find((each) => each.stage === session && each.paint === paint)
		?.panels.find((each) => each.panel === panel && each.hand === hand)

function clearSaid(print: PaintworkPrint, title: string, step: Of<'clear'>): Said {
	const { phase, coats, assumed, paint } = step
	const system = print.paintwork.systems.get(paint)
	const name = system?.name ?? paint
	const quantity = clearQuantity(print, step)
	const cup = print.shop.spraying.cupMl
	const many = starred(coats === 1 ? '1 coat' : `${coats} coats`, assumed)
	const cups = quantity ? cupsFor(quantity.mlPerCoat, cup) : 0
	const blank = (known: boolean | undefined, text: string) => (known ? text : 'from the paint’s sheet')
	return {
		sentence: `Wipe ${title} clean and dry, and spray ${name}, ${many}, ${PHASE[phase]}.`,
		rows: [
			...(quantity && system
				? ([
						[
							'Ready to spray',
							`${amountMarked(mlWords(quantity.mlPerCoat), system)} a coat, ${cups > 1 ? `${cups} cups` : `one cup of ${cup} ml`}`,
						],
						['Film of it', starred(filmWords(quantity.coats * quantity.filmUm), system.filmUm.assumed)],
					] as const)
				: []),
			['Pot life', blank(system && !system.potLifeHours.assumed, hoursWords(system?.potLifeHours.value ?? 0))],
			['Recoat window', blank(system && !system.recoatHours.assumed, recoatWords(system?.recoatHours.value ?? { from: 0 }))],
		],
		note: `${SPRAY_CAUTION} ${ASSUMED_NOTE}`,
	}
}

const RUB: Readonly<Record<Of<'rub'>['what'], readonly [verb: string, how: string]>> = {
	flatting: ['Flat', ', wet'],
	cutting: ['Cut', ' with compound'],
	polishing: ['Polish', ''],
}

function rubbedSaid({ paintwork }: PaintworkPrint, title: string, { panel, what, um, rounds, assumed }: Of<'rub'>): Said {
	const [verb, how] = RUB[what]
	const clear = paintwork.clears.get(panel)
	const after = clear?.plan.films
		.filter(({ where }) => where !== 'below-decals' || clear.plan.films.length < 3)
		.flatMap(({ steps }) => steps.filter((each) => each.what === what).map(({ filmUm }) => filmUm))
	const edges = (clear?.rubThrough ?? []).map((one) =>
		one.where === 'rim' ? 'the rim' : `swage line ${one.number ?? ''}`.trim(),
	)
	return {
		sentence: `${verb} the clear of ${title}${how}${rounds > 1 ? `, ${rounds} rounds` : ''}.`,
		rows: [
			['takes off, about', starred(filmWords(um * rounds), assumed)],
			...(after && after.length > 0
				? ([['clear left, at the least', starred(filmWords(Math.min(...after)), true)]] as const)
				: []),
		],
		note: [
			...(edges.length > 0
				? [`It goes through first along ${[...new Set(edges)].join(', ')}: tape over edges while you rub.`]
				: []),
			PRACTICE,
		].join(' '),
	}
}
