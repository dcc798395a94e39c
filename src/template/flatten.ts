import type { Chart } from '../chart/chart.ts'
import type { PlanePoint } from '../plane/point.ts'
import { type Triangulation, triangulate } from '../plane/triangulate.ts'
import { layFlat } from './arap.ts'
import type { AreaOutline, OutlinePoint } from './areaOutline.ts'
import type { Slit } from './areaSlits.ts'
import { conformalStart } from './conformalStart.ts'
import { layingError } from './flattenError.ts'
import { type PanelMesh, panelMesh } from './flattenMesh.ts'
import { startFlat } from './flattenStart.ts'
import { levelLines, type OnEdge } from './levelLines.ts'
import { type Stretch, stretchOf } from './stretch.ts'

/** A place of the rim on paper. */
export interface RimPoint extends PlanePoint {
	/** on a line to tape along */
	readonly working: boolean
	/** beside a slit or at its inner end, not at its mouth: the number of the slit */
	readonly slit?: number
	/** at the mouth of a slit */
	readonly mouth?: number
}

/** Part of a panel laid flat; x along +s on the whole, y along +g: the panel's hand is not applied. */
export interface FlatArea {
	readonly mesh: PanelMesh
	readonly x: Float64Array
	readonly y: Float64Array
	/** the rim, slits included, the piece to its left */
	readonly rim: readonly (readonly RimPoint[])[]
	readonly stretch: Stretch
	/** largest error when it is laid on the panel, mm */
	readonly layingMm: number
	readonly iterations: number
	/** what refinement may still move, mm */
	readonly errorMm: number
}

/** How much more than the rest of the paper the triangles along an edge to tape along count: that line must be true. */
const EDGE_WEIGHT = 10

/**
 * An area laid flat with as little stretch as can be, cut along the slits. Undefined where it cannot be divided into triangles
 * (its outline crosses itself), refinement does not settle, or the paper would lie folded.
 */
export function flattenArea(
	chart: Chart,
	outline: AreaOutline,
	slits: readonly Slit[],
	toleranceMm: number,
): FlatArea | undefined {
	const loops = withMouths(outline, slits)
	const plane = triangulate({
		loops: loops.map((loop) => loop.filter((p) => p.vertex)),
		lines: slits.map((slit) => slit.line),
		edgeMm: outline.edgeMm,
	})
	if (!plane) return undefined
	const mesh = panelMesh(chart, plane, outline.scale)
	const places = placesOf(loops, plane)
	const tapedAt = tapedVertices(loops, plane, places)
	const taped = (v: number) => tapedAt.has(mesh.source[v]!)
	const weights = new Float64Array(mesh.triangles.length / 3).fill(1)
	mesh.triangles.forEach((v, e) => {
		if (taped(v)) weights[Math.floor(e / 3)] = EDGE_WEIGHT
	})
	const start = slits.length > 0 ? conformalStart(mesh) : startFlat(chart, mesh)
	const laid = start && layFlat({ ...mesh, weights }, start, toleranceMm)
	if (!laid) return undefined
	const { x, y } = levelled(mesh, laid.x, laid.y)
	const stretch = stretchOf(mesh, x, y)
	if (stretch.flipped > 0) return undefined
	return {
		mesh,
		x,
		y,
		rim: rimOnPaper(chart, outline.scale, loops, plane, places, mesh, x, y),
		stretch,
		layingMm: layingError(mesh, x, y, taped),
		iterations: laid.iterations,
		errorMm: laid.errorMm,
	}
}

/** Turned so that stations on the whole run along +x. */
function levelled({ triangles, s, g }: PanelMesh, x: Float64Array, y: Float64Array): { x: Float64Array; y: Float64Array } {
	let [along, across] = [0, 0]
	for (let e = 0; e < triangles.length; e++) {
		const [a, b] = [triangles[e]!, triangles[e % 3 === 2 ? e - 2 : e + 1]!]
		const [ds, dg, dx, dy] = [s[b]! - s[a]!, g[b]! - g[a]!, x[b]! - x[a]!, y[b]! - y[a]!]
		along += ds * dx + dg * dy
		across += ds * dy - dg * dx
	}
	const size = Math.hypot(along, across)
	const [c, sn] = [along / size, across / size]
	return { x: x.map((v, i) => v * c + y[i]! * sn), y: y.map((v, i) => v * c - x[i]! * sn) }
}

