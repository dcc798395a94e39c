import type { Chart } from '../chart/chart.ts'
import type { ChartRegion, Curve } from '../chart/point.ts'
import type { Panel } from '../job/schema.ts'
import type { Region } from '../plane/point.ts'
import type { BandShape } from './band.ts'
import type { PanelArea } from './outline.ts'
import type { Side } from './side.ts'

/** A line of the scheme as it lies on one side. */
export interface SidedEdge {
	readonly edge: string
	readonly side: Side
	readonly curve: Curve
	/** how far the line was led on past its first and its last mark, mm */
	readonly led: { readonly front: number; readonly rear: number }
}

export interface Band extends BandShape {
	/** stripe/side/number */
	readonly id: string
	readonly stripe: string
	readonly side: Side
	readonly paint: string
	/** +1 where far lies on the line's plus side */
	readonly sign: 1 | -1
}

export interface PlacedField {
	readonly id: string
	readonly field: string
	readonly side: Side
	readonly paint: string
	readonly region: ChartRegion
	/** its boundary lines, for guides */
	readonly boundaries: readonly { readonly edge: string; readonly side: Side; readonly curve: Curve; readonly sign: 1 | -1 }[]
}

/** What is to be seen on one panel, seen from one hand. */
export interface Scheme {
	readonly bands: readonly Band[]
	readonly fields: readonly PlacedField[]
}

export interface SchemeInput {
	readonly chart: Chart
	readonly panel: Panel
	/** JSON pointer to the panel */
	readonly path: string
	readonly edges: readonly SidedEdge[]
	readonly area: PanelArea | undefined
	/** what lies beyond the panel's seams, in the (s, g) plane: a line may go on there */
	readonly beyond?: Region
	/** only these sides: one of a pair's, or all of a centreline panel's */
	readonly sides: readonly Side[]
	readonly gapMm: number
	readonly toleranceMm: number
}
