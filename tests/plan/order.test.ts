/** The order of the paints: graphs small enough to do by hand, and random ones counted a second way. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Paint } from '../../src/job/schema.ts'
import { estimate, minutesOf, sumOf } from '../../src/plan/estimate.ts'
import { graphOf, type PanelGraph } from '../../src/plan/graph.ts'
import { luminance } from '../../src/plan/luminance.ts'
import { choosePaintOrder, type OrderInput } from '../../src/plan/order.ts'
import { runsOf } from '../../src/plan/stageShare.ts'
import { weighing } from '../../src/plan/weigh.ts'
import { demo, demoSeen, graph, paint, part, shop, taped } from './bench.ts'

const choose = (graphs: readonly PanelGraph[], paints: readonly Paint[], paintwork?: OrderInput['paintwork']) =>
	choosePaintOrder({ graphs, paints, paintwork, shop })

const halves = graph([part('upper', ['a'], 1e5), part('lower', ['b'], 2e5)], [['break/plus', 0, 1, 1000]])

/** Two fields that meet along 800 mm, and a stripe of stock width along a metre within the first. */
const striped = graph(
	[part('upper', ['cream'], 1e5), part('coach', ['gold'], 3000, { widthMm: 3, even: true }), part('lower', ['green'], 1e5)],
	[
		['coach/near', 0, 1, 1000],
		['coach/far', 1, 0, 1000],
		['break/plus', 0, 2, 800],
	],
)

describe('what an order costs', () => {
	const by = weighing([paint('a', '#ffffff'), paint('b', '#000000')], undefined, shop)

	test('two fields, the first over all: one edge taped once, one ridge, nothing but the finished field covered', () => {
		const amounts = estimate(halves, ['a', 'b'], 'all-over', by)
		expect(amounts).toMatchObject({ tapeMm: 1000, maskings: 1, ridges: 1, freshMm2: 1e5, stripes: 0 })
		expect(amounts).toMatchObject({ lightByDarkMm: 0, lightOverDarkMm2: 0 })
	})

	test('two fields, the first where it shows: its lap is taped too', () => {
		expect(estimate(halves, ['a', 'b'], 'local', by)).toMatchObject({ tapeMm: 2000, maskings: 2, ridges: 2, freshMm2: 1e5 })
	})

	test('paint by area, film and volume solids, a lap in it', () => {
		// 18 um at 20 % cover 10 x 20 / 18 m^2 a litre (published in trade sheets of coatings); 0.4 of it stays, 0.15 is mixed over.
		const ml = (mm2: number) => ((mm2 / 1e6 / (200 / 18)) * 1000 * 1.15) / 0.4
		expect(estimate(halves, ['a', 'b'], 'all-over', by).ml).toBeCloseTo(ml(3e5) + ml(2e5), 9)
		expect(estimate(halves, ['a', 'b'], 'local', by).ml).toBeCloseTo(ml(1e5 + 1000 * shop.taping.underlap) + ml(2e5), 9)
	})

	test('white over black is counted, by edge and by area', () => {
		expect(estimate(halves, ['b', 'a'], 'all-over', by)).toMatchObject({ lightByDarkMm: 1000, lightOverDarkMm2: 1e5 })
		expect(estimate(halves, ['b', 'a'], 'local', by)).toMatchObject({ lightByDarkMm: 1000, lightOverDarkMm2: 0 })
	})

	test('a stripe of stock width that comes before what it lies in is one run', () => {
		const three = weighing([paint('cream'), paint('gold'), paint('green')], undefined, shop)
		// Gold over all; its stripe by one tape and a lap along the break for cream; the break again for green.
		expect(estimate(striped, ['gold', 'cream', 'green'], 'all-over', three)).toMatchObject({ tapeMm: 2600, stripes: 1 })
		// Green before cream: what is taped at the break for green is a lap, and the stripe lies beside cream alone.
		expect(estimate(striped, ['gold', 'green', 'cream'], 'all-over', three)).toMatchObject({ tapeMm: 2600, stripes: 1 })
		// As last paint its two edges are taped one by one; cream over all needs no lap.
		expect(estimate(striped, ['cream', 'green', 'gold'], 'all-over', three)).toMatchObject({ tapeMm: 2800, stripes: 0 })
	})

	test('a stripe between two paints has its edges taped one after the other', () => {
		const three = weighing([paint('cream'), paint('gold'), paint('green')], undefined, shop)
		const between = graph(striped.parts, [
			['coach/near', 0, 1, 1000],
			['coach/far', 1, 2, 1000],
		])
		expect(estimate(between, ['gold', 'cream', 'green'], 'all-over', three)).toMatchObject({ tapeMm: 2000, stripes: 0 })
	})

	test('tape that lies as one run over two stages is laid once', () => {
		// Below a candy and its ground coat, all against what is left as it is.
		const two = weighing([paint('silver'), paint('candy', '#aa0000', { as: 'mid-coat', over: 'silver' })], undefined, shop)
		const one = graph([part('field', ['silver', 'candy'], 1e5), part('rest', [], 1e5)], [['break/plus', 0, 1, 500]])
		expect(estimate(one, ['silver', 'candy'], 'local', two)).toMatchObject({ tapeMm: 500, maskings: 2 })
	})

	test('tape on the demo lies between the estimate and the estimate with an overrun at both ends of each run', () => {
		const order = ['gold', 'ivory', 'lake-green']
		const all = weighing(demo.paints, undefined, shop)
		const laidOn = (tape: ReturnType<typeof taped>['tape']) => [
			...new Map(tape.flatMap(({ runs, knives }) => [...runs, ...knives]).map((run) => [run.id, run.lengthMm])).values(),
		]
		for (const seen of demoSeen) {
			const one = graphOf(seen)
			const { stages, tape } = taped(seen, order)
			if (seen.panel === 'tank') {
				// Green between its stripes is too narrow to be masked by itself and is painted over, which parts and borders do not tell.
				const laid = laidOn(tape).reduce((a, b) => a + b, 0)
				const { tapeMm } = estimate(one, order, 'all-over', all)
				expect(Math.abs(laid - tapeMm) / laid).toBeLessThan(0.2)
				continue
			}
			for (const [i, { standing, mode }] of stages.entries()) {
				const estimated = runsOf(one, standing, mode, all).reduce((sum, { lengthMm }) => sum + lengthMm, 0)
				const lying = [...(tape[i]?.runs ?? []), ...(tape[i]?.knives ?? [])]
				const laid = lying.reduce((sum, { lengthMm }) => sum + lengthMm, 0)
				expect(laid).toBeGreaterThanOrEqual(0.99 * estimated)
				expect(laid).toBeLessThanOrEqual(1.01 * (estimated + 2 * shop.taping.overrun * lying.length))
			}
		}
	})
})

