// How true and how quick the offset of a smooth edge is, beside what general polygon and drawing libraries make of the same edge.
import clipper from 'clipper-lib'
import { Clipper, EndType, JoinType } from 'clipper2-ts'
import paper from 'paper'
import { circleCubics } from '../../src/plane/arc.ts'
import { cubicAt, cubicFrame } from '../../src/plane/cubic.ts'
import { fitCubics } from '../../src/plane/fit.ts'
import { flatten } from '../../src/plane/flatten.ts'
import { offsetCubics } from '../../src/plane/offset.ts'
import type { Cubic, PlanePoint } from '../../src/plane/point.ts'
import { atMost, medianMs, type Row, shown } from '../measure.ts'

const TARGET_MM = 0.0005
/** Sagitta of the polyline that the polygon libraries are given, and of their arcs. */
const CHORD_MM = 0.0005
/** Chords of the closed form that every result is measured against; on 400 mm of line their sagitta is 1e-6. */
const DENSE = 20_000

interface Case {
	readonly name: string
	readonly cubics: readonly Cubic[]
	readonly closed: boolean
	/** to the left of travel for d > 0 */
	readonly d: number
	/** the true offset over 0..1 */
	readonly exact: (t: number) => PlanePoint
}

const turn = 2 * Math.PI
const S: Cubic = [
	{ x: 0, y: 0 },
	{ x: 60, y: 0 },
	{ x: 40, y: 50 },
	{ x: 100, y: 50 },
]

const cases: readonly Case[] = [
	{
		name: 'circle',
		cubics: circleCubics({ x: 0, y: 0 }, 50, 1e-6).cubics,
		closed: true,
		d: -10,
		exact: (t) => ({ x: 60 * Math.cos(turn * t), y: 60 * Math.sin(turn * t) }),
	},
	{
		name: 'ellipse',
		cubics: fitCubics(
			(t) => ({ x: 60 * Math.cos(t), y: 35 * Math.sin(t), dx: -60 * Math.sin(t), dy: 35 * Math.cos(t) }),
			0,
			turn,
			{ toleranceMm: 2e-5 },
		).cubics,
		closed: true,
		d: -10,
		exact: (t) => {
			const [c, s] = [Math.cos(turn * t), Math.sin(turn * t)]
			const w = Math.hypot(35 * c, 60 * s)
			return { x: 60 * c + (10 * 35 * c) / w, y: 35 * s + (10 * 60 * s) / w }
		},
	},
	{
		name: 'scurve',
		cubics: [S],
		closed: false,
		d: 6,
		exact: (t) => {
			const { tangent } = cubicFrame(S, t)
			const p = cubicAt(S, t)
			return { x: p.x - 6 * tangent.y, y: p.y + 6 * tangent.x }
		},
	},
]

/** The other ways; each takes the cubics to a polyline of the offset on the wanted side. */
const others: readonly { readonly name: string; readonly offset: (c: Case) => PlanePoint[] }[] = [
	{ name: 'clipper-lib', offset: byClipperLib },
	{ name: 'clipper2-ts', offset: byClipper2 },
	{ name: 'paper', offset: byPaper },
]

export async function rows(): Promise<Row[]> {
	paper.setup(new paper.Size(100, 100))
	const out: Row[] = []
	for (const c of cases) {
		const ours = () => offsetCubics(c.cubics, c.d, { toleranceMm: TARGET_MM, closed: c.closed })
		const cubics = ours().paths.flatMap((path) => path.cubics)
		const error = worstError(flatten(cubics, 1e-5), c)
		const against = `closed form, ${cubics.length} cubics from ${c.cubics.length}`
		out.push(atMost(`main.offset.${c.name}.error`, error, 'mm', TARGET_MM, against))
		out.push(shown(`main.offset.${c.name}.time`, await medianMs(ours, { runs: 50, warmUps: 30 }), 'ms'))
		for (const other of others) {
			out.push(shown(`main.offset.${c.name}.error.${other.name}`, worstError(other.offset(c), c), 'mm', 'closed form'))
			out.push(shown(`main.offset.${c.name}.time.${other.name}`, await medianMs(() => other.offset(c)), 'ms'))
		}
	}
	return out
}

/** Largest distance between a result and the true offset, from each to the other. */
function worstError(line: readonly PlanePoint[], c: Case): number {
	const dense = Array.from({ length: DENSE + 1 }, (_, i) => c.exact(i / DENSE))
	const closedLine = c.closed ? [...line, line[0] as PlanePoint] : line
	// ends that a library cuts or caps in its own way are not the edge: an end's neighbourhood is left out
	const inner = c.closed ? dense : dense.slice(DENSE / 50, -DENSE / 50)
	const ends = [dense[0], dense[DENSE]] as [PlanePoint, PlanePoint]
	const isInner = (p: PlanePoint) => c.closed || ends.every((e) => Math.hypot(p.x - e.x, p.y - e.y) > 1)
	const there = inner.filter((_, i) => i % 10 === 0).map((p) => nearest(p, closedLine))
	const back = closedLine.filter(isInner).map((p) => nearest(p, dense))
	return Math.max(...there, ...back)
}

