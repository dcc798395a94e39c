import type { Chart } from '../chart/chart.ts'
import type { ChartPoint } from '../chart/point.ts'
import { type GridAxis, gridSpline } from '../numeric/gridSpline.ts'
import { fieldChart } from './fieldChart.ts'
import { fold } from './fold.ts'
import type { PanelFrame } from './frame.ts'
import { type GirthLimits, girthLimits, type LimitCause } from './girthLimits.ts'
import { captured, type GirthGrid, girthLines } from './girthLines.ts'
import { gridField, withoutFolds } from './gridField.ts'
import { rimOf } from './rim.ts'
import type { ScaleField } from './scaleField.ts'
import type { Surface } from './surface.ts'
import { type SurfacePoint, type SurfaceRay, surfaceDistance, walk } from './surfaceGeodesic.ts'

export interface FromSurface {
	readonly frame: PanelFrame
	/** in the panel's own frame: x along, y across (towards +g), z outward */
	readonly surface: Surface
	/** the baseline is the straightest line from here to there, run on to both sides; once round a ring when they differ by its period */
	readonly from: SurfacePoint
	readonly to: SurfacePoint
	/** station at which the baseline comes onto the captured surface; on a ring, station of `from` */
	readonly front: number
	/** the surface is its own mirror image about the baseline */
	readonly even?: boolean
	/** spacing of the grid along and across, mm; 12 */
	readonly gridMm?: number
	readonly errorMm: number
	/** from what is known of the girth lines, 1/mm */
	readonly curvatureSd: number | ((grid: GirthGrid) => number)
}

export type SurfaceChart =
	| {
			readonly ok: true
			readonly chart: Chart
			readonly field: ScaleField
			readonly grid: GirthGrid
			/** stations of `from` and `to` */
			readonly fromS: number
			readonly toS: number
			/** parameters on the surface of a place of the chart */
			parameters(s: number, g: number): SurfacePoint
	  }
	| {
			readonly ok: false
			/** no line found; the line leaves the captured surface (at a place of it); a ring's line does not close smoothly */
			readonly why: 'no-path' | 'leaves' | 'does-not-close'
			readonly at?: SurfacePoint
	  }

const GRID_MM = 12
/** Most corners lie within so much of the ends of the baseline, mm; others within the second, beyond which nothing is covered. */
const NEAR_RUN_ON_MM = 36
const FAR_RUN_ON_MM = 150
/** A baseline that is no longer than this has no direction. */
const LEAST_BASELINE_MM = 10
/** A ring's baseline must come back in its own direction: rad. */
const CLOSING_RAD = 0.02
/** Longest run of the baseline past either of its places, mm; more than any panel. */
const MAX_RUN_MM = 4000

/**
 * The chart of a surface in space: the baseline is a geodesic, girth lines leave it at right angles, J follows Jacobi's
 * equation along them and is interpolated on a regular grid by quintic splines, as is the place in space.
 */