const NAMES = ['a', 'b', 'c', 'd', 'e']

const graphs = fc
	.record({
		coats: fc.array(fc.constantFrom(...NAMES, 'none'), { minLength: 2, maxLength: 7 }),
		ends: fc.array(fc.tuple(fc.nat(6), fc.nat(6), fc.integer({ min: 1, max: 900 })), { maxLength: 12 }),
	})
	.map(({ coats, ends }) =>
		graph(
			coats.map((each, i) => part(`p${i}`, each === 'none' ? [] : [each], 1000 * (i + 1))),
			ends
				.map(([a, b, mm]): [string, number, number, number] => ['line', a % coats.length, b % coats.length, mm])
				.filter(([, a, b]) => coats[a] !== coats[b]),
		),
	)
const greys = NAMES.map((id, i) => paint(id, `#${String(i + 3).repeat(6)}`))

/** Taped length again, border by border: the states of its two sides in each stage in turn. */
function recount({ parts, borders }: PanelGraph, order: readonly string[], allOver: boolean): number {
	const own = order.filter((each) => parts.some(({ coats }) => coats[0] === each))
	const when = (i: number) => (parts[i]?.coats[0] === undefined ? -1 : own.indexOf(parts[i]?.coats[0] as string))
	const reaches = (from: number): Set<number> => {
		// Flooded over everything that is not finished, from each part of the first paint.
		const set = new Set<number>([from])
		for (let turn = 0; turn < parts.length; turn++) {
			for (const { plus, minus } of borders) {
				if (set.has(plus) && when(minus) >= 0) set.add(minus)
				if (set.has(minus) && when(plus) >= 0) set.add(plus)
			}
			// Alike parts that touch have no border between them.
			for (const i of parts.keys()) if ([...set].some((k) => when(k) === when(i))) set.add(i)
		}
		return set
	}
	const flooded = new Set(parts.flatMap((_, i) => (when(i) === 0 ? [...reaches(i)] : [])))
	let mm = 0
	for (const { plus, minus, lengthMm } of borders) {
		let lying: number | undefined
		for (let stage = 0; stage < own.length; stage++) {
			const open = (i: number) => when(i) === stage || (stage === 0 && allOver && flooded.has(i))
			const edge = open(plus) !== open(minus)
			const covered = open(plus) ? minus : plus
			const isLap = edge && when(covered) > stage
			if (edge && (isLap || lying !== covered)) mm += lengthMm
			lying = edge && !isLap ? covered : undefined
		}
	}
	return mm
}

