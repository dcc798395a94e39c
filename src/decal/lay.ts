/** From a decal's own plane onto the panel, and what that does to its film. */
import type { Chart } from '../chart/chart.ts'
import { frame as lineFrame } from '../chart/curve.ts'
import { shoot } from '../chart/geodesic.ts'
import { beyond } from '../chart/limits.ts'
import { measure } from '../chart/measure.ts'
import { parallelPoint } from '../chart/parallel.ts'
import type { ChartPoint, ChartRegion, Curve } from '../chart/point.ts'
import { toChart } from '../chart/region.ts'
import type { PlanePoint, Region } from '../plane/point.ts'
import { normalise } from '../plane/region.ts'
import type { DecalFrame } from './frame.ts'

/** One place of the film on the panel. */
export interface Laid {
	readonly at: ChartPoint
	/**
	 * mm of panel for each mm of film in the direction that has to give, less 1: above 0 the film stretches, below 0 it puckers;
	 * in the other direction lengths stay.
	 */
	readonly give: number
	readonly reached: boolean
}

/**
 * `round`: every place in its direction and at its distance from the middle (geodesic polar coordinates). `along`: along the
 * baseline first, then square off it. `follow`: along a line of the panel, bend for bend.
 * do Carmo, Differential Geometry of Curves and Surfaces, 4-6 (polar and Fermi coordinates, Jacobi fields).
 */
export type LayWay = 'round' | 'along' | 'follow'

export interface Laying {
	readonly way: LayWay
	readonly place: (p: PlanePoint) => Laid
}

/** Paths are followed to this, mm: far under what an eye sees. */
const PATH_MM = 1e-5

export function layRound(chart: Chart, { at, angle, turn }: DecalFrame): Laying {
	return {
		way: 'round',
		place: ({ x, y }) => {
			const r = Math.hypot(x, y)
			if (r < 1e-9) return { at, give: 0, reached: true }
			const shot = shoot(chart, at, angle + turn * Math.atan2(y, x), r, { spread: 0, spreadRate: 1, toleranceMm: PATH_MM })
			return { at: shot.at, give: shot.spread / r - 1, reached: shot.reached }
		},
	}
}

/** Along the baseline `level` mm above the middle: the line that the decal was measured on stays true. */
export function layAlong(chart: Chart, { at, angle, turn }: DecalFrame, level: number): Laying {
	const square = (turn * Math.PI) / 2
	const up = level === 0 ? { at, angle: angle + square } : shoot(chart, at, angle + square, level, { toleranceMm: PATH_MM })
	const ahead = up.angle - square
	const feet = new Map<number, ReturnType<typeof shoot>>()
	const footOf = (x: number) => {
		const known = feet.get(x)
		if (known) return known
		const made = shoot(chart, up.at, ahead, x, { toleranceMm: PATH_MM })
		feet.set(x, made)
		return made
	}
	return {
		way: 'along',
		place: ({ x, y }) => {
			const foot = footOf(x)
			const shot = shoot(chart, foot.at, foot.angle + square, y - level, { toleranceMm: PATH_MM })
			return { at: shot.at, give: shot.spread - 1, reached: foot.reached && shot.reached }
		},
	}
}

export interface Followed {
	readonly line: Curve
	/** where along the line the middle stands, mm from its start */
	readonly middleMm: number
	/** from the line to the decal's middle, mm, positive to the line's plus side */
	readonly offMm: number
	/** +1 where up is the line's plus side */
	readonly turn: 1 | -1
	/** +1 where x runs with the line */
	readonly sense: 1 | -1
}

/** Along a line: what lies on the line keeps its length, what lies off it is spread or crowded as the line bends. */
export function layFollowing(chart: Chart, { line, middleMm, offMm, turn, sense }: Followed): Laying {
	const { at: parameterAt, length } = measure(chart, line)
	return {
		way: 'follow',
		place: ({ x, y }) => {
			const l = middleMm + sense * x
			const f = lineFrame(chart, line, parameterAt(l))
			const p = parallelPoint(chart, f, offMm + turn * y, 0, PATH_MM)
			return { at: p.at, give: p.spread - 1, reached: p.reached && l >= 0 && l <= length }
		},
	}
}

/** Chords between laid places leave the true edge by no more than this, mm. */
const CHORD_MM = 0.01
const DEEPEST = 10
/** No chord is longer, mm: its middle alone would not show an S. */
const LONGEST_MM = 8

/** A loop of the decal laid on the panel, closely set; with each place what it is laid from. */
export function layLoop(chart: Chart, { place }: Laying, loop: readonly PlanePoint[]): readonly LaidPoint[] {
	const out: LaidPoint[] = []
	const laid = loop.map((p): LaidPoint => ({ p, ...place(p) }))
	const between = (a: LaidPoint, b: LaidPoint, depth: number): void => {
		const p = { x: (a.p.x + b.p.x) / 2, y: (a.p.y + b.p.y) / 2 }
		const length = Math.hypot(b.p.x - a.p.x, b.p.y - a.p.y)
		if (depth >= DEEPEST || length < 2 * CHORD_MM) return
		const middle: LaidPoint = { p, ...place(p) }
		const { j } = chart.metric(middle.at.s, middle.at.g)
		const off = Math.hypot((middle.at.s - (a.at.s + b.at.s) / 2) * j, middle.at.g - (a.at.g + b.at.g) / 2)
		if (!(off > CHORD_MM) && length <= LONGEST_MM) return
		between(a, middle, depth + 1)
		out.push(middle)
		between(middle, b, depth + 1)
	}
	laid.forEach((a, i) => {
		out.push(a)
		between(a, laid[(i + 1) % laid.length] as LaidPoint, 0)
	})
	return out
}

export interface LaidPoint extends Laid {
	readonly p: PlanePoint
}

/** A region of the decal on the panel; undefined where part of it lies beyond what was captured or can be measured there. */
export const layRegion = (chart: Chart, laying: Laying, region: Region): ChartRegion | undefined =>
	regionOf(
		chart,
		region.map((loop) => layLoop(chart, laying, loop)),
	)

/** The same of loops that are laid already. */
export function regionOf(chart: Chart, loops: readonly (readonly LaidPoint[])[]): ChartRegion | undefined {
	if (loops.some((loop) => loop.some((p) => !p.reached || beyond(chart, p.at) > BEYOND_MM))) return undefined
	return toChart(normalise(loops.map((loop) => loop.map(({ at }) => ({ x: at.s, y: at.g })))))
}

/** Beyond the chart by less is rounding, mm. */
const BEYOND_MM = 0.01
