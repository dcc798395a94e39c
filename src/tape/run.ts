/** Tape as it lies on a panel: the words of everything that lays, counts or prints it. */
import type { ChartPoint, ChartRegion, Curve } from '../chart/point.ts'
import type { Tape } from '../job/shop.ts'

/** How a run ends. */
export interface RunEnd {
	/**
	 * `rim`: goes on over the panel's rim; `lap`: goes on past the end of its edge, over what is covered anyway;
	 * `cut`: its end is cut to the other line before it is pressed down, or it would lie on what is to be painted;
	 * `joint`: meets its own start, or a knife mask, and laps it
	 */
	readonly kind: 'rim' | 'lap' | 'cut' | 'joint'
	/** where its edge ends, overrun not counted */
	readonly at: ChartPoint
	/** how far it goes on past that, mm */
	readonly overMm: number
	/** of a cut end, between the edge that it follows and the cut, degrees */
	readonly angleDeg?: number
}

/** One length of tape along one line. */
export interface TapeRun {
	/** paint/run/1, beside its panel's id: in the order they are laid */
	readonly id: string
	/** printed at it: counted over all stages of the panel */
	readonly number: number
	/** `edge`: its inner side on a painted line; `stripe`: covers a stripe of its own width; `lap`: its inner side beyond a hidden lap */
	readonly kind: 'edge' | 'stripe' | 'lap'
	readonly tape: Tape
	/** the painted line that it lies along, led on as far as it goes; covered on the plus side */
	readonly line: Curve
	/** how far off that line its inner side is, mm: 0 at a painted edge, the lap's width beyond a lap */
	readonly offMm: number
	/** the lines of the scheme that it follows */
	readonly follows: readonly string[]
	/** the parts that it covers, by their place in the list of parts */
	readonly covers: readonly number[]
	/** from end to end with overruns, mm */
	readonly lengthMm: number
	/** how many joints of rolls are in it */
	readonly joints: number
	readonly front: RunEnd
	readonly rear: RunEnd
	/** largest strain of its edge on the way, and where */
	readonly strain: number
	readonly strainAt: ChartPoint
	/** how much wider (or narrower) a stripe of tape is than the stripe, mm */
	readonly offWidthMm?: number
	readonly outline: ChartRegion
	/** the stages that it is laid before and lifted after, by their numbers */
	readonly laid: number
	readonly until: number
}

/** A mask cut from film with a knife on the bench, where no tape follows. */
export interface KnifeMask {
	readonly id: string
	readonly number: number
	readonly why: 'bends' | 'narrow' | 'tapers'
	/** what the narrowest tape would have to stretch by, where it bends */
	readonly strain?: number
	readonly at: ChartPoint
	/** the painted line that it makes; what it covers is on the plus side */
	readonly line: Curve
	readonly outline: ChartRegion
	readonly follows: readonly string[]
	readonly covers: readonly number[]
	/** of painted line that it makes, mm */
	readonly lengthMm: number
	readonly laid: number
	readonly until: number
}

/** A wider tape over a run, from its middle outward, that paper is fixed to. */
export interface Backing {
	/** the run or the knife mask that it lies on */
	readonly over: string
	readonly tape: Tape
	readonly lengthMm: number
	readonly outline: ChartRegion
}

/** Two runs on one place. */
export interface Lap {
	/** ids; `over` was laid later and lies on the other */
	readonly under: string
	readonly over: string
	readonly at: ChartPoint
	readonly areaMm2: number
}

/** Where what is to be covered beside a painted line is not. */
export interface Gap {
	/** of painted line that was looked at, mm */
	readonly lineMm: number
	/** of the strip beside it (so wide, mm) what nothing covers, mm^2 */
	readonly stripMm: number
	readonly openMm2: number
	/** the widest of it, mm: 0 where all is covered */
	readonly widestMm: number
	readonly at?: ChartPoint
	/** of what is to be painted in this stage, what tape covers, mm^2 */
	readonly overMm2: number
}

/** The masking of one stage of one panel. */
export interface StageTape {
	readonly stage: number
	readonly paint: string
	/** on the panel while it is sprayed: laid for this stage, and those that stay from before */
	readonly runs: readonly TapeRun[]
	readonly knives: readonly KnifeMask[]
	readonly backing: readonly Backing[]
	readonly laps: readonly Lap[]
	/** paper or film over what is left to cover, mm^2 */
	readonly paper: { readonly areaMm2: number }
	/** what is really open to the gun, as it is taped */
	readonly open: ChartRegion
	readonly gap: Gap
	/** run and mask ids in the order they are laid before it, and in the order they are lifted after it */
	readonly lay: readonly string[]
	readonly lift: readonly string[]
	/** where two would each have to lie on the other */
	readonly trims: readonly Trim[]
}

/** A run that is cut where it meets another, with a knife over the tape of that one. */
export interface Trim {
	readonly run: string
	readonly over: string
	readonly at: ChartPoint
}

/** Runs and masks before they are counted and ordered. */
export type LaidRun = Omit<TapeRun, 'id' | 'number' | 'until'>
export type LaidKnife = Omit<KnifeMask, 'id' | 'number' | 'until'>

export interface Laid {
	readonly runs: readonly LaidRun[]
	readonly knives: readonly LaidKnife[]
}
