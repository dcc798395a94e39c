import { arcCubics } from './arc.ts'
import { closestOnCubics } from './closest.ts'
import { type Crossing, intersections, selfIntersections } from './crossings.ts'
import { type Fit, fitCubics } from './fit.ts'
import { flatten, flattenWithParams } from './flatten.ts'
import type { Cubic, PlanePoint } from './point.ts'
import { type JoinStyle, offsetSpans, type Span } from './spans.ts'
import { cross, distance } from './vector.ts'

/** A kept stretch of a span; `fit` is that of the whole span. */
export interface Kept {
	readonly span: Span
	from: number
	to: number
	readonly fit?: Fit
}

export interface Chain {
	readonly parts: Kept[]
	readonly closed: boolean
}

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
/** Steps of Newton's method on a crossing; it is quadratic from a start within a chord. */
const NEWTON_STEPS = 12
/** Cuts of one span nearer than this are one. */
const MERGED = 1e-12
/** Halvings that place the end of a valid stretch where no crossing marks it: 2^-44 of a span. */
const HALVINGS = 44

/** A place on the untrimmed offset: span and its parameter. */
interface Place {
	readonly span: number
	readonly t: number
}

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
 * is asked once between each two of those, by measuring to the edge.
 */
export function trimSpans(
	edge: readonly Cubic[],
	spans: readonly Span[],
	d: number,
	style: JoinStyle,
	toleranceMm: number,
): Trim {
	const chordMm = CHORD_TOLERANCES * toleranceMm
	const fits = spans.map((span) => fitCubics((t) => span.at(t), 0, 1, { toleranceMm: (toleranceMm * 3) / 4 }))
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

/** Parameters where the offset turns back on itself. Looked for between the joins of the fit, which crowd where it bends hard. */
function cuspsOf(span: Span, fit: Fit): number[] {
	if (span.kind !== 'edge') return []
	const found: number[] = []
	const steps = 4
	let a = 0
	let paceA = span.pace(0)
	for (let i = 1; i < fit.params.length; i++) {
		const p = fit.params[i - 1] as number
		const q = fit.params[i] as number
		for (let k = 1; k <= steps; k++) {
			const b = p + ((q - p) * k) / steps
			const paceB = span.pace(b)
			if (paceA < 0 !== paceB < 0) found.push(halve(a, b, (t) => span.pace(t) < 0 === paceA < 0))
			a = b
			paceA = paceB
		}
	}
	return found
}

/** The parameter between a and b where `like a` stops holding. */
function halve(a: number, b: number, likeA: (t: number) => boolean): number {
	let low = a
	let high = b
	for (let i = 0; i < HALVINGS; i++) {
		const m = (low + high) / 2
		if (likeA(m)) low = m
		else high = m
	}
	return (low + high) / 2
}

interface Line {
	readonly points: PlanePoint[]
	readonly places: Place[]
}

function flattenSpans(spans: readonly Span[], fits: readonly Fit[], chordMm: number): Line {
	const points: PlanePoint[] = []
	const places: Place[] = []
	spans.forEach((_, span) => {
		const fit = fits[span] as Fit
		const flat = flattenWithParams(fit.cubics, chordMm)
		flat.points.forEach((p, k) => {
			const u = flat.params[k] as number
			const i = Math.min(Math.floor(u), fit.cubics.length - 1)
			const from = fit.params[i] as number
			points.push(p)
			places.push({ span, t: from + (u - i) * ((fit.params[i + 1] as number) - from) })
		})
	})
	return { points, places }
}

/** Place of a crossing on the line; none on the stretch that bridges an inner corner. */
function placeOn(line: Line, spans: readonly Span[], i: number, a: number): Place | undefined {
	const p = line.places[i] as Place
	const q = line.places[(i + 1) % line.places.length] as Place
	if (p.span === q.span && q.t > p.t) return { span: p.span, t: p.t + a * (q.t - p.t) }
	// the joint of two spans that meet within the tolerance
	return spans[p.span]?.next === 'joined' ? p : undefined
}

/** Places where the offset crosses itself: sharp ones are exact, soft ones (tails no larger than a chord) only near. */
function crossingsOf(line: Line, spans: readonly Span[], closed: boolean, chordMm: number): { sharp: Place[]; soft: Place[] } {
	const sharp: Place[] = []
	const soft: Place[] = []
	for (const c of selfIntersections(line.points, closed)) {
		const a = placeOn(line, spans, c.i, c.a)
		const b = placeOn(line, spans, c.j, c.b)
		if (!a || !b) continue
		const exact = meetingOf(spans, a, b)
		// a shallow crossing may move by many chord errors, never by a chord
		if (exact && distance(placeAt(spans, a), placeAt(spans, exact[0])) < 100 * chordMm) sharp.push(...exact)
		else soft.push(a, b)
	}
	return { sharp, soft }
}

const placeAt = (spans: readonly Span[], { span, t }: Place) => (spans[span] as Span).at(t)

/** Where the offset crosses itself near two places, by Newton's method; none where that does not settle. */
function meetingOf(spans: readonly Span[], nearA: Place, nearB: Place): [Place, Place] | undefined {
	let a: Place | undefined = nearA
	let b: Place | undefined = nearB
	let moving = Number.POSITIVE_INFINITY
	for (let step = 0; step < NEWTON_STEPS; step++) {
		const p = placeAt(spans, a)
		const q = placeAt(spans, b)
		const gap = { x: q.x - p.x, y: q.y - p.y }
		const v = { x: p.dx, y: p.dy }
		const w = { x: q.dx, y: q.dy }
		const denominator = cross(v, w)
		if (denominator === 0) return undefined
		const da = cross(gap, w) / denominator
		const db = cross(gap, v) / denominator
		a = moved(spans, a, da)
		b = moved(spans, b, db)
		if (!a || !b) return undefined
		moving = Math.abs(da) + Math.abs(db)
		if (moving < 1e-14) break
	}
	// one place is no crossing; and beside a cusp two places that are none come ever nearer without meeting
	if (moving > 1e-9 || (a.span === b.span && Math.abs(a.t - b.t) < 1e-9)) return undefined
	return distance(placeAt(spans, a), placeAt(spans, b)) < 1e-9 ? [a, b] : undefined
}

/** A place moved by a step of its parameter, into the next or the last span where that joins; none beyond an end. */
function moved(spans: readonly Span[], { span, t }: Place, step: number): Place | undefined {
	const there = t + step
	if (there >= 0 && there <= 1) return { span, t: there }
	const before = (span + spans.length - 1) % spans.length
	const joint = there > 1 ? span : before
	if (!(Math.abs(step) < 2) || spans[joint]?.next !== 'joined') return undefined
	return there > 1 ? { span: (span + 1) % spans.length, t: Math.min(1, there - 1) } : { span: before, t: Math.max(0, 1 + there) }
}

/** Where the line enters or leaves the reach of the edge's other side or of its open ends. */
function edgesOfReach(
	edge: readonly Cubic[],
	spans: readonly Span[],
	d: number,
	style: JoinStyle,
	line: Line,
	chordMm: number,
): Place[] {
	const others: { points: readonly PlanePoint[]; closed: boolean }[] = []
	const far = offsetSpans(edge, -d, { ...style, join: 'round' })
	const fits = far.map((span) => fitCubics((t) => span.at(t), 0, 1, { toleranceMm: chordMm }))
	others.push({ points: flattenSpans(far, fits, chordMm).points, closed: style.closed })
	if (!style.closed) {
		for (const end of [edge[0]?.[0], edge[edge.length - 1]?.[3]]) {
			if (!end) continue
			others.push({ points: flatten(arcCubics(end, Math.abs(d), 0, 2 * Math.PI, chordMm).cubics, chordMm), closed: false })
		}
	}
	const hits = others.flatMap(({ points, closed }): Crossing[] =>
		intersections(line.points, points, { pClosed: style.closed, qClosed: closed }),
	)
	return hits.map((c) => placeOn(line, spans, c.i, c.a)).filter((place) => place !== undefined)
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

/** Runs chained where the cut end of one meets the cut start of another (or its own). */
function link(
	runs: readonly Chain[],
	spans: readonly Span[],
	toleranceMm: number,
): { chains: Chain[]; loose: { span: Span; t: number }[] } {
	const chains: Chain[] = runs.filter((run) => run.closed)
	const open = runs.filter((run) => !run.closed)
	const pairs: { end: number; start: number; gap: number }[] = []
	open.forEach((before, end) => {
		open.forEach((after, start) => {
			const gap = distance(endOf(before), startOf(after))
			if (gap <= 20 * toleranceMm) pairs.push({ end, start, gap })
		})
	})
	pairs.sort((a, b) => a.gap - b.gap)
	const next = new Map<number, number>()
	const taken = new Set<number>()
	const loose: { span: Span; t: number }[] = []
	for (const { end, start } of pairs) {
		if (next.has(end) || taken.has(start)) continue
		if (!bringTogether(open[end] as Chain, open[start] as Chain, spans, toleranceMm)) continue
		next.set(end, start)
		taken.add(start)
	}
	open.forEach((run, i) => {
		const first = run.parts[0] as Kept
		const last = run.parts[run.parts.length - 1] as Kept
		if (!taken.has(i)) loose.push({ span: first.span, t: first.from })
		if (!next.has(i)) loose.push({ span: last.span, t: last.to })
	})
	const done = new Set<number>()
	const follow = (first: number): Chain => {
		const parts: Kept[] = []
		let at: number | undefined = first
		while (at !== undefined && !done.has(at)) {
			done.add(at)
			parts.push(...(open[at] as Chain).parts)
			at = next.get(at)
		}
		return { parts, closed: at === first }
	}
	open.forEach((_, i) => {
		if (!taken.has(i)) chains.push(follow(i))
	})
	open.forEach((_, i) => {
		if (!done.has(i)) chains.push(follow(i))
	})
	const kept = chains.filter((chain) => chain.closed || extent(chain) > 2 * toleranceMm)
	return { chains: kept, loose }
}

const endOf = (run: Chain): PlanePoint => {
	const part = run.parts[run.parts.length - 1] as Kept
	const { x, y } = part.span.at(part.to)
	return { x, y }
}
const startOf = (run: Chain): PlanePoint => {
	const part = run.parts[0] as Kept
	const { x, y } = part.span.at(part.from)
	return { x, y }
}

/** Cuts an end and a start at their crossing; or leaves a gap that is within the tolerance, to be closed by moving the start. */
function bringTogether(before: Chain, after: Chain, spans: readonly Span[], toleranceMm: number): boolean {
	const a = before.parts[before.parts.length - 1] as Kept
	const b = after.parts[0] as Kept
	const gap = distance(endOf(before), startOf(after))
	if (gap < 1e-9) return true
	const met = meetingOf(spans, { span: spans.indexOf(a.span), t: a.to }, { span: spans.indexOf(b.span), t: b.from })
	if (met) {
		const [p, q] = met
		const isInside = spans[p.span] === a.span && spans[q.span] === b.span && p.t > a.from && q.t < b.to
		if (isInside && distance(a.span.at(p.t), endOf(before)) <= 100 * toleranceMm) {
			a.to = p.t
			b.from = q.t
			return true
		}
	}
	return gap <= toleranceMm / 4
}

function extent(chain: Chain): number {
	const first = startOf(chain)
	return chain.parts.reduce(
		(m, { span, from, to }) => Math.max(m, distance(first, span.at((from + to) / 2)), distance(first, span.at(to))),
		0,
	)
}

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
