import type { Chart } from '../chart/chart.ts'
import type { ChartPoint, ChartRegion } from '../chart/point.ts'
import type { Panel } from '../job/schema.ts'
import type { Patch } from '../scheme/patch.ts'
import type { Scheme } from '../scheme/scheme.ts'
import type { SeamCut } from '../scheme/seamCut.ts'
/** What every piece of a panel is told. */
import { keepOffOf } from './keepOff.ts'

export interface PiecesInput {
	readonly chart: Chart
	readonly panel: Panel
	/** JSON pointer to the panel */
	readonly path: string
	/** as far as the seams */
	readonly scheme: Scheme
	/** where the panel meets others */
	readonly seams: readonly SeamCut[]
	/** where paper does not lie */
	readonly patches?: readonly Patch[]
	/** id -> #rrggbb */
	readonly colours: ReadonlyMap<string, string>
	/** where strips are wanted */
	readonly stations: readonly number[]
	/** how well the line of each edge is known (1 sd), by edge id */
	readonly sdOf: (edge: string) => number | undefined
	readonly datums: readonly { readonly id: string; readonly at: ChartPoint }[]
	/** the panel's measured outline, where there is one */
	readonly outline?: ChartRegion
	readonly firstNumber: number
	readonly unit: 'mm' | 'in'
	readonly bodyMm: number
	readonly limitMm: number
	readonly toleranceMm: number
	/** for the old paint, before it is stripped: strips with blanks, and guides alone */
	readonly proof?: boolean
	/** short code of the job as it is, printed on each piece */
	readonly revision?: string
}

export const datumsOf = ({ datums }: PiecesInput) => datums.map((d) => ({ id: d.id, s: d.at.s, g: d.at.g }))

export type Common = ReturnType<typeof commonOf>

/** What every kind of piece is told. */
export const commonOf = ({ chart, panel, seams, patches, unit, toleranceMm, stations, revision }: PiecesInput) => ({
	keepOff: keepOffOf(chart, patches),
	chart,
	seams,
	panel: panel.id,
	panelTitle: panel.title ?? panel.id,
	unit,
	toleranceMm,
	stations,
	...(revision === undefined ? {} : { revision }),
})
