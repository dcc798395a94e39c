/** Orders of paints that are weighed. */
import type { Before } from './before.ts'

/** Of so many paints every order is weighed: 720 at most. */
const ALL_OF = 6

/** Every order that keeps what must be before what, in the order of their names. */
function allOrders(paints: readonly string[], before: Before['before']): readonly (readonly string[])[] {
	if (paints.length === 0) return [[]]
	return paints
		.filter((first) => !paints.some((other) => before(other, first)))
		.flatMap((first) =>
			allOrders(
				paints.filter((paint) => paint !== first),
				before,
			).map((rest) => [first, ...rest]),
		)
}

/** Lightest first, as far as what must be before what lets it. */
function lightFirst(
	paints: readonly string[],
	before: Before['before'],
	lightness: (paint: string) => number,
): readonly string[] {
	const left = [...paints].sort((a, b) => lightness(b) - lightness(a) || (a < b ? -1 : 1))
	const out: string[] = []
	while (left.length > 0) {
		const next = left.findIndex((first) => !left.some((other) => before(other, first)))
		out.push(...left.splice(Math.max(0, next), 1))
	}
	return out
}

/** One paint moved to another place. */
function moved(order: readonly string[], before: Before['before']): readonly (readonly string[])[] {
	const keeps = (list: readonly string[]) => list.every((a, i) => list.slice(i + 1).every((b) => !before(b, a)))
	return order
		.flatMap((paint, from) => {
			const rest = order.filter((each) => each !== paint)
			return order.flatMap((_, to) => (to === from ? [] : [[...rest.slice(0, to), paint, ...rest.slice(to)]]))
		})
		.filter(keeps)
}

export interface Searched {
	/** cheapest first; of those that cost the same, in the order of their names */
	readonly orders: readonly (readonly string[])[]
	/** whether every order was weighed */
	readonly all: boolean
}

/**
 * All orders of up to six paints; of more, light before dark, and from there one paint moved at a time as long as that costs less.
 */
export function searchOrders(
	paints: readonly string[],
	before: Before['before'],
	minutes: (order: readonly string[]) => number,
	lightness: (paint: string) => number,
): Searched {
	const names = [...paints].sort()
	if (names.length <= ALL_OF) return { orders: cheapestFirst(allOrders(names, before), minutes), all: true }
	const weighed = new Map<string, readonly string[]>()
	let best = lightFirst(names, before, lightness)
	// Each turn costs less than the one before; a turn moves one paint, and more turns than places to move to are not worth it.
	for (let turn = 0; turn < names.length ** 2; turn++) {
		const near = cheapestFirst([best, ...moved(best, before)], minutes)
		for (const order of near) weighed.set(order.join(), order)
		const first = near[0] as readonly string[]
		if (cents(minutes(first)) >= cents(minutes(best))) break
		best = first
	}
	return { orders: cheapestFirst([...weighed.values()], minutes), all: false }
}

/** Hundredths of a minute: sums in another order are not another cost. */
const cents = (minutes: number) => Math.round(100 * minutes)

function cheapestFirst(
	orders: readonly (readonly string[])[],
	minutes: (order: readonly string[]) => number,
): readonly (readonly string[])[] {
	return orders
		.map((order) => ({ order, cost: cents(minutes(order)), name: order.join() }))
		.sort((a, b) => a.cost - b.cost || (a.name < b.name ? -1 : a.name > b.name ? 1 : 0))
		.map(({ order }) => order)
}
