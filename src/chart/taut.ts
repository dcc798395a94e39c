/** A tape pulled taut over a hollow: it lifts off the panel and takes the straight way across. */
import { integratePath } from '../numeric/ode.ts'
import type { Chart } from './chart.ts'
import type { Path } from './distance.ts'
import type { ChartPoint, SpacePoint } from './point.ts'

/** Where a taut tape lies off the panel. */
export interface Bridge {
	/** the place under which it hangs highest, and how high, mm */
	readonly at: ChartPoint
	readonly liftMm: number
	/** how much shorter than the panel's own length its way across is, mm */
	readonly shortMm: number
}

export interface Taut {
	readonly length: number
	/** along the path; none where the panel is hollow nowhere below it */
	readonly bridges: readonly Bridge[]
	/** direction in space of the tape where it leaves its first place and comes to its last, if it lies off the panel there */
	readonly leaves?: SpacePoint
	readonly arrives?: SpacePoint
}

/** Looks along a path: their number doubles with its length, so that lengths do not jump as a mark moves. */
const LEAST_STEPS = 128
const MOST_STEPS = 512
const STEP_MM = 2
/** Lower than this is no hollow: rounding, and the ripple of a fitted skin, mm. */
const LEAST_LIFT_MM = 1e-3
/** A second place beside the path tells which way is out, mm. */
const BESIDE_MM = 1e-2
const PLACE_MM = 1e-6

/**
 * The taut tape along the path from p to q, or undefined where the panel's place in space is not known.
 *
 * Along a straightest path the tape can only bend out of the panel, so the strip of air standing on it unrolls to a plane,
 * where the path bends by the panel's normal curvature. In that plane the tape is the shortest curve above the path: chords
 * over its hollows, the path itself between them. Sideways it gives by the square of the hollow's depth, which its length
 * feels by the fourth power only. Chords are measured in space.
 */
export function taut(chart: Chart, p: ChartPoint, path: Path): Taut | undefined {
	if (!chart.embed || !(path.length > 0)) return undefined
	const { places, points, bends } = profileOf(chart, p, path)
	if (!bends.some((bend) => bend > 0)) return { length: path.length, bridges: [] }
	const last = points.length - 1
	const flat = unrolled(points, bends)
	const step = path.length / last
	const bridges: Bridge[] = []
	let length = path.length
	let [leaves, arrives]: (SpacePoint | undefined)[] = []
	const kept = above(flat)
	kept.slice(1).forEach((j, k) => {
		const i = kept[k] as number
		const top = highest(flat, i, j)
		if (top.lift < LEAST_LIFT_MM) return
		const along = (j - i) * step
		const [a, b] = [points[i] as SpacePoint, points[j] as SpacePoint]
		const across = apart(a, b)
		bridges.push({ at: places[top.k] as ChartPoint, liftMm: top.lift, shortMm: along - across })
		length -= along - across
		const way = { x: (b.x - a.x) / across, y: (b.y - a.y) / across, z: (b.z - a.z) / across }
		if (i === 0) leaves = way
		if (j === last) arrives = way
	})
	return { length, bridges, ...(leaves ? { leaves } : {}), ...(arrives ? { arrives } : {}) }
}

interface PathProfile {
	readonly places: readonly ChartPoint[]
	readonly points: readonly SpacePoint[]
	/** at each place between the ends, the angle by which the chords beside it turn towards outside, radians */
	readonly bends: readonly number[]
}

function profileOf(chart: Chart, p: ChartPoint, path: Path): PathProfile {
	let steps = LEAST_STEPS
	while (steps < MOST_STEPS && steps * STEP_MM < path.length) steps *= 2
	const { places, angles } = walked(chart, p, path, steps)
	const embed = (at: ChartPoint) => chart.embed?.(at) as SpacePoint
	const points = places.map(embed)
	const bends = points.map((x, i) => {
		const [before, after] = [points[i - 1], points[i + 1]]
		if (!before || !after) return 0
		const [u, v] = [unit(before, x), unit(x, after)]
		const turn = { x: v.x - u.x, y: v.y - u.y, z: v.z - u.z }
		// Ahead, to the left and outward are right-handed where (s, g, outward) is.
		const { s, g } = places[i] as ChartPoint
		const angle = angles[i] as number
		const left = embed({
			s: s - (Math.sin(angle) * BESIDE_MM) / chart.metric(s, g).j,
			g: g + Math.cos(angle) * BESIDE_MM,
		})
		const out = cross({ x: u.x + v.x, y: u.y + v.y, z: u.z + v.z }, { x: left.x - x.x, y: left.y - x.y, z: left.z - x.z })
		const size = Math.hypot(out.x, out.y, out.z)
		const outward = (chart.orientation * (turn.x * out.x + turn.y * out.y + turn.z * out.z)) / size
		return 2 * Math.asin(Math.max(-1, Math.min(1, outward / 2)))
	})
	return { places, points, bends }
}

