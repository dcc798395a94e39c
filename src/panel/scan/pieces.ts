import { kept } from './clean.ts'
import { nextEdge, triangleOf } from './edges.ts'
import { crossOf, type ScanMesh, triangleCount } from './mesh.ts'

export interface Pieces {
	/** which piece each triangle belongs to */
	readonly of: Int32Array
	/** 1 for triangles that run round the other way than most of their piece */
	readonly turned: Uint8Array
	/** area of each piece, in the square of the mesh's unit */
	readonly areas: readonly number[]
	readonly triangles: readonly number[]
	readonly turnedCount: number
	/** pairs of neighbours that cannot be made to run alike: a sheet with one side only */
	readonly twisted: number
}

/** Walks from triangle to neighbour over the edges of `other` (see pairEdges): what hangs together, and which way round each runs. */
export function findPieces(mesh: ScanMesh, other: Int32Array): Pieces {
	const count = triangleCount(mesh)
	const { triangles } = mesh
	const of = new Int32Array(count).fill(-1)
	const turned = new Uint8Array(count)
	const stack = new Int32Array(count)
	const cross = new Float64Array(3)
	const areas: number[] = []
	const counts: number[] = []
	const inverted: number[] = []
	let turnedCount = 0
	let twisted = 0
	for (let seed = 0; seed < count; seed++) {
		if (of[seed]! >= 0) continue
		const piece = areas.length
		let area = 0
		let members = 0
		let opposite = 0
		let top = 0
		stack[top++] = seed
		of[seed] = piece
		while (top > 0) {
			const t = stack[--top]!
			members++
			opposite += turned[t]!
			crossOf(mesh, t, cross)
			area += Math.sqrt(cross[0]! ** 2 + cross[1]! ** 2 + cross[2]! ** 2) / 2
			for (let e = 3 * t; e < 3 * t + 3; e++) {
				const f = other[e]!
				if (f < 0) continue
				// neighbours run alike where they pass their edge in opposite directions
				const same = triangles[e] === triangles[f] ? 1 : 0
				const next = triangleOf(f)
				if (of[next]! < 0) {
					of[next] = piece
					turned[next] = turned[t]! ^ same
					stack[top++] = next
				} else if (turned[next] !== (turned[t]! ^ same)) twisted++
			}
		}
		const invert = 2 * opposite > members
		inverted.push(invert ? 1 : 0)
		turnedCount += invert ? members - opposite : opposite
		areas.push(area)
		counts.push(members)
	}
	for (let t = 0; t < count; t++) turned[t] = turned[t]! ^ inverted[of[t]!]!
	// each such pair was met from both of its sides
	return { of, turned, areas, triangles: counts, turnedCount, twisted: twisted / 2 }
}

/** One piece alone, all its triangles run round alike, with its edges paired as they were. */
export function onePiece(
	mesh: ScanMesh,
	other: Int32Array,
	{ of, turned }: Pieces,
	piece: number,
): { readonly mesh: ScanMesh; readonly other: Int32Array } {
	const keep = new Uint8Array(of.length)
	const to = new Int32Array(of.length)
	let count = 0
	for (let t = 0; t < of.length; t++) {
		if (of[t] !== piece) continue
		keep[t] = 1
		to[t] = count++
	}
	const { positions, triangles } = kept(mesh, keep)
	const pairs = new Int32Array(triangles.length)
	// corners 0, 2, 1 in place of 0, 1, 2: the edges then come in the opposite order
	const place = (e: number) => {
		const t = triangleOf(e)
		return 3 * to[t]! + (turned[t] ? 2 - (e % 3) : e % 3)
	}
	for (let t = 0; t < of.length; t++) {
		if (!keep[t]) continue
		const at = 3 * to[t]!
		if (turned[t]) {
			const second = triangles[at + 1]!
			triangles[at + 1] = triangles[at + 2]!
			triangles[at + 2] = second
		}
		for (let e = 3 * t; e < 3 * t + 3; e++) pairs[place(e)] = other[e]! < 0 ? other[e]! : place(other[e]!)
	}
	return { mesh: { positions, triangles }, other: pairs }
}

/** The loops of edges without a neighbour, each by its length in the mesh's unit, longest first. */
export function borderLoops({ positions, triangles }: ScanMesh, other: Int32Array): number[] {
	const leaving = new Map<number, number[]>()
	for (let e = 0; e < other.length; e++) {
		if (other[e]! >= 0) continue
		const from = triangles[e]!
		const list = leaving.get(from)
		if (list) list.push(e)
		else leaving.set(from, [e])
	}
	const lengths: number[] = []
	for (const list of leaving.values()) {
		while (list.length > 0) {
			let e = list.pop()
			let length = 0
			// every edge is taken out once, so this ends
			while (e !== undefined) {
				const a = 3 * triangles[e]!
				const end = triangles[nextEdge(e)]!
				const b = 3 * end
				length += Math.hypot(
					positions[b]! - positions[a]!,
					positions[b + 1]! - positions[a + 1]!,
					positions[b + 2]! - positions[a + 2]!,
				)
				e = leaving.get(end)?.pop()
			}
			lengths.push(length)
		}
	}
	return lengths.sort((a, b) => b - a)
}
