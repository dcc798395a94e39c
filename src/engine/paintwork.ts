/** The paintwork of the whole vehicle: in which order its paints go on, what is taped for each, and what that makes. */
import type { Paint } from '../job/schema.ts'
import type { Shop } from '../job/shop.ts'
import type { Seen, Stage } from '../stages/parts.ts'
import { stageOf } from '../stages/stage.ts'
import { tapePanel } from '../tape/panelTape.ts'
import type { StageTape } from '../tape/run.ts'

/** One panel, seen from one hand, through all of its stages. */
export interface PanelPaintwork {
	readonly id: string
	readonly hand: Seen['hand']
	/** how its steps and runs are called: tank, or side-cover/left */
	readonly prefix: string
	readonly seen: Seen
	readonly stages: readonly Stage[]
	/** the masking of each of them */
	readonly tape: readonly StageTape[]
}

/** One panel's stages and their tape, for an order of all paints. */
export function panelPaintwork(
	seen: Seen,
	shop: Shop,
	paints: ReadonlyMap<string, Paint>,
	order: readonly string[],
	modeOf: (paint: string) => Stage['mode'],
	underlap: (under: string, over: string) => number,
): PanelPaintwork {
	const prefix = seen.hand === 'centre' || seen.hand === undefined ? seen.panel : `${seen.panel}/${seen.hand}`
	const stages = order.flatMap((paint) => stageOf({ seen, paints, order, paint, mode: modeOf(paint), underlap }) ?? [])
	return { id: seen.panel, hand: seen.hand, prefix, seen, stages, tape: tapePanel(seen, stages, shop, prefix) }
}
