/** A panel in the round as a picture: shaded, painted as planned, seen from in front and above. */
import type { ChartRegion, SpacePoint } from '../chart/point.ts'
import { boxOf } from '../drawing/box.ts'
import type { Drawing, Item } from '../drawing/drawing.ts'
import { polyline } from '../drawing/path.ts'
import type { HandedChart, PanelResult } from '../engine/panel.ts'
import type { PlanePoint, Region } from '../plane/point.ts'
import { pointInRegion } from '../plane/polyline.ts'
import { intersect } from '../plane/region.ts'
import { type ShapeGrid, shapeGrid } from './shapeGrid.ts'

export interface ShapePictureOptions {
	/** id -> #rrggbb */
	readonly colours: ReadonlyMap<string, string>
	/** what bare metal is shown as */
	readonly bare?: string
	/** size of the faces, mm */
	readonly stepMm?: number
	/** how far the eye has gone round from straight in front to the right, and up, degrees */
	readonly roundDeg?: number
	readonly upDeg?: number
}

const MARGIN_MM = 6
/** The light comes over the eye's left shoulder; what is turned away keeps this share of it. */
const SHADE = 0.45
/** What is seen of a panel from within. */
const INSIDE = '#6b6f73'

/** Orthographic, the far faces first (painter's algorithm: Newell, Newell and Sancha, ACM 1972). Undefined as for `shapeGrid`. */
export function shapePicture(
	panel: PanelResult,
	{ hand, chart }: HandedChart,
	{ colours, bare = '#9aa0a6', stepMm = 2.5, roundDeg = 40, upDeg = 32 }: ShapePictureOptions,
): Drawing | undefined {
	const grid = shapeGrid(panel, chart, stepMm)
	if (!grid) return undefined
	const [a, b] = [(roundDeg * Math.PI) / 180, (upDeg * Math.PI) / 180]
	// The eye looks rearward (+x) from in front, goes round to the right and up.
	const eye = { x: -Math.cos(a) * Math.cos(b), y: Math.sin(a) * Math.cos(b), z: Math.sin(b) }
	const rightward = unit(cross({ x: 0, y: 0, z: 1 }, eye))
	const upward = cross(eye, rightward)
	const light = unit({ x: eye.x + 0.5 * upward.x, y: eye.y + 0.5 * upward.y, z: eye.z + 0.5 * upward.z })
	const onPaper = (p: SpacePoint): PlanePoint => ({ x: dot(p, rightward), y: dot(p, upward) })
	const scheme = panel.schemes?.find((s) => s.hand === hand)?.scheme
	const paints = [...(scheme?.fields ?? []), ...(scheme?.bands ?? [])].map(({ paint, region }) =>
		onGrid(grid, region, colours.get(paint) ?? bare),
	)
	const { area } = panel.lines ?? {}
	const whole = area && area.from !== 'marks' ? onGrid(grid, area.region, bare) : undefined
	const faces: { readonly depth: number; readonly items: readonly Item[]; readonly points: readonly PlanePoint[] }[] = []
	for (let i = 1; i < grid.rows.length; i++) {
		const [front, rear] = [grid.rows[i - 1] ?? [], grid.rows[i] ?? []]
		for (let k = 1; k < rear.length; k++) {
			const metal = whole?.on(i - 1, k - 1) ?? 'all'
			if (metal === 'none') continue
			const corners = [front[k - 1], rear[k - 1], rear[k], front[k]].flatMap((c) => c?.at ?? [])
			const [p, q, r, t] = corners as [SpacePoint, SpacePoint, SpacePoint, SpacePoint]
			const normal = scaled(unit(cross(minus(r, p), minus(t, q))), chart.orientation)
			const middle = scaled({ x: p.x + q.x + r.x + t.x, y: p.y + q.y + r.y + t.y, z: p.z + q.z + r.z + t.z }, 0.25)
			const outside = dot(normal, eye) > 0
			const lit = outside ? SHADE + (1 - SHADE) * Math.max(0, dot(normal, light)) : SHADE
			const [pp, pq, pr, pt] = corners.map(onPaper) as [PlanePoint, PlanePoint, PlanePoint, PlanePoint]
			// Between its corners a face is as good as flat: places in it go by its parts each way.
			const inside = ({ x, y }: PlanePoint): PlanePoint => {
				const [u, v] = [x - (i - 1), y - (k - 1)]
				const mix = (c: 'x' | 'y') => (1 - v) * ((1 - u) * pp[c] + u * pq[c]) + v * ((1 - u) * pt[c] + u * pr[c])
				return { x: mix('x'), y: mix('y') }
			}
			const square = [pp, pq, pr, pt]
			const cover = (part: Region | 'all') => (part === 'all' ? [square] : part.map((loop) => loop.map(inside)))
			const items = [face(cover(metal), shaded(outside ? bare : INSIDE, lit))]
			for (const paint of outside ? paints : []) {
				const part = paint.on(i - 1, k - 1)
				if (part !== 'none') items.push(face(cover(part), shaded(paint.colour, lit)))
			}
			faces.push({ depth: dot(middle, eye), items, points: square })
		}
	}
	const box = boxOf(faces.flatMap(({ points }) => points))
	if (!box) return undefined
	const items = faces.toSorted((x, y) => x.depth - y.depth).flatMap((one) => one.items)
	const at = { x: MARGIN_MM - box.minX, y: MARGIN_MM - box.minY }
	return {
		widthMm: box.maxX - box.minX + 2 * MARGIN_MM,
		heightMm: box.maxY - box.minY + 2 * MARGIN_MM,
		title: panel.title,
		items: [{ kind: 'group', at, angle: 0, items }],
	}
}

