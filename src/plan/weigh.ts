/** Whole orders of paints, weighed over all panels. */
import type { Paint, Paintwork } from '../job/schema.ts'
import type { Shop } from '../job/shop.ts'
import { paintSystems } from '../paint/system.ts'
import type { Stage } from '../stages/parts.ts'
import { type Amounts, estimator, minutesOf, sumOf } from './estimate.ts'
import { type PanelGraph, paintsOn } from './graph.ts'
import { luminance } from './luminance.ts'
import type { Weighing } from './stageShare.ts'
import { underlapOf } from './underlap.ts'

type Mode = Stage['mode']

/** One order of all paints, weighed. */
export interface Weighed {
	readonly order: readonly string[]
	/** of each panel by its prefix, how its first paint is sprayed */
	readonly modes: ReadonlyMap<string, Mode>
	readonly amounts: Amounts
	/** what the amounts come to, minutes of work: for comparing orders, not for promising anything */
	readonly minutes: number
}

/** What orders are weighed by, from the job and the shop. */
export const weighing = (
	paints: readonly Paint[],
	paintwork: Paintwork | undefined,
	shop: Pick<Shop, 'taping' | 'spraying' | 'tapes'>,
): Weighing => ({
	paints: new Map(paints.map((paint) => [paint.id, paint])),
	luminance: new Map(paints.map(({ id, colour }) => [id, luminance(colour)])),
	systems: paintSystems(paints, shop.spraying, paintwork),
	tapes: shop.tapes,
	sameWidthMm: shop.taping.sameWidth,
	underlap: underlapOf(paintwork, shop),
})

/** Weighs whole orders; a panel's share hangs only on the order of its own paints, and is kept. */
export function weigher(
	graphs: readonly PanelGraph[],
	by: Weighing,
	first: Mode | undefined,
): (order: readonly string[]) => Weighed {
	const estimators = graphs.map((graph) => estimator(graph, by))
	const own = graphs.map((graph) => new Set(paintsOn([graph])))
	const known = new Map<string, { readonly mode: Mode; readonly amounts: Amounts }>()
	const shareOf = (i: number, order: readonly string[]) => {
		const here = order.filter((paint) => own[i]?.has(paint))
		const key = `${i} ${here.join()}`
		const before = known.get(key)
		if (before) return before
		const modes: readonly Mode[] = first ? [first] : ['all-over', 'local']
		const shares = modes.map((mode) => ({ mode, amounts: (estimators[i] as ReturnType<typeof estimator>)(here, mode) }))
		const share = shares.reduce((a, b) => (minutesOf(b.amounts) < minutesOf(a.amounts) - 1e-9 ? b : a))
		known.set(key, share)
		return share
	}
	return (order) => {
		const shares = graphs.map((_, i) => shareOf(i, order))
		const amounts = sumOf(shares.map((share) => share.amounts))
		const modes = new Map(shares.map(({ mode }, i) => [(graphs[i] as PanelGraph).prefix, mode]))
		return { order, modes, amounts, minutes: minutesOf(amounts) + BETWEEN_MIN * between(order, by.paints) }
	}
}

/**
 * A paint sprayed between a candy and its ground coat has the ground covered and uncovered once more, and keeps it open to dust:
 * minutes (common practice, no source).
 */
const BETWEEN_MIN = 60

/** How many paints come between one and the paint that it goes over. */
function between(order: readonly string[], paints: ReadonlyMap<string, Paint>): number {
	return order.reduce((sum, paint, i) => {
		const below = order.indexOf(paints.get(paint)?.sprayed?.over ?? '')
		return below < 0 || below > i ? sum : sum + i - below - 1
	}, 0)
}
