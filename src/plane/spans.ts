import { cubicFrame } from './cubic.ts'
import type { Jet } from './fit.ts'
import type { Cubic, PlanePoint } from './point.ts'
import { along, cross, distance, dot, left, plus, times } from './vector.ts'

/** A smooth stretch of the untrimmed offset of an edge: off one cubic, or led round an outer corner. Its parameter runs 0..1. */
export interface Span {
	readonly kind: 'edge' | 'line' | 'arc'
	/** the cubic it stands off; a join counts to the cubic before it */
	readonly cubic: number
	at(t: number): Jet
	/** speed over the edge's direction: below 0 where the distance reaches past the centre of curvature (1 - d k < 0) */
	pace(t: number): number
	/** how it goes on into the next span: they touch, an inner corner lies between them, or nothing follows */
	next: 'joined' | 'inner' | 'end'
}

export interface JoinStyle {
	readonly join: 'mitre' | 'round'
	/** a mitre reaches no farther from the corner than this many times the distance: there it is cut square */
	readonly mitreLimit: number
	/** ends nearer than this are one place, mm */
	readonly sameMm: number
	readonly closed: boolean
}

/**
 * Untrimmed offset of an edge by d (to the left for d > 0), in order. Off a smooth stretch: place P + d n, derivative
 * C' (1 - d k) with n the left normal and k > 0 bending left (Farouki & Neff, CAGD 7, 1990). Cubics that are one point are
 * passed over. Throws a RangeError where two cubics do not meet.
 */
export function offsetSpans(edge: readonly Cubic[], d: number, style: JoinStyle): Span[] {
	const used = edge.map((cubic, index) => ({ cubic, index })).filter(({ cubic }) => cubic.some((p) => distance(p, cubic[0]) > 0))
	const spans: Span[] = []
	used.forEach(({ cubic, index }, i) => {
		const span = edgeSpan(cubic, index, d)
		spans.push(span)
		const follower = used[i + 1] ?? (style.closed ? used[0] : undefined)
		if (!follower) {
			span.next = 'end'
			return
		}
		if (distance(cubic[3], follower.cubic[0]) > style.sameMm) {
			throw new RangeError(`cubic ${index} ends at (${cubic[3].x}, ${cubic[3].y}), not where cubic ${follower.index} starts`)
		}
		const t1 = cubicFrame(cubic, 1).tangent
		const t2 = cubicFrame(follower.cubic, 0).tangent
		const turn = Math.atan2(cross(t1, t2), dot(t1, t2))
		// a corner whose gap is within the tolerance is not a corner
		if (2 * Math.abs(d * Math.sin(turn / 2)) <= style.sameMm) return
		if (turn * d > 0) {
			span.next = 'inner'
			return
		}
		spans.push(...outerCorner(cubic[3], t1, t2, turn, d, index, style))
	})
	return spans
}

function edgeSpan(cubic: Cubic, index: number, d: number): Span {
	return {
		kind: 'edge',
		cubic: index,
		next: 'joined',
		at(u) {
			const { point, derivative, tangent, turning } = cubicFrame(cubic, u)
			return {
				x: point.x - d * tangent.y,
				y: point.y + d * tangent.x,
				dx: derivative.x - d * turning * tangent.x,
				dy: derivative.y - d * turning * tangent.y,
			}
		},
		pace(u) {
			const { derivative, tangent, turning } = cubicFrame(cubic, u)
			return dot(derivative, tangent) - d * turning
		},
	}
}

function outerCorner(
	corner: PlanePoint,
	t1: PlanePoint,
	t2: PlanePoint,
	turn: number,
	d: number,
	cubic: number,
	style: JoinStyle,
): Span[] {
	const from = along(corner, left(t1), d)
	const to = along(corner, left(t2), d)
	if (style.join === 'round') return [arcSpan(corner, from, turn, cubic)]
	const half = Math.abs(turn) / 2
	const radius = Math.abs(d)
	const reach = style.mitreLimit * radius
	if (radius <= reach * Math.cos(half)) {
		const tip = along(corner, times(plus(left(t1), left(t2)), 1 / (1 + dot(t1, t2))), d)
		return [lineSpan(from, tip, cubic), lineSpan(tip, to, cubic)]
	}
	const run = (reach - radius * Math.cos(half)) / Math.sin(half)
	const a = along(from, t1, run)
	const b = along(to, t2, -run)
	return [lineSpan(from, a, cubic), lineSpan(a, b, cubic), lineSpan(b, to, cubic)]
}

function lineSpan(a: PlanePoint, b: PlanePoint, cubic: number): Span {
	const dx = b.x - a.x
	const dy = b.y - a.y
	return { kind: 'line', cubic, next: 'joined', at: (t) => ({ x: a.x + t * dx, y: a.y + t * dy, dx, dy }), pace: () => 1 }
}

function arcSpan(centre: PlanePoint, from: PlanePoint, turn: number, cubic: number): Span {
	const start = Math.atan2(from.y - centre.y, from.x - centre.x)
	const radius = distance(centre, from)
	return {
		kind: 'arc',
		cubic,
		next: 'joined',
		at(t) {
			const x = radius * Math.cos(start + t * turn)
			const y = radius * Math.sin(start + t * turn)
			return { x: centre.x + x, y: centre.y + y, dx: -turn * y, dy: turn * x }
		},
		pace: () => 1,
	}
}
