/** How much paint is needed: what stays on the panel, what is lost on the way, and what is mixed over it. */
import type { Seen } from '../stages/parts.ts'
import type { PaintSystem } from './system.ts'

/** One paint on one panel: what is open to the gun. */
export interface SprayedArea {
	readonly panel: string
	readonly hand: Seen['hand']
	/** of its session, which is the number of the stage too */
	readonly stage?: number
	readonly paint: string
	readonly areaMm2: number
	/** where they are not the paint's own */
	readonly coats?: number
	readonly filmUm?: number
}

export interface PanelQuantity extends SprayedArea {
	readonly coats: number
	readonly filmUm: number
	/** area that a litre covers at this film, nothing lost, m^2/L */
	readonly spreadM2PerL: number
	/** ready to spray, losses and allowance in it */
	readonly mlPerCoat: number
	readonly ml: number
}

export interface PaintQuantity {
	readonly paint: string
	/** of its session; undefined where all of a paint is added up */
	readonly stage?: number
	readonly areaMm2: number
	readonly ml: number
	/** the first coat, the second ...: over all panels that have so many, session after session */
	readonly mlPerCoat: readonly number[]
	/** cups for each coat, and for all where each coat starts with a full one */
	readonly cupsPerCoat: readonly number[]
	readonly cups: number
	readonly panels: readonly PanelQuantity[]
}

export interface Quantities {
	readonly stages: readonly PaintQuantity[]
	readonly paints: readonly PaintQuantity[]
	/** of paints that nothing is known of */
	readonly unknown: readonly SprayedArea[]
}

/** Area that a litre covers, m^2/L: 10 x volume solids in per cent / dry film in um (published in trade sheets of coatings). */
export const spreadM2PerL = (volumeSolids: number, filmUm: number): number => (10 * volumeSolids) / filmUm

/** Ready to spray for an area at a film, ml. */
export function needMl(areaMm2: number, filmUm: number, system: PaintSystem): number {
	const litres = areaMm2 / 1e6 / spreadM2PerL(system.volumeSolids.value, filmUm)
	return ((1000 * litres) / system.transfer.value) * (1 + system.allowance.value)
}

/** What every stage and every paint takes, over all panels; `cupMl` is what the gun's cup holds. */
export function quantitiesOf(
	sprayed: readonly SprayedArea[],
	systems: ReadonlyMap<string, PaintSystem>,
	cupMl: number,
): Quantities {
	const unknown = sprayed.filter(({ paint }) => !systems.has(paint))
	const known = sprayed.flatMap((each): PanelQuantity[] => {
		const system = systems.get(each.paint)
		if (!system) return []
		const coats = each.coats ?? system.coats.value
		const filmUm = each.filmUm ?? system.filmUm.value
		const mlPerCoat = needMl(each.areaMm2, filmUm, system)
		const spread = spreadM2PerL(system.volumeSolids.value, filmUm)
		return [{ ...each, coats, filmUm, spreadM2PerL: spread, mlPerCoat, ml: coats * mlPerCoat }]
	})
	const groups = (keyOf: (each: PanelQuantity) => string) => {
		const map = new Map<string, PanelQuantity[]>()
		for (const each of known) map.set(keyOf(each), [...(map.get(keyOf(each)) ?? []), each])
		return [...map.values()]
	}
	const stages = groups(({ stage, paint }) => `${stage ?? ''}/${paint}`)
		.map((panels) => together(panels, cupMl, true))
		.sort((a, b) => (a.stage ?? Number.POSITIVE_INFINITY) - (b.stage ?? Number.POSITIVE_INFINITY))
	const paints = groups(({ paint }) => paint).map((panels) => {
		const sessions = stages.filter(({ paint }) => paint === panels[0]?.paint)
		return {
			...together(panels, cupMl, false),
			mlPerCoat: sessions.flatMap(({ mlPerCoat }) => mlPerCoat),
			cupsPerCoat: sessions.flatMap(({ cupsPerCoat }) => cupsPerCoat),
			cups: sessions.reduce((sum, { cups }) => sum + cups, 0),
		}
	})
	return { stages, paints, unknown }
}

function together(panels: readonly PanelQuantity[], cupMl: number, ofStage: boolean): PaintQuantity {
	const first = panels[0] as PanelQuantity
	const most = Math.max(...panels.map(({ coats }) => coats))
	const mlPerCoat = Array.from({ length: most }, (_, coat) =>
		panels.reduce((sum, each) => sum + (coat < each.coats ? each.mlPerCoat : 0), 0),
	)
	const cupsPerCoat = mlPerCoat.map((ml) => cupsFor(ml, cupMl))
	return {
		paint: first.paint,
		...(ofStage && first.stage !== undefined ? { stage: first.stage } : {}),
		areaMm2: panels.reduce((sum, { areaMm2 }) => sum + areaMm2, 0),
		ml: panels.reduce((sum, { ml }) => sum + ml, 0),
		mlPerCoat,
		cupsPerCoat,
		cups: cupsPerCoat.reduce((sum, cups) => sum + cups, 0),
		panels,
	}
}

/** Cups that hold so much; a millionth over a full one is rounding. */
export const cupsFor = (ml: number, cupMl: number): number => Math.max(0, Math.ceil(ml / cupMl - 1e-6))
