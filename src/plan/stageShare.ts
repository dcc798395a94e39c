/** What one stage of a panel takes by itself, in whatever order the paints before it came. */
import type { Paint } from '../job/schema.ts'
import type { Tape } from '../job/shop.ts'
import { needMl } from '../paint/quantity.ts'
import type { PaintSystem } from '../paint/system.ts'
import type { Stage, Standing } from '../stages/parts.ts'
import { reachedFrom, standings } from '../stages/stage.ts'
import type { GraphPart, PanelGraph } from './graph.ts'
import type { Underlap } from './underlap.ts'

export interface Weighing {
	readonly paints: ReadonlyMap<string, Paint>
	/** relative luminance of each paint's colour */
	readonly luminance: ReadonlyMap<string, number>
	readonly systems: ReadonlyMap<string, PaintSystem>
	readonly tapes: readonly Tape[]
	/** stock so near to a stripe's width makes it, mm */
	readonly sameWidthMm: number
	readonly underlap: Underlap
}

/** One paint on one panel. */
export interface StageShare {
	readonly standing: readonly Standing[]
	/** parts that the gun reaches, laps not counted */
	readonly open: ReadonlySet<number>
	readonly runs: readonly Run[]
	/** borders at which its film ends */
	readonly ridges: number
	readonly ml: number
}

/** Shares of a panel's stages; undefined of a paint that it has not. What has come before counts, and not in which order: kept. */
export function sharesOf(graph: PanelGraph, by: Weighing) {
	const known = new Map<string, StageShare | undefined>()
	return (order: readonly string[], paint: string, mode: Stage['mode']): StageShare | undefined => {
		const before = order.slice(0, order.indexOf(paint)).sort()
		const key = `${mode} ${paint} ${before.join()}`
		if (!known.has(key)) known.set(key, shareOf(graph, order, paint, mode, by))
		return known.get(key)
	}
}

function shareOf(
	graph: PanelGraph,
	order: readonly string[],
	paint: string,
	mode: Stage['mode'],
	by: Weighing,
): StageShare | undefined {
	const standing = standings(graph.parts, paint, order, by.paints)
	if (!standing.includes('painted')) return undefined
	const open = openOf(graph, standing, mode)
	return {
		...{ standing, open, runs: runsOf(graph, standing, mode, by), ridges: ridgesOf(graph, open) },
		ml: mlOf(graph, paint, standing, open, mode, by),
	}
}

/** What the gun reaches, laps not counted. */
const openOf = (graph: PanelGraph, standing: readonly Standing[], mode: Stage['mode']): ReadonlySet<number> =>
	mode === 'all-over' ? reachedFrom(graph, standing) : new Set(standing.flatMap((each, i) => (each === 'painted' ? [i] : [])))

export interface Run {
	readonly kind: 'edge' | 'stripe' | 'lap'
	/** the same tape over the same part has the same key in every stage */
	readonly key: string
	readonly lengthMm: number
}

/** Tape on a panel while it is sprayed, whether laid for it or left from the stage before. */
export function runsOf(graph: PanelGraph, standing: readonly Standing[], mode: Stage['mode'], by: Weighing): readonly Run[] {
	const open = openOf(graph, standing, mode)
	const edges = graph.borders.flatMap((border) => {
		const [plus, minus] = [open.has(border.plus), open.has(border.minus)]
		if (plus === minus) return []
		const covered = plus ? border.minus : border.plus
		return [{ border, covered, kind: standing[covered] === 'later' ? ('lap' as const) : ('edge' as const) }]
	})
	const stripes = graph.parts.flatMap((_, i) => {
		const own = edges.filter(({ covered, kind }) => covered === i && kind === 'edge')
		const lengthMm = stripeLength(
			graph,
			i,
			own.map(({ border }) => border.id),
			by,
		)
		return lengthMm === undefined ? [] : [{ kind: 'stripe' as const, key: `stripe ${i}`, lengthMm, part: i }]
	})
	const single = new Set(stripes.map(({ part }) => part))
	return [
		...stripes,
		...edges
			.filter(({ covered, kind }) => kind === 'lap' || !single.has(covered))
			.map(({ border, covered, kind }): Run => ({ kind, key: `${border.id} ${covered}`, lengthMm: border.lengthMm })),
	]
}

/** Of both edges of a band so much must be taped for one tape to make it. */
const BOTH_SHARE = 0.8

/** How long the one tape is that covers a band whole; undefined where no stock is so wide or not both edges are taped. */
function stripeLength(graph: PanelGraph, index: number, taped: readonly string[], by: Weighing): number | undefined {
	const part = graph.parts[index] as GraphPart
	if (!part.band?.even || taped.length === 0 || stripeTape(part, by) === undefined) return undefined
	const lengths = (['near', 'far'] as const).map((which) => {
		const all = graph.borders.filter(
			({ line, plus, minus }) => line === `${part.id}/${which}` && (plus === index || minus === index),
		)
		const sum = (list: typeof all) => list.reduce((mm, { lengthMm }) => mm + lengthMm, 0)
		return { all: sum(all), taped: sum(all.filter(({ id }) => taped.includes(id))) }
	})
	if (lengths.some(({ all, taped }) => all === 0 || taped < BOTH_SHARE * all)) return undefined
	return lengths[0]?.taped
}

/** The stock that makes a stripe by its own width. */
export const stripeTape = ({ band }: GraphPart, { tapes, sameWidthMm }: Weighing): Tape | undefined =>
	band?.even ? tapes.find(({ width }) => Math.abs(width - band.widthMm) <= sameWidthMm + 1e-9) : undefined

/** Borders at which this film ends. */
const ridgesOf = ({ borders }: PanelGraph, open: ReadonlySet<number>): number =>
	borders.filter(({ plus, minus }) => open.has(plus) !== open.has(minus)).length

function mlOf(
	graph: PanelGraph,
	paint: string,
	standing: readonly Standing[],
	open: ReadonlySet<number>,
	mode: Stage['mode'],
	by: Weighing,
): number {
	const system = by.systems.get(paint)
	if (!system) return 0
	const parts = [...open].reduce((sum, i) => sum + (graph.parts[i] as GraphPart).areaMm2, 0)
	const laps =
		mode === 'all-over'
			? 0
			: graph.borders.reduce((sum, { plus, minus, lengthMm }) => {
					const later = standing[plus] === 'later' ? plus : standing[minus] === 'later' ? minus : undefined
					if (later === undefined || open.has(plus) === open.has(minus)) return sum
					// What has not begun begins with its lowest paint.
					return sum + lengthMm * by.underlap(paint, graph.parts[later]?.coats[0] ?? paint)
				}, 0)
	return needMl(parts + laps, system.totalUm, system)
}
