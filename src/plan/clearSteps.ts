/** The steps of clear and decals, session by session: ridges, clear below decals, decals, clear over, flatting, flow coat, finish. */
import { clearCoats, decalsOf } from '../paint/clear.ts'
import { type Cleared, type ClearSession, isLast } from './clearSessions.ts'
import type { ClearStep } from './steps.ts'

/** Of each session: every panel made ready, then all of them sprayed. */
export function clearSteps(sessions: readonly ClearSession[]): readonly ClearStep[] {
	const first = new Map<string, ClearSession>()
	for (const session of sessions) {
		for (const { prefix } of session.panels) if (!first.has(prefix)) first.set(prefix, session)
	}
	return sessions.flatMap((session) => {
		const { panels, phase } = session
		const ready = panels.flatMap((panel) => [
			...(first.get(panel.prefix) === session ? ridges(session, panel) : []),
			...(phase === 'over' && decalsOf(panel.plan) === 'under' ? decals(session, panel) : []),
			...(phase === 'flow' ? rubbed(session, panel, false) : []),
			...(phase === 'finish' ? rubbed(session, panel, true) : []),
			...(phase === 'finish' && decalsOf(panel.plan) === 'over' ? decals(session, panel) : []),
		])
		return [...ready, ...panels.flatMap((panel) => sprayed(session, panel))]
	})
}

const stepOf = ({ number, paint }: ClearSession, { id, hand, prefix }: Cleared, name: string) => ({
	id: `${prefix}/${paint}/${name}`,
	...{ session: number, stage: number, paint, panel: id, hand, prefix, runs: [] },
})

/** Where colours meet a film ends: under a decal its ridge would show. Elsewhere the clear that is flatted levels it. */
function ridges(session: ClearSession, panel: Cleared): ClearStep[] {
	if (!decalsOf(panel.plan) || panel.ridges.length === 0) return []
	return [
		{
			...{ ...stepOf(session, panel, 'ridges'), kind: 'ridges' },
			mostUm: Math.max(...panel.ridges.map(({ heightUm }) => heightUm)),
			lengthMm: panel.ridges.reduce((sum, { lengthMm }) => sum + lengthMm, 0),
		},
	]
}

function decals(session: ClearSession, panel: Cleared): ClearStep[] {
	const where = decalsOf(panel.plan)
	if (!where) return []
	const { decals: chosen } = panel.plan
	return [{ ...stepOf(session, panel, 'decals'), kind: 'decals', where, chosen: chosen !== undefined }]
}

function sprayed(session: ClearSession, panel: Cleared): ClearStep[] {
	const { phase } = session
	const { recipe } = panel.plan
	if (phase === 'finish') return []
	const coats = clearCoats(panel.plan, phase)
	if (coats === 0) return []
	const given = { 'below-decals': [recipe.before], over: [recipe.over, recipe.elsewhere], flow: [recipe.flow] }[phase]
	return [{ ...stepOf(session, panel, phase), kind: 'clear', phase, coats, assumed: given.some(({ assumed }) => assumed) }]
}

function rubbed(session: ClearSession, panel: Cleared, last: boolean): ClearStep[] {
	const { takenOff } = panel.plan.recipe
	return takenOff.value
		.filter(({ what, rounds }) => rounds > 0 && isLast(panel.plan, what) === last)
		.map(({ what, um, rounds }, i, all): ClearStep => {
			const same = all.filter((each) => each.what === what)
			const name = same.length > 1 ? `${what}/${all.slice(0, i + 1).filter((each) => each.what === what).length}` : what
			return { ...stepOf(session, panel, name), kind: 'rub', what, um, rounds, assumed: takenOff.assumed }
		})
}
