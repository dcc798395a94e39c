import type { PanelMesh } from './flattenMesh.ts'
import { levelLines, type OnEdge } from './levelLines.ts'

/** Directions of the lines along which lengths are compared, and lines in each. */
const DIRECTIONS = 8
const LINES = 16

/** A line to tape along turns by more than this only at a corner, radians. */
const CORNER = 0.5

/**
 * How far a flat piece is out on the panel, mm: along the rim from slit to slit, and along straight lines across the paper from
 * rim or slit to rim or slit, half of the largest difference in length between panel and paper (half, since a part is set by
 * its middle; that a straight line on paper is not quite straight on the panel lengthens it by the square of the stretch only);
 * and how far an edge to tape along bows to a side when paper leads it by its own length and curvature.
 */
export function layingError(mesh: PanelMesh, x: Float64Array, y: Float64Array, taped: (vertex: number) => boolean): number {
	return Math.max(rimError(mesh, x, y) / 2, lineError(mesh, x, y) / 2, bow(mesh, x, y, taped))
}

/** Sideways, what is left of a line when it is set as well as it can be: the turns of panel and paper differ along it. */
function bow(mesh: PanelMesh, x: Float64Array, y: Float64Array, taped: (vertex: number) => boolean): number {
	const { rim, triangles, twin, lengths } = mesh
	const ahead = (e: number) => (e % 3 === 2 ? e - 2 : e + 1)
	const step = new Map<number, number>()
	for (let e = 0; e < triangles.length; e++) if (twin[e]! < 0) step.set(triangles[e]!, lengths[e]!)
	// By rim vertex, the angle of the piece there on the panel and on paper.
	const onPanel = new Map<number, number>()
	const onPaper = new Map<number, number>()
	for (let e = 0; e < triangles.length; e++) {
		const v = triangles[e]!
		if (!step.has(v)) continue
		const [q, r] = [triangles[ahead(e)]!, triangles[ahead(ahead(e))]!]
		const [a, b, c] = [lengths[e]!, lengths[ahead(e)]!, lengths[ahead(ahead(e))]!]
		const [ux, uy, vx, vy] = [x[q]! - x[v]!, y[q]! - y[v]!, x[r]! - x[v]!, y[r]! - y[v]!]
		onPanel.set(v, (onPanel.get(v) ?? 0) + Math.acos((a * a + c * c - b * b) / (2 * a * c)))
		onPaper.set(v, (onPaper.get(v) ?? 0) + Math.atan2(ux * vy - uy * vx, ux * vx + uy * vy))
	}
	let worst = 0
	for (const { vertices, slit } of rim) {
		const n = vertices.length
		const along = vertices.map((v, i) => !slit[i] && taped(v) && taped(vertices[(i + 1) % n]!))
		const corner = vertices.map((v) => Math.abs(Math.PI - (onPanel.get(v) ?? 0)) > CORNER)
		const first = along.findIndex((yes, i) => yes && (!along[(i + n - 1) % n] || corner[i]))
		let [turn, off, length] = [0, 0, 0]
		let run = [{ length, off }]
		for (let k = 0; k < n; k++) {
			const i = (Math.max(0, first) + k) % n
			const v = vertices[i]!
			if (run.length > 1) turn += (onPaper.get(v) ?? 0) - (onPanel.get(v) ?? 0)
			if (along[i]) {
				length += step.get(v) ?? 0
				off += turn * (step.get(v) ?? 0)
				run.push({ length, off })
			}
			const ends = !along[i] || k === n - 1 || corner[(i + 1) % n] || !along[(i + 1) % n]
			if (!ends) continue
			worst = Math.max(worst, offLine(run))
			turn = off = length = 0
			run = [{ length, off }]
		}
	}
	return worst
}

