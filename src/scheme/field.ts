import type { Chart } from '../chart/chart.ts'
import { evaluate } from '../chart/curve.ts'
import type { ChartPoint, ChartRegion, Curve } from '../chart/point.ts'
import { polyline, toChart, toPlane } from '../chart/region.ts'
import type { PlanePoint, Region } from '../plane/point.ts'
import { boxOf, intersections, pointInRegion } from '../plane/polyline.ts'
import { areaOf, intersect, normalise, subtract } from '../plane/region.ts'
import { CHORD_MM } from './band.ts'
import { onceRound } from './outline.ts'

/** A boundary of a field, and the side of it on which the field lies. */
export interface FieldBoundary {
	readonly curve: Curve
	/** a place on the field's side; for a closed line 'inside' or 'outside' instead */
	readonly towards: ChartPoint | 'inside' | 'outside'
}

/** How far beyond the panel its rectangle reaches: a line led on must leave it. */
const MARGIN_MM = 60

/** The part of an area that lies on the named side of each line. A line that ends inside is led straight on to the rim. */
export function fieldRegion(chart: Chart, area: ChartRegion, boundaries: readonly FieldBoundary[]): ChartRegion {
	let region: Region = toPlane(area)
	const all = region.flat().concat(boundaries.flatMap((b) => polyline(chart, b.curve, 0.5).map((p) => ({ x: p.s, y: p.g }))))
	const box = boxOf(all)
	if (!box) return []
	const frame = { minX: box.minX - MARGIN_MM, maxX: box.maxX + MARGIN_MM, minY: box.minY - MARGIN_MM, maxY: box.maxY + MARGIN_MM }
	const rim: PlanePoint[] = [
		{ x: frame.minX, y: frame.minY },
		{ x: frame.maxX, y: frame.minY },
		{ x: frame.maxX, y: frame.maxY },
		{ x: frame.minX, y: frame.maxY },
	]
	for (const b of boundaries) {
		const line = polyline(chart, b.curve, CHORD_MM).map((p) => ({ x: p.s, y: p.g }))
		if (b.curve.closed) {
			const inside = toPlane(onceRound(chart, toChart(normalise([line]))))
			region = b.towards === 'outside' ? subtract(region, inside) : intersect(region, inside)
			continue
		}
		const plus = plusSide(line, rim)
		const want = b.towards
		const onPlus = typeof want === 'string' ? want === 'inside' : pointInRegion({ x: want.s, y: want.g }, plus)
		region = onPlus ? intersect(region, plus) : subtract(region, plus)
	}
	return toChart(region)
}

/** The part of a rectangle to the left of a line that crosses it from rim to rim. */
function plusSide(line: readonly PlanePoint[], rim: readonly PlanePoint[]): Region {
	const a = line[0] as PlanePoint
	const b = line[1] as PlanePoint
	const y = line[line.length - 2] as PlanePoint
	const z = line[line.length - 1] as PlanePoint
	const out = ledOn(a, b, rim)
	const end = ledOn(z, y, rim)
	// Along the rim anticlockwise, from where the line leaves to where it came in, the left side stays on the left.
	const corners: PlanePoint[] = []
	let { edge, along } = end
	for (let k = 0; k <= rim.length && !(edge === out.edge && out.along >= along); k++) {
		edge = (edge + 1) % rim.length
		along = 0
		corners.push(rim[edge] as PlanePoint)
	}
	return normalise([[out.at, ...line, end.at, ...corners]])
}

interface RimHit {
	readonly at: PlanePoint
	readonly edge: number
	readonly along: number
}

/** From the end of a line straight on to the rim. */
function ledOn(tip: PlanePoint, before: PlanePoint, rim: readonly PlanePoint[]): RimHit {
	const length = Math.hypot(tip.x - before.x, tip.y - before.y)
	const far = { x: tip.x + ((tip.x - before.x) / length) * 1e5, y: tip.y + ((tip.y - before.y) / length) * 1e5 }
	const hit = intersections([tip, far], [...rim, rim[0] as PlanePoint])[0]
	if (!hit) throw new RangeError('a line inside a rectangle must leave it')
	return { at: hit.point, edge: hit.j % rim.length, along: hit.b }
}

/** A place half-way along a line. */
export const middleOf = (curve: Curve): ChartPoint => evaluate(curve, curve.cubics.length / 2).at

/** A place a little to one side of a line, half-way along: `dg` of girth, `ds` of station. */
export const beside = (curve: Curve, ds: number, dg: number): ChartPoint => {
	const m = middleOf(curve)
	return { s: m.s + ds, g: m.g + dg }
}

export const isEmpty = (region: ChartRegion) => region.length === 0 || Math.abs(areaOf(toPlane(region))) < 0.01
