import { anderson } from '../numeric/anderson.ts'
import { type SparseSymmetric, sparseSymmetric } from '../numeric/sparse.ts'
import { sparseLdl } from '../numeric/sparseLdl.ts'
import { nestedDissection } from '../numeric/sparseOrder.ts'

/** Triangles known by their edges alone. */
export interface EdgeMesh {
	readonly vertices: number
	/** three vertices each, anticlockwise on paper */
	readonly triangles: Uint32Array
	/** by corner of a triangle: length of the edge from it to the next corner, mm */
	readonly lengths: Float64Array
	/** by triangle, how much its shape counts beside its area; 1 where absent */
	readonly weights?: Float64Array
}

export interface Laid {
	readonly x: Float64Array
	readonly y: Float64Array
	readonly iterations: number
	/** what the vertices would still move by, as its decline foretells, mm */
	readonly errorMm: number
}

/** Rounds: a piece without slits takes 5 to 20; parts between slits swing about for long, by little. */
const MAX_ITERATIONS = 120
/** Steps that are mixed into the next one. */
const DEPTH = 5

/**
 * The mesh laid flat as rigidly as possible: the sum over triangles of area (times weight) times the squared differences
 * of their singular values from 1 is least. In turn each triangle takes its best turn, and the places fit all of them, by one sparse solve
 * (Liu, Zhang, Xu, Gotsman & Gortler, A local/global approach to mesh parameterization, SGP 2008); successive places are mixed
 * so that they settle sooner (Peng et al., Anderson acceleration for geometry optimization, ACM TOG 37, 2018).
 * Starts from `start`, where the first vertex stays. Undefined where a triangle's edges close to no triangle. What is
 * returned has settled to `toleranceMm`, or to what `errorMm` says after the last round.
 */
export function layFlat(
	mesh: EdgeMesh,
	start: { readonly x: Float64Array; readonly y: Float64Array },
	toleranceMm: number,
): Laid | undefined {
	const shapes = shapesOf(mesh)
	if (!shapes) return undefined
	const n = mesh.vertices
	const matrix = laplacian(mesh, shapes.cotangents)
	const factors = sparseLdl(matrix, nestedDissection(matrix, start.x, start.y))
	if (!factors) return undefined
	const state = new Float64Array(2 * n)
	for (let i = 0; i < n; i++) {
		state[2 * i] = start.x[i]!
		state[2 * i + 1] = start.y[i]!
	}
	const next = new Float64Array(2 * n)
	const mix = anderson(DEPTH)
	let before = Number.POSITIVE_INFINITY
	let energy = Number.POSITIVE_INFINITY
	let plain: Float64Array = state
	let current: Float64Array = state
	for (let i = 1; ; i++) {
		const now = turnsInto(mesh, shapes, current, next)
		if (now > energy * (1 + 1e-12)) {
			// The mixed places are worse than the plain step: take that, and mix anew.
			current = plain
			mix.reset()
			energy = Number.POSITIVE_INFINITY
			continue
		}
		energy = now
		next[0]! += start.x[0]!
		next[1]! += start.y[0]!
		factors.solve(next, 2)
		const moved = farthest(next, current)
		const rate = Math.min(0.95, Math.max(0.5, moved / before))
		before = moved
		const left = (moved * rate) / (1 - rate)
		if (!Number.isFinite(moved)) return undefined
		if (left <= toleranceMm || i >= MAX_ITERATIONS) return { ...apart(next), iterations: i, errorMm: left }
		plain = next.slice()
		current = mix.step(current, plain)
	}
}

interface Shapes {
	/** cotangent of the angle opposite the edge that leaves each corner */
	readonly cotangents: Float64Array
	/** by corner: the edge that leaves it, in its triangle's own plane */
	readonly dx: Float64Array
	readonly dy: Float64Array
}

