/**
 * What an order of paints costs on one panel, from its parts and borders alone: overruns of runs, and what is too narrow to be
 * masked by itself and is painted over, are not known here.
 */
import type { Stage, Standing } from '../stages/parts.ts'
import type { PanelGraph } from './graph.ts'
import { sharesOf, type Weighing } from './stageShare.ts'

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

/** A panel's stages in an order, its first paint over all or only where it shows. */
export const estimate = (graph: PanelGraph, order: readonly string[], first: Stage['mode'], by: Weighing): Amounts =>
	estimator(graph, by)(order, first)

/** The same for many orders of one panel. */
export function estimator(graph: PanelGraph, by: Weighing): (order: readonly string[], first: Stage['mode']) => Amounts {
	const shareOf = sharesOf(graph, by)
	return (order, first) => {
		const amounts: Amounts[] = []
		let before: ReadonlySet<string> = new Set()
		/** of each part, the last paint that came on it */
		const tops = graph.parts.map((): string | undefined => undefined)
		for (const paint of order) {
			const share = shareOf(order, paint, amounts.length === 0 ? first : 'local')
			if (!share) continue
			const { standing, open, runs, ridges, ml } = share
			const laid = runs.filter(({ key }) => !before.has(key))
			amounts.push({
				tapeMm: laid.reduce((sum, { lengthMm }) => sum + lengthMm, 0),
				maskings: runs.length > 0 ? 1 : 0,
				stripes: laid.filter(({ kind }) => kind === 'stripe').length,
				freshMm2: graph.parts.reduce((sum, { areaMm2 }, i) => sum + (open.has(i) || !tops[i] ? 0 : areaMm2), 0),
				...{ ridges, ml },
				...lightOn(graph, paint, standing, tops, by),
			})
			for (const i of open) tops[i] = paint
			before = new Set(runs.filter(({ kind }) => kind !== 'lap').map(({ key }) => key))
		}
		return sumOf(amounts)
	}
}

/** How much lighter a paint is than another; 0 where it is not. */
function lighterBy(paint: string, than: string | undefined, by: Weighing): number {
	if (than === undefined) return 0
	const [a, b] = [by.luminance.get(paint), by.luminance.get(than)]
	return a === undefined || b === undefined ? 0 : Math.max(0, a - b)
}

/** A light paint over or beside darker films that are on. What is seen through is meant to be. */
function lightOn(
	{ parts, borders }: PanelGraph,
	paint: string,
	standing: readonly Standing[],
	tops: readonly (string | undefined)[],
	by: Weighing,
): Pick<Amounts, 'lightByDarkMm' | 'lightOverDarkMm2'> {
	const painted = (i: number) => standing[i] === 'painted'
	return {
		lightByDarkMm: borders.reduce((sum, { plus, minus, lengthMm }) => {
			if (painted(plus) === painted(minus)) return sum
			return sum + lengthMm * lighterBy(paint, tops[painted(plus) ? minus : plus], by)
		}, 0),
		lightOverDarkMm2: parts.reduce((sum, { coats, areaMm2 }, i) => {
			const top = tops[i]
			return painted(i) && top !== undefined && !coats.includes(top) ? sum + areaMm2 * lighterBy(paint, top, by) : sum
		}, 0),
	}
}
