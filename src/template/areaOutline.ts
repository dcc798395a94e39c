import type { Chart } from '../chart/chart.ts'
import type { ChartRegion, Curve } from '../chart/point.ts'
import { polyline } from '../chart/region.ts'
import type { PlanePoint } from '../plane/point.ts'
import { closelySet } from './closelySet.ts'

/** A place of an area's outline: x the station times `scale`, y the girth. */
export interface OutlinePoint extends PlanePoint {
	/** a vertex of the mesh; those between are set off from the mesh's edges */
	readonly vertex: boolean
	/** on a line to tape along */
	readonly working: boolean
	/** the outline turns sharply here */
	readonly corner: boolean
}

export interface AreaOutline {
	readonly loops: readonly (readonly OutlinePoint[])[]
	/** mean length on the panel of 1 mm of station */
	readonly scale: number
	readonly edgeMm: number
}

/** What turns by more than this in one place is a corner, radians. */
const CORNER = 0.3
/** A mesh follows a bend in steps no larger than this, radians. */
const STEP_RAD = 0.35
/** An edge of the region lies within its chords of the line itself, mm. */
const ON_LINE_MM = 0.05
const CHORD_MM = 0.005

/** The outline of a region, closely set, with the vertices that a mesh of edges of `edgeMm` has on it. */
export function areaOutline(chart: Chart, region: ChartRegion, working: readonly Curve[], edgeMm: number): AreaOutline {
	const all = region.flat()
	const scale = all.reduce((sum, p) => sum + chart.metric(p.s, p.g).j, 0) / all.length
	const lines = working.map((c) => polyline(chart, c, CHORD_MM).map((p): PlanePoint => ({ x: p.s * scale, y: p.g })))
	const near = nearLines(lines)
	const loops = region.map((loop) => {
		const points = closelySet(chart, loop, true)
		const jOf = points.map((p) => chart.metric(p.s, p.g).j)
		const turn = points.map((p, i) => {
			const n = points.length
			const [a, b] = [points[(i + n - 1) % n]!, points[(i + 1) % n]!]
			const j = jOf[i]!
			const t = Math.atan2(b.g - p.g, (b.s - p.s) * j) - Math.atan2(p.g - a.g, (p.s - a.s) * j)
			return Math.atan2(Math.sin(t), Math.cos(t))
		})
		const plane = points.map((p): PlanePoint => ({ x: p.s * scale, y: p.g }))
		const vertices = verticesOf(plane, turn, edgeMm)
		return plane.map(
			(p, i): OutlinePoint => ({ ...p, vertex: vertices.has(i), working: near(p), corner: Math.abs(turn[i]!) > CORNER }),
		)
	})
	return { loops, scale, edgeMm }
}

/** Corners, and between them places at even lengths, so that a loop and its mirror image are divided alike. */
function verticesOf(loop: readonly PlanePoint[], turn: readonly number[], edgeMm: number): Set<number> {
	const n = loop.length
	const corners = turn.flatMap((t, i) => (Math.abs(t) > CORNER ? [i] : []))
	// A loop without a corner begins at its front.
	if (corners.length === 0) corners.push(loop.reduce((best, p, i) => (p.x < loop[best]!.x ? i : best), 0))
	const out = new Set<number>(corners)
	corners.forEach((from, k) => {
		const to = corners[(k + 1) % corners.length]!
		const steps = ((to - from + n - 1) % n) + 1
		const lengths = [0]
		let bend = 0
		for (let i = 1; i <= steps; i++) {
			const [p, q] = [loop[(from + i - 1) % n]!, loop[(from + i) % n]!]
			lengths.push(lengths[i - 1]! + Math.hypot(q.x - p.x, q.y - p.y))
			if (i < steps) bend += Math.abs(turn[(from + i) % n]!)
		}
		const total = lengths[steps]!
		const least = corners.length === 1 ? 8 : 1
		const parts = Math.max(least, Math.ceil(total / edgeMm), Math.ceil(bend / STEP_RAD))
		let i = 0
		for (let part = 1; part < parts; part++) {
			const want = (total * part) / parts
			while (i < steps && Math.abs(lengths[i + 1]! - want) <= Math.abs(lengths[i]! - want)) i++
			out.add((from + i) % n)
		}
	})
	return out
}

/** Whether a place lies on one of the lines. */
function nearLines(lines: readonly (readonly PlanePoint[])[]): (p: PlanePoint) => boolean {
	const CELL = 8
	const cells = new Map<string, [PlanePoint, PlanePoint][]>()
	for (const line of lines) {
		line.slice(1).forEach((q, i) => {
			const p = line[i]!
			const cell = (v: number) => Math.floor(v / CELL)
			for (let a = cell(Math.min(p.x, q.x) - ON_LINE_MM); a <= cell(Math.max(p.x, q.x) + ON_LINE_MM); a++) {
				for (let b = cell(Math.min(p.y, q.y) - ON_LINE_MM); b <= cell(Math.max(p.y, q.y) + ON_LINE_MM); b++) {
					const list = cells.get(`${a} ${b}`)
					if (list) list.push([p, q])
					else cells.set(`${a} ${b}`, [[p, q]])
				}
			}
		})
	}
	return (p) =>
		(cells.get(`${Math.floor(p.x / CELL)} ${Math.floor(p.y / CELL)}`) ?? []).some(([a, b]) => {
			const [vx, vy] = [b.x - a.x, b.y - a.y]
			const square = vx * vx + vy * vy
			const t = square > 0 ? Math.min(1, Math.max(0, ((p.x - a.x) * vx + (p.y - a.y) * vy) / square)) : 0
			return Math.hypot(a.x + t * vx - p.x, a.y + t * vy - p.y) <= ON_LINE_MM
		})
}