/** A hair over its own rim, so that no light comes through between two faces. */
const face = (loops: readonly (readonly PlanePoint[])[], colour: string): Item => ({
	kind: 'path',
	role: 'fill',
	segments: loops.flatMap((loop) => polyline(loop, true)),
	fill: colour,
	stroke: { widthMm: 0.35, colour },
})

/** A region counted in cells of the grid: what of it lies on each. */
function onGrid(grid: ShapeGrid, region: ChartRegion, colour: string) {
	const { rows } = grid
	const s0 = rows[0]?.[0]?.on.s ?? 0
	const ds = ((rows.at(-1)?.[0]?.on.s ?? 1) - s0) / (rows.length - 1)
	const cells = region.map((loop) =>
		loop.map(({ s, g }): PlanePoint => {
			const x = (s - s0) / ds
			const i = Math.max(0, Math.min(rows.length - 2, Math.floor(x)))
			const at = (end: 0 | -1) => {
				const [a, b] = [rows[i]?.at(end)?.on.g ?? 0, rows[i + 1]?.at(end)?.on.g ?? 0]
				return a + (b - a) * (x - i)
			}
			return { x, y: ((g - at(0)) / (at(-1) - at(0))) * ((rows[i]?.length ?? 1) - 1) }
		}),
	)
	const rim = new Set(
		cells.flatMap((loop) =>
			loop.flatMap((p, n) => {
				const q = loop[(n + 1) % loop.length] as PlanePoint
				const steps = Math.max(1, Math.ceil(Math.hypot(q.x - p.x, q.y - p.y) * 4))
				return Array.from({ length: steps + 1 }, (_, m) => {
					const t = m / steps
					return `${Math.floor(p.x + (q.x - p.x) * t)} ${Math.floor(p.y + (q.y - p.y) * t)}`
				})
			}),
		),
	)
	const on = (i: number, k: number): Region | 'all' | 'none' => {
		if (!rim.has(`${i} ${k}`)) return pointInRegion({ x: i + 0.5, y: k + 0.5 }, cells) ? 'all' : 'none'
		const square = [
			{ x: i, y: k },
			{ x: i + 1, y: k },
			{ x: i + 1, y: k + 1 },
			{ x: i, y: k + 1 },
		]
		return intersect(cells, [square])
	}
	return { colour, on }
}

const dot = (a: SpacePoint, b: SpacePoint) => a.x * b.x + a.y * b.y + a.z * b.z
const minus = (a: SpacePoint, b: SpacePoint) => ({ x: a.x - b.x, y: a.y - b.y, z: a.z - b.z })
const scaled = (a: SpacePoint, f: number) => ({ x: a.x * f, y: a.y * f, z: a.z * f })
const cross = (a: SpacePoint, b: SpacePoint) => ({ x: a.y * b.z - a.z * b.y, y: a.z * b.x - a.x * b.z, z: a.x * b.y - a.y * b.x })
const unit = (a: SpacePoint) => scaled(a, 1 / Math.max(1e-12, Math.sqrt(dot(a, a))))

function shaded(hex: string, light: number): string {
	const channel = (at: number) =>
		Math.round(Number.parseInt(hex.slice(at, at + 2), 16) * Math.min(1, light))
			.toString(16)
			.padStart(2, '0')
	return `#${channel(1)}${channel(3)}${channel(5)}`
}