export function chartFromSurface(input: FromSurface): SurfaceChart {
	const { surface, from, to } = input
	const found = surfaceDistance(surface, from, to, { stepMm: 4 })
	if (!found || found.length < LEAST_BASELINE_MM) return { ok: false, why: 'no-path' }
	const path = found
	const ring = surface.periodU !== undefined && Math.abs(Math.abs(to.u - from.u) - surface.periodU) < 1e-6
	const wanted = input.gridMm ?? GRID_MM
	const before = ring ? 0 : runOn(surface, path.start, -1)
	const after = ring ? 0 : runOn(surface, path.end, 1)
	// Whole steps from `from`, so that it and the lines to both sides share one grid.
	const n = Math.max(6, Math.round(path.length / wanted))
	const step = path.length / n
	const around = lines(ring ? 0 : NEAR_RUN_ON_MM)
	if (!around.ok) return around
	// Where lines off the outermost stations still come in over a corner, the baseline has to run on further.
	const made = !ring && around.limits.open ? lines(FAR_RUN_ON_MM) : around
	if (!made.ok) return made
	const { grid, limits, left } = made
	const fromS = ring ? input.front : input.front + before
	const s = { from: fromS - left * step, step, count: grid.stations, periodic: ring }
	const g = { from: -grid.zero * grid.stepG, step: grid.stepG, count: grid.girths }
	const scaleFolds = grid.folds.map((f) =>
		fold(
			f.side,
			s,
			f.crossings.map((x) => x && { girth: x.girth, first: [x.j[0]], second: [x.j[1]] }),
			1,
		),
	)
	const placeFolds = grid.folds.map((f) =>
		fold(
			f.side,
			s,
			f.crossings.map((x) => x && { girth: x.girth, first: x.rate, second: x.bend }),
			3,
		),
	)
	const field = gridField(s, g, grid.j, scaleFolds)
	// Places in space are asked for later than lengths, or not at all.
	const place = lazy(() => gridSpline(s, g, withoutFolds(s, g, grid.x, placeFolds, 3), 3))
	const where = lazy(() => gridSpline(s, g, ring ? unwrapped(grid, surface.periodU as number) : grid.uv, 2))
	const out = new Float64Array(18)
	const over = new Float64Array(12)
	const linear = (list: Float64Array) => (at: number) => {
		const x = (at - s.from) / step
		const t = ring ? x - Math.floor(x / s.count) * s.count : Math.min(s.count - 1, Math.max(0, x))
		const i = ring ? Math.floor(t) : Math.min(s.count - 2, Math.floor(t))
		const [a, b] = [list[i] as number, list[(i + 1) % s.count] as number]
		return a + (b - a) * (t - i)
	}
	const embed = (p: ChartPoint) => {
		place().jet(p.s, p.g, out)
		over.fill(0)
		for (const f of placeFolds) f.add(p.s, p.g, over)
		return input.frame.place(
			(out[0] as number) + (over[0] as number),
			(out[6] as number) + (over[4] as number),
			(out[12] as number) + (over[8] as number),
		)
	}
	const rim = lazy(() => rimOf(surface, (x) => input.frame.place(x.x, x.y, x.z), embed, nodesOf(grid, s, g)))
	const chart = fieldChart(
		input.frame,
		field,
		{
			sMin: ring ? fromS : s.from + limits.first * step,
			sMax: ring ? fromS + n * step : s.from + limits.last * step,
			gMin: linear(limits.min),
			gMax: linear(limits.max),
			reason: reasonOf(limits.causes),
		},
		{
			embed,
			errorMm: input.errorMm,
			curvatureSd: typeof input.curvatureSd === 'number' ? input.curvatureSd : input.curvatureSd(grid),
			...(ring ? { periodS: n * step } : {}),
			...(ring ? {} : { rim }),
			...(input.even ? { symmetric: true } : {}),
		},
	)
	return {
		ok: true,
		chart,
		field,
		grid,
		fromS,
		toS: fromS + n * step,
		parameters(at, girth) {
			where().jet(at, girth, out)
			const turns = ring ? ((at - fromS) / (n * step)) * Math.sign(to.u - from.u) * (surface.periodU as number) : 0
			return { u: (out[0] as number) + turns, v: out[6] as number }
		},
	}

	/** Girth lines off a baseline that runs on so far past the captured surface. */
	function lines(
		past: number,
	): { ok: true; left: number; limits: GirthLimits; grid: GirthGrid } | Extract<SurfaceChart, { ok: false }> {
		const left = ring ? 0 : Math.ceil((before + past) / step)
		const right = ring ? -1 : Math.ceil((after + past) / step)
		const rays = baselineRays(surface, path.start, step, left, n + right)
		const outside = ring ? undefined : rays.slice(left, left + n + 1).find((r) => !near(surface, r))
		if (outside) return { ok: false, why: 'leaves', at: outside }
		if (ring && Math.abs(path.start.du * path.end.dv - path.start.dv * path.end.du) > CLOSING_RAD * lengthOf(path.start) ** 2) {
			return { ok: false, why: 'does-not-close' }
		}
		const grid = girthLines(surface, rays, wanted, input.even)
		return { ok: true, left, grid, limits: girthLimits(surface, grid) }
	}

	/** On a ring u without its steady growth, so that it repeats as well. */
	function unwrapped(lines: GirthGrid, period: number): Float64Array {
		const uv = lines.uv.slice()
		for (let i = 0; i < lines.stations; i++) {
			const turn = (i / lines.stations) * period * Math.sign(to.u - from.u)
			for (let k = 0; k < lines.girths; k++) uv[2 * (i * lines.girths + k)] = (uv[2 * (i * lines.girths + k)] as number) - turn
		}
		return uv
	}
}

