import { arcCubics } from './arc.ts'
import { type Crossing, intersections, selfIntersections } from './crossings.ts'
import { type Fit, fitCubics } from './fit.ts'
import { flatten, flattenWithParams } from './flatten.ts'
import { halve } from './halve.ts'
import type { Cubic, PlanePoint } from './point.ts'
import { type JoinStyle, offsetSpans, type Span } from './spans.ts'
import { cross, distance } from './vector.ts'

/** Where the validity of an untrimmed offset can change: cusps, crossings with itself, and the edges of the edge's reach. */

/** Steps of Newton's method on a crossing; it is quadratic from a start within a chord. */
const NEWTON_STEPS = 12

/** A place on the untrimmed offset: span and its parameter. */
export interface Place {
	readonly span: number
	readonly t: number
}

/** Parameters where the offset turns back on itself. Looked for between the joins of the fit, which crowd where it bends hard. */
export function cuspsOf(span: Span, fit: Fit): number[] {
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

export interface Line {
	readonly points: PlanePoint[]
	readonly places: Place[]
}

export function flattenSpans(spans: readonly Span[], fits: readonly Fit[], chordMm: number): Line {
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
export function crossingsOf(
	line: Line,
	spans: readonly Span[],
	closed: boolean,
	chordMm: number,
): { sharp: Place[]; soft: Place[] } {
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
export function meetingOf(spans: readonly Span[], nearA: Place, nearB: Place): [Place, Place] | undefined {
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
export function edgesOfReach(
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
