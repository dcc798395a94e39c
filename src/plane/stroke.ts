import { cubicFrame } from './cubic.ts'
import { flattenWithParams } from './flatten.ts'
import type { Cubic, Loop, PlanePoint, Region } from './point.ts'
import { union } from './region.ts'
import { along, cross, distance, dot, left, minus, times, unit } from './vector.ts'

export interface StrokeOptions {
	/** mm, above 0 */
	readonly width: number
	readonly cap: 'butt' | 'round' | 'square'
	readonly join: 'mitre' | 'round' | 'bevel'
	/** a mitre longer than this many times the width is cut off to a bevel (SVG 2, 13.5.5) */
	readonly mitreLimit: number
	/** largest distance between the region and the true edge of the stroke, mm */
	readonly toleranceMm: number
}

export interface StrokedLine {
	readonly cubics: readonly Cubic[]
	readonly closed: boolean
}

/** Between cubics whose directions differ by less the line is smooth: it came in pieces, as an arc does. */
const SMOOTH_RAD = 1e-3
/** Shorter chords have no direction in double precision beside coordinates of a vehicle's size. */
const NO_LENGTH_MM = 1e-9

/**
 * What a pen of this width covers along lines: the union of a rectangle for each chord, a join at each corner and round each bend,
 * and caps at the ends. A line without length is a dot where its caps are round, a square where they are square, else nothing.
 * RangeError for a width or tolerance that is not positive.
 */
export function strokeRegion(lines: readonly StrokedLine[], options: StrokeOptions): Region {
	if (!(options.width > 0)) throw new RangeError(`stroke width is ${options.width}, not above 0`)
	return union([lines.flatMap((line) => piecesOf(line, options))])
}

function piecesOf({ cubics: all, closed }: StrokedLine, options: StrokeOptions): Loop[] {
	const r = options.width / 2
	const half = options.toleranceMm / 2
	const drawn = all.filter(([a, ...rest]) => rest.some((b) => distance(a, b) >= NO_LENGTH_MM))
	const cubics = drawn.length > 0 ? drawn : all
	const { points, params } = flattenWithParams(cubics, half)
	// neighbours that are one place have no direction between them; the later parameter is the one at a join
	const line: { at: PlanePoint; u: number }[] = []
	for (const [i, at] of points.entries()) {
		const before = line.at(-1)
		if (before && distance(before.at, at) < NO_LENGTH_MM) before.u = Math.max(before.u, params[i] as number)
		else line.push({ at, u: params[i] as number })
	}
	const first = line[0]
	if (!first) return []
	if (closed && line.length > 1 && distance(first.at, (line.at(-1) as typeof first).at) < NO_LENGTH_MM) line.pop()
	if (line.length < 2) return lone(first.at, r, options)

	const count = closed ? line.length : line.length - 1
	const at = (i: number) => (line[i % line.length] as (typeof line)[number]).at
	const directions = Array.from({ length: count }, (_, i) => unit(minus(at(i + 1), at(i))))
	const out: Loop[] = directions.map((d, i) => {
		const n = times(left(d), r)
		return [along(at(i), n, -1), along(at(i + 1), n, -1), along(at(i + 1), n, 1), along(at(i), n, 1)]
	})
	for (let i = closed ? 0 : 1; i < count; i++) {
		const d0 = directions[(i + count - 1) % count] as PlanePoint
		const d1 = directions[i] as PlanePoint
		const join = isCorner(cubics, (line[i] as (typeof line)[number]).u, closed) ? options.join : 'round'
		out.push(...joinPiece(at(i), d0, d1, r, join, options))
	}
	if (!closed) {
		out.push(...capPiece(at(0), times(directions[0] as PlanePoint, -1), r, options))
		out.push(...capPiece(at(count), directions[count - 1] as PlanePoint, r, options))
	}
	return out
}

/** Whether the line turns at once where one cubic ends and the next begins. */
function isCorner(cubics: readonly Cubic[], u: number, closed: boolean): boolean {
	if (!Number.isInteger(u)) return false
	const k = closed ? (u + cubics.length - 1) % cubics.length : u - 1
	const before = cubics[k]
	const after = cubics[u % cubics.length]
	if (!before || !after) return false
	const a = cubicFrame(before, 1).tangent
	const b = cubicFrame(after, 0).tangent
	return Math.abs(Math.atan2(cross(a, b), dot(a, b))) > SMOOTH_RAD
}

/** The wedge outside a corner, anticlockwise. */
function joinPiece(
	p: PlanePoint,
	d0: PlanePoint,
	d1: PlanePoint,
	r: number,
	join: StrokeOptions['join'],
	o: StrokeOptions,
): Loop[] {
	const turn = Math.atan2(cross(d0, d1), dot(d0, d1))
	if (turn === 0) return []
	// outside is to the right of a turn to the left
	const side = turn > 0 ? -1 : 1
	const a = along(p, left(d0), side * r)
	const b = along(p, left(d1), side * r)
	const between: PlanePoint[] = []
	if (join === 'round') {
		between.push(...arcBetween(p, Math.atan2(a.y - p.y, a.x - p.x), turn, r, o.toleranceMm / 2))
	} else if (join === 'mitre' && 1 <= o.mitreLimit * Math.cos(turn / 2)) {
		const out = unit({ x: a.x - p.x + (b.x - p.x), y: a.y - p.y + (b.y - p.y) })
		between.push(along(p, out, r / Math.cos(turn / 2)))
	}
	const loop = [p, a, ...between, b]
	return [turn > 0 ? loop : loop.reverse()]
}

/** Past the end of a line that comes from the other way, `d` outward. */
function capPiece(p: PlanePoint, d: PlanePoint, r: number, o: StrokeOptions): Loop[] {
	if (o.cap === 'butt') return []
	const n = times(left(d), r)
	const [right, leftEnd] = [along(p, n, -1), along(p, n, 1)]
	if (o.cap === 'square') return [[right, along(right, d, r), along(leftEnd, d, r), leftEnd]]
	return [[right, ...arcBetween(p, Math.atan2(-n.y, -n.x), Math.PI, r, o.toleranceMm / 2), leftEnd]]
}

function lone(p: PlanePoint, r: number, o: StrokeOptions): Loop[] {
	if (o.cap === 'butt') return []
	if (o.cap === 'round') return [arcBetween(p, 0, 2 * Math.PI, r, o.toleranceMm / 2).concat({ x: p.x + r, y: p.y })]
	const corner = (x: number, y: number) => ({ x: p.x + x * r, y: p.y + y * r })
	return [[corner(-1, -1), corner(1, -1), corner(1, 1), corner(-1, 1)]]
}

/** Places on a circle between two directions, ends left out. */
function arcBetween(p: PlanePoint, from: number, sweep: number, r: number, toleranceMm: number): PlanePoint[] {
	const step = 2 * Math.acos(Math.max(0, 1 - toleranceMm / r))
	const n = Math.max(1, Math.ceil(Math.abs(sweep) / step))
	const out: PlanePoint[] = []
	for (let k = 1; k < n; k++) {
		const a = from + (sweep * k) / n
		out.push({ x: p.x + r * Math.cos(a), y: p.y + r * Math.sin(a) })
	}
	return out
}
