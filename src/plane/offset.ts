import { cubicAt } from './cubic.ts'
import { type Fit, fitCubics } from './fit.ts'
import type { Kept } from './link.ts'
import type { Cubic, PlanePoint } from './point.ts'
import { offsetSpans } from './spans.ts'
import { trimSpans } from './trim.ts'
import { distance, minus, plus, refuseNonFinite } from './vector.ts'

export interface OffsetOptions {
	/** largest distance allowed between the true offset and its cubics, mm */
	readonly toleranceMm: number
	/** the edge's last cubic ends where its first starts, and goes on into it */
	readonly closed?: boolean
	/** outer corners; 'mitre' by default */
	readonly join?: 'mitre' | 'round'
	/** a mitre reaches no farther from its corner than this many times the distance (cut square there); 4 by default, at least 1 */
	readonly mitreLimit?: number
}

export interface OffsetPath {
	readonly cubics: Cubic[]
	readonly closed: boolean
}

/** A stretch of the edge that has no offset at this distance. */
export interface TrimmedStretch {
	/**
	 * swallow-tail: bends tighter than the distance; inverted: does so up to the edge's end, or all along;
	 * corner: an inner corner; overlap: another part of the edge is nearer
	 */
	readonly why: 'swallow-tail' | 'inverted' | 'corner' | 'overlap'
	/** parameters on the edge, index of the cubic plus u; from > to where the stretch runs over the start of a closed edge */
	readonly from: number
	readonly to: number
	/** places on the edge */
	readonly start: PlanePoint
	readonly end: PlanePoint
}

export interface Offset {
	/** in the edge's direction; none where nothing of the edge has an offset at this distance */
	readonly paths: OffsetPath[]
	/** largest distance found between the true offset and the paths, mm */
	readonly maxErrorMm: number
	/** false where a path could not be brought within the tolerance, or a cut end found no partner */
	readonly met: boolean
	readonly trimmed: TrimmedStretch[]
}

/** Fits keep to this share of the tolerance: the rest is for joins that are moved together. */
const FIT_SHARE = 0.75

/**
 * True offset of a planar edge by d mm: to the left of travel for d > 0, to the right for d < 0. Every place of the result is
 * |d| from the edge and no part of the edge is nearer, mitres apart (they reach farther). Stretches where that cannot be are
 * trimmed and named. Cubics are derivative-exact Hermite fits of the exact offset between exact cuts.
 * Throws a RangeError for input that is not finite, cubics that do not meet, or a mitre limit below 1.
 * Not covered: two mitres that overlap each other without overlapping an edge stay crossed (`met` stays true).
 */
export function offsetCubics(edge: readonly Cubic[], d: number, options: OffsetOptions): Offset {
	for (const [i, cubic] of edge.entries()) refuseNonFinite(cubic, `cubic ${i}`)
	if (!Number.isFinite(d)) throw new RangeError(`offset distance is ${d}, not finite`)
	if (!(options.toleranceMm > 0)) throw new RangeError(`toleranceMm is ${options.toleranceMm}, not above 0`)
	const { toleranceMm, closed = false, join = 'mitre', mitreLimit = 4 } = options
	if (!(mitreLimit >= 1)) throw new RangeError(`mitreLimit is ${mitreLimit}, not 1 or more`)
	if (edge.length === 0) return { paths: [], maxErrorMm: 0, met: true, trimmed: [] }
	if (d === 0) return { paths: [{ cubics: [...edge], closed }], maxErrorMm: 0, met: true, trimmed: [] }
	const style = { join, mitreLimit, sameMm: (1 - FIT_SHARE) * toleranceMm, closed }
	const spans = offsetSpans(edge, d, style)
	const fits = spans.map((span) => fitCubics((t) => span.at(t), 0, 1, { toleranceMm: FIT_SHARE * toleranceMm }))
	const trim = trimSpans(edge, spans, fits, d, style, toleranceMm)
	let maxErrorMm = 0
	let met = trim.linked
	const paths = trim.chains.map((chain): OffsetPath => {
		const { cubics, errorMm, within } = fitChain(chain.parts, chain.closed, FIT_SHARE * toleranceMm)
		maxErrorMm = Math.max(maxErrorMm, errorMm)
		met = met && within && errorMm <= toleranceMm
		return { cubics, closed: chain.closed }
	})
	const place = (t: number) =>
		cubicAt(edge[Math.min(Math.floor(t), edge.length - 1)] as Cubic, t - Math.min(Math.floor(t), edge.length - 1))
	const trimmed = trim.gone.map((gone): TrimmedStretch => ({ ...gone, start: place(gone.from), end: place(gone.to) }))
	return { paths, maxErrorMm, met, trimmed }
}

function fitChain(
	parts: readonly Kept[],
	closed: boolean,
	toleranceMm: number,
): { cubics: Cubic[]; errorMm: number; within: boolean } {
	const cubics: Cubic[] = []
	let errorMm = 0
	let within = true
	const fits = parts.map((part): Fit => {
		const whole = part.from === 0 && part.to === 1 ? part.fit : undefined
		return whole ?? fitCubics((t) => part.span.at(t), part.from, part.to, { toleranceMm })
	})
	fits.forEach((fit) => {
		const last = cubics[cubics.length - 1]
		const first = fit.cubics[0] as Cubic
		const gap = last ? distance(last[3], first[0]) : 0
		if (last && gap > 0) cubics.push(startAt(first, last[3]), ...fit.cubics.slice(1))
		else cubics.push(...fit.cubics)
		errorMm = Math.max(errorMm, fit.maxErrorMm + gap)
		within = within && fit.met
	})
	const first = cubics[0]
	const last = cubics[cubics.length - 1]
	if (closed && first && last) {
		errorMm = Math.max(errorMm, distance(first[0], last[3]))
		cubics[0] = startAt(first, last[3])
	}
	return { cubics, errorMm, within }
}

/** The cubic with its start moved, its handle with it. */
const startAt = (c: Cubic, p: PlanePoint): Cubic => [p, plus(c[1], minus(p, c[0])), c[2], c[3]]
