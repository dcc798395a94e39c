import type { Chart } from './chart.ts'
import type { ChartRegion } from './point.ts'

/** Gauss-Legendre, 3 nodes on [0, 1] (Abramowitz & Stegun 25.4.30). */
const NODES = [0.1127016653792583, 0.5, 0.8872983346207417]
const WEIGHTS = [5 / 18, 8 / 18, 5 / 18]

/**
 * Area on the panel, mm^2: the contour integral of -S ds with S the integral of J from the baseline (Green's theorem).
 * Outer loops anticlockwise count, holes clockwise take away. Edges are chords in (s, g).
 */
export function area(chart: Chart, region: ChartRegion): number {
	let sum = 0
	for (const loop of region) {
		loop.forEach((p, i) => {
			const q = loop[(i + 1) % loop.length] as { s: number; g: number }
			const ds = q.s - p.s
			if (ds === 0) return
			for (let k = 0; k < 3; k++) {
				const t = NODES[k] as number
				sum -= (WEIGHTS[k] as number) * chart.girthIntegral(p.s + ds * t, p.g + (q.g - p.g) * t) * ds
			}
		})
	}
	return sum
}
