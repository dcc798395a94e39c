import type { Chart } from '../chart/chart.ts'
import { type Middle, type MiddleTrouble, middleOf, type SidedPair } from './middle.ts'

/** A measured distance from where it should be, mm. */
export interface Deviation {
	readonly mm: number
	/** one standard deviation of it by the readings */
	readonly sdMm: number
	readonly w: number
	/** more than the readings leave by chance (999 times in 1000) */
	readonly proven: boolean
}

export interface JudgedPair {
	readonly pair: SidedPair
	/** middle of the two, right of the middle line */
	readonly across: Deviation
	/** the right one rearward of the left one's mirror image */
	readonly along: Deviation
	/** it does not fit the others: the middle line was found without it */
	readonly setAside: boolean
}

export interface Judged {
	readonly middle: Middle
	readonly pairs: readonly JudgedPair[]
}

/** A residual of more standard deviations is no chance (1 in 1000; Baarda 1968). */
export const FLAGGED = 3.29
/** So many pairs must be left to say that another one is off: of three, one is off and two agree. */
const LEAST_LEFT = 3

/**
 * The middle line, found without the pairs that do not fit the others: the worst is set aside and the rest fitted again until
 * none stands out, and only then is the middle itself to be judged (one line 3 mm off else turns it).
 */
export function judgePairs(chart: Chart, pairs: readonly SidedPair[]): Judged | MiddleTrouble {
	const aside = new Set<string>()
	// each round sets one aside
	for (;;) {
		const middle = middleOf(
			chart,
			pairs.filter(({ id }) => !aside.has(id)),
		)
		if ('kind' in middle) return middle
		const judged = pairs.map((pair) => judgedPair(middle, pair, aside.has(pair.id)))
		const worst = judged.filter(({ setAside }) => !setAside).reduce((most, one) => (strength(one) > strength(most) ? one : most))
		if (strength(worst) <= FLAGGED || pairs.length - aside.size <= LEAST_LEFT) return { middle, pairs: judged }
		aside.add(worst.pair.id)
	}
}

const strength = ({ across, along }: JudgedPair) => Math.max(Math.abs(across.w), Math.abs(along.w))

export function judgedPair(middle: Middle, pair: SidedPair, setAside: boolean): JudgedPair {
	const off = middle.off(pair)
	// What took part in the fit lies nearer to it than to the truth, what did not farther.
	const sign = setAside ? 1 : -1
	return {
		pair,
		across: deviation(off.across, pair.middleSd ** 2 + sign * off.acrossVar),
		along: deviation(off.along, pair.stationSd ** 2 + sign * off.alongVar),
		setAside,
	}
}

/** Rounding leaves less than this part of a variance. */
export function deviation(mm: number, variance: number): Deviation {
	const sdMm = Math.sqrt(Math.max(0, variance))
	const w = sdMm > 0 ? mm / sdMm : 0
	return { mm, sdMm, w, proven: Math.abs(w) > FLAGGED }
}
