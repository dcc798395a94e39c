import { flatten } from '../plane/flatten.ts'
import type { Region } from '../plane/point.ts'
import type { Chart } from './chart.ts'
import { toPlaneCubic } from './curve.ts'
import type { ChartPoint, ChartRegion, Curve } from './point.ts'

/** Regions are cut and joined in the (s, g) plane: what lies in what does not depend on the metric. */
export const toPlane = (region: ChartRegion): Region => region.map((loop) => loop.map((p) => ({ x: p.s, y: p.g })))
export const toChart = (region: Region): ChartRegion => region.map((loop) => loop.map((p) => ({ s: p.x, g: p.y })))

/** The curve as a polyline whose chords leave it by at most `chordMm` on the panel. */
export function polyline(chart: Chart, curve: Curve, chordMm: number): ChartPoint[] {
	const scale = (s: number, g: number) => ({ sx: chart.metric(s, g).j, sy: 1 })
	return flatten(curve.cubics.map(toPlaneCubic), chordMm, chart.euclidean ? undefined : scale).map((p) => ({ s: p.x, g: p.y }))
}
