import { symmetricEigen } from '../../numeric/symmetricEigen.ts'
import { type Closest, noHit } from './closest.ts'
import { crossOf, type ScanMesh, triangleCount } from './mesh.ts'
import { cross, type Triple } from './rigid.ts'

/** The plane normal . p = offset. */
export interface Plane {
	readonly normal: Triple
	readonly offset: number
}

/** A place and its counterpart face within 45 degrees the same way, else they are two sheets. */
const FACING = Math.SQRT1_2

/** Places spread evenly over a mesh, with the way out of it. */
export interface Samples {
	readonly places: Float64Array
	readonly normals: Float64Array
	readonly middle: Triple
}

/** Middles of triangles, evenly by area. */
export function samplesOf(mesh: ScanMesh, wanted: number): Samples {
	const count = triangleCount(mesh)
	const area = new Float64Array(count)
	const c = new Float64Array(3)
	let total = 0
	for (let t = 0; t < count; t++) {
		crossOf(mesh, t, c)
		area[t] = Math.sqrt(c[0]! ** 2 + c[1]! ** 2 + c[2]! ** 2)
		total += area[t]!
	}
	const places: number[] = []
	const normals: number[] = []
	const middle: [number, number, number] = [0, 0, 0]
	const each = total / Math.min(wanted, count)
	let due = each / 2
	let sum = 0
	for (let t = 0; t < count; t++) {
		sum += area[t]!
		if (sum < due) continue
		while (due <= sum) due += each
		crossOf(mesh, t, c)
		for (let k = 0; k < 3; k++) {
			const at =
				(mesh.positions[3 * mesh.triangles[3 * t]! + k]! +
					mesh.positions[3 * mesh.triangles[3 * t + 1]! + k]! +
					mesh.positions[3 * mesh.triangles[3 * t + 2]! + k]!) /
				3
			places.push(at)
			normals.push(c[k]! / area[t]!)
			middle[k] = middle[k]! + at
		}
	}
	const n = places.length / 3
	return {
		places: Float64Array.from(places),
		normals: Float64Array.from(normals),
		middle: [middle[0] / n, middle[1] / n, middle[2] / n],
	}
}

/** One reflection: the equations of the next step, and how well the two sides agree. */
export interface Round {
	/** normal equations in (turn about one in-plane axis, turn about the other, shift) */
	readonly matrix: Float64Array
	readonly side: Float64Array
	/** of the distances square to the surface between places and counterparts, mm */
	readonly median: number
	/** of the samples tried, those with a counterpart */
	readonly share: number
	/** of the same distances, mm^2 */
	readonly meanSquare: number
}

/** Two unit vectors in the plane. */
function axesOf(normal: Triple): [Triple, Triple] {
	const least = [0, 1, 2].reduce((a, b) => (Math.abs(normal[b]!) < Math.abs(normal[a]!) ? b : a))
	const u = cross(normal, [least === 0 ? 1 : 0, least === 1 ? 1 : 0, least === 2 ? 1 : 0])
	const length = Math.hypot(...u)
	const unit: Triple = [u[0] / length, u[1] / length, u[2] / length]
	return [unit, cross(normal, unit)]
}

/** Reflects the samples in a plane, finds their counterparts within reach, and lays down the equations of the next step. */
export function reflections(
	{ places, normals, middle }: Samples,
	closest: Closest,
): (plane: Plane, reach: number, every: number) => Round {
	const hit = noHit()
	const count = places.length / 3
	const misses = new Float64Array(count)
	return ({ normal: n, offset }, reach, every) => {
		const [u, v] = axesOf(n)
		const matrix = new Float64Array(9)
		const side = new Float64Array(3)
		const row = new Float64Array(3)
		let used = 0
		let tried = 0
		let squares = 0
		for (let i = 0; i < count; i += every) {
			const [x, y, z] = [places[3 * i]!, places[3 * i + 1]!, places[3 * i + 2]!]
			const h = n[0] * x + n[1] * y + n[2] * z - offset
			const [px, py, pz] = [x - 2 * h * n[0], y - 2 * h * n[1], z - 2 * h * n[2]]
			tried++
			if (!closest(px, py, pz, reach, hit)) continue
			const m = hit.normal
			const facing = n[0] * normals[3 * i]! + n[1] * normals[3 * i + 1]! + n[2] * normals[3 * i + 2]!
			const alike =
				m[0]! * (normals[3 * i]! - 2 * facing * n[0]) +
				m[1]! * (normals[3 * i + 1]! - 2 * facing * n[1]) +
				m[2]! * (normals[3 * i + 2]! - 2 * facing * n[2])
			if (alike < FACING) continue
			const residual = m[0]! * (px - hit.place[0]!) + m[1]! * (py - hit.place[1]!) + m[2]! * (pz - hit.place[2]!)
			const mn = m[0]! * n[0] + m[1]! * n[1] + m[2]! * n[2]
			// The plane is turned about the middle of the panel, so that turns and shift do not pull at each other.
			;[u, v].forEach((axis, k) => {
				const ap = axis[0] * (x - middle[0]) + axis[1] * (y - middle[1]) + axis[2] * (z - middle[2])
				row[k] = -2 * (ap * mn + h * (m[0]! * axis[0] + m[1]! * axis[1] + m[2]! * axis[2]))
			})
			row[2] = 2 * mn
			for (let a = 0; a < 3; a++) {
				for (let b = 0; b < 3; b++) matrix[3 * a + b] = matrix[3 * a + b]! + row[a]! * row[b]!
				side[a] = side[a]! - row[a]! * residual
			}
			misses[used++] = Math.abs(residual)
			squares += residual * residual
		}
		const sorted = misses.slice(0, used).sort()
		const median = used > 0 ? sorted[used >> 1]! : 0
		return { matrix, side, median, share: used / tried, meanSquare: used > 0 ? squares / used : 0 }
	}
}

/** The plane turned about `middle` by step[0], step[1] (its normal towards its two axes) and shifted by step[2]. */
export function turned({ normal: n, offset }: Plane, step: Triple, middle: Triple): Plane {
	const [u, v] = axesOf(n)
	const raw = [0, 1, 2].map((k) => n[k]! + step[0] * u[k]! + step[1] * v[k]!) as [number, number, number]
	const length = Math.hypot(...raw)
	const normal: Triple = [raw[0] / length, raw[1] / length, raw[2] / length]
	const h = n[0] * middle[0] + n[1] * middle[1] + n[2] * middle[2] - offset
	return { normal, offset: normal[0] * middle[0] + normal[1] * middle[1] + normal[2] * middle[2] - h + step[2] }
}

/** x of m x = b, m symmetric and positive; undefined when it is singular. */
export function solve3(m: Float64Array, b: Float64Array): Triple | undefined {
	const { values, vectors } = symmetricEigen(m, 3)
	if (!(values[2]! > 1e-12 * values[0]!)) return undefined
	const x: [number, number, number] = [0, 0, 0]
	vectors.forEach((vector, k) => {
		const along = (vector[0]! * b[0]! + vector[1]! * b[1]! + vector[2]! * b[2]!) / values[k]!
		for (let i = 0; i < 3; i++) x[i] = x[i]! + along * vector[i]!
	})
	return x
}
