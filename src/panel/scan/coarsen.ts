import { clean } from './clean.ts'
import { crossOf, type ScanMesh, triangleCount } from './mesh.ts'
import { weld } from './weld.ts'

/** A surface in cells of side c takes 1 to 1.7 corners for c^2 of its area, and two triangles for each corner. */
const TRIANGLES_FOR_CELL = 3

/** A mesh of about `most` triangles or fewer: all corners in one cell of a grid become their mean (Rossignac & Borrel 1993). */
export function coarsened(mesh: ScanMesh, most: number): ScanMesh {
	const count = triangleCount(mesh)
	if (count <= most) return mesh
	const cross = new Float64Array(3)
	let area = 0
	for (let t = 0; t < count; t++) {
		crossOf(mesh, t, cross)
		area += Math.sqrt(cross[0]! ** 2 + cross[1]! ** 2 + cross[2]! ** 2) / 2
	}
	return clean(weld(mesh, Math.sqrt((TRIANGLES_FOR_CELL * area) / most))).mesh
}
