/** The steps that a person follows, session by session: data alone, the words are put to them where they are shown. */
import type { Tape } from '../job/shop.ts'
import type { ClearTime, Removal } from '../paint/clear.ts'
import type { Figure, PaintSystem } from '../paint/system.ts'
import type { Seen } from '../stages/parts.ts'
import type { Backing, KnifeMask, StageTape, TapeRun, Trim } from '../tape/run.ts'
import type { Overstay } from './overstay.ts'

/** What is known of a panel where its steps are made; `prefix` is how its steps are called. */
export interface PanelTape {
	readonly id: string
	readonly hand: Seen['hand']
	readonly prefix: string
	readonly tape: readonly StageTape[]
}

/** A taped line that is measured before it is sprayed, and where. */
export interface GateLine {
	readonly line: string
	readonly name: string
	readonly side: string
	readonly places: readonly { readonly station: number; readonly girth: number }[]
}

interface StepBase {
	/** panel/paint/kind, and of single runs and masks their number: tank/ivory/lay/3 */
	readonly id: string
	/** counted over the vehicle: the panels of one session are sprayed together */
	readonly session: number
	readonly paint: string
	readonly panel: string
	readonly hand: Seen['hand']
	readonly prefix: string
	/** the same as the session: a panel has one stage in each that it is part of */
	readonly stage: number
	/** ids of the runs and masks that it is about */
	readonly runs: readonly string[]
	readonly done?: { readonly on: string; readonly by?: string; readonly note?: string }
}

/** Off again: when, and the longest that the tape may have been on by then where its sheet says. */
interface Lifting {
	readonly when: PaintSystem['lift'] | undefined
	readonly longestHours?: number
	/** others stay on the panel for a later session */
	readonly partial: boolean
}

/** A step of a stage: taping and spraying a colour. */
export type StageStep = StepBase &
	(
		| { readonly kind: 'wipe' }
		/** `stays`: the plan leaves it on for longer than it may lie */
		| { readonly kind: 'lay'; readonly run: TapeRun; readonly trims: readonly Trim[]; readonly stays?: Overstay }
		| { readonly kind: 'mask'; readonly mask: KnifeMask; readonly trims: readonly Trim[] }
		| { readonly kind: 'back'; readonly backing: readonly Backing[] }
		| { readonly kind: 'paper'; readonly areaMm2: number }
		| { readonly kind: 'check'; readonly lines: readonly GateLine[] }
		| { readonly kind: 'spray'; readonly coats?: Figure }
		| { readonly kind: 'uncover' }
		| ({ readonly kind: 'lift'; readonly number: number } & Lifting)
		/** stays until after that session */
		| {
				readonly kind: 'leave'
				readonly number: number
				readonly until: number
				readonly longestHours?: number
				readonly stays?: Overstay
		  }
	)

/** A step after the last colour: what clear and decals take. */
export type ClearStep = StepBase &
	(
		| { readonly kind: 'ridges'; readonly mostUm: number; readonly lengthMm: number }
		/** `chosen`: the owner has said which */
		| { readonly kind: 'decals'; readonly where: 'under' | 'over'; readonly chosen: boolean }
		| { readonly kind: 'clear'; readonly phase: ClearTime; readonly coats: number; readonly assumed: boolean }
		| {
				readonly kind: 'rub'
				readonly what: Removal['what']
				/** a round takes off so much, um */
				readonly um: number
				readonly rounds: number
				readonly assumed: boolean
		  }
	)

export type Step = StageStep | ClearStep

const CLEAR_KINDS: readonly Step['kind'][] = ['ridges', 'decals', 'clear', 'rub']
export const isClearStep = (step: Step): step is ClearStep => CLEAR_KINDS.includes(step.kind)

export interface StepsInput {
	/** paints by session */
	readonly order: readonly string[]
	readonly panels: readonly PanelTape[]
	readonly systems: ReadonlyMap<string, PaintSystem>
	/** lines to measure on a panel before a stage is sprayed; no step where there are none */
	readonly checks?: (prefix: string, stage: number) => readonly GateLine[]
	/** tape that stays on for too long by the plan */
	readonly stays?: readonly Overstay[]
}

