import { flatten } from '../plane/flatten.ts'
import type { Region } from '../plane/point.ts'
import { type Chart, metricRoom } from './chart.ts'
import { toPlaneCubic } from './curve.ts'
import type { ChartPoint, ChartRegion, Curve } from './point.ts'

/** Of a region the same in the (s, g) plane: neither ever changes, and many ask. */
const inPlane = new WeakMap<ChartRegion, Region>()

/** Regions are cut and joined in the (s, g) plane: what lies in what does not depend on the metric. */
export function toPlane(region: ChartRegion): Region {
	const known = inPlane.get(region)
	if (known) return known
	const made = region.map((loop) => loop.map((p) => ({ x: p.s, y: p.g })))
	inPlane.set(region, made)
	return made
}

export function toChart(region: Region): ChartRegion {
	const made = region.map((loop) => loop.map((p) => ({ s: p.x, g: p.y })))
	inPlane.set(made, region)
	return made
}

const room = metricRoom()

/** The curve as a polyline whose chords leave it by at most `chordMm` on the panel. */
export function polyline(chart: Chart, curve: Curve, chordMm: number): ChartPoint[] {
	const scale = (s: number, g: number) => ({ sx: chart.metric(s, g, room).j, sy: 1 })
	return flatten(curve.cubics.map(toPlaneCubic), chordMm, chart.euclidean ? undefined : scale).map((p) => ({ s: p.x, g: p.y }))
}
