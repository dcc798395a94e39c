import { BufferAttribute, BufferGeometry, Vector3 } from 'three'
import { MeshBVH } from 'three-mesh-bvh'
import type { Closest } from './closest.ts'
import { boundsOf, crossOf, type ScanMesh } from './mesh.ts'

/** Nearest places by a tree of boxes. The only module that loads three, with all of it that a bundle then takes in: import it late. */
export function closestOf(mesh: ScanMesh): Closest {
	// Single precision is 1e-5 mm for a panel about its own middle, and 0.01 mm for one left 100 m off.
	const box = boundsOf(mesh)
	const middle = [0, 1, 2].map((k) => (box[k]! + box[k + 3]!) / 2) as [number, number, number]
	const geometry = new BufferGeometry()
	const positions = new Float32Array(mesh.positions.length)
	for (let i = 0; i < positions.length; i++) positions[i] = mesh.positions[i]! - middle[i % 3]!
	const triangles = mesh.triangles.slice()
	geometry.setAttribute('position', new BufferAttribute(positions, 3))
	geometry.setIndex(new BufferAttribute(triangles, 1))
	const tree = new MeshBVH(geometry)
	const query = new Vector3()
	const found = { point: new Vector3(), distance: 0, faceIndex: 0 }
	// the tree has sorted the triangles: its numbers are theirs as they stand now
	const normals = smoothNormals({ positions: mesh.positions, triangles })
	return (x, y, z, reach, hit) => {
		query.set(x - middle[0], y - middle[1], z - middle[2])
		if (!tree.closestPointToPoint(query, found, 0, reach)) return false
		const { point, faceIndex } = found
		hit.place[0] = point.x + middle[0]
		hit.place[1] = point.y + middle[1]
		hit.place[2] = point.z + middle[2]
		for (let k = 0; k < 3; k++) hit.normal[k] = normals[3 * faceIndex + k]!
		return true
	}
}

/** Passes of averaging: with three a facet's normal is that of some forty round it, and a scan's noise is hardly felt in it. */
const PASSES = 3

/** Unit normals of the triangles, each averaged with its neighbours'. */
function smoothNormals(mesh: ScanMesh): Float64Array {
	const { triangles } = mesh
	const normals = new Float64Array(triangles.length)
	const corners = new Float64Array(mesh.positions.length)
	const cross = new Float64Array(3)
	for (let t = 0; 3 * t < triangles.length; t++) {
		crossOf(mesh, t, cross)
		normals.set(cross, 3 * t)
	}
	for (let pass = 0; pass < PASSES; pass++) {
		corners.fill(0)
		for (let i = 0; i < triangles.length; i++) {
			const to = 3 * triangles[i]!
			const from = i - (i % 3)
			for (let k = 0; k < 3; k++) corners[to + k] = corners[to + k]! + normals[from + k]!
		}
		normals.fill(0)
		for (let i = 0; i < triangles.length; i++) {
			const from = 3 * triangles[i]!
			const to = i - (i % 3)
			for (let k = 0; k < 3; k++) normals[to + k] = normals[to + k]! + corners[from + k]!
		}
	}
	for (let i = 0; i < normals.length; i += 3) {
		const length = Math.hypot(normals[i]!, normals[i + 1]!, normals[i + 2]!) || 1
		for (let k = 0; k < 3; k++) normals[i + k] = normals[i + k]! / length
	}
	return normals
}
