import type { Chart } from '../chart/chart.ts'
import { beyond } from '../chart/limits.ts'
import type { ChartPoint, ChartRegion } from '../chart/point.ts'
import { toPlane } from '../chart/region.ts'
import { turns } from '../chart/round.ts'
import { placeOn } from '../job/place.ts'
import type { Problem } from '../job/problem.ts'
import type { Panel } from '../job/schema.ts'
import { areaOf, intersect, subtract, surelyWithin } from '../plane/region.ts'
import { gapBetween } from './gap.ts'
import type { PanelArea } from './outline.ts'
import type { Side } from './side.ts'

/** Less than this is rounding of outlines, not a place where two things meet, mm^2. */
const LEAST_AREA = 0.02
/** Beyond the chart by less is rounding, mm. */
const LEAST_BEYOND_MM = 0.01
/** How far outside the panel a band may be before it is worth saying, mm^2. */
const LEAST_OUTSIDE = 0.5

/** What a clearance is judged between: one band as it lies on one side. */
export interface Placed {
	readonly id: string
	readonly stripe: string
	readonly side: Side
	/** JSON pointer to its stripe */
	readonly path: string
	readonly region: ChartRegion
	/** of the region what must lie on the panel: not where its line runs off */
	readonly judged: ChartRegion
	/** its line starts or ends on the centreline, where the two sides of a mirrored stripe join */
	readonly meets: boolean
	readonly over: readonly string[]
}

/** Crossings, gaps narrower than `gapMm`, and bands outside the panel or beyond where its baseline measures. */
export function clearances(
	chart: Chart,
	panel: Panel,
	bands: readonly Placed[],
	area: PanelArea | undefined,
	gapMm: number,
): Problem[] {
	const problems: Problem[] = []
	const place = (side: Side, p: ChartPoint) => placeOn(panel, p, side)
	// Paint runs over a hole without harm: only the rim counts.
	const rim = area && area.from !== 'marks' ? toPlane(area.region).filter((loop) => areaOf([loop]) > 0) : undefined
	// A ring goes on over its seam.
	const whole = rim && turns(rim, chart.periodS)
	const within = whole && surelyWithin(whole)
	for (const band of bands) {
		const over = farthest(chart, band.judged)
		if (over.by > LEAST_BEYOND_MM) {
			problems.push({
				code: 'CHART_LIMIT',
				severity: 'error',
				path: band.path,
				place: place(band.side, over.p),
				found: `${band.id} reaches ${over.by.toFixed(1)} mm beyond where this baseline can measure`,
				expected: `at most there: ${chart.limitReason}`,
				fix: 'move it inboard, capture more of the panel, or measure this part from a second baseline',
			})
			continue
		}
		const judged = toPlane(band.judged)
		if (!whole || within?.(judged)) continue
		const outside = subtract(judged, whole)
		if (areaOf(outside) > LEAST_OUTSIDE) {
			const p = outside[0]?.[0] as { x: number; y: number }
			problems.push({
				code: 'BAND_OUTSIDE',
				severity: 'warning',
				path: band.path,
				place: place(band.side, { s: p.x, g: p.y }),
				found: `${band.id} lies outside the panel by ${areaOf(outside).toFixed(0)} mm2`,
				expected: 'every band inside the outline, unless its end runs off',
				fix: 'let that end run off ("shape": "runs-off"), or look at the line and the outline there',
			})
		}
	}
	const boxes = bands.map((b) => boxOf(b.region))
	for (let i = 0; i < bands.length; i++) {
		for (let k = i + 1; k < bands.length; k++) {
			const a = bands[i] as Placed
			const b = bands[k] as Placed
			const own = a.stripe === b.stripe
			if (own && (a.side === b.side || a.meets)) continue
			if (a.over.includes(b.stripe) || b.over.includes(a.stripe)) continue
			if (!near(boxes[i] as Box, boxes[k] as Box, gapMm + 1)) continue
			const both = intersect(toPlane(a.region), toPlane(b.region))
			if (areaOf(both) > LEAST_AREA) {
				const p = both[0]?.[0] as { x: number; y: number }
				problems.push({
					code: 'STRIPES_CROSS',
					severity: 'warning',
					path: b.path,
					place: place(b.side, { s: p.x, g: p.y }),
					found: `${b.id} crosses ${a.id}`,
					expected: 'stripes that keep clear of each other, unless one is said to lie over the other',
					fix: own
						? 'move its line off the centreline, or make the stripe narrower'
						: `move one of them, or add "over": ["${a.stripe}"] to ${b.stripe}`,
				})
				continue
			}
			const gap = gapBetween(chart, a.region, b.region)
			if (gap && gap.mm < gapMm - 1e-6) {
				problems.push({
					code: 'GAP_TOO_NARROW',
					severity: 'warning',
					path: b.path,
					place: place(b.side, gap.at),
					found: `${gap.mm.toFixed(2)} mm between ${a.id} and ${b.id}`,
					expected: `at least ${gapMm} mm`,
					fix: 'move one of them, or lower "limits.gap" if the original was so',
				})
			}
		}
	}
	return problems
}

/** The place of a region that lies farthest beyond the chart, and by how much, mm. */
function farthest(chart: Chart, region: ChartRegion): { p: ChartPoint; by: number } {
	let worst = { p: { s: 0, g: 0 }, by: 0 }
	for (const loop of region) {
		for (const p of loop) {
			const by = beyond(chart, p)
			if (by > worst.by) worst = { p, by }
		}
	}
	return worst
}

interface Box {
	readonly s0: number
	readonly s1: number
	readonly g0: number
	readonly g1: number
}

/** The box of a region, larger by `margin` on each side. */
export function boxOf(region: ChartRegion, margin = 0): Box {
	let [s0, s1, g0, g1] = [Infinity, -Infinity, Infinity, -Infinity]
	for (const loop of region) {
		for (const p of loop) {
			s0 = Math.min(s0, p.s)
			s1 = Math.max(s1, p.s)
			g0 = Math.min(g0, p.g)
			g1 = Math.max(g1, p.g)
		}
	}
	return { s0: s0 - margin, s1: s1 + margin, g0: g0 - margin, g1: g1 + margin }
}

function near(p: Box, q: Box, margin: number): boolean {
	// Out on a panel's flank 4 mm of station may be 1 mm of panel.
	return p.s0 - 4 * margin < q.s1 && q.s0 - 4 * margin < p.s1 && p.g0 - margin < q.g1 && q.g0 - margin < p.g1
}