function lazy<T>(make: () => T): () => T {
	let made: T | undefined
	return () => {
		made ??= make()
		return made
	}
}

/** Stations and girths of the grid. */
const nodesOf = (grid: GirthGrid, s: GridAxis, g: GridAxis): ChartPoint[] =>
	Array.from({ length: grid.stations * grid.girths }, (_, n) => ({
		s: s.from + Math.floor(n / grid.girths) * s.step,
		g: g.from + (n % grid.girths) * g.step,
	}))

const lengthOf = (r: SurfaceRay) => Math.hypot(r.du, r.dv)

/** The baseline's ends may be marks at the very rim, so a thousandth of the surface does not count. */
function near(surface: Surface, { u, v }: SurfacePoint): boolean {
	const du = (surface.uMax - surface.uMin) * 1e-3
	const dv = (surface.vMax - surface.vMin) * 1e-3
	const inU = surface.periodU !== undefined || (u > surface.uMin - du && u < surface.uMax + du)
	return inU && v > surface.vMin - dv && v < surface.vMax + dv
}

/** How far the baseline goes on over captured surface past one of its places, mm. */
function runOn(surface: Surface, ray: SurfaceRay, way: 1 | -1): number {
	const STEP = 6
	let at: SurfaceRay = ray
	let length = 0
	while (length < MAX_RUN_MM) {
		const next = walk(surface, at, way * STEP, { stepMm: STEP })
		if (!captured(surface, next.u, next.v)) break
		at = next
		length += STEP
	}
	let [good, bad] = [0, STEP]
	for (let i = 0; i < 24; i++) {
		const t = (good + bad) / 2
		const p = walk(surface, at, way * t, { stepMm: STEP })
		if (captured(surface, p.u, p.v)) good = t
		else bad = t
	}
	return length + good
}

/** Rays of the baseline a step apart, from `left` steps before its start to `right` steps after it. */
function baselineRays(surface: Surface, start: SurfaceRay, step: number, left: number, right: number): SurfaceRay[] {
	const back: SurfaceRay[] = []
	let ray: SurfaceRay = start
	for (let i = 0; i < left; i++) {
		ray = walk(surface, ray, -step, { stepMm: 4 })
		back.push(ray)
	}
	const rays = [...back.reverse(), start]
	ray = start
	for (let i = 0; i < right; i++) {
		ray = walk(surface, ray, step, { stepMm: 4 })
		rays.push(ray)
	}
	return rays
}

const REASONS: Readonly<Record<LimitCause, string>> = {
	captured: 'the panel was measured only that far',
	scale:
		'readings square off this baseline come so close together (or so far apart) there that they no longer fix a place: take a second baseline there',
	overlap: 'the place there lies nearer to another part of the baseline: take a second baseline there',
}

function reasonOf(causes: ReadonlySet<LimitCause>): string {
	const list = (['captured', 'scale', 'overlap'] as const).filter((c) => causes.has(c)).map((c) => REASONS[c])
	return list.length > 0 ? list.join(', or ') : REASONS.captured
}
