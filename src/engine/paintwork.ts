/** The paintwork of the whole vehicle: in which order its paints go on, what is taped for each, and what that makes. */

import { area } from '../chart/area.ts'
import type { Problem } from '../job/problem.ts'
import type { Job, Paint, Panel } from '../job/schema.ts'
import type { Shop } from '../job/shop.ts'
import { type ClearPlan, clearPlan, clearSprayed } from '../paint/clear.ts'
import { clearProblems } from '../paint/clearProblems.ts'
import { filmMap } from '../paint/films.ts'
import { paintsNotLaid } from '../paint/notLaid.ts'
import { type Quantities, quantitiesOf } from '../paint/quantity.ts'
import { ridgesOf } from '../paint/ridges.ts'
import { type RubThrough, rubThroughOf } from '../paint/rubThrough.ts'
import { type PaintSystem, paintSystems } from '../paint/system.ts'
import { clearSessions, sessionAt } from '../plan/clearSessions.ts'
import { clearSteps } from '../plan/clearSteps.ts'
import { type Session, sessionsOf } from '../plan/days.ts'
import { withDone } from '../plan/done.ts'
import { overstayProblems, overstays } from '../plan/dwell.ts'
import { orderOf, type PaintOrder } from '../plan/order.ts'
import type { Overstay } from '../plan/overstay.ts'
import { type Shopping, shoppingOf } from '../plan/shopping.ts'
import { type SmallMix, smallMixes } from '../plan/smallMixes.ts'
import { type Step, stepsOf } from '../plan/steps.ts'
import { underlapOf, underlapProblems } from '../plan/underlap.ts'
import type { MovedLine } from '../stages/asPainted.ts'
import type { Seen, Stage } from '../stages/parts.ts'
import { planProblems, provePlan } from '../stages/proof.ts'
import { stageOf } from '../stages/stage.ts'
import { tapePanel } from '../tape/panelTape.ts'
import type { StageTape } from '../tape/run.ts'
import { type Cache, keptWhile } from './cache.ts'
import { ridgesToFlat } from './feltRidges.ts'
import { type GateRow, gateRows } from './gates.ts'
import { onOtherHand } from './otherHand.ts'
import { paintedSeen } from './painted.ts'
import type { PanelPaintwork } from './panelPaintwork.ts'
import type { PanelResult } from './panelResult.ts'

export type { PanelPaintwork } from './panelPaintwork.ts'

import { seenOf } from './seen.ts'

export interface PanelClear {
	readonly plan: ClearPlan
	readonly rubThrough: readonly RubThrough[]
}

export interface Paintwork {
	/** every paint that is laid, in the order of its session */
	readonly order: readonly string[]
	/** how that order was chosen, and what others would cost */
	readonly choice: PaintOrder
	readonly systems: ReadonlyMap<string, PaintSystem>
	readonly panels: readonly PanelPaintwork[]
	/** by panel */
	readonly clears: ReadonlyMap<string, PanelClear>
	readonly quantities: Quantities
	/** what a person does, one after the other */
	readonly steps: readonly Step[]
	readonly sessions: readonly Session[]
	/** tape that stays on for longer than it may, and mixes too small to be mixed well */
	readonly overstays: readonly Overstay[]
	readonly smallMixes: readonly SmallMix[]
	readonly shopping: Shopping
	readonly problems: readonly Problem[]
}

interface Laying {
	readonly panel: PanelResult
	readonly path: string
	readonly shop: Shop
	readonly paints: ReadonlyMap<string, Paint>
	readonly systems: ReadonlyMap<string, PaintSystem>
	readonly order: readonly string[]
	readonly modeOf: (prefix: string) => Stage['mode']
	readonly underlap: (under: string, over: string) => number
}

