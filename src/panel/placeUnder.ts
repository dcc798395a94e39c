import type { Chart } from '../chart/chart.ts'
import type { ChartPoint, SpacePoint } from '../chart/point.ts'
import type { Problem } from '../job/problem.ts'
import type { PanelFrame } from './frame.ts'

/** Looks each way over the panel before the place is made exact. */
const LOOKS = 24
const STEP_MM = 1e-2
const MAX_STEPS = 20
const PLACE_MM = 1e-3

/**
 * The place of the panel under (or over) a place in space: looked for on a grid, then by Gauss-Newton. Undefined where the panel's
 * place in space is not known, or none was found on it.
 */
export function placeUnder(chart: Chart, x: SpacePoint): ChartPoint | undefined {
	if (!chart.embed) return undefined
	const off = (p: ChartPoint) => {
		const q = chart.embed?.(p) as SpacePoint
		return [q.x - x.x, q.y - x.y, q.z - x.z] as const
	}
	let best: { readonly p: ChartPoint; readonly far: number } | undefined
	for (let i = 0; i <= LOOKS; i++) {
		const s = chart.sMin + ((chart.sMax - chart.sMin) * i) / LOOKS
		const [low, high] = [chart.gMin(s), chart.gMax(s)]
		for (let k = 0; k <= LOOKS; k++) {
			const p = { s, g: low + ((high - low) * k) / LOOKS }
			const far = Math.hypot(...off(p))
			if (!best || far < best.far) best = { p, far }
		}
	}
	let at = best?.p
	for (let step = 0; at && step < MAX_STEPS; step++) {
		const { s, g }: ChartPoint = at
		const d = off(at)
		const slope = (a: ChartPoint, b: ChartPoint) => {
			const [p, q] = [off(a), off(b)]
			return p.map((v, k) => (v - (q[k] as number)) / (2 * STEP_MM))
		}
		const [u, v] = [
			slope({ s: s + STEP_MM, g }, { s: s - STEP_MM, g }),
			slope({ s, g: g + STEP_MM }, { s, g: g - STEP_MM }),
		] as const
		const [e, f, h, a, b] = [dot(u, u), dot(u, v), dot(v, v), dot(d, u), dot(d, v)]
		const [ds, dg] = [(f * b - h * a) / (e * h - f * f), (f * a - e * b) / (e * h - f * f)]
		if (!Number.isFinite(ds + dg)) return undefined
		at = { s: s + ds, g: g + dg }
		if (Math.hypot(ds, dg) < PLACE_MM) return at
	}
	return undefined
}

/** What is said of a gauge reading, and where it stands: along, across and outward. */
export interface SaidOfReading {
	readonly problem: Problem
	readonly at: SpacePoint
}

/** The same with station and girth, negative on the left or below, where the chart has them. */
export const withPlaces = (frame: PanelFrame, chart: Chart, said: readonly SaidOfReading[]): readonly Problem[] =>
	said.map(({ problem, at }) => {
		const place = placeUnder(chart, frame.place(at.x, at.y, at.z))
		return place ? { ...problem, place: { panel: frame.id, ...place } } : problem
	})

const dot = (a: readonly number[], b: readonly number[]) => a.reduce((sum, x, i) => sum + x * (b[i] as number), 0)
