/** What a panel shows, place by place, and the paints that make it so: the words of everything that stands on the stages. */
import type { Chart } from '../chart/chart.ts'
import type { ChartRegion, Curve } from '../chart/point.ts'
import type { Side } from '../scheme/side.ts'

/** A part of the panel that shows one paint and lies below nothing else of the scheme. */
export interface Part {
	/** of the band or the field that it is seen of; `rest` for what the scheme leaves as it is */
	readonly id: string
	/** as people call it */
	readonly what: string
	readonly side: Side
	/** the paints that make what is seen, from below; none of what is left as it is */
	readonly coats: readonly string[]
	/** as it is seen: no two parts share a place */
	readonly region: ChartRegion
	/** of a band: its two long edges, the line that it is laid off, and whether its width is one throughout */
	readonly band?: {
		readonly near: readonly Curve[]
		readonly far: readonly Curve[]
		readonly widthMm: number
		readonly even: boolean
	}
}

/** One panel as it is to be seen, from one hand. */
export interface Seen {
	readonly panel: string
	readonly hand: 'centre' | 'left' | 'right'
	readonly chart: Chart
	/** all that can be painted: as far as rim, seams and patches that are not painted */
	readonly area: ChartRegion
	readonly parts: readonly Part[]
	/** every stretch of a line with two parts of different paint beside it */
	readonly borders: readonly Border[]
}

/** A stretch of a line between two parts, by their place in the list of parts. */
export interface Border {
	/** the line and a number of its own */
	readonly id: string
	/** the line that it is a stretch of, as the scheme calls it */
	readonly line: string
	readonly curve: Curve
	/** on the curve's plus side, and on the other */
	readonly plus: number
	readonly minus: number
	readonly lengthMm: number
}

/** What a part is to one stage. */
export type Standing =
	/** shows its final paint already, or must not be touched */
	| 'closed'
	/** gets this stage's paint for good */
	| 'painted'
	/** comes later with a paint that hides: what falls on it now does no harm */
	| 'later'

/** One paint on one panel, from masking to lifting. */
export interface Stage {
	/** counted over the whole vehicle: the same number is the same session */
	readonly number: number
	readonly paint: string
	readonly mode: 'all-over' | 'local'
	/** of each part of the panel, in the order of its parts */
	readonly standing: readonly Standing[]
	/** what is to be open to the gun */
	readonly open: ChartRegion
	/** what is to be covered: everything else of the panel */
	readonly covered: ChartRegion
	/** the lines to tape along, each with what is covered on its plus side */
	readonly edges: readonly StageEdge[]
}

export interface StageEdge {
	/** stretches of lines end to end; the covered side is the plus side */
	readonly curve: Curve
	/** `line`: a painted edge that will be seen; `lap`: one that the neighbour will hide */
	readonly kind: 'line' | 'lap'
	/** of a lap, how far off the line the covered side begins */
	readonly offMm: number
	/** the borders that it is made of, in order */
	readonly borders: readonly string[]
	/** the lines that it follows, as the scheme calls them */
	readonly lines: readonly string[]
	/** the parts that are covered along it */
	readonly coveredParts: readonly number[]
}
