import type { Chart } from '../chart/chart.ts'
import type { ChartPoint } from '../chart/point.ts'
import type { Triangulation } from '../plane/triangulate.ts'
import type { EdgeMesh } from './arap.ts'

/** Triangles on the panel, cut along the slits. */
export interface PanelMesh extends EdgeMesh {
	readonly s: Float64Array
	readonly g: Float64Array
	/** by corner: the corner from which the triangle on the other side has the same edge; -1 on the rim */
	readonly twin: Int32Array
	readonly rim: readonly RimLoop[]
	/** the triangulation's vertex that each vertex lies on: a slit's are there twice */
	readonly source: Int32Array
}

/** The rim in turn, the mesh to its left; slits are part of it, first the one side and then the other. */
export interface RimLoop {
	readonly vertices: readonly number[]
	/** whether the edge from each vertex to the next runs along a slit */
	readonly slit: readonly boolean[]
}

/** A triangulation whose x is `scale` times the station and whose y is the girth, cut along its lines. */
export function panelMesh(chart: Chart, plane: Triangulation, scale: number): PanelMesh {
	const { triangles, source, onSlit } = cut(plane)
	const s = Float64Array.from(source, (v) => plane.x[v]! / scale)
	const g = Float64Array.from(source, (v) => plane.y[v]!)
	const twin = twins(triangles, source.length)
	return {
		vertices: s.length,
		s,
		g,
		triangles,
		twin,
		source,
		rim: rimOf(triangles, twin, onSlit),
		lengths: edgeLengths(chart, s, g, triangles, twin),
	}
}

/** Shares of a chord at which its length is taken: Gauss-Legendre, 3 nodes (Abramowitz & Stegun 25.4.30). */
const NODE = Math.sqrt(0.6) / 2

/**
 * Length of the straightest path between two near places: the length of their chord in (s, g), less what its bend k makes it
 * longer, k^2 L^3 / 24. Good to the fifth power of the length.
 */
export function shortLength(chart: Chart, p: ChartPoint, q: ChartPoint): number {
	const ds = q.s - p.s
	const dg = q.g - p.g
	const [s, g] = [(p.s + q.s) / 2, (p.g + q.g) / 2]
	const m = chart.metric(s, g)
	const middle = Math.sqrt((m.j * ds) ** 2 + dg * dg)
	if (ds === 0) return middle
	const a = chart.metric(s - NODE * ds, g - NODE * dg).j * ds
	const b = chart.metric(s + NODE * ds, g + NODE * dg).j * ds
	const chord = (5 * Math.sqrt(a * a + dg * dg) + 8 * middle + 5 * Math.sqrt(b * b + dg * dg)) / 18
	// How the chord bends on the panel: Christoffel's symbols of dl^2 = J^2 ds^2 + dg^2.
	const along = (m.js / m.j) * ds * ds + 2 * (m.jg / m.j) * ds * dg
	const across = -m.j * m.jg * ds * ds
	const turn = (m.j * (ds * across - dg * along)) / (middle * middle)
	return chord * (1 - (turn * turn) / 24)
}

function edgeLengths(chart: Chart, s: Float64Array, g: Float64Array, triangles: Uint32Array, twin: Int32Array): Float64Array {
	const out = new Float64Array(triangles.length)
	for (let e = 0; e < triangles.length; e++) {
		const other = twin[e]!
		const [a, b] = [triangles[e]!, triangles[ahead(e)]!]
		out[e] = other >= 0 && other < e ? out[other]! : shortLength(chart, { s: s[a]!, g: g[a]! }, { s: s[b]!, g: g[b]! })
	}
	return out
}

const ahead = (e: number) => (e % 3 === 2 ? e - 2 : e + 1)

/** Each vertex on a line is there once for each of the fans that the lines leave around it. */
function cut({ x, triangles, lines }: Triangulation) {
	const source = Array.from({ length: x.length }, (_, i) => i)
	const out = triangles.slice()
	const wall = new Set<number>()
	const key = (a: number, b: number) => (a < b ? a * x.length + b : b * x.length + a)
	const onLine = new Map<number, number[]>()
	for (const line of lines) {
		line.forEach((v, i) => {
			onLine.set(v, [])
			if (i > 0) wall.add(key(line[i - 1]!, v))
		})
	}
	if (onLine.size > 0) for (let e = 0; e < triangles.length; e++) onLine.get(triangles[e]!)?.push(e)
	for (const [v, corners] of onLine) {
		const left = new Set(corners)
		let fans = 0
		for (const start of corners) {
			if (!left.delete(start)) continue
			const fan = [start]
			for (let i = 0; i < fan.length; i++) {
				const e = fan[i]!
				const sides = [triangles[ahead(e)]!, triangles[ahead(ahead(e))]!].filter((w) => !wall.has(key(v, w)))
				for (const other of left) {
					const ends = [triangles[ahead(other)]!, triangles[ahead(ahead(other))]!]
					if (!sides.some((w) => ends.includes(w))) continue
					left.delete(other)
					fan.push(other)
				}
			}
			if (fans++ === 0) continue
			for (const e of fan) out[e] = source.length
			source.push(v)
		}
	}
	const onSlit = (v: number, w: number) => wall.has(key(source[v]!, source[w]!))
	return { triangles: out, source: Int32Array.from(source), onSlit }
}

function twins(triangles: Uint32Array, vertices: number): Int32Array {
	const twin = new Int32Array(triangles.length).fill(-1)
	// Edges by the vertex that they leave.
	const first = new Int32Array(vertices).fill(-1)
	const next = new Int32Array(triangles.length)
	for (let e = 0; e < triangles.length; e++) {
		const [a, b] = [triangles[e]!, triangles[ahead(e)]!]
		for (let other = first[b]!; other >= 0; other = next[other]!) {
			if (triangles[ahead(other)] !== a) continue
			twin[e] = other
			twin[other] = e
			break
		}
		next[e] = first[a]!
		first[a] = e
	}
	return twin
}

/** The edges that have no other triangle beside them, joined up. */
function rimOf(triangles: Uint32Array, twin: Int32Array, onSlit: (v: number, w: number) => boolean): RimLoop[] {
	const after = new Map<number, number[]>()
	for (let e = 0; e < triangles.length; e++) {
		if (twin[e]! >= 0) continue
		const list = after.get(triangles[e]!)
		if (list) list.push(triangles[ahead(e)]!)
		else after.set(triangles[e]!, [triangles[ahead(e)]!])
	}
	const loops: RimLoop[] = []
	for (const start of after.keys()) {
		const vertices: number[] = []
		for (let v = start; ; ) {
			const to = after.get(v)?.pop()
			if (to === undefined) break
			vertices.push(v)
			v = to
		}
		const slit = vertices.map((v, i) => onSlit(v, vertices[(i + 1) % vertices.length]!))
		if (vertices.length > 0) loops.push({ vertices, slit })
	}
	return loops
}