/** Places at equal steps along a path, with its direction there. */
function walked(chart: Chart, p: ChartPoint, path: Path, steps: number): { places: ChartPoint[]; angles: number[] } {
	const ts = Array.from({ length: steps + 1 }, (_, i) => (path.length * i) / steps)
	if (chart.euclidean) {
		const [c, s] = [Math.cos(path.startAngle), Math.sin(path.startAngle)]
		return { places: ts.map((t) => ({ s: p.s + t * c, g: p.g + t * s })), angles: ts.map(() => path.startAngle) }
	}
	const lever = Math.max(1, path.length)
	const run = integratePath(
		(_, y, out) => {
			const { j, jg } = chart.metric(y[0] as number, y[1] as number)
			out[0] = Math.cos(y[2] as number) / j
			out[1] = Math.sin(y[2] as number)
			out[2] = (jg / j) * Math.cos(y[2] as number)
		},
		[p.s, p.g, path.startAngle],
		0,
		path.length,
		{ tolerance: PLACE_MM, scale: [1, 1, lever] },
	)
	const ys = ts.map((t) => Float64Array.from(run.at(t)))
	return { places: ys.map((y) => ({ s: y[0] as number, g: y[1] as number })), angles: ys.map((y) => y[2] as number) }
}

type Flat = readonly { readonly x: number; readonly y: number }[]

/** The path in the plane of the strip standing on it, outside upwards of where it sets out. */
function unrolled(points: readonly SpacePoint[], bends: readonly number[]): Flat {
	const flat = [{ x: 0, y: 0 }]
	let heading = 0
	points.slice(1).forEach((x, i) => {
		const { x: x0, y: y0 } = flat[i] as { x: number; y: number }
		heading += bends[i] as number
		const chord = apart(points[i] as SpacePoint, x)
		flat.push({ x: x0 + chord * Math.cos(heading), y: y0 + chord * Math.sin(heading) })
	})
	return flat
}

/** Where the shortest curve above the path touches it: a place at which it would turn outward is let go (Graham's scan). */
function above(flat: Flat): number[] {
	const kept: number[] = []
	flat.forEach((_, c) => {
		while (kept.length > 1 && turn(flat, kept[kept.length - 2] as number, kept[kept.length - 1] as number, c) >= 0) kept.pop()
		kept.push(c)
	})
	return kept
}

function turn(flat: Flat, i: number, j: number, k: number): number {
	const [a, b, c] = [flat[i], flat[j], flat[k]] as [Flat[number], Flat[number], Flat[number]]
	return (b.x - a.x) * (c.y - b.y) - (b.y - a.y) * (c.x - b.x)
}

/** The place farthest below the chord from i to j, and how far. */
function highest(flat: Flat, i: number, j: number): { readonly k: number; readonly lift: number } {
	const [a, b] = [flat[i], flat[j]] as [Flat[number], Flat[number]]
	const chord = Math.hypot(b.x - a.x, b.y - a.y)
	let best = { k: i, lift: 0 }
	for (let k = i + 1; k < j; k++) {
		const lift = turn(flat, i, k, j) / chord
		if (lift > best.lift) best = { k, lift }
	}
	return best
}

const apart = (a: SpacePoint, b: SpacePoint) => Math.hypot(b.x - a.x, b.y - a.y, b.z - a.z)

function unit(a: SpacePoint, b: SpacePoint): SpacePoint {
	const d = apart(a, b)
	return { x: (b.x - a.x) / d, y: (b.y - a.y) / d, z: (b.z - a.z) / d }
}

const cross = (a: SpacePoint, b: SpacePoint): SpacePoint => ({
	x: a.y * b.z - a.z * b.y,
	y: a.z * b.x - a.x * b.z,
	z: a.x * b.y - a.y * b.x,
})

/**
 * By how much a taut tape may be shorter than the path where only lengths on the panel are known, mm: over a stretch of
 * length l where K < 0 the panel is hollow one way, taken as bent by sqrt(-K), whose chord is shorter by
 * -K l^3 / 24 (to leading order).
 */
export function mayBeShort(chart: Chart, p: ChartPoint, path: Path): number {
	if (chart.developable || !(path.length > 0)) return 0
	const { places } = walked(chart, p, path, LEAST_STEPS)
	const step = path.length / LEAST_STEPS
	let [sum, length, short] = [0, 0, 0]
	const end = () => {
		short += (sum * length ** 2) / 24
		sum = 0
		length = 0
	}
	for (const { s, g } of places) {
		const { k } = chart.metric(s, g)
		if (k >= 0) end()
		else {
			sum -= k * step
			length += step
		}
	}
	end()
	return short
}