/** All of a vehicle's paintwork, for panels that have their schemes; undefined where none has anything to paint. */
export function paintworkOf(job: Job, shop: Shop, panels: readonly PanelResult[], cache?: Cache): Paintwork | undefined {
	const problems: Problem[] = [...paintsNotLaid(job)]
	const paints = new Map(job.paints.map((paint) => [paint.id, paint]))
	const systems = paintSystems(job.paints, shop.spraying, job.paintwork)
	const all = panels.flatMap((panel, i) => {
		const path = `/panels/${i}`
		const { schemes, lines } = panel
		const data = JSON.stringify([panel.panel.painted, panel.panel.stripes, panel.panel.fields, job.paints])
		const seen = schemes && keptWhile(cache, `seen${path}`, [schemes, lines], data, () => seenPanel(panel, path, paints))
		problems.push(...(seen?.problems ?? []))
		return (seen?.list ?? []).map((each) => ({ panel, path, ...each }))
	})
	if (!all.some(({ seen }) => seen.parts.some(({ coats }) => coats.length > 0))) return undefined
	const choice = orderOf(
		all.map(({ seen }) => seen),
		{ paints: job.paints, paintwork: job.paintwork, shop, unit: job.unit },
	)
	problems.push(...choice.problems)
	const { order, modes } = choice.chosen
	const modeOf = (prefix: string) => modes.get(prefix) ?? 'local'
	const underlap = underlapOf(job.paintwork, shop)
	const films = [...systems.values()].map(({ id, totalUm, hides }) => [id, totalUm, hides])
	const done: PanelPaintwork[] = []
	for (const { panel, path, seen, moved } of all) {
		const laying = { panel, path, shop, paints, systems, order, modeOf, underlap }
		const data = JSON.stringify([
			panel.title,
			order,
			[...modes],
			shop.taping,
			shop.tapes,
			job.paintwork?.underlap,
			job.paintwork?.underlaps,
			films,
		])
		const pair = done.find(({ id }) => id === panel.id)
		const made = keptWhile(cache, `work${path}/${seen.hand}`, [seen, pair], data, () => panelPaintwork(laying, seen, moved, pair))
		problems.push(...planProblems(panel.panel, path, seen, made.proof))
		problems.push(...underlapProblems({ seen, stages: made.stages, panel: panel.panel, paintwork: job.paintwork, shop }))
		done.push(made)
	}
	const clears = new Map(
		panels.flatMap((panel, i): [string, PanelClear][] => {
			if (!panel.schemes) return []
			const hasDecals = decalsOn(panel.panel)
			const said = { panel: panel.panel, paints, spraying: shop.spraying, paintwork: job.paintwork }
			const plan = clearPlan(hasDecals === undefined ? said : { ...said, hasDecals })
			problems.push(...clearProblems(plan, `/panels/${i}`, shop.spraying))
			return [[panel.id, { plan, rubThrough: rubThroughOf(panel.panel, plan) }]]
		}),
	)
	const cleared = clearSessions(
		done.flatMap((work) => {
			const { id, hand, prefix } = work
			const [plan, panel] = [clears.get(id)?.plan, panels.find((each) => each.id === id)]
			return plan && panel ? [{ id, hand, prefix, plan, ridges: ridgesToFlat(panel, work) }] : []
		}),
		order.length,
	)
	const sprayed = done.flatMap(({ id, hand, prefix, seen, stages }) => {
		const clear = clears.get(id)
		return [
			...stages.map(({ number, paint, open }) => ({ panel: id, hand, stage: number, paint, areaMm2: area(seen.chart, open) })),
			...(clear ? clearSprayed(clear.plan, hand, area(seen.chart, seen.area), (time) => sessionAt(cleared, prefix, time)) : []),
		]
	})
	const withClear = new Map([...systems, ...[...clears.values()].map(({ plan }) => [plan.system.id, plan.system] as const)])
	const quantities = quantitiesOf(sprayed, withClear, shop.spraying.cupMl)
	const known = { order, panels: done, systems: withClear, quantities }
	const sessions = sessionsOf({ ...known, clears: cleared })
	const stays = overstays(done, sessions)
	problems.push(...overstayProblems(stays, (id) => `/panels/${panels.findIndex((panel) => panel.id === id)}`))
	const colours = stepsOf({ ...known, checks: gatesOf(panels, done), stays })
	const told = withDone([...colours, ...clearSteps(cleared)], job.paintwork)
	problems.push(...told.problems)
	return {
		...{ order, choice, systems: withClear, panels: done, clears, quantities },
		steps: told.steps,
		...{ sessions, overstays: stays, smallMixes: smallMixes(sessions, shop.spraying.leastMl) },
		shopping: shoppingOf({ panels: done, shop, quantities }),
		problems,
	}
}

/** Whether decals go on a panel, where its list of them says so; an emblem of paint is masked and sprayed. */
const decalsOn = ({ decals }: Panel): boolean | undefined =>
	decals?.some(({ material }) => material !== 'paint') ? true : undefined

/** Where the lines of a panel's stage are measured before it is sprayed. */
function gatesOf(panels: readonly PanelResult[], works: readonly PanelPaintwork[]) {
	return (prefix: string, number: number): readonly GateRow[] => {
		const work = works.find((each) => each.prefix === prefix)
		const stage = work?.stages.find((each) => each.number === number)
		return work && stage ? gateRows({ work, stage }, panels) : []
	}
}

function seenPanel(panel: PanelResult, path: string, paints: ReadonlyMap<string, Paint>) {
	const { seen, problems } = seenOf(panel, path, paints)
	const list = seen.map((each) => {
		if (!panel.panel.painted) return { seen: each, moved: [] }
		const painted = paintedSeen(panel, path, each)
		// A name that cannot be told is told once for both of a pair.
		problems.push(...painted.problems.filter(({ code, path: at }) => !problems.some((p) => p.code === code && p.path === at)))
		return painted.value ?? { seen: each, moved: [] }
	})
	return { list, problems }
}

/** One panel's stages and their tape, for an order of all paints; of a pair the second as the first, where they are alike. */
function panelPaintwork(laying: Laying, seen: Seen, moved: readonly MovedLine[], pair?: PanelPaintwork): PanelPaintwork {
	const { panel, shop, paints, systems, order, modeOf, underlap } = laying
	const prefix = seen.hand === 'centre' ? seen.panel : `${seen.panel}/${seen.hand}`
	const same = pair && onOtherHand(pair, { seen, moved, prefix, first: modeOf(prefix) })
	if (same) return same
	const own = order.filter((paint) => seen.parts.some(({ coats }) => coats.includes(paint)))
	const stages = own.flatMap(
		(paint, i) => stageOf({ seen, paints, order, paint, mode: i === 0 ? modeOf(prefix) : 'local', underlap }) ?? [],
	)
	const tape = tapePanel(seen, stages, shop, prefix)
	const opened = stages.map(({ number, paint }, i) => ({ stage: number, paint, open: (tape[i] as StageTape).open }))
	const films = filmMap(seen, opened, (paint) => systems.get(paint)?.totalUm ?? 0)
	return {
		...{ id: panel.id, title: panel.title, hand: seen.hand, prefix, seen, stages, tape, films, moved },
		proof: provePlan(seen, opened, paints),
		ridges: ridgesOf(films),
	}
}
