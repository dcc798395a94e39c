// How true an offset edge is and how long it takes, beside what general libraries make of the same edge in the same run.
import clipper from 'clipper-lib'
import { EndType, inflatePathsD, JoinType } from 'clipper2-ts'
import paper from 'paper'
import { circleCubics } from '../../src/plane/arc.ts'
import { cubicAt, cubicDerivative } from '../../src/plane/cubic.ts'
import { fitCubics, type Jet } from '../../src/plane/fit.ts'
import { flatten } from '../../src/plane/flatten.ts'
import { offsetCubics } from '../../src/plane/offset.ts'
import type { Cubic, PlanePoint } from '../../src/plane/point.ts'
import { atMost, medianMs, type Row, shown } from '../measure.ts'

const TOLERANCE_MM = 0.0005
/** The edges themselves are so near their true curves that they do not show in the result. */
const EDGE_TOLERANCE_MM = 1e-6
/** What is handed to the polygon libraries, and what arcs they are asked for. */
const POLYGON_SAGITTA_MM = 0.001
/** mm to clipper-lib's integers */
const GRID = 1e4

interface Shape {
	readonly name: string
	readonly closed: boolean
	/** to the left of travel for d > 0; inwards on these closed shapes, which run anticlockwise */
	readonly d: number
	readonly edge: readonly Cubic[]
	/** the true curve over 0..1 */
	readonly at: (t: number) => Jet
}

const turn = 2 * Math.PI
const ellipse = (a: number, b: number) => (angle: number) => ({
	x: a * Math.cos(angle),
	y: b * Math.sin(angle),
	dx: -a * Math.sin(angle),
	dy: b * Math.cos(angle),
})
const round = (at: (angle: number) => Jet) => (t: number) => at(turn * t)
const sCubic: Cubic = [
	{ x: 0, y: 0 },
	{ x: 60, y: 0 },
	{ x: 40, y: 50 },
	{ x: 100, y: 50 },
]
const sJet = (u: number): Jet => {
	const { x: dx, y: dy } = cubicDerivative(sCubic, u)
	return { ...cubicAt(sCubic, u), dx, dy }
}

const shapes: readonly Shape[] = [
	{
		name: 'circle',
		closed: true,
		d: -10,
		edge: circleCubics({ x: 0, y: 0 }, 50, EDGE_TOLERANCE_MM).cubics,
		at: round(ellipse(50, 50)),
	},
	{
		name: 'ellipse',
		closed: true,
		d: 10,
		edge: fitCubics(ellipse(60, 35), 0, turn, { toleranceMm: EDGE_TOLERANCE_MM }).cubics,
		at: round(ellipse(60, 35)),
	},
	{ name: 'sCurve', closed: false, d: 6, edge: [sCubic], at: sJet },
]

/** Each way to offset answers a polyline, fine enough that its chords do not show. `outline`: it runs round both sides of an open edge. */
interface Way {
	readonly name: string
	readonly outlines: boolean
	/** what has to be ready before the clock starts, then the work itself, then its result as a polyline */
	readonly prepare: (shape: Shape) => () => unknown
	readonly points: (result: never) => PlanePoint[]
}

const way = <R>(
	name: string,
	outlines: boolean,
	prepare: (shape: Shape) => () => R,
	points: (result: R) => PlanePoint[],
): Way => ({
	name,
	outlines,
	prepare,
	points: points as (result: never) => PlanePoint[],
})

const ours = way(
	'stripewright',
	false,
	({ edge, d, closed }) =>
		() =>
			offsetCubics(edge, d, { toleranceMm: TOLERANCE_MM, closed }),
	(offset) => offset.paths.flatMap(({ cubics }) => flatten(cubics, EDGE_TOLERANCE_MM)),
)

const others = [
	way(
		'clipper-lib',
		true,
		({ edge, d, closed }) => {
			const path = polygon(edge, closed).map(({ x, y }) => ({ X: Math.round(x * GRID), Y: Math.round(y * GRID) }))
			const end = closed ? clipper.EndType.etClosedPolygon : clipper.EndType.etOpenButt
			return () => {
				const offsetter = new clipper.ClipperOffset(2, POLYGON_SAGITTA_MM * GRID)
				offsetter.AddPaths([path], clipper.JoinType.jtRound, end)
				const solution: { X: number; Y: number }[][] = []
				offsetter.Execute(solution, polygonDelta(d, closed) * GRID)
				return solution
			}
		},
		(loops) => loops.flatMap((loop) => ring(loop.map(({ X, Y }) => ({ x: X / GRID, y: Y / GRID })))),
	),
	way(
		'clipper2-ts',
		true,
		({ edge, d, closed }) => {
			const path = polygon(edge, closed).map(({ x, y }) => ({ x, y }))
			const end = closed ? EndType.Polygon : EndType.Butt
			// Half the width is given for both: an open path is grown by d on either side.
			return () => inflatePathsD([path], polygonDelta(d, closed), JoinType.Round, end, 2, 4, POLYGON_SAGITTA_MM)
		},
		(loops) => loops.flatMap((loop) => ring(loop.map(({ x, y }) => ({ x, y })))),
	),
	way(
		'paper through 96 moved points',
		false,
		({ edge, d, closed }) => {
			paper.setup(new paper.Size(1, 1))
			const path = new paper.Path({ closed, insert: false })
			for (const c of closed ? edge : [...edge, edge[edge.length - 1] as Cubic]) path.add(new paper.Point(c[0].x, c[0].y))
			edge.forEach((c, i) => {
				const next = path.segments[(i + 1) % path.segments.length]
				const here = path.segments[i]
				if (here === undefined || next === undefined) return
				if (!closed) next.point = new paper.Point(c[3].x, c[3].y)
				here.handleOut = new paper.Point(c[1].x - c[0].x, c[1].y - c[0].y)
				next.handleIn = new paper.Point(c[2].x - c[3].x, c[2].y - c[3].y)
			})
			return () => movedAlongNormals(path, d, closed)
		},
		(path) => flatten(path.curves.map(cubicOf), EDGE_TOLERANCE_MM),
	),
]