function nearest(p: PlanePoint, line: readonly PlanePoint[]): number {
	let best = Number.POSITIVE_INFINITY
	for (let i = 1; i < line.length; i++) {
		const a = line[i - 1] as PlanePoint
		const b = line[i] as PlanePoint
		const vx = b.x - a.x
		const vy = b.y - a.y
		const square = vx * vx + vy * vy
		const t = square > 0 ? Math.max(0, Math.min(1, ((p.x - a.x) * vx + (p.y - a.y) * vy) / square)) : 0
		best = Math.min(best, (a.x + t * vx - p.x) ** 2 + (a.y + t * vy - p.y) ** 2)
	}
	return Math.sqrt(best)
}

/** The polygon libraries put a band round an open line: of its outline, the wanted side. */
function side(outline: readonly PlanePoint[], c: Case): PlanePoint[] {
	if (c.closed) return [...outline]
	const [start, end] = [c.exact(0), c.exact(1)]
	const at = (p: PlanePoint) =>
		outline.reduce(
			(m, q, i) =>
				Math.hypot(q.x - p.x, q.y - p.y) < Math.hypot((outline[m]?.x ?? 0) - p.x, (outline[m]?.y ?? 0) - p.y) ? i : m,
			0,
		)
	const [from, to] = [at(start), at(end)]
	const run = (a: number, b: number) => (a <= b ? outline.slice(a, b + 1) : [...outline.slice(a), ...outline.slice(0, b + 1)])
	const middle = c.exact(0.5)
	const [one, two] = [run(from, to), run(to, from)]
	return nearest(middle, one) < nearest(middle, two) ? one : two
}

const polygon = (c: Case) => (c.closed ? flatten(c.cubics, CHORD_MM).slice(0, -1) : flatten(c.cubics, CHORD_MM))

function byClipperLib(c: Case): PlanePoint[] {
	const work = new clipper.ClipperOffset(2, CHORD_MM * 1e4)
	const path = polygon(c).map((p) => ({ X: Math.round(p.x * 1e4), Y: Math.round(p.y * 1e4) }))
	const { etClosedPolygon, etOpenButt } = clipper.EndType
	work.AddPaths([path], clipper.JoinType.jtRound, c.closed ? etClosedPolygon : etOpenButt)
	const solution: { X: number; Y: number }[][] = []
	work.Execute(solution, Math.abs(c.d) * 1e4)
	return side(
		(solution[0] ?? []).map((p) => ({ x: p.X / 1e4, y: p.Y / 1e4 })),
		c,
	)
}

function byClipper2(c: Case): PlanePoint[] {
	const end = c.closed ? EndType.Polygon : EndType.Butt
	// for open lines too its distance is half the band
	const [first = []] = Clipper.inflatePathsD([polygon(c)], Math.abs(c.d), JoinType.Round, end, 2, 4, CHORD_MM)
	return side(
		first.map((p) => ({ x: p.x, y: p.y })),
		c,
	)
}

/** What is usually done with a drawing library: every handle moved along the normal and stretched in proportion to the end distance. */
function byPaper(c: Case): PlanePoint[] {
	const path = new paper.Path()
	c.cubics.forEach((cubic, i) => {
		const before = c.cubics[i - 1] ?? (c.closed ? c.cubics[c.cubics.length - 1] : undefined)
		const [p, q] = cubic
		path.add(new paper.Segment([p.x, p.y], before ? [before[2].x - p.x, before[2].y - p.y] : [0, 0], [q.x - p.x, q.y - p.y]))
	})
	const last = c.cubics[c.cubics.length - 1] as Cubic
	if (c.closed) path.closed = true
	else path.add(new paper.Segment([last[3].x, last[3].y], [last[2].x - last[3].x, last[2].y - last[3].y], [0, 0]))
	const out = new paper.Path()
	for (const curve of path.curves) {
		const n1 = curve.getNormalAtTime(0)
		const n2 = curve.getNormalAtTime(1)
		// its normal points to the right of travel with y up
		const a = curve.point1.subtract(n1.multiply(c.d))
		const b = curve.point2.subtract(n2.multiply(c.d))
		const stretch = a.getDistance(b) / curve.point1.getDistance(curve.point2)
		const lastSegment = out.lastSegment
		if (lastSegment) lastSegment.handleOut = curve.handle1.multiply(stretch)
		else out.add(new paper.Segment(a, undefined, curve.handle1.multiply(stretch)))
		out.add(new paper.Segment(b, curve.handle2.multiply(stretch)))
	}
	out.flatten(CHORD_MM)
	const points = out.segments.map(({ point }) => ({ x: point.x, y: point.y }))
	path.remove()
	out.remove()
	return points
}