/** The loops with the mouths of slits put in as vertices. */
function withMouths({ loops }: AreaOutline, slits: readonly Slit[]): OutlinePoint[][] {
	return loops.map((loop, l) => {
		const mine = slits.filter((s) => s.loop === l).sort((a, b) => a.after - b.after || a.t - b.t)
		const out: OutlinePoint[] = []
		loop.forEach((p, i) => {
			out.push(p)
			for (const slit of mine.filter((s) => s.after === i)) {
				const working = p.working && loop[(i + 1) % loop.length]!.working
				out.push({ ...slit.line[0], vertex: true, corner: false, working })
			}
		})
		return out
	})
}

/** A point of a loop of the outline. */
interface Place {
	readonly loop: number
	readonly at: number
}

/** Which point of the outline a vertex of the triangulation is; none for those that halving has put between. */
function placesOf(loops: readonly (readonly OutlinePoint[])[], plane: Triangulation): Map<number, Place> {
	const key = (x: number, y: number) => `${Math.round(x * 1e6)} ${Math.round(y * 1e6)}`
	const byPlace = new Map<string, Place>()
	loops.forEach((loop, l) => {
		loop.forEach((p, i) => void (p.vertex && byPlace.set(key(p.x, p.y), { loop: l, at: i })))
	})
	const known = new Map<number, Place>()
	for (const v of plane.loops.flat()) {
		const place = byPlace.get(key(plane.x[v]!, plane.y[v]!))
		if (place) known.set(v, place)
	}
	return known
}

/** Vertices of the triangulation on lines to tape along, those between two such places included. */
function tapedVertices(
	loops: readonly (readonly OutlinePoint[])[],
	plane: Triangulation,
	places: ReadonlyMap<number, Place>,
): Set<number> {
	const out = new Set<number>()
	for (const loop of plane.loops) {
		const known = loop.flatMap((v, i) => (places.has(v) ? [i] : []))
		known.forEach((from, k) => {
			const to = known[(k + 1) % known.length]!
			const isTaped = (i: number) => {
				const place = places.get(loop[i]!)!
				return loops[place.loop]![place.at]!.working
			}
			if (!isTaped(from)) return
			out.add(loop[from]!)
			if (isTaped(to)) for (let i = (from + 1) % loop.length; i !== to; i = (i + 1) % loop.length) out.add(loop[i]!)
		})
	}
	return out
}

