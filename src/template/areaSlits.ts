import type { Chart } from '../chart/chart.ts'
import type { PlanePoint } from '../plane/point.ts'
import { pointInRegion, signedArea } from '../plane/polyline.ts'
import { simplify } from '../plane/simplify.ts'
import type { AreaOutline, OutlinePoint } from './areaOutline.ts'

/** A slit from a place of the outline inward, square to it. */
export interface Slit {
	readonly loop: number
	/** which point of the loop comes before its mouth, and how far on to the next */
	readonly after: number
	readonly t: number
	readonly line: readonly [PlanePoint, PlanePoint]
}

/** A slit from a free edge comes no nearer than this to one to tape along, mm: the piece must hold together. */
const BRIDGE_MM = 8
/** A slit that is shorter than this lets nothing close, mm. */
const LEAST_MM = 4
/** A slit from an edge to tape along goes this far towards where another edge is as near. */
const DEPTH = 0.85
/** Where this much of the outline is no edge to tape along, slits may come from there alone and leave the taped edges whole. */
const FREE_SHARE = 0.25
/** Places of the outline at which depth and misfit are found, mm apart. */
const LOOK_MM = 4
const ROUGH_MM = 0.3
/** Deeper than any panel, mm. */
const FARTHEST_MM = 2000

/** More slits than this are a fringe, not a template. */
const MOST_SLITS = 40

export interface SlitPlan {
	/** slits come from edges that are not taped alone */
	readonly fromFree: boolean
	/** misfit of the side that is out by most, mm: the largest share that asks for slits at all */
	readonly most: number
	/** the slits for parts of about this misfit; undefined where they are more than a piece can bear */
	slits(shareMm: number): Slit[] | undefined
}

/**
 * Slits that share the misfit of the outline evenly, about `shareMm` to each part between two. What an edge is too long by is
 * the integral of K over what lies between it and the slits' ends, each place counted by its distance from the edge
 * (j'' = -K j, do Carmo 5-5, to first order). `free`: from edges that are not taped alone, where these are a good part of it.
 */
export function slitPlan(chart: Chart, outline: AreaOutline, from: 'free' | 'all'): SlitPlan {
	const { loops, scale } = outline
	const sides = loops.flatMap((loop, i) => sidesOf(loop, i))
	const outer = sides.filter((side) => signedArea(loops[side.loop]!) > 0)
	const all = outer.reduce((sum, side) => sum + side.length, 0)
	const free = outer.reduce((sum, side) => sum + (side.working ? 0 : side.length), 0)
	const fromFree = from === 'free' && free < all && free > FREE_SHARE * all
	const region = loops.map((loop) => simplify(loop, ROUGH_MM, true))
	const cut = outer.filter((side) => !(fromFree && side.working)).map((side) => ({ side, ...misfitOf(side) }))
	const most = Math.max(0, ...cut.map((one) => one.total))
	return { fromFree, most, slits }

	function slits(shareMm: number): Slit[] | undefined {
		const count = cut.reduce((sum, { total }) => sum + Math.ceil(total / shareMm), 0)
		if (count > MOST_SLITS + cut.length) return undefined
		const all = cut.flatMap((one) => alongSide(one, Math.ceil(one.total / shareMm)))
		return all.flatMap((slit): Slit[] => {
			const depth = Math.min(lengthOf(slit), ...all.map((other) => (other === slit ? Infinity : meets(slit.line, other.line))))
			return depth < LEAST_MM ? [] : [{ ...slit, line: [slit.line[0], towards(slit.line, depth)] }]
		})
	}

	/** The misfit of a side up to each of a row of places on it, by the trapezium rule. */
	function misfitOf(side: Side) {
		const looks = looksAlong(loops[side.loop]!, side)
		const rates = looks.map((look) => {
			const { at, way } = inward(loops[side.loop]!, look.after, look.t)
			return misfitAt(at, way, depthAt(side, at, way))
		})
		const sums = [0]
		for (let i = 1; i < looks.length; i++) {
			sums.push(sums[i - 1]! + ((rates[i - 1]! + rates[i]!) / 2) * (looks[i]!.length - looks[i - 1]!.length))
		}
		return { looks, sums, total: sums[sums.length - 1]! }
	}

	function alongSide({ side, looks, sums, total }: { side: Side } & ReturnType<typeof misfitOf>, parts: number): Slit[] {
		if (parts < 2) return []
		const l = side.loop
		const loop = loops[l]!
		const wanted = side.closed
			? Array.from({ length: parts }, (_, k) => (total * (k + 0.5)) / parts)
			: Array.from({ length: parts - 1 }, (_, k) => (total * (k + 1)) / parts)
		return wanted.flatMap((want): Slit[] => {
			const i = Math.max(
				1,
				sums.findIndex((sum) => sum >= want),
			)
			const f = (want - sums[i - 1]!) / (sums[i]! - sums[i - 1]!)
			const place = placeAt(loop, side, looks[i - 1]!.length + (looks[i]!.length - looks[i - 1]!.length) * f)
			const { at, way } = inward(loop, place.after, place.t)
			const depth = depthAt(side, at, way)
			return depth < LEAST_MM ? [] : [{ loop: l, ...place, line: [at, { x: at.x + way.x * depth, y: at.y + way.y * depth }] }]
		})
	}

	/** Square to the outline on the panel, 1 mm long in the outline's plane. */
	function inward(loop: readonly OutlinePoint[], after: number, t: number): { at: PlanePoint; way: PlanePoint } {
		const [p, q] = [loop[after]!, next(loop, after)]
		const at = { x: p.x + (q.x - p.x) * t, y: p.y + (q.y - p.y) * t }
		const { j } = chart.metric(at.x / scale, at.y)
		const [x, y] = [-((q.y - p.y) * scale) / j, ((q.x - p.x) * j) / scale]
		const size = Math.hypot(x, y) || 1
		return { at, way: { x: x / size, y: y / size } }
	}

	/** Up to where another side is as near; from a side that is not taped, up to the taped ones. */
	function depthAt(from: Side, at: PlanePoint, way: PlanePoint): number {
		let depth = 0
		for (let t = LOOK_MM / 2; t < FARTHEST_MM; t += LOOK_MM / 2) {
			const p = { x: at.x + way.x * t, y: at.y + way.y * t }
			if (!pointInRegion(p, region)) break
			const near = sides.some((side) => {
				if (fromFree && side === from) return false
				return nearest(p, side.edges) < (fromFree && side.working ? BRIDGE_MM : 0.9 * t - ROUGH_MM)
			})
			if (near) break
			depth = t
		}
		return fromFree ? depth : depth * DEPTH
	}

	function misfitAt(at: PlanePoint, way: PlanePoint, depth: number): number {
		const n = 6
		let sum = 0
		for (let k = 0; k < n; k++) {
			const t = ((k + 0.5) * depth) / n
			sum += Math.abs(chart.metric((at.x + way.x * t) / scale, at.y + way.y * t).k) * t * (depth / n)
		}
		return sum
	}
}

