/** Clear: films added up by hand, and limits that makers of clears publish (50 and 76 um). */
import fc from 'fast-check'
import { expect, test } from 'vitest'
import { clearSchema } from '../../src/job/paintworkSchema.ts'
import type { Panel } from '../../src/job/schema.ts'
import { filmBudget } from '../../src/paint/budget.ts'
import { clearPlan, clearSprayed } from '../../src/paint/clear.ts'
import { clearProblems, filmWords, mils } from '../../src/paint/clearProblems.ts'
import { DECAL_CHOICE } from '../../src/paint/decalChoice.ts'
import { filmMap } from '../../src/paint/films.ts'
import { rubThroughOf } from '../../src/paint/rubThrough.ts'
import { flat } from '../scheme/bench.ts'
import { jobOf } from '../scheme/jobs.ts'
import { demoJob, paintsOf } from '../stages/bench.ts'

type ClearInput = NonNullable<Parameters<typeof jobOf>[0][number]['clear']>
const plain = jobOf([{}]).panels[0] as Panel
const read = (clear: ClearInput) => clearSchema().parse(clear)
const panelWith = (clear?: ClearInput): Panel => ({ ...plain, ...(clear ? { clear: read(clear) } : {}) })
const spraying = { transfer: 0.4, allowance: 0.15, clearLeastUm: 50, clearMostUm: 76 }
const planOf = (clear?: ClearInput) => clearPlan({ panel: panelWith(clear), paints: new Map(), spraying })
const codes = (clear: ClearInput) => clearProblems(planOf(clear), '/panels/0', spraying).map(({ code }) => code)

test('the starter recipe lies between the limits, each figure marked', () => {
	const plan = planOf()
	expect(plan.asked).toBe(false)
	expect(plan.films.map(({ where }) => where)).toEqual(['elsewhere'])
	// 2 coats of 28, 10 flatted off, a flow coat of 28, 7 cut and 5 polished off.
	expect(plan.films[0]?.steps.map(({ what, filmUm }) => [what, filmUm])).toEqual([
		['coats', 56],
		['flatting', 46],
		['flow-coats', 74],
		['cutting', 67],
		['polishing', 62],
	])
	expect(plan.films[0]).toMatchObject({ coats: 3, sprayedUm: 84, takenUm: 22, filmUm: 62, leastUm: 46 })
	expect(Object.values(plan.recipe).every(({ assumed }) => assumed)).toBe(true)
	// Starter recipe, common practice: 1 to 2 coats before decals, 2 to 3 over them, 2 to 3 elsewhere.
	const { before, over, elsewhere } = plan.recipe
	expect(before.value >= 1 && before.value <= 2 && over.value >= 2 && over.value <= 3 && elsewhere.value >= 2).toBe(true)
	for (const { um } of plan.recipe.takenOff.value) expect(um >= 5 && um <= 15).toBe(true)
	expect(codes({ decals: 'under' })).toEqual([])
	expect(codes({ decals: 'over' })).toEqual([])
})

test('under clear, decals lie between two films; over it, on the finished one', () => {
	const under = planOf({ decals: 'under', filmUm: 20, takenOff: [{ what: 'flatting', um: 5, rounds: 2 }] })
	expect(under.films.map(({ where, filmUm }) => [where, filmUm])).toEqual([
		['below-decals', 20],
		['over-decals', 50],
		['elsewhere', 50],
	])
	expect(under.atDecalsUm).toBe(70)
	const sessions = { 'below-decals': 4, over: 5, flow: 6 }
	const sprayed = clearSprayed(under, 'left', 1e6, (time) => sessions[time])
	expect(sprayed.map(({ stage, coats }) => [stage, coats])).toEqual([
		[4, 1],
		[5, 2],
		[6, 1],
	])
	for (const one of sprayed) expect(one).toMatchObject({ filmUm: 20, areaMm2: 1e6, panel: under.panel })
	const over = planOf({ decals: 'over', decided: { by: 'the owner' } })
	expect(over.films.map(({ where, filmUm }) => [where, filmUm])).toEqual([
		['below-decals', 62],
		['elsewhere', 62],
	])
	expect(over.atDecalsUm).toBeUndefined()
	expect(over.decided?.by).toBe('the owner')
	expect(clearSprayed(over, 'left', 1e6, (time) => sessions[time]).map(({ stage, coats }) => [stage, coats])).toEqual([
		[5, 2],
		[6, 1],
	])
	for (const side of ['under', 'over'] as const) {
		expect(DECAL_CHOICE[side].map(({ sentence }) => sentence).join(' ')).toMatch(/fuel/)
		expect(new Set(DECAL_CHOICE[side].map(({ code }) => code)).size).toBe(DECAL_CHOICE[side].length)
	}
})

