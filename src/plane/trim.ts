import { closestOnCubics } from './closest.ts'
import { crossingsOf, cuspsOf, edgesOfReach, flattenSpans, type Place } from './cuts.ts'
import type { Fit } from './fit.ts'
import { halve } from './halve.ts'
import { type Chain, type Kept, link } from './link.ts'
import type { Cubic } from './point.ts'
import type { JoinStyle, Span } from './spans.ts'

export interface Gone {
	readonly why: 'swallow-tail' | 'inverted' | 'corner' | 'overlap'
	readonly from: number
	readonly to: number
}

export interface Trim {
	readonly chains: Chain[]
	readonly gone: Gone[]
	/** every cut end met another */
	readonly linked: boolean
}

/** Chords for finding crossings, in tolerances: what a coarser chord misses is smaller than it, and then snapped or cut by Newton. */
const CHORD_TOLERANCES = 4
/** A place this much nearer to the edge than the distance (mm per mm of distance) is invalid: far above rounding, far below use. */
const NEARER = 1e-9
/** Cuts of one span nearer than this are one. */
const MERGED = 1e-12

interface Interval {
	readonly span: number
	from: number
	to: number
	readonly valid: boolean
	readonly inverted: boolean
}

/**
 * The parts of an untrimmed offset at which no part of the edge is nearer than |d|. Whether that holds can only change at a
 * cusp (1 - d k = 0), where the offset crosses itself, the offset to the other side, or the circle round an open end; so it
 * is asked once between each two of those, by measuring to the edge. `fits` follow the spans within the tolerance.
 */
export function trimSpans(
	edge: readonly Cubic[],
	spans: readonly Span[],
	fits: readonly Fit[],
	d: number,
	style: JoinStyle,
	toleranceMm: number,
): Trim {
	const chordMm = CHORD_TOLERANCES * toleranceMm
	const cuts = spans.map((span, i) => cuspsOf(span, fits[i] as Fit))
	const line = flattenSpans(spans, fits, chordMm)
	const { sharp, soft } = crossingsOf(line, spans, style.closed, chordMm)
	soft.push(...edgesOfReach(edge, spans, d, style, line, chordMm))
	for (const place of [...sharp, ...soft]) cuts[place.span]?.push(place.t)
	const isValid = (span: Span, t: number): boolean => {
		const reach = Math.abs(d) * (1 - NEARER)
		return closestOnCubics(span.at(t), edge, reach).index < 0
	}
	const intervals = settled(intervalsOf(spans, cuts, isValid), spans, soft, isValid)
	const runs = runsOf(intervals, spans, fits, style.closed)
	const { chains, loose } = link(runs, spans, toleranceMm)
	const isHard = (end: { span: Span; t: number }) =>
		(end.span.next === 'inner' && end.t === 1) || sharp.some((place) => spans[place.span] === end.span && place.t === end.t)
	const linked = !loose.some(isHard)
	return { chains, gone: goneOf(intervals, spans, edge.length, style.closed), linked }
}

/** The stretches between cuts; validity is measured once and carried over joins that are not cuts. */
function intervalsOf(
	spans: readonly Span[],
	cuts: readonly (readonly number[])[],
	isValid: (span: Span, t: number) => boolean,
): Interval[] {
	const intervals: Interval[] = []
	let known: { readonly valid: boolean; readonly inverted: boolean } | undefined
	spans.forEach((span, i) => {
		const inner = [...(cuts[i] as number[])].filter((t) => t > MERGED && t < 1 - MERGED).sort((a, b) => a - b)
		if (cuts[i]?.some((t) => t <= MERGED)) known = undefined
		let from = 0
		for (const to of [...inner, 1]) {
			if (to - from <= MERGED) continue
			const inverted = span.pace((from + to) / 2) < 0
			// curvature may jump where cubics join, and with it the sign of the pace
			const carried: boolean | undefined = known?.inverted === inverted ? known.valid : undefined
			const valid: boolean = !inverted && (carried ?? isValid(span, (from + to) / 2))
			intervals.push({ span: i, from, to, inverted, valid })
			known = to < 1 ? undefined : { valid, inverted }
			from = to
		}
		if (span.next !== 'joined' || inner.length < (cuts[i]?.length ?? 0)) known = undefined
	})
	return intervals
}

/** How far from a cusp (share of the stretch before it) it is asked whether a tail reaches there. */
const BESIDE_CUSP = 1e-3

/**
 * The intervals with each change of validity at an approximate cut moved to where measuring puts it; and with the end of a
 * valid stretch that runs into a cusp taken off, where a tail too small for the chords lies there.
 */