function shapesOf({ triangles, lengths, weights }: EdgeMesh): Shapes | undefined {
	const cotangents = new Float64Array(triangles.length)
	const dx = new Float64Array(triangles.length)
	const dy = new Float64Array(triangles.length)
	for (let t = 0; t < triangles.length; t += 3) {
		const [a, b, c] = [lengths[t]!, lengths[t + 1]!, lengths[t + 2]!]
		const x = (a * a + c * c - b * b) / (2 * a)
		const square = c * c - x * x
		if (!(square > 0)) return undefined
		const y = Math.sqrt(square)
		dx[t] = a
		dx[t + 1] = x - a
		dy[t + 1] = y
		dx[t + 2] = -x
		dy[t + 2] = -y
		const twice = (a * y) / (weights?.[t / 3] ?? 1)
		cotangents[t] = (b * b + c * c - a * a) / (2 * twice)
		cotangents[t + 1] = (c * c + a * a - b * b) / (2 * twice)
		cotangents[t + 2] = (a * a + b * b - c * c) / (2 * twice)
	}
	return { cotangents, dx, dy }
}

/** Half the sum of cotangents on each edge (Pinkall & Polthier, 1993), the first vertex tied to its place. */
function laplacian({ vertices, triangles }: EdgeMesh, cotangents: Float64Array): SparseSymmetric {
	const count = triangles.length
	const rows = new Int32Array(count + vertices + 1)
	const columns = new Int32Array(count + vertices + 1)
	const values = new Float64Array(count + vertices + 1)
	for (let e = 0; e < count; e++) {
		const [i, j] = [triangles[e]!, triangles[e % 3 === 2 ? e - 2 : e + 1]!]
		rows[e] = i
		columns[e] = j
		values[e] = -cotangents[e]! / 2
		values[count + i]! += cotangents[e]! / 2
		values[count + j]! += cotangents[e]! / 2
	}
	for (let i = 0; i < vertices; i++) {
		rows[count + i] = i
		columns[count + i] = i
	}
	values[count + vertices] = 1
	return sparseSymmetric(vertices, rows, columns, values)
}

/** Each triangle's best turn, and the right-hand sides that ask for it; returns the energy of the places. */
function turnsInto({ triangles }: EdgeMesh, { cotangents, dx, dy }: Shapes, at: Float64Array, out: Float64Array): number {
	out.fill(0)
	let energy = 0
	for (let t = 0; t < triangles.length; t += 3) {
		const i = 2 * triangles[t]!
		const j = 2 * triangles[t + 1]!
		const k = 2 * triangles[t + 2]!
		const ux = at[j]! - at[i]!
		const uy = at[j + 1]! - at[i + 1]!
		const vx = at[k]! - at[j]!
		const vy = at[k + 1]! - at[j + 1]!
		const wx = at[i]! - at[k]!
		const wy = at[i + 1]! - at[k + 1]!
		const p = cotangents[t]!
		const q = cotangents[t + 1]!
		const r = cotangents[t + 2]!
		const ax = dx[t]!
		const bx = dx[t + 1]!
		const by = dy[t + 1]!
		const cx = dx[t + 2]!
		const cy = dy[t + 2]!
		const along = p * ux * ax + q * (vx * bx + vy * by) + r * (wx * cx + wy * cy)
		const across = p * uy * ax + q * (vy * bx - vx * by) + r * (wy * cx - wx * cy)
		const size = Math.sqrt(along * along + across * across)
		const c = size > 0 ? along / size : 1
		const s = size > 0 ? across / size : 0
		energy +=
			p * (ux * ux + uy * uy + ax * ax) +
			q * (vx * vx + vy * vy + bx * bx + by * by) +
			r * (wx * wx + wy * wy + cx * cx + cy * cy) -
			2 * size
		const px = (p / 2) * c * ax
		const py = (p / 2) * s * ax
		const qx = (q / 2) * (c * bx - s * by)
		const qy = (q / 2) * (s * bx + c * by)
		const rx = (r / 2) * (c * cx - s * cy)
		const ry = (r / 2) * (s * cx + c * cy)
		out[i]! += rx - px
		out[i + 1]! += ry - py
		out[j]! += px - qx
		out[j + 1]! += py - qy
		out[k]! += qx - rx
		out[k + 1]! += qy - ry
	}
	return energy
}

function farthest(a: Float64Array, b: Float64Array): number {
	let most = 0
	for (let i = 0; i < a.length; i += 2) most = Math.max(most, (a[i]! - b[i]!) ** 2 + (a[i + 1]! - b[i + 1]!) ** 2)
	return Math.sqrt(most)
}

const apart = (places: Float64Array) => ({
	x: places.filter((_, i) => i % 2 === 0),
	y: places.filter((_, i) => i % 2 === 1),
})
