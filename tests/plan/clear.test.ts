/** Steps of clear and decals, followed one by one by someone who adds up what is on the panel. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { clearSchema } from '../../src/job/paintworkSchema.ts'
import type { Panel } from '../../src/job/schema.ts'
import { clearPlan, clearSprayed, decalsOf } from '../../src/paint/clear.ts'
import { quantitiesOf } from '../../src/paint/quantity.ts'
import type { Ridge } from '../../src/paint/ridges.ts'
import { paintSystems } from '../../src/paint/system.ts'
import { clearSessions, sessionAt } from '../../src/plan/clearSessions.ts'
import { clearSteps } from '../../src/plan/clearSteps.ts'
import { sessionsOf } from '../../src/plan/days.ts'
import { withDone } from '../../src/plan/done.ts'
import type { ClearStep, PanelTape } from '../../src/plan/steps.ts'
import type { StageTape } from '../../src/tape/run.ts'
import { jobOf } from '../scheme/jobs.ts'
import { paint, shop } from './bench.ts'

type ClearInput = NonNullable<Parameters<typeof jobOf>[0][number]['clear']>
const plain = jobOf([{}]).panels[0] as Panel
const RIDGE: Ridge = { stage: 1, paint: 'a', kind: 'line', heightUm: 18, lengthMm: 300, line: [] }

const cleared = (id: string, clear?: ClearInput, hasDecals?: boolean) => {
	const panel: Panel = { ...plain, id, ...(clear ? { clear: clearSchema().parse(clear) } : {}) }
	const said = { panel, paints: new Map(), spraying: shop.spraying }
	const plan = clearPlan(hasDecals === undefined ? said : { ...said, hasDecals })
	return { id, hand: 'centre' as const, prefix: id, plan, ridges: [RIDGE] }
}
const names = (steps: readonly ClearStep[]) => steps.map(({ id, session }) => `${session} ${id.replace('two-pack-clear/', '')}`)
const stepsOf = (...panels: ReturnType<typeof cleared>[]) => clearSteps(clearSessions(panels, 3))

describe('the sessions after the last colour', () => {
	test('decals under the clear: ridges, clear, decals, clear, flatted, a flow coat, cut and polished', () => {
		expect(names(stepsOf(cleared('tank', { decals: 'under' })))).toEqual([
			...['4 tank/ridges', '4 tank/below-decals', '5 tank/decals', '5 tank/over'],
			...['6 tank/flatting', '6 tank/flow', '7 tank/cutting', '7 tank/polishing'],
		])
	})

	test('decals over it come last of all, on what is finished', () => {
		expect(names(stepsOf(cleared('tank', { decals: 'over' })))).toEqual([
			...[
				'4 tank/ridges',
				'4 tank/over',
				'5 tank/flatting',
				'5 tank/flow',
				'6 tank/cutting',
				'6 tank/polishing',
				'6 tank/decals',
			],
		])
	})

	test('without decals there is nothing to flat first; a panel that is told to have some has them under clear', () => {
		expect(names(stepsOf(cleared('tank')))).toEqual([
			...['4 tank/over', '5 tank/flatting', '5 tank/flow', '6 tank/cutting', '6 tank/polishing'],
		])
		const told = stepsOf(cleared('tank', undefined, true))
		expect(told.find(({ kind }) => kind === 'decals')).toMatchObject({ where: 'under', chosen: false })
		expect(stepsOf(cleared('tank', { decals: 'over' })).find(({ kind }) => kind === 'decals')).toMatchObject({ chosen: true })
	})

	test('what is not put on is no step: no coat below decals, no flow coat, nothing taken off', () => {
		const bare = { before: 0, flow: 0, takenOff: [{ what: 'flatting' as const, um: 5, rounds: 1 }] }
		expect(names(stepsOf(cleared('tank', { ...bare, decals: 'under' })))).toEqual([
			...['4 tank/ridges', '4 tank/decals', '4 tank/over', '5 tank/flatting'],
		])
		expect(names(stepsOf(cleared('tank', { elsewhere: 0, flow: 0, takenOff: [] })))).toEqual([])
	})

	test('one mix for all panels that are at that point; each is ready before the first is sprayed', () => {
		const steps = stepsOf(cleared('tank', { decals: 'under' }), cleared('mudguard'))
		expect(names(steps).filter((name) => /^5/.test(name))).toEqual(['5 tank/decals', '5 tank/over', '5 mudguard/over'])
		expect(names(steps).filter((name) => /^4/.test(name))).toEqual(['4 tank/ridges', '4 tank/below-decals'])
		expect(steps.map(({ session }) => session)).toEqual(steps.map(({ session }) => session).sort())
	})

	test('are signed as all others are', () => {
		const steps = stepsOf(cleared('tank', { decals: 'under' }))
		const told = withDone(steps, { done: [{ step: 'tank/two-pack-clear/decals', on: '2031-06-02' }] })
		expect(told.problems).toEqual([])
		expect(told.steps.filter(({ done }) => done).map(({ kind }) => kind)).toEqual(['decals'])
	})
})

test('followed step by step they leave the film that the plan of the clear says, and spray what it sprays', () => {
	const coats = fc.integer({ min: 0, max: 4 })
	const off = fc.record({
		what: fc.constantFrom('flatting' as const, 'cutting' as const, 'polishing' as const),
		um: fc.integer({ min: 1, max: 15 }),
		rounds: fc.integer({ min: 1, max: 2 }),
	})
	const recipe = fc.record({
		...{ before: coats, over: coats, elsewhere: coats, flow: coats, filmUm: fc.integer({ min: 10, max: 40 }) },
		takenOff: fc.array(off, { maxLength: 4 }),
		decals: fc.constantFrom('under' as const, 'over' as const),
	})
	fc.assert(
		fc.property(recipe, (clear) => {
			const panel = cleared('tank', clear)
			const { plan } = panel
			const sessions = clearSessions([panel], 3)
			const steps = clearSteps(sessions)
			expect(new Set(steps.map(({ id }) => id)).size).toBe(steps.length)
			const isUnder = decalsOf(plan) === 'under'
			// over a decal: what goes on and comes off once it lies there, the coats that the places beside it need more left out
			const laid = steps.findIndex(({ kind }) => kind === 'decals')
			const sum = (list: readonly ClearStep[]) =>
				list.reduce((um, step) => {
					if (step.kind === 'clear') return um + step.coats * clear.filmUm
					return step.kind === 'rub' ? um - step.um * step.rounds : um
				}, 0)
			const left = (where: string) => plan.films.find((film) => film.where === where)?.filmUm
			if (!isUnder) expect(sum(steps.slice(0, laid))).toBe(left('elsewhere'))
			else {
				const more = Math.max(0, clear.elsewhere - clear.before - clear.over) * clear.filmUm
				expect(sum(steps.slice(0, laid))).toBe(left('below-decals'))
				expect(sum(steps.slice(laid)) - more).toBe(left('over-decals'))
			}
			const sprayed = clearSprayed(plan, 'centre', 1e6, (time) => sessionAt(sessions, 'tank', time))
			const bySteps = steps.flatMap((step) => (step.kind === 'clear' ? [[step.session, step.coats]] : []))
			expect(sprayed.map(({ stage, coats }) => [stage, coats])).toEqual(bySteps)
		}),
	)
})

test('days: clear waits for the recoat time of the colour, flatting for what takes tape; nothing is promised of usual hours', () => {
	const colour = paint('a', '#808080', { coats: 3, recoatHours: { from: 0.5 }, tapeHours: 12, potLifeHours: 24 })
	const clear = paint('c', '#ffffff', { as: 'clear', coats: 2, recoatHours: { from: 0.5 }, tapeHours: 16, potLifeHours: 3 })
	const panels: PanelTape[] = [{ id: 'tank', hand: 'centre', prefix: 'tank', tape: [{ stage: 1 } as StageTape] }]
	const daysOf = (clearPaint: typeof clear) => {
		const paints = new Map([['c', clearPaint]])
		const panel = { ...plain, id: 'tank', clear: clearSchema().parse({ paint: 'c', elsewhere: 2 }) }
		const plan = clearPlan({ panel, paints, spraying: shop.spraying })
		const clears = clearSessions([{ id: 'tank', hand: 'centre', prefix: 'tank', plan, ridges: [] }], 1)
		const systems = paintSystems([colour, clearPaint], shop.spraying)
		const sprayed = [
			{ panel: 'tank', hand: 'centre' as const, stage: 1, paint: 'a', areaMm2: 1e6 },
			...clearSprayed(plan, 'centre', 1e6, (time) => sessionAt(clears, 'tank', time)),
		]
		return sessionsOf({ order: ['a'], panels, systems, quantities: quantitiesOf(sprayed, systems, 600), clears })
	}
	// 0 to 1 h colour; from 1.5 h two coats to 2 h; flat from 18 h: the second day, its flow coat; 16 h more: the third.
	const sessions = daysOf(clear)
	expect(sessions.map(({ number, clear: phase, day }) => [number, phase, day])).toEqual([
		[1, undefined, 1],
		[2, 'over', 1],
		[3, 'flow', 2],
		[4, 'finish', 3],
	])
	expect(sessions.map(({ quantity }) => quantity?.mlPerCoat.length)).toEqual([3, 2, 1, undefined])
	expect(daysOf(paint('c', '#ffffff', { as: 'clear', coats: 2 })).map(({ day }) => day)).toEqual([1, 1, undefined, undefined])
})
