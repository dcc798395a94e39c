/** Clear and decals come after the last colour: in which sessions, on which panels. */
import { CLEAR_TIMES, type ClearPlan, type ClearTime, clearCoats, decalsOf } from '../paint/clear.ts'
import type { Ridge } from '../paint/ridges.ts'
import type { Seen } from '../stages/parts.ts'

/** One panel, seen from one hand, that is cleared. */
export interface Cleared {
	readonly id: string
	readonly hand: Seen['hand']
	/** how its steps are called */
	readonly prefix: string
	readonly plan: ClearPlan
	readonly ridges: readonly Ridge[]
}

/** `finish`: what is left after the last coat: flatting where no flow coat follows, cutting, polishing, decals over the clear */
export type ClearPhase = ClearTime | 'finish'

/** One clear on all panels that are at that point: one mix. */
export interface ClearSession {
	readonly number: number
	readonly paint: string
	readonly phase: ClearPhase
	readonly panels: readonly Cleared[]
}

const PHASES: readonly ClearPhase[] = [...CLEAR_TIMES, 'finish']

/** Counted on from the last colour's session; what no panel needs is left out. */
export function clearSessions(panels: readonly Cleared[], lastColour: number): readonly ClearSession[] {
	const paints = [...new Set(panels.map(({ plan }) => plan.system.id))]
	return PHASES.flatMap((phase) =>
		paints.flatMap((paint) => {
			const own = panels.filter(({ plan }) => plan.system.id === paint && takesPart(plan, phase))
			return own.length > 0 ? [{ paint, phase, panels: own }] : []
		}),
	).map((session, i) => ({ ...session, number: lastColour + 1 + i }))
}

function takesPart(plan: ClearPlan, phase: ClearPhase): boolean {
	const decals = decalsOf(plan)
	if (phase === 'over') return clearCoats(plan, 'over') > 0 || decals === 'under'
	if (phase !== 'finish') return clearCoats(plan, phase) > 0
	return decals === 'over' || plan.recipe.takenOff.value.some((off) => off.rounds > 0 && isLast(plan, off.what))
}

/** Flatting goes before the flow coat where there is one; all else after it. */
export const isLast = (plan: ClearPlan, what: ClearPlan['recipe']['takenOff']['value'][number]['what']): boolean =>
	what !== 'flatting' || clearCoats(plan, 'flow') === 0

/** The number of a panel's session at one time. */
export const sessionAt = (sessions: readonly ClearSession[], prefix: string, phase: ClearPhase): number | undefined =>
	sessions.find((session) => session.phase === phase && session.panels.some((panel) => panel.prefix === prefix))?.number
