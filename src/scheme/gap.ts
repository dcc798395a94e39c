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
		const limit = () => best?.mm ?? withinMm
		const all = points.flat()
		const own = reachOf(all)
		const stretches = stretchesOf(against).filter(({ g0, g1 }) => g0 - own.g1 <= limit() && own.g0 - g1 <= limit())
		const whole = reachOf(stretches.flatMap((stretch) => stretch.points))
		// A few of the places first: most of the others are then seen to lie farther off.
		for (const p of [...all.filter((_, i) => i % CHORDS === 0), ...all]) {
			if (whole.g0 - p.g > limit() || p.g - whole.g1 > limit()) continue
			const { j } = chart.metric(p.s, p.g)
			const far = ({ s0, s1, g0, g1 }: Reach) =>
				g0 - p.g > limit() || p.g - g1 > limit() || (s0 - p.s) * j > limit() || (p.s - s1) * j > limit()
			if (far(whole)) continue
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

function reachOf(points: readonly ChartPoint[]): Reach {
	let [s0, s1, g0, g1] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]
	for (const { s, g } of points) {
		if (s < s0) s0 = s
		if (s > s1) s1 = s
		if (g < g0) g0 = g
		if (g > g1) g1 = g
	}
	return { s0, s1, g0, g1 }
}

/** So many chords are passed over at once where all of them are far off. */
const CHORDS = 16

function stretchesOf(region: ChartRegion): readonly (Reach & { readonly points: readonly ChartPoint[] })[] {
	return region.flatMap((loop) =>
		Array.from({ length: Math.ceil(loop.length / CHORDS) }, (_, k) => {
			const own = loop.slice(k * CHORDS, (k + 1) * CHORDS + 1)
			const points = (k + 1) * CHORDS >= loop.length ? [...own, loop[0] as ChartPoint] : own
			return { points, ...reachOf(points) }
		}),
	)
}