test('too thin, too thick and rubbed through are told apart, in um and mils', () => {
	expect(filmWords(50)).toBe('50 um (2.0 mils)')
	// A thousandth of an inch is 25.4 um: the published limits are 2 and 3 mils.
	expect(mils(76.2)).toBeCloseTo(3, 12)
	expect(codes({ elsewhere: 1 })).toEqual(['CLEAR_THIN'])
	expect(codes({ elsewhere: 3 })).toEqual(['CLEAR_THICK'])
	expect(codes({ elsewhere: 1, flow: 2, takenOff: [{ what: 'flatting', um: 15, rounds: 2 }] })).toEqual(['CLEAR_RUBBED_THROUGH'])
	const [thin] = clearProblems(planOf({ elsewhere: 1 }), '/panels/4', spraying)
	expect(thin).toMatchObject({ severity: 'warning', path: '/panels/4/clear', place: { panel: 'panel-0' } })
	expect(thin?.found).toContain('34 um (1.3 mils)')
	expect(thin?.expected).toContain('50 um (2.0 mils)')
	// Two coats before decals lie below them; they do not have to last by themselves, but may not be too thick.
	expect(codes({ decals: 'under', before: 2 })).toEqual([])
	expect(codes({ decals: 'under', before: 3 })).toEqual(['CLEAR_THICK'])
})

test('nothing is said of a panel whose clear the job does not mention', () => {
	expect(clearProblems(planOf(), '/panels/0', { clearLeastUm: 70, clearMostUm: 76 })).toEqual([])
})

test('who does as the fix says is rid of the problem', () => {
	fc.assert(
		fc.property(
			fc.record({
				elsewhere: fc.integer({ min: 1, max: 8 }),
				flow: fc.integer({ min: 0, max: 2 }),
				filmUm: fc.integer({ min: 6, max: 60 }),
				takenOff: fc.array(
					fc.record({
						what: fc.constantFrom('cutting' as const, 'polishing' as const),
						um: fc.integer({ min: 1, max: 5 }),
						rounds: fc.integer({ min: 1, max: 2 }),
					}),
					{ maxLength: 2 },
				),
			}),
			(clear) => {
				const [problem] = clearProblems(planOf(clear), '', spraying)
				if (!problem || problem.code === 'CLEAR_RUBBED_THROUGH') return
				const more = /(\d+) more coat/.exec(problem.fix)
				const less = /Leave out (\d+) coat/.exec(problem.fix)
				const thinner = /thinner coats there, (\d+) um/.exec(problem.fix)
				const change = more ? Number(more[1]) : less ? -Number(less[1]) : 0
				const after = codes({
					...clear,
					...(thinner ? { filmUm: Number(thinner[1]) } : {}),
					// With fewer coats than there are before the flow coat, that is one of those left out.
					elsewhere: Math.max(0, clear.elsewhere + change),
					flow: clear.flow + Math.min(0, clear.elsewhere + change),
				})
				expect(change !== 0 || thinner).toBeTruthy()
				expect(after).not.toContain(problem.code)
			},
		),
		{ numRuns: 300 },
	)
})

test('swage lines and rims are named where something is taken off', () => {
	const tank = demoJob().panels.find(({ id }) => id === 'tank') as Panel
	const plan = clearPlan({ panel: tank, paints: paintsOf(demoJob()), spraying })
	expect(rubThroughOf(tank, plan)).toEqual([
		{ where: 'swage', number: 1, acrossMm: [104, 104], bothSides: true, leastUm: 46 },
		{ where: 'rim', leastUm: 46 },
	])
	expect(rubThroughOf(panelWith({ takenOff: [] }), planOf({ takenOff: [] }))).toEqual([])
	expect(rubThroughOf(panelWith(), planOf()).map(({ where }) => where)).toEqual(['rim'])
})

test('paint and clear together', () => {
	const whole = [
		[
			{ s: 0, g: 0 },
			{ s: 100, g: 0 },
			{ s: 100, g: 50 },
			{ s: 0, g: 50 },
		],
	]
	const half = whole.map((loop) => loop.map(({ s, g }) => ({ s: s / 2, g })))
	const map = filmMap({ panel: 'p', hand: 'left', chart: flat, area: whole }, [{ stage: 1, paint: 'a', open: half }], () => 20)
	expect(filmBudget(map, planOf())).toMatchObject({ leastUm: 82, mostUm: 82, meanUm: 72 })
})
