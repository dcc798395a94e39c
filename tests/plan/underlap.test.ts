/** Laps that are wider than what is to hide them. */
import { describe, expect, test } from 'vitest'
import type { Paintwork, Panel } from '../../src/job/schema.ts'
import { underlapOf, underlapProblems } from '../../src/plan/underlap.ts'
import { marked, outlineOf } from '../scheme/jobs.ts'
import { staged } from '../tape/bench.ts'
import { shop } from './bench.ts'

test('an underlap is of the pair, else of the job, else of the shop', () => {
	const work = { underlap: 1.5, underlaps: [{ under: 'green', over: 'gold', width: 3 }] }
	expect(underlapOf(work, shop)('green', 'gold')).toBe(3)
	expect(underlapOf(work, shop)('gold', 'green')).toBe(1.5)
	expect(underlapOf(undefined, shop)('green', 'gold')).toBe(shop.taping.underlap)
	expect(underlapOf({ underlap: 0 }, shop)('green', 'gold')).toBe(0)
})

describe('a stripe of 3 mm on a ground that is sprayed before it', () => {
	const { seen, stages } = staged(
		{
			outline: outlineOf([
				[-50, -60],
				[350, -60],
				[350, 60],
				[-50, 60],
			]),
			readings: marked([
				['a', 40, 0],
				['b', 260, 0],
			]),
			edges: [{ id: 'line', through: ['a', { mark: 'b', by: 'pulled' }] }],
			stripes: [{ id: 'stripe', edge: 'line', lay: 'centred', bands: [{ paint: 'gold', width: 3 }] as never }],
			fields: [{ id: 'ground', paint: 'green', between: ['outline'] }],
		},
		['green', 'gold'],
		'local',
	)
	const panel = { id: seen.panel, hand: 'left' } as Panel
	const found = (paintwork?: Paintwork) => underlapProblems({ seen, stages, panel, paintwork, shop })

	test('a lap as wide as it is or less is hidden', () => {
		expect(found()).toEqual([])
		expect(found({ underlap: 3 })).toEqual([])
	})

	test('a wider one comes out on the other side: where it is said, once, on the stripe', () => {
		const problems = found({ underlap: 3.5 })
		expect(problems).toMatchObject([{ code: 'UNDERLAP_TOO_WIDE', severity: 'warning', path: '/paintwork/underlap' }])
		expect(problems[0]?.place?.panel).toBe(seen.panel)
		expect(Math.abs((problems[0]?.place?.g ?? 99) - 1.5)).toBeLessThan(0.01)
		expect(problems[0]?.place?.s).toBeGreaterThan(40)
		expect(problems[0]?.place?.s).toBeLessThan(260)
	})

	test('of the pair, where it is said of the pair', () => {
		const underlaps = [
			{ under: 'gold', over: 'green', width: 1 },
			{ under: 'green', over: 'gold', width: 4 },
		]
		expect(found({ underlap: 1, underlaps })).toMatchObject([{ path: '/paintwork/underlaps/1/width' }])
	})
})
