/** A panel's captured surface as a grid of places in space. */
import type { Chart } from '../chart/chart.ts'
import type { ChartPoint, SpacePoint } from '../chart/point.ts'
import { toPlane } from '../chart/region.ts'
import type { PanelResult } from '../engine/panel.ts'
import { pointInRegion } from '../plane/polyline.ts'
import { simplify } from '../plane/simplify.ts'

export interface ShapeGrid {
	readonly chart: Chart
	/** one row for each station, front to rear */
	readonly rows: readonly (readonly GridPlace[])[]
	embed(p: ChartPoint): SpacePoint
	/** whether the face between row i and column k and the next of each lies on the panel, as far as its rim is known */
	holds(i: number, k: number): boolean
}

export interface GridPlace {
	readonly on: ChartPoint
	readonly at: SpacePoint
}

/** More places than this are more than any viewer of such files likes. */
const MOST = 400
/** A face belongs to the panel or not: its rim to a fraction of a face will do. */
const ROUGH_MM = 0.2
/** Beyond its outline a panel is shown only so far, mm. */
const MARGIN_MM = 4

/**
 * The panel's surface about `stepMm` apart each way, as far as its outline (or its marks) and its limits reach. Undefined where
 * only lengths along the panel are known, or nothing of it has a place.
 */
export function shapeGrid(panel: PanelResult, chart: Chart, stepMm: number): ShapeGrid | undefined {
	const embed = chart.embed?.bind(chart)
	const reach = reachOf(panel)
	if (!embed || !reach) return undefined
	const [s0, s1] = [Math.max(chart.sMin, reach.s0 - MARGIN_MM), Math.min(chart.sMax, reach.s1 + MARGIN_MM)]
	const count = (length: number) => Math.min(MOST, Math.max(2, Math.ceil(length / stepMm) + 1))
	const across = count(reach.g1 - reach.g0)
	const along = count(s1 - s0)
	const rows = Array.from({ length: along }, (_, i) => {
		const s = s0 + ((s1 - s0) * i) / (along - 1)
		const [g0, g1] = [Math.max(chart.gMin(s), reach.g0 - MARGIN_MM), Math.min(chart.gMax(s), reach.g1 + MARGIN_MM)]
		return Array.from({ length: across }, (_, k): GridPlace => {
			const on = { s, g: g0 + ((g1 - g0) * k) / (across - 1) }
			return { on, at: embed(on) }
		})
	})
	const area = panel.lines?.area
	const known = area && area.from !== 'marks' ? toPlane(area.region).map((loop) => simplify(loop, ROUGH_MM, true)) : undefined
	const holds = (i: number, k: number) => {
		const [p, q] = [rows[i]?.[k]?.on, rows[i + 1]?.[k + 1]?.on]
		return !known || (p !== undefined && q !== undefined && pointInRegion({ x: (p.s + q.s) / 2, y: (p.g + q.g) / 2 }, known))
	}
	return { chart, rows, embed, holds }
}

function reachOf({ lines }: PanelResult) {
	const points = [...(lines?.area?.region.flat() ?? []), ...(lines ? lines.places.values() : [])]
	if (points.length < 2) return undefined
	const least = (of: (p: ChartPoint) => number) => points.reduce((a, p) => Math.min(a, of(p)), Infinity)
	const most = (of: (p: ChartPoint) => number) => points.reduce((a, p) => Math.max(a, of(p)), -Infinity)
	return { s0: least((p) => p.s), s1: most((p) => p.s), g0: least((p) => p.g), g1: most((p) => p.g) }
}
