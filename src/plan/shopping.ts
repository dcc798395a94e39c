/** What is bought for the whole vehicle: tape by its stock, paper, film for knife masks, paint. */
import { area } from '../chart/area.ts'
import type { Chart } from '../chart/chart.ts'
import type { Shop, Tape } from '../job/shop.ts'
import type { Quantities } from '../paint/quantity.ts'
import type { PanelTape } from './steps.ts'

export interface TapeToBuy {
	readonly tape: Tape
	/** laid along lines and over runs, overruns and laps of joints in it */
	readonly laidMm: number
	/** of it, tape over other runs that paper is fixed to */
	readonly backingMm: number
	/** runs, and lengths over other runs */
	readonly lengths: number
	/** places where a roll ends within a run */
	readonly joints: number
	/** with the share that is wasted */
	readonly buyMm: number
	/** undefined where the length on a roll is not known */
	readonly rolls?: number
}

export interface Shopping {
	/** in the order of the shop's stock */
	readonly tapes: readonly TapeToBuy[]
	/** over what tape does not cover, each stage anew, with the share that is wasted */
	readonly paperMm2: number
	/** cut into masks on the bench, with the share that is wasted */
	readonly filmMm2: number
	readonly masks: number
	/** ready to spray */
	readonly paints: readonly { readonly paint: string; readonly ml: number; readonly cups: number }[]
}

export interface ShoppingInput {
	readonly panels: readonly (PanelTape & { readonly seen: { readonly chart: Chart } })[]
	readonly shop: Pick<Shop, 'tapes' | 'taping'>
	readonly quantities: Quantities
}

interface Length {
	readonly tape: Tape
	readonly mm: number
	readonly joints: number
	readonly backing: boolean
}

export function shoppingOf({ panels, shop, quantities }: ShoppingInput): Shopping {
	const over = 1 + shop.taping.waste
	const lengths = panels.flatMap(({ tape }) => lengthsOf(tape, shop.taping.joint))
	const stock = [...new Map([...shop.tapes, ...lengths.map(({ tape }) => tape)].map((tape) => [tape.id, tape])).values()]
	const masks = panels.flatMap(({ tape, seen }) =>
		tape.flatMap(({ stage, knives }) =>
			knives.filter(({ laid }) => laid === stage).map(({ outline }) => area(seen.chart, outline)),
		),
	)
	const sum = (list: readonly number[]) => list.reduce((a, b) => a + b, 0)
	return {
		tapes: stock.flatMap((tape) => {
			const own = lengths.filter((each) => each.tape.id === tape.id)
			return own.length > 0 ? [bought(tape, own, over)] : []
		}),
		paperMm2: over * sum(panels.flatMap(({ tape }) => tape.map(({ paper }) => paper.areaMm2))),
		filmMm2: over * sum(masks),
		masks: masks.length,
		paints: quantities.paints.map(({ paint, ml, cups }) => ({ paint, ml, cups })),
	}
}

/** Each run where it is laid, however long it stays; what lies over runs is laid anew for each stage, as paper is. */
const lengthsOf = (stages: PanelTape['tape'], jointMm: number): readonly Length[] =>
	stages.flatMap(({ stage, runs, backing }) => [
		...runs
			.filter(({ laid }) => laid === stage)
			.map(({ tape, lengthMm, joints }): Length => ({ tape, mm: lengthMm + joints * jointMm, joints, backing: false })),
		...backing.map(({ tape, lengthMm }): Length => ({ tape, mm: lengthMm, joints: 0, backing: true })),
	])

function bought(tape: Tape, lengths: readonly Length[], over: number): TapeToBuy {
	const mmOf = (list: readonly Length[]) => list.reduce((sum, { mm }) => sum + mm, 0)
	const laidMm = mmOf(lengths)
	const buyMm = over * laidMm
	return {
		...{ tape, laidMm, backingMm: mmOf(lengths.filter(({ backing }) => backing)), lengths: lengths.length },
		...{ joints: lengths.reduce((sum, { joints }) => sum + joints, 0), buyMm },
		...(tape.rollLength === undefined ? {} : { rolls: Math.ceil(buyMm / tape.rollLength - 1e-9) }),
	}
}
