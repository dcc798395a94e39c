import { crossOf, type ScanMesh, triangleCount } from './mesh.ts'

export interface Cleaned {
	readonly mesh: ScanMesh
	/** triangles without area: two corners in one, or three in a line */
	readonly flat: number
	/** triangles with the corners of another one, whichever way round */
	readonly repeated: number
}

/** Triangles without area and second copies of triangles left out. The corners are welded. */
export function clean(mesh: ScanMesh): Cleaned {
	const { triangles } = mesh
	const count = triangleCount(mesh)
	const keep = new Uint8Array(count)
	const cross = new Float64Array(3)
	let flat = 0
	for (let t = 0; t < count; t++) {
		crossOf(mesh, t, cross)
		keep[t] = cross[0] !== 0 || cross[1] !== 0 || cross[2] !== 0 ? 1 : 0
		flat += 1 - keep[t]!
	}
	const repeated = dropRepeated(mesh, keep)
	return { mesh: flat + repeated > 0 ? kept(mesh, keep) : { ...mesh, triangles }, flat, repeated }
}

/** Triangles in buckets by their lowest corner; within one, the other two corners are compared. */
function dropRepeated({ positions, triangles }: ScanMesh, keep: Uint8Array): number {
	const corners = positions.length / 3
	const start = new Uint32Array(corners + 2)
	const low = (t: number) => Math.min(triangles[3 * t]!, triangles[3 * t + 1]!, triangles[3 * t + 2]!)
	const high = (t: number) => Math.max(triangles[3 * t]!, triangles[3 * t + 1]!, triangles[3 * t + 2]!)
	for (let t = 0; t < keep.length; t++) {
		if (!keep[t]) continue
		const v = low(t)
		start[v + 2] = start[v + 2]! + 1
	}
	for (let v = 2; v < start.length; v++) start[v] = start[v]! + start[v - 1]!
	const sorted = new Uint32Array(start[corners + 1]!)
	const top = new Uint32Array(sorted.length)
	const middle = new Uint32Array(sorted.length)
	for (let t = 0; t < keep.length; t++) {
		if (!keep[t]) continue
		const v = low(t)
		const h = high(t)
		const at = start[v + 1]!
		start[v + 1] = at + 1
		sorted[at] = t
		top[at] = h
		middle[at] = triangles[3 * t]! + triangles[3 * t + 1]! + triangles[3 * t + 2]! - v - h
	}
	let repeated = 0
	for (let v = 0; v < corners; v++) {
		const end = start[v + 1]!
		for (let i = start[v]!; i < end; i++) {
			if (!keep[sorted[i]!]) continue
			for (let j = i + 1; j < end; j++) {
				if (top[j] !== top[i] || middle[j] !== middle[i] || !keep[sorted[j]!]) continue
				keep[sorted[j]!] = 0
				repeated++
			}
		}
	}
	return repeated
}

/** Only the triangles marked 1, and only the corners that they have. */
export function kept({ positions, triangles }: ScanMesh, keep: Uint8Array): ScanMesh {
	const to = new Int32Array(positions.length / 3).fill(-1)
	const places = new Float64Array(positions.length)
	const out = new Uint32Array(triangles.length)
	let corners = 0
	let length = 0
	for (let t = 0; t < keep.length; t++) {
		if (!keep[t]) continue
		for (let k = 3 * t; k < 3 * t + 3; k++) {
			const v = triangles[k]!
			if (to[v]! < 0) {
				to[v] = corners
				for (let axis = 0; axis < 3; axis++) places[3 * corners + axis] = positions[3 * v + axis]!
				corners++
			}
			out[length++] = to[v]!
		}
	}
	return { positions: places.slice(0, 3 * corners), triangles: out.slice(0, length) }
}
