/** What is bought: counted again from the steps, in another order. */
import { describe, expect, test } from 'vitest'
import { area } from '../../src/chart/area.ts'
import { quantitiesOf } from '../../src/paint/quantity.ts'
import { paintSystems } from '../../src/paint/system.ts'
import { shoppingOf } from '../../src/plan/shopping.ts'
import { stepsOf } from '../../src/plan/steps.ts'
import { demo, demoSeen, shop, taped } from './bench.ts'

const order = ['gold', 'ivory', 'lake-green']
const panels = demoSeen.map((seen) => taped(seen, order))
const systems = paintSystems(demo.paints, shop.spraying)
const sprayed = panels.flatMap(({ id, hand, seen, stages }) =>
	stages.map(({ number, paint, open }) => ({ panel: id, hand, stage: number, paint, areaMm2: area(seen.chart, open) })),
)
const quantities = quantitiesOf(sprayed, systems, shop.spraying.cupMl)
const list = shoppingOf({ panels, shop, quantities })
const steps = stepsOf({ order, panels, systems })

describe('what is bought for the demo', () => {
	test('tape of each stock: what the steps lay and back, and the share that is wasted', () => {
		const mm = new Map<string, number>()
		const add = (id: string, length: number) => mm.set(id, (mm.get(id) ?? 0) + length)
		for (const step of steps) {
			if (step.kind === 'lay') add(step.run.tape.id, step.run.lengthMm + step.run.joints * shop.taping.joint)
			if (step.kind === 'back') for (const { tape, lengthMm } of step.backing) add(tape.id, lengthMm)
		}
		expect(list.tapes.map(({ tape }) => tape.id).sort()).toEqual([...mm.keys()].sort())
		for (const { tape, laidMm, buyMm, rolls } of list.tapes) {
			expect(laidMm).toBeCloseTo(mm.get(tape.id) as number, 6)
			expect(buyMm / laidMm).toBeCloseTo(1.15, 12)
			expect((rolls as number) * 33_000).toBeGreaterThanOrEqual(buyMm)
			expect(((rolls as number) - 1) * 33_000).toBeLessThan(buyMm)
		}
	})

	test('paper by each stage, film by each mask, paint as it was reckoned', () => {
		const paper = steps.reduce((sum, step) => sum + (step.kind === 'paper' ? step.areaMm2 : 0), 0)
		expect(list.paperMm2).toBeCloseTo(1.15 * paper, 6)
		const masks = steps.flatMap((step) => (step.kind === 'mask' ? [{ step, mask: step.mask }] : []))
		const film = masks.reduce((sum, { step, mask }) => {
			const chart = panels.find(({ prefix }) => prefix === step.prefix)?.seen.chart
			return sum + (chart ? area(chart, mask.outline) : Number.NaN)
		}, 0)
		expect(list.masks).toBe(masks.length)
		expect(list.filmMm2).toBeCloseTo(1.15 * film, 6)
		expect(list.paints.map(({ paint }) => paint).sort()).toEqual([...order].sort())
		for (const { paint, ml } of list.paints) expect(ml).toBe(quantities.paints.find((each) => each.paint === paint)?.ml)
	})
})

test('a run that stays for the next stage is bought once; what paper is fixed to each time', () => {
	const [one] = panels
	const run = one?.tape.flatMap(({ runs }) => runs)[0]
	const stage = one?.tape[0]
	if (!one || !run || !stage) throw new Error('no tape on the demo')
	const staying = { ...run, lengthMm: 500, joints: 1, laid: 1, until: 2 }
	const back = { over: run.id, tape: run.tape, lengthMm: 100, outline: [] }
	const bare = { ...stage, knives: [], runs: [staying], backing: [back] }
	const { tapes } = shoppingOf({
		panels: [
			{
				...one,
				tape: [
					{ ...bare, stage: 1 },
					{ ...bare, stage: 2 },
				],
			},
		],
		shop,
		quantities,
	})
	expect(tapes).toMatchObject([{ laidMm: 500 + shop.taping.joint + 200, backingMm: 200, lengths: 3, joints: 1, rolls: 1 }])
})
