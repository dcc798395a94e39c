import Delaunator from 'delaunator'
import type { PlanePoint } from './point.ts'
import { signedArea } from './polyline.ts'

export interface TriangulateInput {
	/** outer loops anticlockwise, holes clockwise; every point becomes a vertex, longer edges are divided evenly */
	readonly loops: readonly (readonly PlanePoint[])[]
	/** open lines inside that edges must follow (they may start on a loop's point) */
	readonly lines?: readonly (readonly PlanePoint[])[]
	/** wanted length of edges */
	readonly edgeMm: number
}

export interface Triangulation {
	readonly x: Float64Array
	readonly y: Float64Array
	/** three vertices each, anticlockwise */
	readonly triangles: Uint32Array
	/** vertices of each loop and of each line in turn */
	readonly loops: readonly (readonly number[])[]
	readonly lines: readonly (readonly number[])[]
}

/** Grid points keep this share of an edge away from loops and lines: the edges of these then have empty circles about them. */
const CLEAR = 0.6
/** An edge of the input may be longer than wanted by this share. */
const SLACK = 0.2
/** Rounds of halving edges that are missing: two lines that meet at a sharp angle need one for each halving of their gap. */
const MAX_ROUNDS = 24
/** Two points this near are one. */
const SAME_MM = 1e-6
/** More vertices than this are not a mesh for paper. */
const MOST_VERTICES = 100_000

/**
 * Triangles that fill a region: a grid of equilateral triangles inside, its edges and lines as they are. Delaunay; an edge of
 * the region that is missing is halved until it is there (conforming Delaunay: Edelsbrunner & Tan, 1993). The grid is alike
 * about y = 0, so that a region and its mirror image are filled alike. Undefined where edges cross or come too near each other.
 */
export function triangulate(input: TriangulateInput): Triangulation | undefined {
	const points: number[] = []
	const known = new Map<string, number>()
	const vertex = (p: PlanePoint): number => {
		const key = `${Math.round(p.x / SAME_MM)} ${Math.round(p.y / SAME_MM)}`
		const old = known.get(key)
		if (old !== undefined) return old
		points.push(p.x, p.y)
		known.set(key, points.length / 2 - 1)
		return points.length / 2 - 1
	}
	const chain = (line: readonly PlanePoint[], closed: boolean) => {
		const out: number[] = []
		line.forEach((p, i) => {
			const q = line[i + 1] ?? (closed ? line[0] : undefined)
			const here = vertex(p)
			if (out[out.length - 1] !== here) out.push(here)
			if (!q) return
			const n = Math.ceil(Math.hypot(q.x - p.x, q.y - p.y) / input.edgeMm - SLACK)
			for (let k = 1; k < n; k++) out.push(vertex({ x: p.x + ((q.x - p.x) * k) / n, y: p.y + ((q.y - p.y) * k) / n }))
		})
		if (closed && out.length > 1 && out[0] === out[out.length - 1]) out.pop()
		return out
	}
	const loops = input.loops.map((loop) => chain(loop, true))
	const lines = (input.lines ?? []).map((line) => chain(line, false))
	if (loops.length === 0 || loops.some((l) => l.length < 3)) return undefined
	if (!fillGrid(points, loops, lines, input.edgeMm)) return undefined
	for (let round = 0; round < MAX_ROUNDS; round++) {
		const mesh = new Delaunator(Float64Array.from(points))
		const edges = edgesAlong(mesh.triangles, loops, lines)
		const has = (a: number, b: number) => edges.has(a * KEY + b) || edges.has(b * KEY + a)
		let missing = 0
		const halve = (chainOf: number[], closed: boolean) => {
			const out: number[] = []
			chainOf.forEach((a, i) => {
				out.push(a)
				const b = chainOf[i + 1] ?? (closed ? chainOf[0] : undefined)
				if (b === undefined || has(a, b)) return
				missing++
				out.push(vertex({ x: (points[2 * a]! + points[2 * b]!) / 2, y: (points[2 * a + 1]! + points[2 * b + 1]!) / 2 }))
			})
			chainOf.splice(0, chainOf.length, ...out)
		}
		for (const loop of loops) halve(loop, true)
		for (const line of lines) halve(line, false)
		if (missing === 0) return inside(points, mesh, edges, loops, lines)
		if (points.length / 2 > MOST_VERTICES) return undefined
	}
	return undefined
}

const KEY = 2 ** 24

/** Of the edges between vertices of loops and lines: which half-edge of the mesh leads from the one to the other. */
function edgesAlong(
	triangles: Uint32Array,
	loops: readonly (readonly number[])[],
	lines: readonly (readonly number[])[],
): Map<number, number> {
	const marked = new Uint8Array(triangles.reduce((most, v) => Math.max(most, v), 0) + 1)
	for (const chain of [...loops, ...lines]) for (const v of chain) marked[v] = 1
	const edges = new Map<number, number>()
	for (let e = 0; e < triangles.length; e++) {
		const a = triangles[e]!
		const b = triangles[e % 3 === 2 ? e - 2 : e + 1]!
		if (marked[a] === 1 && marked[b] === 1) edges.set(a * KEY + b, e)
	}
	return edges
}