const permutations = (list: readonly string[]): string[][] =>
	list.length === 0
		? [[]]
		: list.flatMap((first) => permutations(list.filter((each) => each !== first)).map((rest) => [first, ...rest]))

describe('random panels', () => {
	const by = weighing(greys, undefined, shop)

	test('taped length: a second count agrees', () => {
		fc.assert(
			fc.property(graphs, fc.shuffledSubarray(NAMES, { minLength: 5 }), fc.boolean(), (one, order, allOver) => {
				const { tapeMm } = estimate(one, order, allOver ? 'all-over' : 'local', by)
				expect(tapeMm).toBe(recount(one, order, allOver))
			}),
			{ numRuns: 400 },
		)
	})

	test('no other order and no other way to spray the first paints costs less', () => {
		fc.assert(
			fc.property(graphs, graphs, (one, two) => {
				const both = [one, { ...two, prefix: 'second' }]
				const { chosen, alternatives } = choose(both, greys)
				const used = NAMES.filter((name) => both.some(({ parts }) => parts.some(({ coats }) => coats.includes(name))))
				const all = permutations(used).flatMap((order) =>
					(['all-over', 'local'] as const).flatMap((a) =>
						(['all-over', 'local'] as const).map((b) =>
							minutesOf(sumOf([estimate(both[0] as PanelGraph, order, a, by), estimate(both[1] as PanelGraph, order, b, by)])),
						),
					),
				)
				// Orders are compared to the hundredth of a minute: two that round alike are less than one apart.
				expect(chosen.minutes).toBeLessThan(Math.min(...all) + 0.01)
				for (const each of alternatives) expect(each.minutes).toBeGreaterThan(chosen.minutes - 0.01)
			}),
			{ numRuns: 30 },
		)
	})
})

