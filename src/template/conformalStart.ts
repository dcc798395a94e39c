import { sparseSymmetric } from '../numeric/sparse.ts'
import { sparseLdl } from '../numeric/sparseLdl.ts'
import { nestedDissection } from '../numeric/sparseOrder.ts'
import type { PanelMesh } from './flattenMesh.ts'

/**
 * Where the refinement of a slit piece starts: flat, true in its angles, and as long on its rim and along its slits as the
 * panel, so that slits stand open as they must. The logarithm u of its scale is 0 on the rim and takes the curvature out of the
 * rest: L u = -K, K the angles missing at a vertex (Ben-Chen, Gotsman & Bunin, Conformal flattening by curvature prescription,
 * CGF 27, 2008). Triangles are then unfolded one from the next, and the places of a vertex averaged. Undefined for a mesh without
 * a rim.
 */
export function conformalStart(mesh: PanelMesh): { x: Float64Array; y: Float64Array } | undefined {
	const u = logScale(mesh)
	if (!u) return undefined
	const { triangles, twin, lengths, vertices } = mesh
	const ahead = (e: number) => (e % 3 === 2 ? e - 2 : e + 1)
	const scaled = lengths.map((l, e) => l * Math.exp((u[triangles[e]!]! + u[triangles[ahead(e)]!]!) / 2))
	// By corner, its place in the unfolded triangle.
	const px = new Float64Array(triangles.length)
	const py = new Float64Array(triangles.length)
	const done = new Uint8Array(triangles.length / 3)
	const first = middleTriangle(mesh)
	const queue = [3 * first]
	px[3 * first + 1] = scaled[3 * first]!
	done[first] = 1
	third(3 * first)
	for (let i = 0; i < queue.length; i++) {
		const t = Math.floor(queue[i]! / 3)
		for (let e = 3 * t; e < 3 * t + 3; e++) {
			const other = twin[e]!
			if (other < 0 || done[Math.floor(other / 3)] === 1) continue
			done[Math.floor(other / 3)] = 1
			const [p, q] = [ahead(e), e]
			;[px[other], py[other]] = [px[p]!, py[p]!]
			;[px[ahead(other)], py[ahead(other)]] = [px[q]!, py[q]!]
			third(other)
			queue.push(other)
		}
	}
	const x = new Float64Array(vertices)
	const y = new Float64Array(vertices)
	const count = new Float64Array(vertices)
	triangles.forEach((v, e) => {
		x[v]! += px[e]!
		y[v]! += py[e]!
		count[v]! += 1
	})
	return { x: x.map((s, v) => s / count[v]!), y: y.map((s, v) => s / count[v]!) }

	/** The third corner of a triangle whose edge from `e` on has its place. */
	function third(e: number): void {
		const [f, g] = [ahead(e), ahead(ahead(e))]
		const [a, b, c] = [scaled[e]!, scaled[f]!, scaled[g]!]
		const along = (a * a + c * c - b * b) / (2 * a)
		const off = Math.sqrt(Math.max(0, c * c - along * along))
		const [dx, dy] = [px[f]! - px[e]!, py[f]! - py[e]!]
		const size = Math.hypot(dx, dy)
		px[g] = px[e]! + (along * dx - off * dy) / size
		py[g] = py[e]! + (along * dy + off * dx) / size
	}
}

/** The triangle nearest the middle of the vertices: from there unfolding goes no farther than it must. */
function middleTriangle({ s, g, triangles }: PanelMesh): number {
	const mean = (list: Float64Array) => list.reduce((sum, v) => sum + v, 0) / list.length
	const [ms, mg] = [mean(s), mean(g)]
	let [best, at] = [Infinity, 0]
	for (let e = 0; e < triangles.length; e += 3) {
		const d = (s[triangles[e]!]! - ms) ** 2 + (g[triangles[e]!]! - mg) ** 2
		if (d < best) [best, at] = [d, e / 3]
	}
	return at
}

function logScale(mesh: PanelMesh): Float64Array | undefined {
	const { triangles, lengths, vertices, rim, s, g } = mesh
	const inner = new Int32Array(vertices)
	for (const { vertices: loop } of rim) for (const v of loop) inner[v] = -1
	let n = 0
	for (let v = 0; v < vertices; v++) if (inner[v] === 0) inner[v] = n++
	const u = new Float64Array(vertices)
	if (n === vertices) return undefined
	if (n === 0) return u
	const b = new Float64Array(n).fill(-2 * Math.PI)
	const [rows, columns, values]: [number[], number[], number[]] = [[], [], []]
	const diagonal = new Float64Array(n)
	const ahead = (e: number) => (e % 3 === 2 ? e - 2 : e + 1)
	for (let e = 0; e < triangles.length; e++) {
		// The angle at this corner, and the edge opposite it.
		const [a, o, c] = [lengths[e]!, lengths[ahead(e)]!, lengths[ahead(ahead(e))]!]
		const cos = (a * a + c * c - o * o) / (2 * a * c)
		const at = inner[triangles[e]!]!
		if (at >= 0) b[at]! += Math.acos(cos)
		const w = cos / Math.sqrt(1 - cos * cos) / 2
		const [i, j] = [inner[triangles[ahead(e)]!]!, inner[triangles[ahead(ahead(e))]!]!]
		if (i >= 0) diagonal[i]! += w
		if (j >= 0) diagonal[j]! += w
		if (i < 0 || j < 0) continue
		rows.push(i)
		columns.push(j)
		values.push(-w)
	}
	diagonal.forEach((d, i) => {
		rows.push(i)
		columns.push(i)
		values.push(d)
	})
	const matrix = sparseSymmetric(n, rows, columns, values)
	const [x, y] = [new Float64Array(n), new Float64Array(n)]
	inner.forEach((i, v) => {
		if (i < 0) return
		x[i] = s[v]!
		y[i] = g[v]!
	})
	const factors = sparseLdl(matrix, nestedDissection(matrix, x, y))
	if (!factors) return undefined
	factors.solve(b)
	inner.forEach((i, v) => {
		if (i >= 0) u[v] = b[i]!
	})
	return u
}
