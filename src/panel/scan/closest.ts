import type { ScanMesh } from './mesh.ts'

/** The nearest place of a mesh, and the way out of it there (unit normal, averaged over some neighbours). */
export interface Hit {
	readonly place: Float64Array
	readonly normal: Float64Array
}
/** Fills `hit`; false where the mesh is further off than `reach`. */
export type Closest = (x: number, y: number, z: number, reach: number, hit: Hit) => boolean
export type ClosestOf = (mesh: ScanMesh) => Closest

export const noHit = (): Hit => ({ place: new Float64Array(3), normal: new Float64Array(3) })