describe('the order that is chosen', () => {
	const three = [paint('cream'), paint('gold'), paint('green')]

	test('a stripe of stock width before both of its neighbours, and why', () => {
		const { chosen } = choose([striped], three)
		expect(chosen.order[0]).toBe('gold')
		expect(chosen.why).toMatch(
			/^Gold before (cream|green): its lines are then single runs of 3 mm tape; .* first would take .* more tape/,
		)
	})

	test('light before dark where nothing else differs; ties by name', () => {
		const two = graph([part('upper', ['a'], 1e5), part('lower', ['b'], 1e5)], [['break/plus', 0, 1, 1000]])
		expect(choose([two], [paint('a', '#202020'), paint('b', '#f0f0f0')]).chosen.order).toEqual(['b', 'a'])
		expect(choose([two], [paint('a'), paint('b')]).chosen.order).toEqual(['a', 'b'])
	})

	test('an order that is asked for is kept, and said what it costs', () => {
		const { chosen, best, problems } = choose([striped], three, { order: ['green', 'cream', 'gold'] })
		expect(chosen.order).toEqual(['green', 'cream', 'gold'])
		expect(best.order[0]).toBe('gold')
		expect(chosen.why).toMatch(/^As asked; green before gold takes .* more/)
		expect(problems).toMatchObject([{ code: 'PAINT_ORDER_COSTS', severity: 'note', path: '/paintwork/order' }])
		expect(problems[0]?.fix).toContain(best.order.join(', '))
	})

	test('paints left out of an order follow where they cost least', () => {
		const { chosen, problems } = choose([striped], three, { order: ['green', 'cream'] })
		expect(chosen.order).toEqual(['gold', 'green', 'cream'])
		expect(problems).toEqual([])
	})

	test('what a paint comes after is kept; the first paint as it is asked for', () => {
		const { chosen } = choose([striped], three, { after: [{ paint: 'gold', after: ['green', 'cream'] }], first: 'local' })
		expect(chosen.order[2]).toBe('gold')
		expect(chosen.modes.get('board')).toBe('local')
	})

	test('a candy comes after its ground coat, though its name comes first', () => {
		const one = graph([part('field', ['silver', 'candy'], 1e5), part('rest', [], 1e5)], [['break/plus', 0, 1, 500]])
		const { chosen, alternatives } = choose(
			[one],
			[paint('candy', '#aa0000', { as: 'mid-coat', over: 'silver' }), paint('silver')],
		)
		expect(chosen.order).toEqual(['silver', 'candy'])
		expect(alternatives).toEqual([])
		// The tape against what is left as it is stays on for the second.
		expect(chosen.amounts.tapeMm).toBe(500)
	})

	test('more than six paints: what must be before what is kept, and it is said that not all were weighed', () => {
		const names = ['h', 'g', 'f', 'e', 'd', 'c', 'b', 'a']
		const many = graph(
			names.map((id) => part(`of-${id}`, [id], 1e5)),
			names.slice(1).map((_, i) => ['line', i, i + 1, 300] as const),
		)
		const paints = names.map((id, i) => paint(id, `#${String(i + 1).repeat(6)}`))
		const { chosen, all } = choose([many], paints, { after: [{ paint: 'a', after: ['h'] }] })
		expect([...chosen.order].sort()).toEqual([...names].sort())
		expect(chosen.order.indexOf('h')).toBeLessThan(chosen.order.indexOf('a'))
		expect(all).toBe(false)
		expect(chosen.why).toContain('Not every order was weighed')
	})
})

describe('orders that go round in a circle', () => {
	const three = [paint('cream'), paint('gold'), paint('green')]

	test('three paints, each after the next: the last entry is named and left out', () => {
		const after = [
			{ paint: 'gold', after: ['cream'] },
			{ paint: 'green', after: ['gold'] },
			{ paint: 'cream', after: ['green'] },
		]
		const { chosen, problems } = choose([striped], three, { after })
		expect(problems).toMatchObject([{ code: 'PAINT_ORDER_CYCLE', severity: 'error', path: '/paintwork/after/2/after/0' }])
		for (const name of ['Cream', 'Gold', 'Green']) expect(problems[0]?.found).toContain(name)
		expect(problems[0]?.fix).toContain('"green"')
		expect(chosen.order).toEqual(['cream', 'gold', 'green'])
	})

	test('after against the order given, and a paint after itself', () => {
		const order = ['green', 'gold', 'cream']
		const { chosen, problems } = choose([striped], three, {
			order,
			after: [
				{ paint: 'green', after: ['cream'] },
				{ paint: 'gold', after: ['gold'] },
			],
		})
		expect(chosen.order).toEqual(order)
		const cycles = problems.filter(({ code }) => code === 'PAINT_ORDER_CYCLE')
		expect(cycles.map(({ path }) => path)).toEqual(['/paintwork/after/0/after/0', '/paintwork/after/1/after/0'])
	})

	test('an order with a candy before what it goes over', () => {
		const one = graph([part('field', ['silver', 'candy'], 1e5), part('rest', [], 1e5)], [['break/plus', 0, 1, 500]])
		const paints = [paint('candy', '#aa0000', { as: 'mid-coat', over: 'silver' }), paint('silver')]
		const { chosen, problems } = choose([one], paints, { order: ['candy', 'silver'] })
		expect(chosen.order).toEqual(['silver', 'candy'])
		expect(problems).toMatchObject([{ code: 'PAINT_ORDER_CYCLE', path: '/paintwork/order/1' }])
	})
})

test('relative luminance: white, black, pure red, and the grey of contrast 4.54 on white (W3C, WCAG 2)', () => {
	expect(luminance('#ffffff')).toBeCloseTo(1, 9)
	expect(luminance('#000000')).toBe(0)
	expect(luminance('#ff0000')).toBeCloseTo(0.2126, 9)
	expect(1.05 / (luminance('#767676') + 0.05)).toBeCloseTo(4.54, 2)
})
