import { crossOf, type ScanMesh, vertexCount } from './mesh.ts'

/** No triangle on the other side. */
export const BORDER = -1
/** Three triangles or more meet at this edge, and this one is not one of the two that run on into each other. */
export const FIN = -2

/**
 * Edge k of triangle t runs from its corner k to the next one and has number 3t + k. For each the number of the same edge in the
 * triangle on the other side, or BORDER, or FIN. Edges are sorted into buckets by their lower corner and compared there; of three
 * or more at one edge the two that bend least are neighbours.
 */
export function pairEdges(mesh: ScanMesh): Int32Array {
	const { triangles } = mesh
	const edges = triangles.length
	const start = new Uint32Array(vertexCount(mesh) + 2)
	for (let e = 0; e < edges; e++) {
		const lower = Math.min(triangles[e]!, triangles[nextEdge(e)]!)
		start[lower + 2] = start[lower + 2]! + 1
	}
	for (let v = 2; v < start.length; v++) start[v] = start[v]! + start[v - 1]!
	const sorted = new Uint32Array(edges)
	const upper = new Uint32Array(edges)
	for (let e = 0; e < edges; e++) {
		const a = triangles[e]!
		const b = triangles[nextEdge(e)]!
		const lower = Math.min(a, b)
		const at = start[lower + 1]!
		start[lower + 1] = at + 1
		sorted[at] = e
		upper[at] = Math.max(a, b)
	}
	const other = new Int32Array(edges).fill(BORDER)
	for (let v = 0; v + 2 < start.length; v++) {
		const end = start[v + 1]!
		for (let i = start[v]!; i < end; i++) {
			const e = sorted[i]!
			if (other[e] !== BORDER) continue
			let found = BORDER
			let more = false
			for (let j = i + 1; j < end; j++) {
				if (upper[j] !== upper[i]) continue
				if (found === BORDER) found = sorted[j]!
				else more = true
			}
			if (found === BORDER) continue
			if (more) {
				const all = sorted.subarray(i, end).filter((_, k) => upper[i + k] === upper[i])
				joinStraightest(mesh, all, other)
			} else {
				other[e] = found
				other[found] = e
			}
		}
	}
	return other
}

/** Of three triangles or more at one edge, the two that lie most nearly in one plane on its two sides become neighbours. */
function joinStraightest(mesh: ScanMesh, all: Uint32Array, other: Int32Array): void {
	const normals = Array.from(all, (e) => {
		const n = crossOf(mesh, triangleOf(e), new Float64Array(3))
		const length = Math.hypot(n[0]!, n[1]!, n[2]!)
		// all as if they ran along the edge the same way: those that run on then have opposite normals
		const sign = mesh.triangles[e]! < mesh.triangles[nextEdge(e)]! ? 1 : -1
		return [(sign * n[0]!) / length, (sign * n[1]!) / length, (sign * n[2]!) / length] as const
	})
	let best: readonly [number, number] = [0, 1]
	let least = Number.POSITIVE_INFINITY
	normals.forEach((a, i) => {
		for (let j = i + 1; j < normals.length; j++) {
			const b = normals[j]!
			const dot = a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
			if (dot < least) {
				least = dot
				best = [i, j]
			}
		}
	})
	for (const e of all) other[e] = FIN
	other[all[best[0]]!] = all[best[1]]!
	other[all[best[1]]!] = all[best[0]]!
}

export const nextEdge = (e: number): number => (e % 3 === 2 ? e - 2 : e + 1)
export const triangleOf = (e: number): number => (e - (e % 3)) / 3