/** The mesh's rim on paper with what the outline has between its vertices. */
function rimOnPaper(
	chart: Chart,
	scale: number,
	loops: readonly (readonly OutlinePoint[])[],
	plane: Triangulation,
	known: ReadonlyMap<number, Place>,
	mesh: PanelMesh,
	x: Float64Array,
	y: Float64Array,
): RimPoint[][] {
	const slitOf = new Map<number, { slit: number; mouth: boolean }>()
	plane.lines.forEach((line, slit) => {
		line.forEach((v, i) => void slitOf.set(v, { slit, mouth: i === 0 }))
	})
	return mesh.rim.map(({ vertices, slit }) => {
		const out: RimPoint[] = []
		const n = vertices.length
		const start = Math.max(
			0,
			vertices.findIndex((v) => known.has(mesh.source[v]!)),
		)
		let last: { loop: number; at: number; vertex: number } | undefined
		for (let k = 0; k <= n; k++) {
			const i = (start + k) % n
			const v = vertices[i]!
			const source = mesh.source[v]!
			const place = known.get(source)
			const cut = slitOf.get(source)
			const here = { x: x[v]!, y: y[v]! }
			if (place && last && place.loop === last.loop) out.push(...between(last, { ...place, vertex: v }))
			last = place && !slit[i] ? { ...place, vertex: v } : place ? undefined : last
			if (k === n) break
			if (cut && !cut.mouth) out.push({ ...here, working: false, slit: cut.slit })
			else if (place) {
				const { working } = loops[place.loop]![place.at]!
				out.push({ ...here, working, ...(cut ? { mouth: cut.slit } : {}) })
			}
		}
		return out
	})

	/** The points of a loop between two of its vertices, set off from the straight line between these as they are on the panel. */
	function between(
		a: { readonly loop: number; readonly at: number; readonly vertex: number },
		b: { readonly at: number; readonly vertex: number },
	): RimPoint[] {
		const loop = loops[a.loop]!
		const count = (b.at - a.at + loop.length) % loop.length
		if (count < 2) return []
		const [p, q] = [loop[a.at]!, loop[b.at]!]
		const m = { x: (p.x + q.x) / 2, y: (p.y + q.y) / 2 }
		const { j, jg, js } = chart.metric(m.x / scale, m.y)
		// Normal coordinates about the middle, to second order.
		const local = (o: PlanePoint) => {
			const [ds, dg] = [(o.x - m.x) / scale, o.y - m.y]
			return { x: j * ds + (js * ds * ds) / 2 + jg * ds * dg, y: dg - (j * jg * ds * ds) / 2 }
		}
		const [lp, lq] = [local(p), local(q)]
		const [ux, uy] = [lq.x - lp.x, lq.y - lp.y]
		const [wx, wy] = [x[b.vertex]! - x[a.vertex]!, y[b.vertex]! - y[a.vertex]!]
		const square = ux * ux + uy * uy
		const [c, s] = [(ux * wx + uy * wy) / square, (ux * wy - uy * wx) / square]
		return Array.from({ length: count - 1 }, (_, k): RimPoint => {
			const o = loop[(a.at + k + 1) % loop.length]!
			const l = local(o)
			const [dx, dy] = [l.x - lp.x, l.y - lp.y]
			return { x: x[a.vertex]! + c * dx - s * dy, y: y[a.vertex]! + s * dx + c * dy, working: o.working }
		})
	}
}

/** Where the line of one station (or of one girth) lies on the piece, broken by slits. */
export function lineOn({ mesh, x, y }: FlatArea, of: 's' | 'g', level: number): PlanePoint[][] {
	const { triangles } = mesh
	const at = ({ corner, t }: OnEdge): PlanePoint => {
		const [a, b] = [triangles[corner]!, triangles[corner % 3 === 2 ? corner - 2 : corner + 1]!]
		return { x: x[a]! + (x[b]! - x[a]!) * t, y: y[a]! + (y[b]! - y[a]!) * t }
	}
	return levelLines(mesh, mesh[of], [level])
		.flat()
		.map((line) => [at(line[0]!.from), ...line.map((step) => at(step.to))])
}

/** Where a place of the panel lies on the piece; undefined outside it by more than `slack`, a share of a triangle. */
export function placeOn(
	{ mesh, x, y }: FlatArea,
	p: { readonly s: number; readonly g: number },
	slack = 1e-9,
): PlanePoint | undefined {
	const { triangles, s, g } = mesh
	for (let t = 0; t < triangles.length; t += 3) {
		const [a, b, c] = [triangles[t]!, triangles[t + 1]!, triangles[t + 2]!]
		const [bs, bg, cs, cg] = [s[b]! - s[a]!, g[b]! - g[a]!, s[c]! - s[a]!, g[c]! - g[a]!]
		const det = bs * cg - bg * cs
		const u = ((p.s - s[a]!) * cg - (p.g - g[a]!) * cs) / det
		const v = ((p.g - g[a]!) * bs - (p.s - s[a]!) * bg) / det
		if (u < -slack || v < -slack || u + v > 1 + slack) continue
		return {
			x: x[a]! + u * (x[b]! - x[a]!) + v * (x[c]! - x[a]!),
			y: y[a]! + u * (y[b]! - y[a]!) + v * (y[c]! - y[a]!),
		}
	}
	return undefined
}
