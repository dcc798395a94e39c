import { fitCubics } from '../plane/fit.ts'
import type { Chart } from './chart.ts'
import { cornersOf, evaluateCubic, type Frame, frameOf, toChartCubic } from './curve.ts'
import { shoot } from './geodesic.ts'
import { type Measure, measure } from './measure.ts'
import { cornerPoint, type ParallelPoint, parallelPoint } from './parallel.ts'
import type { ChartCubic, ChartPoint, Curve } from './point.ts'
import { cutWhereMet, type Tagged, type Trim, trimmed } from './trim.ts'
import type { Width } from './width.ts'

export interface OffsetLine {
	/** what remains, in the direction of the line; empty only if all of it was trimmed */
	readonly curves: readonly Curve[]
	readonly trims: readonly Trim[]
	readonly maxErrorMm: number
}

export interface OffsetOptions {
	readonly id: string
	readonly toleranceMm: number
	readonly corners: 'mitred' | 'rounded'
}

/** A mitre longer than this many widths is a spike and is rounded instead (as SVG 2's stroke-miterlimit, whose default is 4). */
const MITRE_LIMIT = 4

/**
 * The line at a distance from another, measured square off it along the panel (a geodesic parallel), each cubic fitted with
 * exact derivatives. What is past a focal point or nearer to another part of the line is trimmed and reported.
 * do Carmo, Differential Geometry of Curves and Surfaces, 4-6; in the plane Farouki & Neff, CAGD 7 (1990).
 */
export function offset(chart: Chart, base: Curve, width: Width, options: OffsetOptions): OffsetLine {
	const lengths = measure(chart, base)
	const fitter = tracer(chart, options.toleranceMm)
	const chains = smoothChains(chart, base).map((chain) => chain.flatMap((u) => fitter.along(base, lengths, width, u)))
	const corners = cornersOf(chart, base)
	const joined = joinCorners(chart, base, chains, corners, (u) => width.at(lengths.lengthAt(u)), fitter, options)
	const maxErrorMm = fitter.worst() + base.maxErrorMm
	const answer = trimmed(chart, base, joined.cubics, { width, lengths, id: options.id, maxErrorMm })
	return { curves: answer.curves, trims: [...joined.trims, ...answer.trims], maxErrorMm }
}

/** Whole parameters of the cubics between corners; a closed line starts at its first corner. */
function smoothChains(chart: Chart, base: Curve): number[][] {
	const n = base.cubics.length
	const corners = cornersOf(chart, base).map((c) => c.u)
	const first = base.closed ? (corners[0] ?? 0) : 0
	const chains: number[][] = [[]]
	for (let k = 0; k < n; k++) {
		const u = (first + k) % n
		if (k > 0 && corners.includes(u)) chains.push([])
		chains[chains.length - 1]?.push(u)
	}
	return chains
}

interface Tracer {
	along(base: Curve, lengths: Measure, width: Width, u: number): Tagged[]
	free(at: (t: number) => ParallelPoint, t0: number, t1: number): Tagged[]
	worst(): number
}

function tracer(chart: Chart, toleranceMm: number): Tracer {
	let worst = 0
	const fit = (at: (t: number) => ParallelPoint, t0: number, t1: number) => {
		const run = fitCubics(
			(t) => {
				const p = at(t)
				return { x: p.at.s, y: p.at.g, dx: p.ds, dy: p.dg }
			},
			t0,
			t1,
			{ toleranceMm, scale: (x, y) => ({ sx: chart.metric(x, y).j, sy: 1 }) },
		)
		worst = Math.max(worst, run.maxErrorMm)
		return run
	}
	return {
		along(base, lengths, width, u) {
			const cubic = base.cubics[u] as ChartCubic
			// A taper may break where cubics meet: keep each end on its own cubic.
			const run = fit(
				(t) => {
					const length = lengths.lengthAt(u + Math.min(1 - 1e-9, Math.max(1e-9, t)))
					return parallelPoint(chart, frameOf(chart, evaluateCubic(cubic, t)), width.at(length), width.rate(length))
				},
				0,
				1,
			)
			return run.cubics.map((c, i) => ({
				cubic: toChartCubic(c),
				from: u + (run.params[i] as number),
				to: u + (run.params[i + 1] as number),
			}))
		},
		free: (at, t0, t1) => fit(at, t0, t1).cubics.map((c) => ({ cubic: toChartCubic(c) })),
		worst: () => worst,
	}
}

/**
 * On the inner side of a corner the two offsets cross and are cut there; on the outer side they are led on along the
 * straightest path until they meet (mitred), or an arc goes round the corner (rounded).
 */
function joinCorners(
	chart: Chart,
	base: Curve,
	chains: readonly Tagged[][],
	corners: readonly { u: number; turn: number }[],
	widthAt: (u: number) => number,
	fitter: Tracer,
	options: OffsetOptions,
): { cubics: Tagged[]; trims: Trim[] } {
	const lines = chains.map((c) => c.slice())
	const links = new Map<number, Tagged[]>()
	const trims: Trim[] = []
	const n = base.cubics.length
	corners.forEach(({ u, turn }, k) => {
		const before = base.closed ? (k + lines.length - 1) % lines.length : k
		const after = base.closed ? k : k + 1
		const w = widthAt(u === 0 ? n : u)
		if (Math.abs(w) < options.toleranceMm) return
		const end = frameOf(chart, evaluateCubic(base.cubics[(u + n - 1) % n] as ChartCubic, 1))
		const start = frameOf(chart, evaluateCubic(base.cubics[u] as ChartCubic, 0))
		if (turn * w < 0) {
			const half = Math.abs(turn) / 2
			if (options.corners === 'rounded' || 1 / Math.cos(half) > MITRE_LIMIT) {
				links.set(before, fitter.free((a) => cornerPoint(chart, end.at, a, w), end.angle, end.angle + turn))
				return
			}
			// A little past the mitre of a plane: on a curved panel the two may meet later.
			const lead = Math.abs(w) * Math.tan(half) * 1.3 + 0.05
			lines[before]?.push(...fitter.free((l) => leadOn(chart, end, l, w), 0, lead))
			lines[after]?.unshift(...fitter.free((l) => leadOn(chart, start, l, w), -lead, 0))
		}
		if (before === after) return // one corner in a closed line: cut as a crossing of the line with itself
		const cut = cutWhereMet(lines[before] as Tagged[], lines[after] as Tagged[])
		if (cut) {
			lines[before] = cut.before
			lines[after] = cut.after
		} else trims.push({ at: end.at, why: 'crossing' })
	})
	return { cubics: lines.flatMap((c, i) => [...c, ...(links.get(i) ?? [])]), trims }
}

function leadOn(chart: Chart, from: Frame, l: number, w: number): ParallelPoint {
	const shot = shoot(chart, from.at, from.angle, l)
	return parallelPoint(chart, { at: shot.at as ChartPoint, angle: shot.angle, speed: 1, curvature: 0 }, w)
}
