import type { Chart } from '../chart/chart.ts'
import type { ChartPoint } from '../chart/point.ts'
import type { Edge, Panel } from '../job/schema.ts'
import type { Survey } from '../survey/survey.ts'
import type { Deviation } from './judge.ts'
import type { MiddleTrouble } from './middle.ts'
import type { Swapped } from './swapped.ts'

/** A mark on both sides, compared once what is common to all of them is taken out. */
export interface ComparedPair {
	readonly id: string
	/** edges that go through it, by id */
	readonly lines: readonly string[]
	readonly left: ChartPoint
	readonly right: ChartPoint
	/** right less left of the girths: positive where the right lies farther out (of twins: higher), mm */
	readonly across: Deviation
	/** right less left along the panel: positive where the right lies farther rearward; none where the reading says nothing of it */
	readonly along?: Deviation
	/** it does not fit the others: what is common was found without it */
	readonly setAside: boolean
}

/** The centreline as taped against the middle of what was measured. */
export interface CentrelineOff {
	/** where it is known best, and how far right of the tape the middle lies there, mm */
	readonly station: number
	readonly shiftMm: number
	readonly shiftSdMm: number
	/** to the right going rearward */
	readonly angleDeg: number
	readonly angleSdDeg: number
	/** how far the tape has to move at the ends of the baseline, positive to the right, mm */
	readonly front: TapeMove
	readonly rear: TapeMove
	/** more than the readings leave by chance (999 times in 1000) */
	readonly proven: boolean
	/** the middle, from front to rear */
	readonly line: readonly ChartPoint[]
}

export interface TapeMove {
	readonly station: number
	readonly mm: number
	readonly sdMm: number
}

/** How the datums of the right one of a pair lie to those of the left one; taken out before the two are compared. */
export interface TwinFrame {
	/** measured on each of the two by itself; with one of them nothing but a shift is taken out */
	readonly datums: readonly string[]
	readonly station: number
	readonly alongMm: number
	readonly acrossMm: number
	/** from the direction of growing station towards that of growing girth */
	readonly turnDeg: number
	/** what the datums miss each other by after that, root mean square, mm */
	readonly missMm: number
}

/** All pairs of one line together. */
export interface LineUnlike {
	readonly edge: string
	readonly pairs: number
	/** right less left of the girths in the mean, mm */
	readonly across: Deviation
}

/** Left against right of one panel, or of the two of a pair. */
export interface PanelSides {
	readonly kind: 'centreline' | 'twins'
	readonly pairs: readonly ComparedPair[]
	/** keys of marks of mirrored lines that were measured on one side only */
	readonly alone: readonly string[]
	readonly centreline?: CentrelineOff
	/** of a pair: how the datums of the right one lie to those of the left one */
	readonly frame?: TwinFrame
	/** why the direction of the middle is not known; where one place of it is, how far right of the tape it lies there */
	readonly open?: MiddleTrouble
	/** the pairs fit one middle, but for those set aside: else one of them is wrong and it is not known which */
	readonly settled: boolean
	readonly lines: readonly LineUnlike[]
	readonly swapped: readonly Swapped[]
	/** which side each mirrored line follows */
	readonly choices: readonly { readonly edge: string; readonly sides: NonNullable<Edge['sides']> }[]
	/** so many times larger than they are, deviations can be seen on a page */
	readonly exaggeration: number
}

export interface SidesInput {
	readonly chart: Chart
	/** with the places where its lines cross stations among their marks */
	readonly panel: Panel
	/** JSON pointer to the panel */
	readonly path: string
	readonly survey: Survey
	/** one standard deviation of a tape, mm: how well datums of twins were measured */
	readonly tapeSdMm: number
}