function settled(
	intervals: readonly Interval[],
	spans: readonly Span[],
	soft: readonly Place[],
	isValid: (span: Span, t: number) => boolean,
): Interval[] {
	const out: Interval[] = []
	const near = (i: Interval, end: number) => end + BESIDE_CUSP * ((i.from + i.to) / 2 - end)
	for (const b of intervals) {
		const a = out[out.length - 1]
		const span = spans[b.span] as Span
		if (!a || a.valid === b.valid) {
			out.push(b)
			continue
		}
		if (a.inverted || b.inverted) {
			const [whole, end] = a.valid ? [a, a.to] : [b, b.from]
			const side = spans[whole.span] as Span
			if (isValid(side, near(whole, end))) {
				out.push(b)
				continue
			}
			const cut = halve((whole.from + whole.to) / 2, near(whole, end), (t) => isValid(side, t))
			const rest = { span: whole.span, valid: false, inverted: false }
			if (a.valid) {
				out.push({ ...rest, from: cut, to: a.to }, b)
				a.to = cut
			} else out.push({ ...rest, from: b.from, to: cut }, { ...b, from: cut })
			continue
		}
		if (a.span === b.span && soft.some((place) => place.span === a.span && place.t === a.to)) {
			const cut = halve((a.from + a.to) / 2, (b.from + b.to) / 2, (t) => isValid(span, t) === a.valid)
			a.to = cut
			out.push({ ...b, from: cut })
		} else out.push(b)
	}
	return out
}

/** Valid intervals, run together where they touch. */
function runsOf(intervals: readonly Interval[], spans: readonly Span[], fits: readonly Fit[], closed: boolean): Chain[] {
	const runs: Kept[][] = []
	let open: Kept[] | undefined
	let last: Interval | undefined
	for (const interval of intervals) {
		const follows =
			last?.valid && (last.span === interval.span || (interval.span === last.span + 1 && spans[last.span]?.next === 'joined'))
		if (interval.valid) {
			const tail = open?.[open.length - 1]
			if (follows && tail && last?.span === interval.span) tail.to = interval.to
			else {
				const kept = { span: spans[interval.span] as Span, from: interval.from, to: interval.to, fit: fits[interval.span] as Fit }
				if (follows && open) open.push(kept)
				else {
					open = [kept]
					runs.push(open)
				}
			}
		}
		last = interval
	}
	const whole = closed && spans[spans.length - 1]?.next === 'joined' && intervals[0]?.valid && last?.valid
	if (whole && runs.length === 1)
		return [{ parts: runs[0] as Kept[], closed: intervals.every((i) => i.valid) && joinedThroughout(spans) }]
	if (whole && runs.length > 1) {
		const tail = runs.pop() as Kept[]
		runs[0] = [...tail, ...(runs[0] as Kept[])]
	}
	return runs.map((parts) => ({ parts, closed: false }))
}

const joinedThroughout = (spans: readonly Span[]): boolean => spans.every((span) => span.next === 'joined')

/** Stretches of the edge whose offset was taken away, named by cause. */
function goneOf(intervals: readonly Interval[], spans: readonly Span[], count: number, closed: boolean): Gone[] {
	const groups: Interval[][] = []
	let last: Interval | undefined
	for (const interval of intervals) {
		if (!interval.valid) {
			if (last && !last.valid) groups[groups.length - 1]?.push(interval)
			else groups.push([interval])
		}
		last = interval
	}
	const wraps = closed && groups.length > 1 && intervals[0]?.valid === false && last?.valid === false
	if (wraps) groups[0] = [...(groups.pop() as Interval[]), ...(groups[0] as Interval[])]
	const paramOf = (i: Interval, t: number) => {
		const span = spans[i.span] as Span
		return span.cubic + (span.kind === 'edge' ? t : 1)
	}
	return groups.map((group): Gone => {
		const first = group[0] as Interval
		const final = group[group.length - 1] as Interval
		const from = paramOf(first, first.from)
		const to = paramOf(final, final.to)
		const inverted = group.some((i) => i.inverted)
		const reachesEnd = closed ? group.length === intervals.length : from === 0 || to === count
		const corner = group.some(
			(i, k) => k > 0 && i.span !== group[k - 1]?.span && spans[group[k - 1]?.span ?? -1]?.next === 'inner',
		)
		return { why: inverted ? (reachesEnd ? 'inverted' : 'swallow-tail') : corner ? 'corner' : 'overlap', from, to }
	})
}
