/** Where a decal's own plane stands on the panel, and which way is rearward and up in it. */
import type { Chart } from '../chart/chart.ts'
import type { ChartPoint } from '../chart/point.ts'
import type { DECAL_POINTS } from '../job/decalSchema.ts'
import type { Panel } from '../job/schema.ts'
import type { PlanePoint } from '../plane/point.ts'
import type { Side } from '../scheme/side.ts'

/**
 * In a decal's frame x runs rearward and y up (towards the centreline on a panel that has one); across the centreline x runs to
 * the right and y to the front. Its middle, that of the box round all that is printed, is at 0, 0.
 */
export interface DecalFrame {
	/** where the middle lies */
	readonly at: ChartPoint
	/** direction of x there, from +s towards +g */
	readonly angle: number
	/** y lies a right angle from x: +1 towards +g from +s, -1 the other way */
	readonly turn: 1 | -1
}

/** The way y turns from x on each side: on the right of a centreline up is against the girth. */
export const turnOn = (panel: Pick<Panel, 'hand'>, side: Side): 1 | -1 => (panel.hand === 'centre' && side === 'right' ? -1 : 1)

/** Direction of x where a baseline does not rise or fall. */
const level = (side: Side) => (side === 'both' ? Math.PI / 2 : 0)

/** From degrees by which a baseline rises towards the rear (across: turns anticlockwise as read) to its direction on the chart. */
export const angleOn = (panel: Pick<Panel, 'hand'>, side: Side, riseDeg: number): number =>
	level(side) + (turnOn(panel, side) * riseDeg * Math.PI) / 180

/** The other way round: -180 to 180 degrees. */
export function riseOf(panel: Pick<Panel, 'hand'>, side: Side, angle: number): number {
	const turned = turnOn(panel, side) * (angle - level(side))
	return (Math.atan2(Math.sin(turned), Math.cos(turned)) * 180) / Math.PI
}

/** So far to each side a level is felt for, mm. */
const FEEL_MM = 0.5
/** A place that rises less steeply than this share has no level worth the name. */
const LEAST_RISE = 0.02

/** The direction, nearest to `near`, in which the panel neither rises nor falls; undefined where it lies level all round, or its place in space is not known. */
export function levelAt(chart: Chart, at: ChartPoint, near: number): number | undefined {
	const { embed } = chart
	if (!embed) return undefined
	const { j } = chart.metric(at.s, at.g)
	const z = (ds: number, dg: number) => embed({ s: at.s + ds / j, g: at.g + dg }).z
	const along = (z(FEEL_MM, 0) - z(-FEEL_MM, 0)) / (2 * FEEL_MM)
	const across = (z(0, FEEL_MM) - z(0, -FEEL_MM)) / (2 * FEEL_MM)
	if (!(Math.hypot(along, across) > LEAST_RISE)) return undefined
	const angle = Math.atan2(-along, across)
	return Math.cos(angle - near) >= 0 ? angle : angle + Math.PI
}

export type DecalPoint = (typeof DECAL_POINTS)[number] | readonly [number, number]

/** A named place of a decal, or two lengths from its middle, in its frame. */
export function pointOf(point: DecalPoint, { width, height }: { readonly width: number; readonly height: number }): PlanePoint {
	if (typeof point !== 'string') return { x: point[0], y: point[1] }
	const words = point.split('-')
	const has = (...names: readonly string[]) => names.some((name) => words.includes(name))
	return {
		x: ((has('rear', 'right') ? 1 : 0) - (has('front', 'left') ? 1 : 0)) * (width / 2),
		y: ((has('top') ? 1 : 0) - (has('bottom') ? 1 : 0)) * (height / 2),
	}
}
