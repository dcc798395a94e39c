/** Triangles in space: corners x, y, z one after the other, and three corner numbers for each triangle. */
export interface ScanMesh {
	readonly positions: Float64Array
	readonly triangles: Uint32Array
}

export const vertexCount = (mesh: ScanMesh): number => mesh.positions.length / 3
export const triangleCount = (mesh: ScanMesh): number => mesh.triangles.length / 3

/** Lowest and highest x, y, z: [x0, y0, z0, x1, y1, z1]. */
export function boundsOf({ positions }: ScanMesh): Float64Array {
	const box = Float64Array.of(Infinity, Infinity, Infinity, -Infinity, -Infinity, -Infinity)
	for (let i = 0; i < positions.length; i++) {
		const axis = i % 3
		const at = positions[i]!
		if (at < box[axis]!) box[axis] = at
		if (at > box[axis + 3]!) box[axis + 3] = at
	}
	return box
}

/** Corner to corner of the box round it. */
export function diagonalOf(mesh: ScanMesh): number {
	const box = boundsOf(mesh)
	return Math.hypot(box[3]! - box[0]!, box[4]! - box[1]!, box[5]! - box[2]!)
}

/** The same triangles with every coordinate times `factor`. */
export function scaled(mesh: ScanMesh, factor: number): ScanMesh {
	return factor === 1 ? mesh : { positions: mesh.positions.map((c) => c * factor), triangles: mesh.triangles }
}

/** Twice the area of triangle t as a vector square to it, into `out`. */
export function crossOf({ positions: p, triangles }: ScanMesh, t: number, out: Float64Array): Float64Array {
	const a = 3 * triangles[3 * t]!
	const b = 3 * triangles[3 * t + 1]!
	const c = 3 * triangles[3 * t + 2]!
	const ux = p[b]! - p[a]!
	const uy = p[b + 1]! - p[a + 1]!
	const uz = p[b + 2]! - p[a + 2]!
	const vx = p[c]! - p[a]!
	const vy = p[c + 1]! - p[a + 1]!
	const vz = p[c + 2]! - p[a + 2]!
	out[0] = uy * vz - uz * vy
	out[1] = uz * vx - ux * vz
	out[2] = ux * vy - uy * vx
	return out
}

/** Unit normals of the corners, weighted by area. */
export function cornerNormals(mesh: ScanMesh): Float64Array {
	const normals = new Float64Array(mesh.positions.length)
	const cross = new Float64Array(3)
	for (let t = 0; t < triangleCount(mesh); t++) {
		crossOf(mesh, t, cross)
		for (let k = 0; k < 3; k++) {
			const at = 3 * mesh.triangles[3 * t + k]!
			normals[at] = normals[at]! + cross[0]!
			normals[at + 1] = normals[at + 1]! + cross[1]!
			normals[at + 2] = normals[at + 2]! + cross[2]!
		}
	}
	for (let i = 0; i < normals.length; i += 3) {
		const length = Math.sqrt(normals[i]! ** 2 + normals[i + 1]! ** 2 + normals[i + 2]! ** 2) || 1
		normals[i] = normals[i]! / length
		normals[i + 1] = normals[i + 1]! / length
		normals[i + 2] = normals[i + 2]! / length
	}
	return normals
}
