/** What the parts of a plan's view share. */
import type { Chart } from '../chart/chart.ts'
import type { ChartPoint, ChartRegion } from '../chart/point.ts'
import type { Box, Item, PathItem, Segment, Stroke } from '../drawing/drawing.ts'
import { polyline } from '../drawing/path.ts'
import type { HandedChart, PanelResult } from '../engine/panel.ts'
import type { PlanePoint } from '../plane/point.ts'
import { simplify } from '../plane/simplify.ts'
import type { Unit } from '../units/length.ts'
import { innerPoints } from './innerPoints.ts'
import type { Label } from './labels.ts'

export interface ViewInput {
	readonly panel: PanelResult
	readonly chart: Chart
	readonly hand: HandedChart['hand']
	readonly colours: ReadonlyMap<string, { readonly name: string; readonly colour: string }>
	readonly unit: Unit
	readonly textMm: number
}

/** Points of a plan need be no nearer to their curve than its thinnest line is wide. */
export const CHORD_MM = 0.03
/** Good enough to keep labels off a line. */
export const ROUGH_MM = 0.3

/** What one kind of thing adds to a view. */
export interface Part {
	readonly items?: readonly Item[]
	readonly labels?: readonly Label[]
	readonly marks?: readonly Box[]
	readonly lines?: readonly (readonly PlanePoint[])[]
}

/** From the panel to the paper of its view. */
export type To = (p: ChartPoint) => PlanePoint

export const path = (segments: readonly Segment[], stroke: Stroke | undefined, title?: string, fill?: string): PathItem => ({
	kind: 'path',
	role: fill === undefined ? 'guide' : 'fill',
	segments,
	...(stroke ? { stroke } : {}),
	...(fill === undefined ? {} : { fill }),
	...(title === undefined ? {} : { title }),
})

export const regionPoints = (region: ChartRegion, to: To) => region.map((loop) => simplify(loop.map(to), CHORD_MM, true))
const rough = (loops: readonly (readonly PlanePoint[])[]) => loops.map((loop) => simplify(loop, ROUGH_MM, true))
/** Places inside an area, the roomiest first. */
export const inside = (loops: readonly (readonly PlanePoint[])[]) => innerPoints(rough(loops)).map(({ p }) => p)
export const regionSegments = (loops: readonly (readonly PlanePoint[])[]) => loops.flatMap((loop) => polyline(loop, true))

export const closed = <P>(loop: readonly P[]): P[] => [...loop, ...loop.slice(0, 1)]

/** A few places round a loop, for labels to choose from. */
export function along(loop: readonly PlanePoint[]): readonly PlanePoint[] {
	const count = Math.min(12, loop.length)
	return Array.from({ length: count }, (_, i) => loop[Math.floor((i * loop.length) / count)] as PlanePoint)
}
