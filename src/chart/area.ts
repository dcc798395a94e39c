import type { Chart } from './chart.ts'
import type { ChartRegion } from './point.ts'

/** Gauss-Legendre, 2 and 3 nodes on [0, 1] (Abramowitz & Stegun 25.4.30). */
const TWO = { nodes: [0.21132486540518713, 0.7886751345948129], weights: [0.5, 0.5] }
const THREE = { nodes: [0.1127016653792583, 0.5, 0.8872983346207417], weights: [5 / 18, 8 / 18, 5 / 18] }
/** On chords so short S is a cubic to far below what is asked. */
const SHORT_MM = 5

/**
 * Area on the panel, mm^2: the contour integral of -S ds with S the integral of J from the baseline (Green's theorem).
 * Outer loops anticlockwise count, holes clockwise take away. Edges are chords in (s, g).
 */
export function area(chart: Chart, region: ChartRegion): number {
	const known = worked.get(region)
	if (known?.chart === chart) return known.mm2
	const mm2 = areaAnew(chart, region)
	worked.set(region, { chart, mm2 })
	return mm2
}

/** Neither a region nor its panel ever changes, and several readers ask. */
const worked = new WeakMap<ChartRegion, { readonly chart: Chart; readonly mm2: number }>()

function areaAnew(chart: Chart, region: ChartRegion): number {
	let sum = 0
	for (const loop of region) {
		loop.forEach((p, i) => {
			const q = loop[(i + 1) % loop.length] as { s: number; g: number }
			const ds = q.s - p.s
			if (ds === 0) return
			const { nodes, weights } = Math.abs(ds) + Math.abs(q.g - p.g) < SHORT_MM ? TWO : THREE
			for (let k = 0; k < nodes.length; k++) {
				const t = nodes[k] as number
				sum -= (weights[k] as number) * chart.girthIntegral(p.s + ds * t, p.g + (q.g - p.g) * t) * ds
			}
		})
	}
	return sum
}