/** Of each session: every panel made ready, then all of them sprayed, then every panel's tape lifted, what was laid last first. */
export function stepsOf({ order, panels, systems, checks, stays = [] }: StepsInput): readonly StageStep[] {
	return order.flatMap((paint, i) => {
		const system = systems.get(paint)
		const stages = panels.flatMap((panel) => {
			const tape = panel.tape.find(({ stage }) => stage === i + 1)
			return tape ? [{ panel, tape }] : []
		})
		return [
			...stages.flatMap(({ panel, tape }) => readied(panel, tape, checks?.(panel.prefix, tape.stage) ?? [], stays)),
			...stages.map(({ panel, tape }): StageStep => ({ ...stepOf(panel, tape, 'spray'), kind: 'spray', ...coatsOf(system) })),
			...stages.flatMap(({ panel, tape }) => lifted(panel, tape, system, stays)),
		]
	})
}

const coatsOf = (system: PaintSystem | undefined) => (system ? { coats: system.coats } : {})

const stepOf = (panel: PanelTape, tape: StageTape, name: string, runs: readonly string[] = []): StepBase => ({
	id: `${panel.prefix}/${tape.paint}/${name}`,
	...{ session: tape.stage, stage: tape.stage, paint: tape.paint },
	...{ panel: panel.id, hand: panel.hand, prefix: panel.prefix, runs },
})

/** Wiped, taped in order, backed, papered, measured. */
function readied(
	panel: PanelTape,
	tape: StageTape,
	lines: readonly GateLine[],
	stays: readonly Overstay[],
): readonly StageStep[] {
	const step = (name: string, runs?: readonly string[]) => stepOf(panel, tape, name, runs)
	const laid = tape.lay.flatMap((id): StageStep[] => {
		const trims = tape.trims.filter(({ run }) => run === id)
		const run = tape.runs.find((each) => each.id === id)
		if (run) return [{ ...step(`lay/${run.number}`, [id]), kind: 'lay', run, trims, ...staysOf(stays, panel, id) }]
		const mask = tape.knives.find((each) => each.id === id)
		return mask ? [{ ...step(`mask/${mask.number}`, [id]), kind: 'mask', mask, trims }] : []
	})
	const { backing, paper } = tape
	return [
		{ ...step('wipe'), kind: 'wipe' },
		...laid,
		...(backing.length > 0
			? [{ ...step('back', [...new Set(backing.map(({ over }) => over))]), kind: 'back', backing } as const]
			: []),
		...(paper.areaMm2 > 0 ? [{ ...step('paper'), kind: 'paper', areaMm2: paper.areaMm2 } as const] : []),
		...(lines.length > 0 ? [{ ...step('check'), kind: 'check', lines } as const] : []),
	]
}

/** Paper and backing off, then each run that is done with, then what stays is named. */
function lifted(
	panel: PanelTape,
	tape: StageTape,
	system: PaintSystem | undefined,
	stays: readonly Overstay[],
): readonly StageStep[] {
	const all = [...tape.runs.map((run) => ({ ...run, longest: longestOf(run.tape) })), ...tape.knives]
	const step = (name: string, runs?: readonly string[]) => stepOf(panel, tape, name, runs)
	const left = all.filter(({ until }) => until > tape.stage).sort((a, b) => a.number - b.number)
	const dwell = (each: (typeof all)[number]) => ('longest' in each ? each.longest : {})
	return [
		...(tape.backing.length > 0 || tape.paper.areaMm2 > 0 ? [{ ...step('uncover'), kind: 'uncover' } as const] : []),
		...tape.lift.flatMap((id): StageStep[] => {
			const one = all.find((each) => each.id === id)
			if (!one) return []
			const { number } = one
			const lifting = { when: system?.lift, ...dwell(one), partial: left.length > 0 }
			return [{ ...step(`lift/${number}`, [id]), kind: 'lift', number, ...lifting }]
		}),
		...left.map(
			(one): StageStep => ({
				...step(`leave/${one.number}`, [one.id]),
				...{ kind: 'leave', number: one.number, until: one.until },
				...dwell(one),
				...staysOf(stays, panel, one.id),
			}),
		),
	]
}

/** Ids of runs are a panel's own. */
function staysOf(stays: readonly Overstay[], { prefix }: PanelTape, id: string): { readonly stays?: Overstay } {
	const own = stays.find((each) => each.prefix === prefix && each.ids.includes(id))
	return own ? { stays: own } : {}
}

const longestOf = ({ longestHours }: Tape) => (longestHours === undefined ? {} : { longestHours })
