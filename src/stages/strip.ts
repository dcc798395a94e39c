/** What lies between two distances off a line: the outline of a tape, or of a lap. */
import type { Chart } from '../chart/chart.ts'
import { evaluateCubic, frameOf, toPlaneCubic, wrap } from '../chart/curve.ts'
import { shoot } from '../chart/geodesic.ts'
import type { ChartCubic, ChartPoint, Curve } from '../chart/point.ts'
import { toChart, toPlane } from '../chart/region.ts'
import { flattenWithParams } from '../plane/flatten.ts'
import type { PlanePoint, Region } from '../plane/point.ts'
import { signedArea } from '../plane/polyline.ts'
import { normalise, union, xor } from '../plane/region.ts'
import { onceRound } from '../scheme/outline.ts'

/** Chords of the line leave it by no more than this, mm: a tenth of what shows at a painted edge. */
const CHORD_MM = 0.005
/** On a straight line of a curved panel its parallel bends all the same: looks at least so near, mm. */
const LOOK_MM = 8
/** Paths off the line are so exact, mm. */
const PATH_MM = 1e-3
/** A turn of less is no corner; round a corner looks so near each other, radians. */
const CORNER_RAD = 0.01
const FAN_RAD = 0.2

/** A place of a line and a direction that is square to it there, on its plus side. */
interface Ray {
	readonly at: ChartPoint
	/** of the line */
	readonly angle: number
}

/**
 * The region between two distances off a line (mm, positive to its plus side), with square ends and corners gone round, in the
 * (s, g) plane. Its edges are straight paths' ends off the line, so true parallels along the panel.
 */
export function strip(chart: Chart, line: Curve, fromMm: number, toMm: number): Region {
	const rays = raysOf(chart, line)
	const [near, far] = [fromMm, toMm].map((mm) => rays.map((ray) => offRay(chart, ray, mm))) as [PlanePoint[], PlanePoint[]]
	const region = runsBack(near, far)
		? swept(near, far)
		: line.closed
			? xor(normalise([near]), normalise([far]))
			: normalise([[...near, ...far.reverse()]])
	return chart.periodS === undefined ? region : toPlane(onceRound(chart, toChart(region)))
}

/** Whether a parallel runs against its line anywhere: farther off than the line's own radius, where the two no longer bound what lies between. */
const runsBack = (near: readonly PlanePoint[], far: readonly PlanePoint[]): boolean =>
	near.some((p, i) => {
		const [before, a, b] = [near[i - 1], far[i - 1], far[i]]
		return before && a && b && (p.x - before.x) * (b.x - a.x) + (p.y - before.y) * (b.y - a.y) < 0
	})

/** All that the rays from one parallel to another go over: in one piece as long as they turn over nothing, else triangle by triangle. */
function swept(near: readonly PlanePoint[], far: readonly PlanePoint[]): Region {
	const loops: PlanePoint[][] = []
	const piece = (from: number, to: number) => {
		if (to > from) loops.push([...near.slice(from, to + 1), ...far.slice(from, to + 1).reverse()])
	}
	const way = Math.sign(near.reduce((sum, _, i) => (i === 0 ? sum : sum + signedArea(quad(near, far, i))), 0))
	let from = 0
	for (let i = 1; i < near.length; i++) {
		const [n0, n1, f1, f0] = quad(near, far, i)
		const triangles = [
			[n0, n1, f1],
			[n0, f1, f0],
		]
		if (triangles.every((loop) => signedArea(loop) * way >= 0)) continue
		piece(from, i - 1)
		loops.push(...triangles)
		from = i
	}
	piece(from, near.length - 1)
	return union(loops.map((loop) => [signedArea(loop) < 0 ? [...loop].reverse() : loop]))
}

const quad = (near: readonly PlanePoint[], far: readonly PlanePoint[], i: number) =>
	[near[i - 1], near[i], far[i], far[i - 1]] as [PlanePoint, PlanePoint, PlanePoint, PlanePoint]

const known = new WeakMap<Curve, { readonly chart: Chart; readonly rays: readonly Ray[] }>()

function raysOf(chart: Chart, line: Curve): readonly Ray[] {
	const before = known.get(line)
	if (before?.chart === chart) return before.rays
	const rays: Ray[] = []
	for (const cubic of line.cubics) {
		for (const t of looksOf(chart, cubic)) {
			const { at, angle } = frameOf(chart, evaluateCubic(cubic, t))
			if (t === 0) rays.push(...fan(rays.at(-1), at, angle))
			rays.push({ at, angle })
		}
	}
	if (line.closed && rays[0]) rays.push(...fan(rays.at(-1), rays[0].at, rays[0].angle))
	known.set(line, { chart, rays })
	return rays
}

function looksOf(chart: Chart, cubic: ChartCubic): readonly number[] {
	const scale = (s: number, g: number) => ({ sx: chart.metric(s, g).j, sy: 1 })
	const { params } = flattenWithParams([toPlaneCubic(cubic)], CHORD_MM, chart.euclidean ? undefined : scale)
	const [a, , , d] = cubic
	const least = chart.euclidean ? 1 : Math.ceil(Math.hypot(d.s - a.s, d.g - a.g) / LOOK_MM)
	return params.length > least ? params : Array.from({ length: least + 1 }, (_, i) => i / least)
}

/** Directions between those before and after a corner. */
function fan(before: Ray | undefined, at: ChartPoint, angle: number): Ray[] {
	const turn = before ? wrap(angle - before.angle) : 0
	if (!before || Math.abs(turn) < CORNER_RAD) return []
	const n = Math.ceil(Math.abs(turn) / FAN_RAD)
	return Array.from({ length: n - 1 }, (_, i) => ({ at, angle: before.angle + (turn * (i + 1)) / n }))
}

function offRay(chart: Chart, { at, angle }: Ray, mm: number): PlanePoint {
	if (mm === 0) return { x: at.s, y: at.g }
	const { at: to } = shoot(chart, at, angle + (Math.sign(mm) * Math.PI) / 2, Math.abs(mm), {
		toleranceMm: PATH_MM,
		spreadShare: 0,
	})
	return { x: to.s, y: to.g }
}