type Edge = readonly [PlanePoint, PlanePoint]

/** Part of a loop between two corners, all of it taped or none: steps from one of its points on. */
interface Side {
	readonly loop: number
	readonly from: number
	readonly steps: number
	readonly closed: boolean
	readonly working: boolean
	readonly length: number
	/** roughly */
	readonly edges: readonly Edge[]
}

const next = (loop: readonly OutlinePoint[], i: number): OutlinePoint => loop[(i + 1) % loop.length]!
const lengthOf = ({ line: [p, q] }: Slit) => Math.hypot(q.x - p.x, q.y - p.y)

/** A loop in its sides; without a corner, or a change, one from its front. */
function sidesOf(loop: readonly OutlinePoint[], number: number): Side[] {
	const n = loop.length
	const taped = (i: number) => loop[i % n]!.working && loop[(i + 1) % n]!.working
	const ends = loop.flatMap((p, i) => (p.corner || taped(i) !== taped(i + n - 1) ? [i] : []))
	const closed = ends.length === 0
	if (closed) ends.push(loop.reduce((best, p, i) => (p.x < loop[best]!.x ? i : best), 0))
	return ends.map((from, k): Side => {
		const steps = ((ends[(k + 1) % ends.length]! - from + n - 1) % n) + 1
		const points = simplify(
			Array.from({ length: steps + 1 }, (_, i) => loop[(from + i) % n]!),
			ROUGH_MM,
		)
		const edges = points.slice(1).map((q, i): Edge => [points[i]!, q])
		const length = edges.reduce((sum, [p, q]) => sum + Math.hypot(q.x - p.x, q.y - p.y), 0)
		return { loop: number, from, steps, closed, working: taped(from), length, edges }
	})
}

/** Places along a run at most `LOOK_MM` apart, with the length from its start. */
function looksAlong(loop: readonly OutlinePoint[], run: Side): { after: number; t: number; length: number }[] {
	const out = [{ after: run.from, t: 0, length: 0 }]
	let length = 0
	for (let k = 0; k < run.steps; k++) {
		const after = (run.from + k) % loop.length
		const [p, q] = [loop[after]!, next(loop, after)]
		const step = Math.hypot(q.x - p.x, q.y - p.y)
		length += step
		if (length - out[out.length - 1]!.length >= LOOK_MM - 1e-9 || k === run.steps - 1) out.push({ after, t: 1, length })
	}
	return out
}

function placeAt(loop: readonly OutlinePoint[], run: Side, length: number): { after: number; t: number } {
	let left = length
	for (let k = 0; k < run.steps; k++) {
		const after = (run.from + k) % loop.length
		const [p, q] = [loop[after]!, next(loop, after)]
		const step = Math.hypot(q.x - p.x, q.y - p.y)
		if (left <= step) return { after, t: step > 0 ? left / step : 0 }
		left -= step
	}
	return { after: (run.from + run.steps - 1) % loop.length, t: 1 }
}

function nearest(p: PlanePoint, edges: readonly Edge[]): number {
	let best = Number.POSITIVE_INFINITY
	for (const [a, b] of edges) {
		const [vx, vy] = [b.x - a.x, b.y - a.y]
		const square = vx * vx + vy * vy
		const t = square > 0 ? Math.min(1, Math.max(0, ((p.x - a.x) * vx + (p.y - a.y) * vy) / square)) : 0
		best = Math.min(best, (a.x + t * vx - p.x) ** 2 + (a.y + t * vy - p.y) ** 2)
	}
	return Math.sqrt(best)
}

const towards = ([p, q]: Edge, length: number): PlanePoint => {
	const f = length / Math.hypot(q.x - p.x, q.y - p.y)
	return { x: p.x + (q.x - p.x) * f, y: p.y + (q.y - p.y) * f }
}

/** How far along the first slit the second comes too near; more than its length where it never does. */
function meets(slit: Slit['line'], other: Slit['line']): number {
	const length = Math.hypot(slit[1].x - slit[0].x, slit[1].y - slit[0].y)
	const gap = Math.min(BRIDGE_MM / 2, 0.5 * Math.hypot(other[0].x - slit[0].x, other[0].y - slit[0].y))
	for (let t = 0; t <= length; t += 0.5) if (nearest(towards(slit, t), [other]) < gap) return t - 0.5
	return Number.POSITIVE_INFINITY
}
