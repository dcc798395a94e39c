/** Sessions on days, with hours that are easy to add up. */
import { describe, expect, test } from 'vitest'
import type { Paint } from '../../src/job/schema.ts'
import { quantitiesOf } from '../../src/paint/quantity.ts'
import { paintSystems } from '../../src/paint/system.ts'
import { sessionsOf } from '../../src/plan/days.ts'
import type { PanelTape } from '../../src/plan/steps.ts'
import type { StageTape } from '../../src/tape/run.ts'
import { paint, shop } from './bench.ts'

/** Only the stages of a panel are asked for. */
const panel = (prefix: string, stages: readonly number[]): PanelTape => ({
	...{ id: prefix, hand: 'centre', prefix },
	tape: stages.map((stage) => ({ stage }) as StageTape),
})

const days = (paints: readonly Paint[], panels: readonly PanelTape[]) => {
	const systems = paintSystems(paints, shop.spraying)
	const order = paints.map(({ id }) => id)
	const sprayed = panels.flatMap(({ id, hand, tape }) =>
		tape.map(({ stage }) => ({ panel: id, hand, stage, paint: order[stage - 1] as string, areaMm2: 1e6 })),
	)
	return sessionsOf({ order, panels, systems, quantities: quantitiesOf(sprayed, systems, 600) })
}
const known = (id: string, tapeHours: number, recoat: { from: number; to?: number } = { from: 0.5 }, potLifeHours = 24) =>
	paint(id, '#808080', { coats: 3, recoatHours: recoat, tapeHours, potLifeHours })

describe('sessions and days', () => {
	test('a wait of a night ends the day; a short one does not', () => {
		// 0 to 1 h; tape from 3 h, 3 to 4 h; tape from 16 h: the next morning.
		const sessions = days([known('a', 2), known('b', 12), known('c', 12)], [panel('tank', [1, 2, 3])])
		expect(sessions.map(({ day }) => day)).toEqual([1, 1, 2])
		expect(sessions.map(({ newDay }) => newDay)).toEqual([false, false, true])
		expect(sessions.map(({ tapedOver }) => tapedOver)).toEqual([true, true, false])
		expect(sessions[2]?.tapeHours).toBeUndefined()
	})

	test('what takes tape within the day but too late to be sprayed in it waits for the morning', () => {
		// Ready at 7.5 h; an hour of coats would end at 8.5 h.
		expect(days([known('a', 6.5), known('b', 1)], [panel('tank', [1, 2])]).map(({ day }) => day)).toEqual([1, 2])
		expect(days([known('a', 6), known('b', 1)], [panel('tank', [1, 2])]).map(({ day }) => day)).toEqual([1, 1])
		// Two nights and more.
		expect(days([known('a', 40), known('b', 1)], [panel('tank', [1, 2])]).map(({ day }) => day)).toEqual([1, 3])
	})

	test('another panel need not wait for it', () => {
		const sessions = days([known('a', 40), known('b', 1)], [panel('tank', [1]), panel('mudguard', [2])])
		expect(sessions.map(({ day }) => day)).toEqual([1, 1])
		expect(sessions.map(({ panels }) => panels)).toEqual([['tank'], ['mudguard']])
	})

	test('usual hours are no promise: what follows has no day', () => {
		const sessions = days([paint('a'), known('b', 1)], [panel('tank', [1, 2])])
		expect(sessions[0]).toMatchObject({ day: 1, tapedOver: true })
		for (const key of ['coatsHours', 'tapeHours', 'mixes'] as const) expect(sessions[0]?.[key]).toBeUndefined()
		expect(sessions[1]?.day).toBeUndefined()
		expect(sessions[1]?.newDay).toBeUndefined()
		expect(sessions[1]?.flatFirst).toBeUndefined()
	})

	test('a paint that gels before its last coat is mixed again; cups are of the stage', () => {
		const [session] = days([known('a', 1, { from: 1.5 }, 1)], [panel('tank', [1]), panel('mudguard', [1])])
		expect(session).toMatchObject({ coatsHours: 3, mixes: 3 })
		expect(session?.quantity?.areaMm2).toBe(2e6)
	})

	test('past its window a film is flatted before the next goes over it', () => {
		const flat = (to: number) => days([known('a', 12, { from: 0.5, to }), known('b', 1)], [panel('tank', [1, 2])])[1]?.flatFirst
		// From 1 h to the next morning at 24 h: 23 hours.
		expect(flat(22)).toBe(true)
		expect(flat(24)).toBe(false)
	})
})
