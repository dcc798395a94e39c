/** In which order the paints of the whole vehicle are sprayed, and what other orders would cost. */
import type { Problem } from '../job/problem.ts'
import type { Paint, Paintwork } from '../job/schema.ts'
import type { Shop } from '../job/shop.ts'
import type { Seen } from '../stages/parts.ts'
import type { Unit } from '../units/length.ts'
import { beforeOf } from './before.ts'
import { searchOrders } from './candidates.ts'
import { graphOf, type PanelGraph, paintsOn } from './graph.ts'
import { whyChosen, whyNot } from './orderWords.ts'
import { type Weighed, weigher, weighing } from './weigh.ts'

export interface Explained extends Weighed {
	/** one sentence */
	readonly why: string
}

export interface PaintOrder {
	/** the paints of the panels in the order they are sprayed */
	readonly chosen: Explained
	/** the cheapest if no order were given; the one chosen where none is */
	readonly best: Weighed
	/** whether part of the order was given */
	readonly asked: boolean
	/** up to four, cheapest first */
	readonly alternatives: readonly Explained[]
	/** false where there are too many paints to weigh every order */
	readonly all: boolean
	readonly problems: readonly Problem[]
}

export interface OrderInput {
	readonly graphs: readonly PanelGraph[]
	readonly paints: readonly Paint[]
	readonly paintwork?: Paintwork | undefined
	readonly shop: Pick<Shop, 'taping' | 'spraying' | 'tapes'>
	/** in which the sentences speak; millimetres where not said */
	readonly unit?: Unit
}

const ALTERNATIVES = 4
/** Less is not worth a word, minutes. */
const WORTH_MIN = 1

export const orderOf = (seen: readonly Seen[], rest: Omit<OrderInput, 'graphs'>): PaintOrder =>
	choosePaintOrder({ graphs: seen.map(graphOf), ...rest })

export function choosePaintOrder({ graphs, paints, paintwork, shop, unit = 'mm' }: OrderInput): PaintOrder {
	const by = weighing(paints, paintwork, shop)
	const used = paintsOn(graphs)
	const weigh = weigher(graphs, by, paintwork?.first)
	const lightness = (id: string) => by.luminance.get(id) ?? 0
	const minutes = (order: readonly string[]) => weigh(order).minutes
	const free = beforeOf(paints, paintwork, false)
	const bound = beforeOf(paints, paintwork)
	const asked = (paintwork?.order ?? []).some((paint) => used.includes(paint))
	const search = searchOrders(used, bound.before, minutes, lightness)
	const cheapest = asked ? searchOrders(used, free.before, minutes, lightness).orders : search.orders
	const [chosen, best] = [weigh(search.orders[0] ?? []), weigh(cheapest[0] ?? [])]
	const others = cheapest.map(weigh).filter((each) => each.order.join() !== chosen.order.join())
	const words = { graphs, by, chosen, all: search.all, asked, unit }
	return {
		chosen: { ...chosen, why: whyChosen(words, others) },
		best,
		asked,
		alternatives: others.slice(0, ALTERNATIVES).map((each) => ({ ...each, why: whyNot(words, each) })),
		all: search.all,
		problems: [...bound.problems, ...(asked ? dearOrder(words, best) : [])],
	}
}

/** An order that was asked for is kept, and said what it costs. */
function dearOrder(words: Parameters<typeof whyNot>[0], best: Weighed): readonly Problem[] {
	const { chosen } = words
	if (chosen.minutes - best.minutes < WORTH_MIN) return []
	return [
		{
			...{ code: 'PAINT_ORDER_COSTS', severity: 'note', path: '/paintwork/order' },
			found: whyNot({ ...words, chosen: best }, chosen),
			expected: 'the order that costs least, unless there is a reason for another',
			fix: `Keep it, or spray in this order: ${best.order.join(', ')}.`,
		},
	]
}
