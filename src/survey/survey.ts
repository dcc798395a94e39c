import type { ChartPoint } from '../chart/point.ts'
import type { Reading } from '../job/schema.ts'
import type { Closure } from './closure.ts'
import type { MarkSide, NumberRead, What } from './named.ts'
import type { Observation } from './observe.ts'
import type { Slip } from './slips.ts'

export type { MarkSide, What } from './named.ts'

/** A place that readings (or a datum) have fixed. */
export interface Mark {
	/** "u3", or "left/u3" and "right/u3" where the sides are told apart */
	readonly key: string
	readonly id: string
	readonly side?: MarkSide
	readonly at: ChartPoint
	/** standard deviations: of station (mm along the baseline) and of girth */
	readonly sd: { readonly s: number; readonly g: number }
	/** of (s, g): variances and covariance, mm^2 */
	readonly covariance: { readonly ss: number; readonly sg: number; readonly gg: number }
	/** a datum: its place is what the rest is measured from */
	readonly fixed: boolean
	/** places in the panel's list of readings of those that touch it */
	readonly readings: readonly number[]
	/** its place may be wrong, and a problem already says so: what follows from it need not be told again */
	readonly inDoubt?: true
}

/** One measured number beside what the adjusted marks say of it. A `square` reading is two: station and girth. */
export interface CheckedReading {
	/** JSON pointer to the number */
	readonly path: string
	/** place in the panel's list of readings */
	readonly index: number
	readonly kind: Reading['kind']
	readonly what: What
	/** keys of the marks it touches */
	readonly marks: readonly string[]
	/** as read, mm */
	readonly value: number
	/** by the adjusted marks, mm */
	readonly fitted: number
	/** fitted - value, mm */
	readonly residual: number
	/** one standard deviation of the reading, mm */
	readonly sd: number
	/** 0 to 1: how much of an error here would show here; 0: nothing checks it */
	readonly redundancy: number
	/** standardised residual, absent where nothing checks the reading */
	readonly w?: number
	/** the smallest slip in it that would be seen four times in five, mm; absent where nothing checks it */
	readonly seenMm?: number
	/** where it does not fit: what the others say it should be, mm, and what may have happened */
	readonly likely?: number
	readonly slip?: Slip
	/** it cannot be right beside the others: the places do without it, and the figures say how it stands to them */
	readonly setAside?: true
}

export interface Survey {
	readonly panel: string
	/** by key */
	readonly marks: Readonly<Record<string, Mark>>
	readonly readings: readonly CheckedReading[]
	readonly closure: Closure
	/** readings of which one is wrong and no other reading tells which, group by group */
	readonly open: readonly (readonly NumberRead[])[]
	/** the numbers that the marks follow from, with their models */
	readonly observations: readonly Observation[]
	/**
	 * Covariance of all measured marks together: (s, g) of each key in turn, row by row. Empty where there are more than a
	 * thousand of them: marks are then taken as known apart from each other.
	 */
	readonly joint: { readonly keys: readonly string[]; readonly covariance: ArrayLike<number> }
}

/**
 * The mark that a reference means: exactly that key; or, for a plain name, its only side; or, for a sided name, the plain mark
 * that lies on that side. Undefined where there is none, or where a plain name could mean either side.
 */
export function findMark(survey: Survey, ref: string): Mark | undefined {
	const exact = survey.marks[ref]
	if (exact) return exact
	const slash = ref.indexOf('/')
	if (slash < 0) {
		const left = survey.marks[`left/${ref}`]
		const right = survey.marks[`right/${ref}`]
		return left && right ? undefined : (left ?? right)
	}
	const plain = survey.marks[ref.slice(slash + 1)]
	return plain && (plain.side === undefined || plain.side === ref.slice(0, slash)) ? plain : undefined
}
