import { nextEdge, triangleOf } from './edges.ts'
import { type ScanMesh, triangleCount } from './mesh.ts'

/** Where a plane cuts the mesh, one run of triangles after the other. */
export interface Cut {
	/** y, z, y, z, ... */
	readonly yz: Float64Array
	readonly closed: boolean
	readonly length: number
}

/**
 * The cuts of a mesh with the planes x = at[i], `at` increasing: for each plane its lines, longest first. A corner that lies in
 * a plane counts as behind it, so that every cut triangle has two cut edges and lines never branch; they are followed from
 * triangle to triangle over `other` (see pairEdges).
 */
export function slice(mesh: ScanMesh, other: Int32Array, at: ArrayLike<number>): Cut[][] {
	const { start, list } = trianglesBy(mesh, at)
	const seen = new Int32Array(triangleCount(mesh)).fill(-1)
	return Array.from({ length: at.length }, (_, i) => {
		const plane = at[i]!
		const cuts: Cut[] = []
		// first from the borders inward, then what is left are rings
		for (const ring of [false, true]) {
			for (let k = start[i]!; k < start[i + 1]!; k++) {
				const t = list[k]!
				if (seen[t] === i) continue
				const [e, f] = cutEdges(mesh, t, plane)
				if (ring) cuts.push(follow(mesh, other, plane, e, seen, i))
				else if (other[e]! < 0) cuts.push(follow(mesh, other, plane, e, seen, i))
				else if (other[f]! < 0) cuts.push(follow(mesh, other, plane, f, seen, i))
			}
		}
		return cuts.sort((a, b) => b.length - a.length)
	})
}

/** For each plane the triangles that it cuts, one list after the other. */
function trianglesBy(mesh: ScanMesh, at: ArrayLike<number>): { start: Uint32Array; list: Uint32Array } {
	const { positions, triangles } = mesh
	const count = triangleCount(mesh)
	const from = new Uint16Array(count)
	const to = new Uint16Array(count)
	const start = new Uint32Array(at.length + 1)
	// how many planes lie at or before x
	const before = (x: number) => {
		let low = 0
		let high = at.length
		while (low < high) {
			const middle = (low + high) >> 1
			if (at[middle]! <= x) low = middle + 1
			else high = middle
		}
		return low
	}
	const rank = new Uint16Array(positions.length / 3)
	for (let v = 0; v < rank.length; v++) rank[v] = before(positions[3 * v]!)
	for (let t = 0; t < count; t++) {
		const a = rank[triangles[3 * t]!]!
		const b = rank[triangles[3 * t + 1]!]!
		const c = rank[triangles[3 * t + 2]!]!
		from[t] = Math.min(a, b, c)
		to[t] = Math.max(a, b, c)
		for (let i = from[t]!; i < to[t]!; i++) start[i + 1] = start[i + 1]! + 1
	}
	for (let i = 1; i < start.length; i++) start[i] = start[i]! + start[i - 1]!
	const next = start.slice()
	const list = new Uint32Array(start[at.length]!)
	for (let t = 0; t < count; t++) {
		for (let i = from[t]!; i < to[t]!; i++) {
			list[next[i]!] = t
			next[i] = next[i]! + 1
		}
	}
	return { start, list }
}

const behind = ({ positions, triangles }: ScanMesh, e: number, plane: number) => positions[3 * triangles[e]!]! >= plane

function cutEdges(mesh: ScanMesh, t: number, plane: number): [number, number] {
	const [a, b, c] = [behind(mesh, 3 * t, plane), behind(mesh, 3 * t + 1, plane), behind(mesh, 3 * t + 2, plane)]
	return a !== b ? [3 * t, b !== c ? 3 * t + 1 : 3 * t + 2] : [3 * t + 1, 3 * t + 2]
}

/** From edge `first` through its triangle and on, to a border or round to `first` again. Marks what it passes: that is its limit. */
function follow(mesh: ScanMesh, other: Int32Array, plane: number, first: number, seen: Int32Array, mark: number): Cut {
	const yz: number[] = []
	let length = 0
	const add = (e: number) => {
		const [y, z] = cutPoint(mesh, e, plane)
		const n = yz.length
		if (n > 0) length += Math.hypot(y - yz[n - 2]!, z - yz[n - 1]!)
		yz.push(y, z)
	}
	add(first)
	let t = triangleOf(first)
	let e = first
	while (seen[t] !== mark) {
		seen[t] = mark
		const [a, b] = cutEdges(mesh, t, plane)
		e = e === a ? b : a
		add(e)
		const across = other[e]!
		if (across < 0) return { yz: Float64Array.from(yz), closed: false, length }
		e = across
		t = triangleOf(across)
	}
	// the last point of a ring is its first one again
	return { yz: Float64Array.from(yz.slice(0, -2)), closed: true, length }
}

/** The same bits from both triangles of an edge: it is always run through from its lower corner. */
function cutPoint({ positions: p, triangles }: ScanMesh, e: number, plane: number): [number, number] {
	const [i, j] = [triangles[e]!, triangles[nextEdge(e)]!]
	const a = 3 * Math.min(i, j)
	const b = 3 * Math.max(i, j)
	const t = (plane - p[a]!) / (p[b]! - p[a]!)
	return [p[a + 1]! + t * (p[b + 1]! - p[a + 1]!), p[a + 2]! + t * (p[b + 2]! - p[a + 2]!)]
}