function movedAlongNormals(path: paper.Path, d: number, closed: boolean): paper.Path {
	const count = 96
	const moved = new paper.Path({ closed, insert: false })
	for (let i = 0; i < count; i++) {
		const along = (path.length * i) / (closed ? count : count - 1)
		// paper's normal points to the right of travel where y is up
		moved.add(path.getPointAt(along).subtract(path.getNormalAt(along).multiply(d)))
	}
	moved.smooth({ type: 'continuous' })
	return moved
}

function cubicOf(curve: paper.Curve): Cubic {
	const at = (p: paper.Point) => ({ x: p.x, y: p.y })
	return [at(curve.point1), at(curve.point1.add(curve.handle1)), at(curve.point2.add(curve.handle2)), at(curve.point2)]
}

function polygon(edge: readonly Cubic[], closed: boolean): PlanePoint[] {
	const points = flatten(edge, POLYGON_SAGITTA_MM)
	return closed ? points.slice(0, -1) : points
}

/** Polygon libraries grow for a positive distance. */
function polygonDelta(d: number, closed: boolean): number {
	return closed ? -d : Math.abs(d)
}

function ring(points: PlanePoint[]): PlanePoint[] {
	return [...points, ...points.slice(0, 1)]
}

/** The parallel curve by its definition: every place moved by d along its normal. */
function truth({ at, d }: Shape, count: number): PlanePoint[] {
	return Array.from({ length: count + 1 }, (_, i) => {
		const { x, y, dx, dy } = at(i / count)
		const pace = Math.hypot(dx, dy)
		return { x: x - (d * dy) / pace, y: y + (d * dx) / pace }
	})
}

/** Largest distance from the true parallel to the result and, unless the result goes round both sides, from the result to the parallel. */
function errorMm(shape: Shape, result: PlanePoint[], outlines: boolean): number {
	// 16,000 chords of the longest of these curves have a sagitta below 1e-5 mm.
	const there = worst(truth(shape, 499), result)
	if (outlines && !shape.closed) return there
	const step = Math.max(1, Math.floor(result.length / 500))
	const some = result.filter((_, i) => i % step === 0)
	return Math.max(there, worst(some, truth(shape, 16_000)))
}

function worst(points: readonly PlanePoint[], line: readonly PlanePoint[]): number {
	return Math.max(...points.map((p) => distanceTo(p, line)))
}

function distanceTo(p: PlanePoint, line: readonly PlanePoint[]): number {
	let best = Number.POSITIVE_INFINITY
	for (let i = 1; i < line.length; i++) {
		const a = line[i - 1] as PlanePoint
		const b = line[i] as PlanePoint
		const [ux, uy, px, py] = [b.x - a.x, b.y - a.y, p.x - a.x, p.y - a.y]
		const square = ux * ux + uy * uy
		const t = square === 0 ? 0 : Math.min(1, Math.max(0, (ux * px + uy * py) / square))
		best = Math.min(best, Math.hypot(px - t * ux, py - t * uy))
	}
	return best
}

async function measure(shape: Shape, { prepare, points, outlines }: Way): Promise<{ error: number; ms: number }> {
	const work = prepare(shape)
	return { error: errorMm(shape, points(work() as never), outlines), ms: await medianMs(work) }
}

async function rowsOf(shape: Shape): Promise<Row[]> {
	const own = await measure(shape, ours)
	const beside: { name: string; error: number; ms: number }[] = []
	for (const other of others) beside.push({ name: other.name, ...(await measure(shape, other)) })
	const say = (key: 'error' | 'ms') => beside.map((other) => `${other.name} ${Number(other[key].toPrecision(2))}`).join(', ')
	return [
		atMost(`main.offset.${shape.name}.error`, own.error, 'mm', TOLERANCE_MM, say('error')),
		shown(`main.offset.${shape.name}.time`, own.ms, 'ms', say('ms')),
	]
}

export async function rows(): Promise<Row[]> {
	const all: Row[] = []
	for (const shape of shapes) all.push(...(await rowsOf(shape)))
	return all
}
