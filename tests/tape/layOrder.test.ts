/** What is laid when: random tapes against every order there is. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { layOrder, type Over, type ToOrder } from '../../src/tape/layOrder.ts'
import type { Lap } from '../../src/tape/run.ts'

const run = (id: string, number: number, laid = 1, until = 1): ToOrder => ({ id, number, laid, until })
const lap = (under: string, over: string, areaMm2 = 10): Lap => ({ under, over, at: { s: 0, g: 0 }, areaMm2 })

interface Case {
	readonly runs: readonly ToOrder[]
	readonly laps: readonly Lap[]
	readonly musts: readonly Over[]
}

const cases = (most: number): fc.Arbitrary<Case> =>
	fc.integer({ min: 1, max: most }).chain((n) => {
		const pairs = Array.from({ length: n }, (_, i) => Array.from({ length: i }, (_, k) => [k, i] as const)).flat()
		const stages = fc.record({ laid: fc.integer({ min: 1, max: 3 }), stays: fc.integer({ min: 0, max: 2 }) })
		const kinds = fc.constantFrom('apart', 'apart', 'free', 'must', 'turned')
		return fc
			.record({
				stages: fc.array(stages, { minLength: n, maxLength: n }),
				kinds: fc.array(kinds, { minLength: pairs.length, maxLength: pairs.length }),
				areas: fc.array(fc.integer({ min: 1, max: 9 }), { minLength: pairs.length, maxLength: pairs.length }),
			})
			.map(({ stages, kinds, areas }): Case => {
				const of = (kind: string) => pairs.flatMap(([a, b], i) => (kinds[i] === kind ? [{ a: `r${a}`, b: `r${b}`, i }] : []))
				return {
					runs: stages.map(({ laid, stays }, i) => run(`r${i}`, i + 1, laid, laid + stays)),
					laps: ['free', 'must', 'turned'].flatMap((kind) => of(kind).map(({ a, b, i }) => lap(a, b, areas[i]))),
					musts: [
						...of('must').map(({ a, b }) => ({ under: a, over: b })),
						...of('turned').map(({ a, b }) => ({ under: b, over: a })),
					],
				}
			})
	})

function* orders<T>(list: readonly T[]): Generator<readonly T[]> {
	if (list.length === 0) yield []
	for (const [i, first] of list.entries()) {
		for (const rest of orders([...list.slice(0, i), ...list.slice(i + 1)])) yield [first, ...rest]
	}
}

/** Everything that a lay order can do wrong, said once more in the plainest way: per pair of runs, what it breaks. */
function broken({ runs, laps, musts }: Case, lay: readonly string[]): { stage: boolean; pairs: Set<string> } {
	const of = (id: string) => runs.find((each) => each.id === id) as ToOrder
	const later = (a: string, b: string) => lay.indexOf(a) > lay.indexOf(b)
	const stage = runs.some((a) => runs.some((b) => a.laid > b.laid && !later(a.id, b.id)))
	const pairs = new Set<string>()
	for (const { under, over } of laps) {
		const [top, bottom] = later(over, under) ? [over, under] : [under, over]
		if (of(bottom).until < of(top).until) pairs.add([top, bottom].sort().join())
	}
	for (const { under, over } of musts) if (!later(over, under)) pairs.add([under, over].sort().join())
	return { stage, pairs }
}

const pairOf = ({ run, over }: { run: string; over: string }) => [run, over].sort().join()

