/**
 * J as a cosine series of its bend: -J_gg = sum of c_ab cos(a pi x) cos(b pi y), x and y from 0 to 1 over a rectangle of
 * stations and girths somewhat larger than what was laid. J itself follows by integrating twice from the baseline, where
 * J = 1 and J_g = 0 (it is pulled taut, a geodesic), so that every choice of c is a panel.
 */
export interface Series {
	readonly sFrom: number
	readonly sSpan: number
	readonly gFrom: number
	readonly gSpan: number
	readonly along: number
	readonly across: number
	/** the two sides are alike: girths count without their sign */
	readonly even: boolean
	/** the largest girth that was read, and how many times a single side's width the rectangle is wide */
	readonly girth: number
	readonly widths: number
}

/** The rectangle goes so far (of its size) beyond the readings, so that the series' level ends do not show inside. */
const PAD = 0.25
/** Half a wave of the finest term, mm: curvature that changes within less is nothing that lengths of 50 mm and more tell. */
const FINEST_ALONG_MM = 55
const FINEST_ACROSS_MM = 25
/** Fewer terms do not follow a panel; more cost time: on longer panels the finest wave is longer. */
const LEAST_TERMS = 5
const MOST_TERMS = 14

export interface Extent {
	readonly sMin: number
	readonly sMax: number
	/** signed; 0 where a side was not read */
	readonly gMin: number
	readonly gMax: number
}

export function seriesOver({ sMin, sMax, gMin, gMax }: Extent, even: boolean): Series {
	const girth = Math.max(gMax, -gMin)
	const sPad = PAD * (sMax - sMin)
	const gPad = PAD * girth
	// An even series is level at the baseline; any other goes on beyond it.
	const gFrom = even ? 0 : gMin - gPad
	const gSpan = (even ? girth : gMax) + gPad - gFrom
	const sSpan = sMax - sMin + 2 * sPad
	const terms = (span: number, finest: number) => Math.min(MOST_TERMS, Math.max(LEAST_TERMS, Math.ceil(span / finest) + 1))
	return {
		...{ sFrom: sMin - sPad, sSpan, gFrom, gSpan, even, girth, widths: gSpan / (girth + gPad) },
		along: terms(sSpan, FINEST_ALONG_MM),
		across: terms(gSpan, FINEST_ACROSS_MM),
	}
}

export const sizeOf = (series: Series): number => series.along * series.across

/** cos(a pi x) at a station. */
export function alongAt({ along, sFrom, sSpan }: Series, s: number): Float64Array {
	return Float64Array.from({ length: along }, (_, a) => Math.cos(((a * Math.PI) / sSpan) * (s - sFrom)))
}

/** Its integral from one station to another. */
export function alongIntegral({ along, sFrom, sSpan }: Series, from: number, to: number): Float64Array {
	return Float64Array.from({ length: along }, (_, a) => {
		const w = (a * Math.PI) / sSpan
		return a === 0 ? to - from : (Math.sin(w * (to - sFrom)) - Math.sin(w * (from - sFrom))) / w
	})
}

/** What each term across takes off J at a girth: its double integral from the baseline. */
export function acrossAt({ across, gFrom, gSpan, even }: Series, signed: number): Float64Array {
	const g = even ? Math.abs(signed) : signed
	return Float64Array.from({ length: across }, (_, b) => {
		const w = (b * Math.PI) / gSpan
		return b === 0 ? (g * g) / 2 : (Math.cos(w * gFrom) - Math.cos(w * (g - gFrom))) / (w * w) + (g * Math.sin(w * gFrom)) / w
	})
}

/** Its derivative by girth. */
export function acrossSlope({ across, gFrom, gSpan, even }: Series, signed: number): Float64Array {
	const g = even ? Math.abs(signed) : signed
	const sign = even && signed < 0 ? -1 : 1
	return Float64Array.from({ length: across }, (_, b) => {
		const w = (b * Math.PI) / gSpan
		return sign * (b === 0 ? g : (Math.sin(w * (g - gFrom)) + Math.sin(w * gFrom)) / w)
	})
}

/** Adds share * (along x across) to a row over all terms. */
export function addProduct(row: Float64Array, along: Float64Array, across: Float64Array, share: number): Float64Array {
	for (let a = 0, at = 0; a < along.length; a++) {
		const x = share * along[a]!
		for (let b = 0; b < across.length; b++, at++) row[at] = row[at]! + x * across[b]!
	}
	return row
}

export function dot(a: Float64Array, b: Float64Array): number {
	let sum = 0
	for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!
	return sum
}
