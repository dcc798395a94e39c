/** A panel reduced to its parts, how large they are, and along how much of a line each two meet: what an order is weighed on. */
import { area } from '../chart/area.ts'
import type { Seen } from '../stages/parts.ts'

export interface GraphPart {
	readonly id: string
	/** as people call it */
	readonly what: string
	/** its paints from below; none of what is left as it is */
	readonly coats: readonly string[]
	readonly areaMm2: number
	/** of a band: how wide it is, and whether throughout */
	readonly band?: { readonly widthMm: number; readonly even: boolean }
}

export interface GraphBorder {
	readonly id: string
	/** the line that it is a stretch of; of a band its name and near, far or end */
	readonly line: string
	/** the two parts, by their place in the list */
	readonly plus: number
	readonly minus: number
	readonly lengthMm: number
}

export interface PanelGraph {
	readonly panel: string
	readonly hand: Seen['hand']
	/** how its steps are called: tank, or side-cover/left */
	readonly prefix: string
	readonly parts: readonly GraphPart[]
	readonly borders: readonly GraphBorder[]
}

export function graphOf({ panel, hand, chart, parts, borders }: Seen): PanelGraph {
	return {
		panel,
		hand,
		prefix: prefixOf({ panel, hand }),
		parts: parts.map(({ id, what, coats, region, band }) => ({
			...{ id, what, coats, areaMm2: area(chart, region) },
			...(band ? { band: { widthMm: band.widthMm, even: band.even } } : {}),
		})),
		borders: borders.map(({ id, line, plus, minus, lengthMm }) => ({ id, line, plus, minus, lengthMm })),
	}
}

export const prefixOf = ({ panel, hand }: Pick<Seen, 'panel' | 'hand'>): string =>
	hand === 'centre' ? panel : `${panel}/${hand}`

/** The paints of these panels, in the order that the panels name them. */
export const paintsOn = (graphs: readonly PanelGraph[]): readonly string[] => [
	...new Set(graphs.flatMap(({ parts }) => parts.flatMap(({ coats }) => coats))),
]
