/** Sessions and the days that they fall on, as far as the paints' hours are known. */

import { clearCoats } from '../paint/clear.ts'
import type { PaintQuantity, Quantities } from '../paint/quantity.ts'
import type { Figure, PaintSystem } from '../paint/system.ts'
import type { ClearPhase, ClearSession } from './clearSessions.ts'
import type { PanelTape } from './steps.ts'

/** One paint on all of its panels: one mix, one count of coats. */
export interface Session {
	readonly number: number
	/** of clear and decals, what is done in it */
	readonly clear?: ClearPhase
	readonly paint: string
	/** by their prefixes */
	readonly panels: readonly string[]
	/** undefined where nothing is known of the paint */
	readonly system?: PaintSystem
	readonly quantity?: PaintQuantity
	/** between its coats, hours; undefined where its sheet was not given */
	readonly coatsHours?: number
	/** mixes that one after the other outlast the session; undefined where its hours are not known */
	readonly mixes?: number
	/** from its last coat until tape may lie on it, hours: where a later session tapes over it, and where its sheet was given */
	readonly tapeHours?: number
	/** a later session tapes over what was sprayed here */
	readonly tapedOver: boolean
	/** counted from the first, at the earliest: the time that taping takes is not in it; undefined where a wait is not known */
	readonly day?: number
	/** of its first coat and of its last, from the first morning, at the earliest; undefined as the day is */
	readonly hours?: { readonly start: number; readonly end: number }
	/** a day ends before it */
	readonly newDay?: boolean
	/** of films below it, whether one is past its window and is flatted first; undefined where that is not known */
	readonly flatFirst?: boolean
}

export interface DaysInput {
	readonly order: readonly string[]
	readonly panels: readonly PanelTape[]
	readonly systems: ReadonlyMap<string, PaintSystem>
	readonly quantities: Quantities
	/** after the last colour */
	readonly clears?: readonly ClearSession[]
}

/** Hours (common practice, no source). */
export const WORKING_DAY = 8
const DAY = 24

export function sessionsOf(input: DaysInput): readonly Session[] {
	const plain = input.order.flatMap((paint, i) => plainSession(input, paint, i + 1) ?? [])
	return onDays([...plain, ...(input.clears ?? []).map((session) => clearOf(input, session))])
}

/** A figure that was given; what is usual is no promise of a paint's hours. */
const given = <T>(figure: Figure<T> | undefined): T | undefined => (figure && !figure.assumed ? figure.value : undefined)

function plainSession({ panels, systems, quantities }: DaysInput, paint: string, number: number): Session | undefined {
	const here = panels.filter(({ tape }) => tape.some(({ stage }) => stage === number))
	if (here.length === 0) return undefined
	const system = systems.get(paint)
	const quantity = quantities.stages.find(({ stage }) => stage === number)
	const tapedOver = here.some(({ tape }) => tape.some(({ stage }) => stage > number))
	const tapeHours = tapedOver ? given(system?.tapeHours) : undefined
	return {
		...{ number, paint, panels: here.map(({ prefix }) => prefix), tapedOver },
		...(system ? { system } : {}),
		...(quantity ? { quantity } : {}),
		...coatsTake(system, system?.coats.value),
		...(tapeHours === undefined ? {} : { tapeHours }),
	}
}

/** How long coats one after the other take, and how many mixes that outlasts. */
function coatsTake(system: PaintSystem | undefined, coats: number | undefined): Pick<Session, 'coatsHours' | 'mixes'> {
	const recoat = given(system?.recoatHours)
	const coatsHours = recoat && coats !== undefined ? Math.max(0, coats - 1) * recoat.from : coats === 1 ? 0 : undefined
	const potLife = given(system?.potLifeHours)
	if (coatsHours === undefined) return {}
	return potLife ? { coatsHours, mixes: Math.max(1, Math.ceil(coatsHours / potLife - 1e-9)) } : { coatsHours }
}

function clearOf({ systems, quantities }: DaysInput, { number, paint, phase, panels }: ClearSession): Session {
	const system = systems.get(paint)
	const quantity = quantities.stages.find(({ stage }) => stage === number)
	const sprayed = phase === 'finish' ? 0 : Math.max(...panels.map(({ plan }) => clearCoats(plan, phase)))
	return {
		...{ number, paint, clear: phase, panels: panels.map(({ prefix }) => prefix), tapedOver: false },
		...(system ? { system } : {}),
		...(quantity ? { quantity } : {}),
		...(sprayed === 0 ? { coatsHours: 0 } : coatsTake(system, sprayed)),
	}
}

/**
 * From the last coat of one session until another goes on over it: tape where it is taped over, the recoat time where clear
 * follows, and before clear is flatted, or decals are laid on it, as long as before tape (common practice, no source).
 */
function waitOf(session: Session, below: Session): number | undefined {
	if (below.clear) return below.coatsHours === 0 && !below.quantity ? 0 : given(below.system?.tapeHours)
	return session.clear ? given(below.system?.recoatHours)?.from : below.tapeHours
}

interface Timed {
	readonly session: Session
	/** hours from the first morning; undefined where they are not known */
	readonly start: number | undefined
	readonly end: number | undefined
}

/** One session after the other, each when the one before is done and what it tapes over takes tape. */
function onDays(plain: readonly Session[]): readonly Session[] {
	const timed: Timed[] = []
	for (const session of plain) {
		const last = timed[timed.length - 1]
		const below = timed.filter((each) => each.session.panels.some((panel) => session.panels.includes(panel)))
		const readies = [...(last ? [last.end] : [0]), ...below.map((each) => sumKnown(each.end, waitOf(session, each.session)))]
		const ready = readies.includes(undefined) ? undefined : Math.max(...(readies as number[]))
		const start = ready === undefined ? undefined : withinDay(ready, session.coatsHours ?? 0)
		const end = sumKnown(start, session.coatsHours)
		const day = start === undefined ? undefined : Math.floor(start / DAY) + 1
		const dayBefore = last?.session.day
		const flatFirst = pastWindow(below, start)
		timed.push({
			session: {
				...session,
				...(day === undefined ? {} : { day }),
				...(start === undefined || end === undefined ? {} : { hours: { start, end } }),
				...(day === undefined || (last && dayBefore === undefined) ? {} : { newDay: day > (dayBefore ?? 1) }),
				...(flatFirst === undefined ? {} : { flatFirst }),
			},
			start,
			end,
		})
	}
	return timed.map(({ session }) => session)
}

const sumKnown = (a: number | undefined, b: number | undefined) => (a === undefined || b === undefined ? undefined : a + b)

/** The same day where it fits into its working hours, else the next morning. */
function withinDay(ready: number, hours: number): number {
	const morning = Math.floor(ready / DAY) * DAY
	const inDay = ready - morning
	const fits = inDay === 0 || inDay + hours <= WORKING_DAY
	return fits ? ready : morning + DAY
}

/** Whether one of the films below has been on for longer than its window. */
function pastWindow(below: readonly Timed[], start: number | undefined): boolean | undefined {
	const past = below.map(({ session: { system }, end }) => {
		const window = given(system?.recoatHours)
		if (!window || start === undefined || end === undefined) return undefined
		return window.to !== undefined && start - end > window.to
	})
	if (past.some((each) => each === true)) return true
	return past.includes(undefined) ? undefined : false
}
