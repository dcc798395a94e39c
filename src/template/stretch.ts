import type { EdgeMesh } from './arap.ts'

/** How the map from paper to panel stretches each triangle: its singular values, the larger first. */
export interface Stretch {
	readonly most: Float64Array
	readonly least: Float64Array
	/** largest of |value - 1| over all triangles, and the triangle */
	readonly worst: number
	readonly triangle: number
	/** triangles that lie upside down */
	readonly flipped: number
}

/** Singular values in closed form from the two triangles' edges (Golub & Van Loan, Matrix Computations, 8.6.3, for 2 by 2). */
export function stretchOf(mesh: EdgeMesh, x: Float64Array, y: Float64Array): Stretch {
	const { triangles, lengths } = mesh
	const count = triangles.length / 3
	const most = new Float64Array(count)
	const least = new Float64Array(count)
	let [worst, triangle, flipped] = [0, 0, 0]
	for (let t = 0; t < count; t++) {
		const [i, j, k] = [triangles[3 * t]!, triangles[3 * t + 1]!, triangles[3 * t + 2]!]
		const [a, b, c] = [lengths[3 * t]!, lengths[3 * t + 1]!, lengths[3 * t + 2]!]
		// On the panel: (a, 0) and (u, v). On paper: p and q.
		const u = (a * a + c * c - b * b) / (2 * a)
		const v = Math.sqrt(Math.max(0, c * c - u * u))
		const [px, py] = [x[j]! - x[i]!, y[j]! - y[i]!]
		const [qx, qy] = [x[k]! - x[i]!, y[k]! - y[i]!]
		const det = px * qy - py * qx
		if (!(det > 0)) flipped++
		// The map that takes p to (a, 0) and q to (u, v).
		const m11 = (a * qy - u * py) / det
		const m12 = (u * px - a * qx) / det
		const m21 = (-v * py) / det
		const m22 = (v * px) / det
		const sum = Math.hypot(m11 + m22, m21 - m12)
		const difference = Math.hypot(m11 - m22, m21 + m12)
		most[t] = (sum + difference) / 2
		least[t] = (sum - difference) / 2
		const off = Math.max(Math.abs(most[t]! - 1), Math.abs(least[t]! - 1))
		if (off > worst) {
			worst = off
			triangle = t
		}
	}
	return { most, least, worst, triangle, flipped }
}
