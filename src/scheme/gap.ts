import type { Chart } from '../chart/chart.ts'
import type { ChartPoint, ChartRegion } from '../chart/point.ts'

/** Gaps wider than this are not looked for, where not said, mm. */
const WITHIN_MM = 50

/** Smallest gap between two outlines, by the metric half-way: exact to a thousandth at the few millimetres it is asked for. */
export function gapBetween(
	chart: Chart,
	a: ChartRegion,
	b: ChartRegion,
	withinMm = WITHIN_MM,
): { readonly mm: number; readonly at: ChartPoint; readonly to: ChartPoint } | undefined {
	let best: { mm: number; at: ChartPoint; to: ChartPoint } | undefined
	const look = (points: ChartRegion, against: ChartRegion) => {
		const stretches = stretchesOf(against)
		const [low, high] = [Math.min(...stretches.map(({ g0 }) => g0)), Math.max(...stretches.map(({ g1 }) => g1))]
		const limit = () => best?.mm ?? withinMm
		for (const p of points.flat()) {
			if (low - p.g > limit() || p.g - high > limit()) continue
			const { j } = chart.metric(p.s, p.g)
			const far = ({ s0, s1, g0, g1 }: Reach) =>
				g0 - p.g > limit() || p.g - g1 > limit() || (s0 - p.s) * j > limit() || (p.s - s1) * j > limit()
			for (const stretch of stretches) {
				if (far(stretch)) continue
				for (let i = 0; i + 1 < stretch.points.length; i++) {
					const c = stretch.points[i] as ChartPoint
					const d = stretch.points[i + 1] as ChartPoint
					const [x, y] = [(c.s - p.s) * j, c.g - p.g]
					const [dx, dy] = [(d.s - c.s) * j, d.g - c.g]
					const t = Math.min(1, Math.max(0, -(x * dx + y * dy) / (dx * dx + dy * dy || 1)))
					const mm = Math.hypot(x + dx * t, y + dy * t)
					if (mm <= limit() && (!best || mm < best.mm)) {
						best = { mm, at: p, to: { s: c.s + t * (d.s - c.s), g: c.g + t * (d.g - c.g) } }
					}
				}
			}
		}
	}
	look(a, b)
	look(b, a)
	return best
}

interface Reach {
	readonly s0: number
	readonly s1: number
	readonly g0: number
	readonly g1: number
}

/** So many chords are passed over at once where all of them are far off. */
const CHORDS = 16

function stretchesOf(region: ChartRegion): readonly (Reach & { readonly points: readonly ChartPoint[] })[] {
	return region.flatMap((loop) =>
		Array.from({ length: Math.ceil(loop.length / CHORDS) }, (_, k) => {
			const own = loop.slice(k * CHORDS, (k + 1) * CHORDS + 1)
			const points = (k + 1) * CHORDS >= loop.length ? [...own, loop[0] as ChartPoint] : own
			const [s, g] = [points.map((p) => p.s), points.map((p) => p.g)]
			return { points, s0: Math.min(...s), s1: Math.max(...s), g0: Math.min(...g), g1: Math.max(...g) }
		}),
	)
}
