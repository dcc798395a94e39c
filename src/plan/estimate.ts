/** What an order of paints costs on one panel, from its parts and borders alone. */
import type { Paint } from '../job/schema.ts'
import type { Tape } from '../job/shop.ts'
import { needMl } from '../paint/quantity.ts'
import type { PaintSystem } from '../paint/system.ts'
import type { Stage, Standing } from '../stages/parts.ts'
import { reachedFrom, standings } from '../stages/stage.ts'
import type { GraphPart, PanelGraph } from './graph.ts'
import { luminance } from './luminance.ts'
import type { Underlap } from './underlap.ts'

/** What is added up over all stages of a panel, or of all panels. */
export interface Amounts {
	/** fine tape laid; what stays from the stage before is not laid again */
	readonly tapeMm: number
	/** stages of panels with any tape on them */
	readonly maskings: number
	/** stripes laid as one run of tape of their own width, in place of one along each edge */
	readonly stripes: number
	/** paint that is on already and is covered for another, each time it is */
	readonly freshMm2: number
	/** edges of films: each is a ridge to flat */
	readonly ridges: number
	/** ready to spray */
	readonly ml: number
	/** edges where a lighter paint meets a darker one that is on already, times the difference of their luminances */
	readonly lightByDarkMm: number
	/** a lighter paint over a darker one, times the same */
	readonly lightOverDarkMm2: number
}

export interface Weighing {
	readonly paints: ReadonlyMap<string, Paint>
	readonly systems: ReadonlyMap<string, PaintSystem>
	readonly tapes: readonly Tape[]
	/** stock so near to a stripe's width makes it, mm */
	readonly sameWidthMm: number
	readonly underlap: Underlap
}

/**
 * Minutes of work (all common practice, no source): fine tape laid, backed, burnished and lifted again by the metre; a panel
 * wiped, papered and cleared of paper again; paper over paint that is on, marks of it taken out again; a film's edge flatted;
 * paint mixed, sprayed and paid for; a light paint beside a dark one kept clean of it; one more coat of it over a dark one.
 */
export const MINUTES = {
	tapeM: 3,
	masking: 15,
	freshM2: 20,
	ridge: 0.5,
	litre: 50,
	lightByDarkM: 1,
	lightOverDarkM2: 60,
} as const

export const NOTHING: Amounts = {
	tapeMm: 0,
	maskings: 0,
	stripes: 0,
	freshMm2: 0,
	ridges: 0,
	ml: 0,
	lightByDarkMm: 0,
	lightOverDarkMm2: 0,
}

export const minutesOf = (a: Amounts): number =>
	(MINUTES.tapeM * a.tapeMm) / 1e3 +
	MINUTES.masking * a.maskings +
	(MINUTES.freshM2 * a.freshMm2) / 1e6 +
	MINUTES.ridge * a.ridges +
	(MINUTES.litre * a.ml) / 1e3 +
	(MINUTES.lightByDarkM * a.lightByDarkMm) / 1e3 +
	(MINUTES.lightOverDarkM2 * a.lightOverDarkMm2) / 1e6

export function sumOf(list: readonly Amounts[]): Amounts {
	const keys = Object.keys(NOTHING) as (keyof Amounts)[]
	const sum: Record<keyof Amounts, number> = { ...NOTHING }
	for (const each of list) for (const key of keys) sum[key] += each[key]
	return sum
}

/** A panel's stages in this order, its first paint over all or only where it shows. */
export function estimate(graph: PanelGraph, order: readonly string[], first: Stage['mode'], by: Weighing): Amounts {
	const amounts: Amounts[] = []
	let before: ReadonlySet<string> = new Set()
	/** of each part, the paints that have come on it */
	const films = graph.parts.map((): string[] => [])
	for (const paint of order) {
		const standing = standings(graph.parts, paint, order, by.paints)
		if (!standing.includes('painted')) continue
		const mode = amounts.length === 0 ? first : 'local'
		const runs = runsOf(graph, standing, mode, by)
		const open = openOf(graph, standing, mode)
		const laid = runs.filter(({ key }) => !before.has(key))
		amounts.push({
			tapeMm: laid.reduce((sum, { lengthMm }) => sum + lengthMm, 0),
			maskings: runs.length > 0 ? 1 : 0,
			stripes: laid.filter(({ kind }) => kind === 'stripe').length,
			freshMm2: graph.parts.reduce((sum, { areaMm2 }, i) => sum + (open.has(i) || films[i]?.length === 0 ? 0 : areaMm2), 0),
			ridges: ridgesOf(graph, open),
			ml: mlOf(graph, paint, standing, open, mode, order, by),
			...lightOn(graph, paint, standing, films, by),
		})
		for (const i of open) films[i]?.push(paint)
		before = new Set(runs.filter(({ kind }) => kind !== 'lap').map(({ key }) => key))
	}
	return sumOf(amounts)
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
export function runsOf(
	graph: PanelGraph,
	standing: readonly Standing[],
	mode: Stage['mode'],
	by: Weighing,
): readonly Run[] {
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
	order: readonly string[],
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
					const after = order.slice(order.indexOf(paint) + 1)
					const next = after.find((each) => graph.parts[later]?.coats.includes(each))
					return sum + lengthMm * by.underlap(paint, next ?? paint)
				}, 0)
	return needMl(parts + laps, system.totalUm, system)
}

/** How much lighter a paint is than another; 0 where it is not. */
function lighterBy(paint: string, than: string | undefined, { paints }: Weighing): number {
	const [a, b] = [paints.get(paint), than === undefined ? undefined : paints.get(than)]
	return a && b ? Math.max(0, luminance(a.colour) - luminance(b.colour)) : 0
}

/** A light paint over or beside darker films that are on. What is seen through is meant to be. */
function lightOn(
	{ parts, borders }: PanelGraph,
	paint: string,
	standing: readonly Standing[],
	films: readonly (readonly string[])[],
	by: Weighing,
): Pick<Amounts, 'lightByDarkMm' | 'lightOverDarkMm2'> {
	const painted = (i: number) => standing[i] === 'painted'
	const topOf = (i: number) => films[i]?.at(-1)
	return {
		lightByDarkMm: borders.reduce((sum, { plus, minus, lengthMm }) => {
			if (painted(plus) === painted(minus)) return sum
			return sum + lengthMm * lighterBy(paint, topOf(painted(plus) ? minus : plus), by)
		}, 0),
		lightOverDarkMm2: parts.reduce((sum, { coats, areaMm2 }, i) => {
			const top = topOf(i)
			return painted(i) && top !== undefined && !coats.includes(top) ? sum + areaMm2 * lighterBy(paint, top, by) : sum
		}, 0),
	}
}