describe('lay and lift order', () => {
	test('what is laid lies as it must, or is trimmed there, and nothing else is', () => {
		fc.assert(
			fc.property(cases(12), (each) => {
				const { lay, lift, trims, laps } = layOrder(each.runs, each.laps, each.musts)
				expect([...lay].sort()).toEqual(each.runs.map(({ id }) => id).sort())
				const { stage, pairs } = broken(each, lay)
				expect(stage).toBe(false)
				expect([...new Set(trims.map(pairOf))].sort()).toEqual([...pairs].sort())
				// Nothing is lifted from below what still lies on it, but where that one is trimmed.
				for (const { under, over } of laps) {
					if (trims.some((trim) => pairOf(trim) === pairOf({ run: under, over }))) continue
					expect(lift.indexOf(over)).toBeLessThan(lift.indexOf(under))
				}
				const untils = lift.map((id) => each.runs.find((one) => one.id === id)?.until as number)
				expect(untils).toEqual([...untils].sort((a, b) => a - b))
			}),
			{ numRuns: 500 },
		)
	})

	test('of up to six runs: against every order there is', () => {
		fc.assert(
			fc.property(cases(6), (each) => {
				const { lay, trims, cycles } = layOrder(each.runs, each.laps, each.musts)
				const numbered = [...each.runs].sort((a, b) => a.number - b.number).map(({ id }) => id)
				const all = [...orders(numbered)].filter((order) => !broken(each, order).stage)
				const whole = all.filter((order) => broken(each, order).pairs.size === 0)
				// Orders come out of the generator from the one by number on: the first without a fault is the one wanted.
				if (whole.length > 0) expect(lay).toEqual(whole[0])
				expect(trims.length === 0).toBe(whole.length > 0)
				if (whole.length > 0) expect(cycles).toEqual([])
				// No order does with a part of these trims.
				const own = broken(each, lay).pairs
				const fewer = all.some((order) => {
					const { pairs } = broken(each, order)
					return pairs.size < own.size && [...pairs].every((pair) => own.has(pair))
				})
				expect(fewer).toBe(false)
			}),
			{ numRuns: 150 },
		)
	})

	test('every cycle is one, closed by what is wanted of its ends', () => {
		fc.assert(
			fc.property(cases(9), (each) => {
				const { cycles, trims } = layOrder(each.runs, each.laps, each.musts)
				const of = (id: string) => each.runs.find((one) => one.id === id) as ToOrder
				const above = (under: string, over: string) =>
					of(under).laid < of(over).laid ||
					each.musts.some((must) => must.under === under && must.over === over) ||
					(of(under).laid === of(over).laid && of(under).until > of(over).until)
				for (const cycle of cycles) {
					cycle.forEach((id, i) => {
						expect(above(id, cycle[(i + 1) % cycle.length] as string)).toBe(true)
					})
					const [first, last] = [cycle[0] as string, cycle[cycle.length - 1] as string]
					expect(trims.map(pairOf)).toContain(pairOf({ run: first, over: last }))
				}
			}),
		)
	})

	test('three that each must lie on the next: the least lap is cut', () => {
		const order = layOrder(
			[run('a', 1), run('b', 2), run('c', 3)],
			[lap('a', 'b', 30), lap('b', 'c', 20), lap('a', 'c', 4)],
			[
				{ under: 'a', over: 'b' },
				{ under: 'b', over: 'c' },
				{ under: 'c', over: 'a' },
			],
		)
		expect(order.lay).toEqual(['a', 'b', 'c'])
		expect(order.cycles).toEqual([['a', 'b', 'c']])
		expect(order.trims).toEqual([{ run: 'c', over: 'a', at: { s: 0, g: 0 } }])
	})

	test('what is lifted first is laid on top, against its number', () => {
		const order = layOrder([run('short', 1, 1, 1), run('long', 2, 1, 3)], [lap('short', 'long')])
		expect(order.lay).toEqual(['long', 'short'])
		expect(order.lift).toEqual(['short', 'long'])
		expect(order.laps[0]).toMatchObject({ under: 'long', over: 'short' })
		expect(order.trims).toEqual([])
	})

	test('what stays longer but came later is trimmed over what is lifted first', () => {
		const order = layOrder([run('early', 1, 1, 2), run('late', 2, 2, 3)], [lap('early', 'late')])
		expect(order.trims).toEqual([{ run: 'late', over: 'early', at: { s: 0, g: 0 } }])
	})
})
