/** The steps of the demo, followed one by one by someone who only knows what lies on the panel. */
import { describe, expect, test } from 'vitest'
import { paintSystems } from '../../src/paint/system.ts'
import { withDone } from '../../src/plan/done.ts'
import { type Step, stepsOf } from '../../src/plan/steps.ts'
import type { StageTape } from '../../src/tape/run.ts'
import { demo, demoSeen, shop, taped } from './bench.ts'

const order = ['ivory', 'gold', 'lake-green']
const panels = demoSeen.map((seen) => taped(seen, order))
const systems = paintSystems(demo.paints, shop.spraying)
const gate = [{ line: 'coach', name: 'coach line', side: 'left', places: [{ station: 100, girth: 40 }] }]
const steps = stepsOf({ order, panels, systems, checks: (prefix, stage) => (prefix === 'tank' && stage === 2 ? gate : []) })

describe('the steps of a whole job', () => {
	test('each has a name of its own, of its panel, its paint and what is done', () => {
		expect(new Set(steps.map(({ id }) => id)).size).toBe(steps.length)
		for (const { id, prefix, paint } of steps) expect(id.startsWith(`${prefix}/${paint}/`)).toBe(true)
		expect(steps.map(({ id }) => id)).toContain('tank/ivory/wipe')
	})

	test('followed one by one: at each gun what is to lie there lies there, and in the end the panels are bare', () => {
		const lying = new Map(panels.map(({ prefix }) => [prefix, new Set<string>()]))
		const of = (step: Step) => lying.get(step.prefix) as Set<string>
		for (const step of steps) {
			if (step.kind === 'lay' || step.kind === 'mask') {
				expect(of(step).has(step.runs[0] as string)).toBe(false)
				of(step).add(step.runs[0] as string)
			}
			if (step.kind === 'back') for (const run of step.runs) expect(of(step)).toContain(run)
			if (step.kind === 'spray') {
				const stage = panels
					.find(({ prefix }) => prefix === step.prefix)
					?.tape.find((each) => each.stage === step.stage) as StageTape
				expect([...of(step)].sort()).toEqual([...stage.runs, ...stage.knives].map(({ id }) => id).sort())
			}
			if (step.kind === 'lift') expect(of(step).delete(step.runs[0] as string)).toBe(true)
			if (step.kind === 'leave') {
				expect(of(step)).toContain(step.runs[0])
				expect(step.until).toBeGreaterThan(step.stage)
			}
		}
		for (const set of lying.values()) expect(set.size).toBe(0)
	})

	test('nothing is lifted from below what lies on it', () => {
		const on = new Map<string, Set<string>>()
		let looked = 0
		for (const step of steps) {
			const here = on.get(step.prefix) ?? new Set<string>()
			on.set(step.prefix, here)
			if (step.kind === 'lay' || step.kind === 'mask') here.add(step.runs[0] as string)
			if (step.kind !== 'lift') continue
			const stage = panels.find(({ prefix }) => prefix === step.prefix)?.tape.find((each) => each.stage === step.stage)
			const trimmed = (over: string) => stage?.trims.some((trim) => trim.run === over && trim.over === step.runs[0])
			for (const { under, over } of stage?.laps ?? []) {
				if (under !== step.runs[0]) continue
				looked++
				if (here.has(over)) expect(trimmed(over)).toBe(true)
			}
			here.delete(step.runs[0] as string)
		}
		expect(looked).toBeGreaterThan(0)
	})

	test('all panels of a session are ready before the first is sprayed, and none is lifted before the last is', () => {
		const ready = ['wipe', 'lay', 'mask', 'back', 'paper', 'check']
		for (const session of [1, 2, 3]) {
			const kinds = steps
				.filter((step) => step.session === session)
				.map(({ kind }) => (ready.includes(kind) ? 0 : kind === 'spray' ? 1 : 2))
			expect(kinds).toEqual([...kinds].sort())
			expect(kinds).toContain(1)
		}
		expect(steps.map(({ session }) => session)).toEqual([...steps.map(({ session }) => session)].sort())
	})

	test('taped lines are measured where they are asked for, just before the gun', () => {
		const checks = steps.filter(({ kind }) => kind === 'check')
		expect(checks).toMatchObject([{ id: 'tank/gold/check', lines: gate }])
	})
})

describe('what was done', () => {
	test('is found by the name of its step; of one noted twice the last counts', () => {
		const done = [
			{ step: 'tank/ivory/wipe', on: '2031-05-13' },
			{ step: 'tank/ivory/wipe', on: '2031-05-14', by: 'E. Holt' },
		]
		const { steps: marked, problems } = withDone(steps, { done })
		expect(problems).toEqual([])
		expect(marked.filter((step) => step.done)).toMatchObject([
			{ id: 'tank/ivory/wipe', done: { on: '2031-05-14', by: 'E. Holt' } },
		])
		expect(marked.map(({ id }) => id)).toEqual(steps.map(({ id }) => id))
	})

	test('a name of no step is a warning, with the nearest one', () => {
		const { problems } = withDone(steps, { done: [{ step: 'tank/ivory/wype', on: '2031-05-13' }] })
		expect(problems).toMatchObject([{ code: 'STEP_UNKNOWN', severity: 'warning', path: '/paintwork/done/0/step' }])
		expect(problems[0]?.fix).toContain('"tank/ivory/wipe"')
	})
})
