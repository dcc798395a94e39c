import { applyTransposedQ, factorColumns } from '../../numeric/columnQr.ts'
import { nextEdge } from './edges.ts'
import { cornerNormals, type ScanMesh, vertexCount } from './mesh.ts'

/** The median of 400 estimates of 10 degrees of freedom each is good to 2 %. */
const SAMPLES = 400
/** a + bx + cy + dx^2 + exy + fy^2 */
const TERMS = 6
/** Fewer than this many points to spare say nothing of noise. */
const LEAST_SPARE = 4
const MOST_RING = 64

/**
 * One standard deviation of the scan's points square to the surface, in the mesh's unit: what is left when a quadric is laid
 * through a point and the two rings of points round it, as the median over 400 places. On a coarse mesh it holds part of the
 * shape too, so it errs to the large side. Undefined where hardly any point is surrounded by others.
 */
export function noiseOf(mesh: ScanMesh, other: Int32Array): number | undefined {
	const corners = vertexCount(mesh)
	const leaving = new Int32Array(corners).fill(-1)
	for (let e = 0; e < mesh.triangles.length; e++) leaving[mesh.triangles[e]!] = e
	const normals = cornerNormals(mesh)
	const found: number[] = []
	const step = Math.max(1, corners / SAMPLES)
	for (let i = step / 2; i < corners; i += step) {
		const v = Math.floor(i)
		const around = twoRings(mesh, other, leaving, v)
		if (!around || around.length < TERMS + LEAST_SPARE) continue
		const n = around.length
		const variance = spareOf(mesh, normals, v, around) / (n - TERMS)
		// Median of chi-squared over its degrees of freedom (Wilson & Hilferty, PNAS 17, 1931).
		found.push(Math.sqrt(variance) / (1 - 2 / (9 * (n - TERMS))) ** 1.5)
	}
	if (found.length < 10) return undefined
	return found.sort((a, b) => a - b)[found.length >> 1]!
}

/** The corners one and two edges away, v itself first; undefined where the surface ends. */
function twoRings({ triangles }: ScanMesh, other: Int32Array, leaving: Int32Array, v: number): number[] | undefined {
	const ring = (centre: number): number[] | undefined => {
		const out: number[] = []
		const first = leaving[centre]!
		let e = first
		for (let k = 0; k < MOST_RING; k++) {
			out.push(triangles[nextEdge(e)]!)
			// the edge that comes back to the centre in the same triangle
			const f = other[nextEdge(nextEdge(e))]!
			if (f < 0) return undefined
			e = f
			if (e === first) return out
		}
		return undefined
	}
	const near = ring(v)
	if (!near) return undefined
	const all = new Set([v, ...near])
	for (const w of near) {
		const next = ring(w)
		if (!next) return undefined
		for (const x of next) all.add(x)
	}
	return [...all]
}

/** Sum of squares that the best quadric leaves, heights along the normal at v. */
function spareOf({ positions: p }: ScanMesh, normals: Float64Array, v: number, around: readonly number[]): number {
	const [nx, ny, nz] = [normals[3 * v]!, normals[3 * v + 1]!, normals[3 * v + 2]!]
	// any axis across the normal will do
	const flat = Math.abs(nx) < 0.8 ? [0, -nz, ny] : [nz, 0, -nx]
	const length = Math.hypot(...flat)
	const [ux, uy, uz] = flat.map((c) => c / length) as [number, number, number]
	const [vx, vy, vz] = [ny * uz - nz * uy, nz * ux - nx * uz, nx * uy - ny * ux]
	const rows = around.length
	const a = new Float64Array(rows * TERMS)
	const b = new Float64Array(rows)
	around.forEach((w, i) => {
		const [dx, dy, dz] = [p[3 * w]! - p[3 * v]!, p[3 * w + 1]! - p[3 * v + 1]!, p[3 * w + 2]! - p[3 * v + 2]!]
		const x = dx * ux + dy * uy + dz * uz
		const y = dx * vx + dy * vy + dz * vz
		a.set([1, x, y, x * x, x * y, y * y], i * TERMS)
		b[i] = dx * nx + dy * ny + dz * nz
	})
	const qr = factorColumns(a, rows, TERMS, 1e-9)
	const rest = applyTransposedQ(qr, b)
	let sum = 0
	for (let i = qr.rank; i < rows; i++) sum += rest[i]! ** 2
	return sum
}