/** How far places lie off the straight line that fits them best (least squares), at most. */
function offLine(run: readonly { readonly length: number; readonly off: number }[]): number {
	const n = run.length
	if (n < 3) return 0
	const [l, o] = [run.reduce((s, p) => s + p.length, 0) / n, run.reduce((s, p) => s + p.off, 0) / n]
	const top = run.reduce((s, p) => s + (p.length - l) * (p.off - o), 0)
	const slope = top / run.reduce((s, p) => s + (p.length - l) ** 2, 0)
	return run.reduce((most, p) => Math.max(most, Math.abs(p.off - o - slope * (p.length - l))), 0)
}

function rimError({ rim, triangles, twin, lengths }: PanelMesh, x: Float64Array, y: Float64Array): number {
	const panel = new Map<number, number>()
	for (let e = 0; e < triangles.length; e++) if (twin[e]! < 0) panel.set(triangles[e]!, lengths[e]!)
	let worst = 0
	for (const { vertices, slit } of rim) {
		const n = vertices.length
		const first = slit.indexOf(true)
		let run: number[] = []
		for (let k = 0; k < n; k++) {
			const i = (Math.max(0, first) + k) % n
			const [v, w] = [vertices[i]!, vertices[(i + 1) % n]!]
			if (!slit[i]) run.push((panel.get(v) ?? 0) - Math.hypot(x[w]! - x[v]!, y[w]! - y[v]!))
			if (!slit[i] && k < n - 1) continue
			worst = Math.max(worst, widest(run, first < 0))
			run = []
		}
	}
	return worst
}

/** The largest sum, either way, of neighbouring terms; of a ring's also across its start. */
function widest(terms: readonly number[], ring: boolean): number {
	let [most, least, rise, fall, total] = [0, 0, 0, 0, 0]
	for (const term of terms) {
		rise = Math.max(0, rise + term)
		fall = Math.min(0, fall + term)
		most = Math.max(most, rise)
		least = Math.min(least, fall)
		total += term
	}
	return ring ? Math.max(most, -least, total - least, most - total) : Math.max(most, -least)
}

function lineError(mesh: PanelMesh, x: Float64Array, y: Float64Array): number {
	const { triangles, lengths } = mesh
	const ahead = (e: number) => (e % 3 === 2 ? e - 2 : e + 1)
	const onPaper = ({ corner, t }: OnEdge) => {
		const [a, b] = [triangles[corner]!, triangles[ahead(corner)]!]
		return { x: x[a]! + (x[b]! - x[a]!) * t, y: y[a]! + (y[b]! - y[a]!) * t }
	}
	// Both ends lie on edges that share a corner: the law of cosines with the triangle's own lengths.
	const onPanel = (from: OnEdge, to: OnEdge) => {
		const later = to.corner === ahead(from.corner)
		const [p, q] = later ? [from, to] : [to, from]
		const [a, b, c] = [lengths[p.corner]!, lengths[q.corner]!, lengths[ahead(q.corner)]!]
		const [u, v] = [a * (1 - p.t), b * q.t]
		return Math.sqrt(Math.max(0, u * u + v * v - (u * v * (a * a + b * b - c * c)) / (a * b)))
	}
	let worst = 0
	for (let k = 0; k < DIRECTIONS; k++) {
		const [c, s] = [Math.cos((Math.PI * k) / DIRECTIONS), Math.sin((Math.PI * k) / DIRECTIONS)]
		const values = x.map((px, i) => c * px + s * y[i]!)
		const [low, high] = values.reduce(([a, b], v) => [Math.min(a, v), Math.max(b, v)], [Infinity, -Infinity])
		const levels = Array.from({ length: LINES }, (_, i) => low + ((high - low) * (i + 0.5)) / LINES)
		for (const line of levelLines(mesh, values, levels).flat()) {
			const terms = line.map(({ from, to }) => {
				const [p, q] = [onPaper(from), onPaper(to)]
				return onPanel(from, to) - Math.sqrt((p.x - q.x) ** 2 + (p.y - q.y) ** 2)
			})
			worst = Math.max(worst, widest(terms, false))
		}
	}
	return worst
}