/** Triangles to the left of the loops, and all that these reach without crossing one. */
function inside(
	points: readonly number[],
	{ triangles, halfedges }: { readonly triangles: Uint32Array; readonly halfedges: Int32Array },
	edges: ReadonlyMap<number, number>,
	loops: readonly (readonly number[])[],
	lines: readonly (readonly number[])[],
): Triangulation | undefined {
	const wall = new Uint8Array(triangles.length)
	const queue: number[] = []
	const taken = new Uint8Array(triangles.length / 3)
	const take = (edge: number) => {
		const t = Math.floor(edge / 3)
		if (taken[t] === 1) return
		taken[t] = 1
		queue.push(t)
	}
	for (const loop of loops) {
		loop.forEach((a, i) => {
			const b = loop[(i + 1) % loop.length]!
			// The library's triangles turn clockwise with y up: the one to the left of a loop has its edge the other way.
			for (const e of [edges.get(a * KEY + b), edges.get(b * KEY + a)]) if (e !== undefined) wall[e] = 1
			const left = edges.get(b * KEY + a)
			if (left !== undefined) take(left)
		})
	}
	for (let t = queue.pop(); t !== undefined; t = queue.pop()) {
		for (let e = 3 * t; e < 3 * t + 3; e++) if (wall[e] === 0 && halfedges[e]! >= 0) take(halfedges[e]!)
	}
	const kept = new Uint32Array(3 * taken.reduce((sum, t) => sum + t, 0))
	if (kept.length === 0) return undefined
	// Grid points outside are dropped.
	const number = new Int32Array(points.length / 2).fill(-1)
	const used: number[] = []
	let end = 0
	for (let t = 0; t < taken.length; t++) {
		if (taken[t] === 0) continue
		for (const e of [3 * t, 3 * t + 2, 3 * t + 1]) {
			const v = triangles[e]!
			if (number[v] === -1) number[v] = used.push(v) - 1
			kept[end++] = number[v]!
		}
	}
	const x = new Float64Array(used.length)
	const y = new Float64Array(used.length)
	used.forEach((v, i) => {
		x[i] = points[2 * v]!
		y[i] = points[2 * v + 1]!
	})
	const renumbered = (list: readonly number[]) => list.map((v) => number[v]!)
	return { x, y, triangles: kept, loops: loops.map(renumbered), lines: lines.map(renumbered) }
}

/** Grid points inside the loops and clear of every edge, added to `points`; false where they are too many. */
function fillGrid(points: number[], loops: readonly number[][], lines: readonly number[][], h: number): boolean {
	const at = (v: number): PlanePoint => ({ x: points[2 * v]!, y: points[2 * v + 1]! })
	const outline = loops.map((loop) => loop.map(at))
	const area = outline.reduce((sum, loop) => sum + signedArea(loop), 0)
	if (!(area > 0) || area / (h * h) > MOST_VERTICES) return false
	const step = h * Math.sqrt(3 / 4)
	// Edges by the rows of the grid that they may be too near to.
	const rows = new Map<number, Edge[]>()
	const enter = (from: number, to: number, loop: boolean) => {
		const edge = { p: at(from), q: at(to), loop }
		const low = Math.floor((Math.min(edge.p.y, edge.q.y) - CLEAR * h) / step)
		const high = Math.ceil((Math.max(edge.p.y, edge.q.y) + CLEAR * h) / step)
		for (let r = low; r <= high; r++) {
			const row = rows.get(r)
			if (row) row.push(edge)
			else rows.set(r, [edge])
		}
	}
	for (const loop of loops) loop.forEach((v, i) => void enter(v, loop[(i + 1) % loop.length]!, true))
	for (const line of lines) line.forEach((v, i) => void (i > 0 && enter(line[i - 1]!, v, false)))
	for (const [r, near] of rows) {
		const y = r * step
		const crossings = near
			.flatMap(({ p, q, loop }) => (loop && p.y <= y !== q.y <= y ? [p.x + ((y - p.y) / (q.y - p.y)) * (q.x - p.x)] : []))
			.sort((a, b) => a - b)
		// Every other row half an edge on, counted from y = 0 to both sides.
		const shift = r % 2 === 0 ? 0 : h / 2
		for (let c = 0; c + 1 < crossings.length; c += 2) {
			const [from, to] = [crossings[c]!, crossings[c + 1]!]
			for (let i = Math.ceil((from - shift) / h); shift + i * h < to; i++) {
				const p = { x: shift + i * h, y }
				if (near.every((e) => squareToChord(p, e.p, e.q) > (CLEAR * h) ** 2)) points.push(p.x, p.y)
			}
		}
	}
	return true
}

interface Edge {
	readonly p: PlanePoint
	readonly q: PlanePoint
	/** of a loop, not of a line */
	readonly loop: boolean
}

function squareToChord(p: PlanePoint, a: PlanePoint, b: PlanePoint): number {
	const [vx, vy] = [b.x - a.x, b.y - a.y]
	const square = vx * vx + vy * vy
	const t = square > 0 ? Math.min(1, Math.max(0, ((p.x - a.x) * vx + (p.y - a.y) * vy) / square)) : 0
	return (a.x + t * vx - p.x) ** 2 + (a.y + t * vy - p.y) ** 2
}
