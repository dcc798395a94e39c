/** Tape left on for too long, and mixes that are too small, with hours and amounts that are easy to add up. */
import { describe, expect, test } from 'vitest'
import { quantitiesOf } from '../../src/paint/quantity.ts'
import { paintSystems } from '../../src/paint/system.ts'
import { sessionsOf } from '../../src/plan/days.ts'
import { overstayProblems, overstays } from '../../src/plan/dwell.ts'
import { smallMixes } from '../../src/plan/smallMixes.ts'
import { type PanelTape, stepsOf } from '../../src/plan/steps.ts'
import type { StageTape, TapeRun } from '../../src/tape/run.ts'
import { paint, shop } from './bench.ts'

const HOURS = { coats: 3, recoatHours: { from: 0.5 }, tapeHours: 12, potLifeHours: 24 } as const
const paints = ['a', 'b', 'c'].map((id) => paint(id, '#808080', HOURS))
const order = paints.map(({ id }) => id)
const stock = { id: 'fine-6', kind: 'fine-line', width: 6, edgeStrain: 0.1 } as const

const run = (number: number, laid: number, until: number, longestHours?: number) =>
	({
		...{ id: `run/${number}`, number, laid, until },
		tape: { ...stock, ...(longestHours === undefined ? {} : { longestHours }) },
	}) as TapeRun

function panelOf(runs: readonly TapeRun[], stages: readonly number[] = [1, 2, 3]): PanelTape {
	const tape = stages.map((stage) => {
		const on = runs.filter(({ laid, until }) => laid <= stage && until >= stage)
		const ids = (list: readonly TapeRun[]) => list.map(({ id }) => id)
		const laid = ids(on.filter((each) => each.laid === stage))
		const lift = ids(on.filter(({ until }) => until === stage))
		const none = { knives: [], backing: [], laps: [], trims: [], paper: { areaMm2: 0 } }
		return { ...none, stage, paint: order[stage - 1], runs: on, lay: laid, lift } as unknown as StageTape
	})
	return { id: 'tank', hand: 'centre', prefix: 'tank', tape }
}

const planned = (panel: PanelTape, list = paints) => {
	const systems = paintSystems(list, shop.spraying)
	const sprayed = panel.tape.map(({ stage, paint: of }) => ({
		...{ panel: 'tank', hand: 'centre' as const, stage, paint: of, areaMm2: 1e6 },
	}))
	const quantities = quantitiesOf(sprayed, systems, 600)
	const sessions = sessionsOf({ order, panels: [panel], systems, quantities })
	return { systems, sessions, stays: overstays([panel], sessions) }
}

describe('tape that stays through several sessions', () => {
	// Coats from 0 to 1 h, the next mornings from 24 to 25 h and from 48 to 49 h.
	test('is told of where the plan leaves it on for longer than its sheet lets it lie', () => {
		const { stays } = planned(panelOf([run(1, 1, 3, 48), run(2, 1, 2, 48), run(3, 1, 3), run(4, 1, 3, 48)]))
		expect(stays).toMatchObject([{ runs: [1, 4], laid: 1, until: 3, hours: 49, longestHours: 48, liftAfter: 2 }])
		const [problem] = overstayProblems(stays, () => '/panels/0')
		expect(problem).toMatchObject({
			...{ code: 'TAPE_STAYS_TOO_LONG', severity: 'warning', path: '/panels/0', place: { panel: 'tank' } },
			found: '2 runs of 6 mm fine-line tape (1, 4) on tank from session 1 until after session 3: at least 49 h by the plan',
			expected: 'at most 48 h, as its sheet says',
		})
		expect(problem?.fix).toMatch(/^Lift it after session 2 and lay it again/)
	})

	test('just as long as it may is not too long', () => {
		expect(planned(panelOf([run(1, 1, 3, 49)])).stays).toEqual([])
		expect(planned(panelOf([run(1, 1, 3, 48.9)])).stays).toHaveLength(1)
	})

	test('where not even its first session lets it, only another stock helps', () => {
		const { stays } = planned(panelOf([run(1, 1, 1, 0.5)]))
		expect(stays).toMatchObject([{ hours: 1, longestHours: 0.5 }])
		expect(stays[0]).not.toHaveProperty('liftAfter')
		expect(overstayProblems(stays, () => '')[0]?.fix).toBe('Take a stock that may lie longer.')
	})

	test('lifted once the paint takes tape, it has lain until then', () => {
		const dry = paints.map((each) => ({
			...each,
			sprayed: { ...each.sprayed, as: 'colour' as const, lift: 'dry-to-tape' as const },
		}))
		expect(planned(panelOf([run(1, 1, 1, 12)]), dry).stays).toMatchObject([{ hours: 13 }])
	})

	test('usual hours are no promise: nothing is said of them', () => {
		expect(
			planned(
				panelOf([run(1, 1, 3, 1)]),
				order.map((id) => paint(id)),
			).stays,
		).toEqual([])
	})

	test('the steps of these runs say it, and no others', () => {
		const panel = panelOf([run(1, 1, 3, 48), run(2, 1, 3)])
		const { systems, stays } = planned(panel)
		const steps = stepsOf({ order, panels: [panel], systems, stays })
		const said = steps.filter((step) => 'stays' in step)
		expect(said.map(({ id }) => id)).toEqual(['tank/a/lay/1', 'tank/a/leave/1', 'tank/b/leave/1'])
	})
})

describe('mixes', () => {
	const { sessions } = planned(panelOf([]))
	const ml = sessions.map(({ quantity }) => quantity?.ml ?? 0)

	test('below the least are told, each with what is needed and what it could be sprayed together with', () => {
		const least = (ml[0] as number) + 1
		expect(smallMixes(sessions, least)).toEqual(
			[1, 2, 3].map((session, i) => ({ session, paint: order[i], ml: ml[i], leastMl: least, together: [] })),
		)
		expect(smallMixes(sessions, ml[0] as number)).toEqual([])
		const twice = sessions.map((session) => ({ ...session, paint: 'a' }))
		expect(smallMixes(twice, least).map(({ together }) => together)).toEqual([
			[2, 3],
			[1, 3],
			[1, 2],
		])
	})

	test('a session that takes several mixes is looked at mix by mix; one that sprays nothing is not', () => {
		const [first] = sessions
		const all = first?.quantity?.ml ?? 0
		const thrice = [{ ...first!, mixes: 3 }]
		expect(smallMixes(thrice, all / 2)).toMatchObject([{ ml: all / 3 }])
		expect(smallMixes(thrice, all / 4)).toEqual([])
		const { quantity: _, ...none } = first!
		expect(smallMixes([none], 50)).toEqual([])
	})
})
