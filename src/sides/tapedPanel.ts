import type { ChartPoint } from '../chart/point.ts'
import type { Side } from '../scheme/side.ts'
import type { Kink } from './eye.ts'

/** Good enough; to be laid again; or beyond what is allowed by less than the readings can tell: look along it, or measure better. */
export type Verdict = 'go' | 'look' | 're-lay'

/** One place of a taped edge against the plan. */
export interface CheckedPlace {
	/** place in the panel's list of checks */
	readonly index: number
	readonly station: number
	/** girth as measured and as planned, both as on the tape measure */
	readonly girth: number
	readonly planned: number
	/** square off the planned edge: positive outboard, on a panel of one side up, mm */
	readonly acrossMm: number
	/** one standard deviation of it, mm */
	readonly sdMm: number
	/** where the plan has it */
	readonly at: ChartPoint
	readonly verdict: Verdict
}

/** One taped edge on one side. */
export interface TapedLine {
	readonly short: string
	readonly name: string
	readonly side: Side
	/** front to rear */
	readonly places: readonly CheckedPlace[]
	readonly worstMm: number
	/** how far it runs outboard (up) of the plan from its first place to its last, by all of them: where there are three */
	readonly runs?: { readonly mm: number; readonly sdMm: number; readonly verdict: Verdict }
	readonly kinks: readonly Kink[]
	readonly verdict: Verdict
	/** from the first place to the last: the plan, and as taped with deviations drawn `exaggeration` times as large */
	readonly plan: readonly ChartPoint[]
	readonly taped: readonly ChartPoint[]
}

/** One line at one station, left against right. */
export interface TapedSides {
	readonly short: string
	readonly name: string
	readonly station: number
	/** right less left of what each is off by, mm */
	readonly differMm: number
	readonly sdMm: number
	/** both can be seen at once, so that less is let pass */
	readonly seen: boolean
	readonly limitMm: number
	readonly verdict: Verdict
}

/** Between neighbouring edges at one station. */
export interface TapedWidth {
	/** the one nearer the baseline first */
	readonly lines: readonly [string, string]
	readonly side: Side
	readonly station: number
	readonly plannedMm: number
	readonly tapedMm: number
	readonly sdMm: number
	readonly limitMm: number
	readonly verdict: Verdict
}

/** A panel as taped. */
export interface PanelTaped {
	readonly lines: readonly TapedLine[]
	readonly sides: readonly TapedSides[]
	readonly widths: readonly TapedWidth[]
	readonly exaggeration: number
	readonly verdict: Verdict
}
