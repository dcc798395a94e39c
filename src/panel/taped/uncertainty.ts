import type { ChartPoint } from '../../chart/point.ts'
import { gaussRule } from '../../numeric/quadrature.ts'
import { variance } from './collocation.ts'
import type { Estimate } from './estimate.ts'
import type { Reach } from './reach.ts'
import { acrossAt, acrossSlope, addProduct, alongAt, alongIntegral, sizeOf } from './series.ts'

export interface Uncertainty {
	/** of the mean in-surface curvature of 100 mm of a line along the panel, at its worst, 1/mm (1 sd) */
	readonly curvatureSd: number
	/** where that is */
	readonly worst: ChartPoint
	/** of a length of 100 mm along a girth, at its worst, mm (1 sd) */
	readonly errorMm: number
}

/** Uncertainty changes from one struck line to the next: so many places see its worst to a few per cent. */
const ALONG = 13
const ACROSS = 4
/** As long as a laid length may be, and about as long as guides are. */
const SPAN_MM = 100

/** A place, and how the mean curvature (J_g / J) of a line of 100 mm along the panel there depends on the terms. */
export interface CurvaturePlace extends ChartPoint {
	readonly row: Float64Array
}

/** Exact enough for the finest wave over such a line. */
const ALONG_LINE = gaussRule(4)

/**
 * Places all over what is known of the panel. The mean over 100 mm is taken since that is what lets a guide drift; what changes to and
 * fro within less cancels out.
 */
export function curvaturePlaces(estimate: Estimate, reach: Reach): readonly CurvaturePlace[] {
	return placesOver(estimate, reach).map((at) => ({ ...at, row: curvatureRow(estimate, reach, at) }))
}

/** Standard deviation of the mean in-surface curvature of 100 mm of a line along the panel about a place, 1/mm. */
export function curvatureSdAt(estimate: Estimate, reach: Reach, at: ChartPoint): number {
	return Math.sqrt(variance(estimate.fit, curvatureRow(estimate, reach, at)))
}

function curvatureRow({ series, field }: Estimate, reach: Reach, { s, g }: ChartPoint): Float64Array {
	const row = new Float64Array(sizeOf(series))
	const [from, to] = lineAbout(reach, s)
	const [across, slope] = [acrossAt(series, g), acrossSlope(series, g)]
	for (let i = 0; i < ALONG_LINE.nodes.length; i++) {
		const at = from + ((to - from) * (ALONG_LINE.nodes[i]! + 1)) / 2
		const { j, jg } = field.jet(at, g)
		const along = alongAt(series, at)
		const share = ALONG_LINE.weights[i]! / 2
		addProduct(row, along, slope, -share / j)
		addProduct(row, along, across, (share * jg) / (j * j))
	}
	return row
}

/** The 100 mm of station about a place that lie within reach. */
function lineAbout({ sMin, sMax }: Reach, s: number): readonly [number, number] {
	const span = Math.min(SPAN_MM, sMax - sMin)
	const from = Math.min(Math.max(s - span / 2, sMin), sMax - span)
	return [from, from + span]
}

function placesOver({ series }: Estimate, reach: Reach): readonly ChartPoint[] {
	const sides = series.even ? [1] : [-1, 1]
	return Array.from({ length: ALONG }, (_, i) => {
		const s = reach.sMin + ((reach.sMax - reach.sMin) * i) / (ALONG - 1)
		return sides.flatMap((side) =>
			Array.from({ length: ACROSS }, (_, k) => ({
				s,
				g: ((k + 1) / ACROSS) * (side > 0 ? reach.gMax(s) : reach.gMin(s)),
			})),
		)
	}).flat()
}

export function uncertaintyOf(estimate: Estimate, reach: Reach): Uncertainty {
	let worst: ChartPoint = { s: reach.sMin, g: 0 }
	let most = 0
	for (const { s, g, row } of curvaturePlaces(estimate, reach)) {
		const v = variance(estimate.fit, row)
		if (v <= most) continue
		most = v
		worst = { s, g }
	}
	const { series, fit } = estimate
	const lengths = placesOver(estimate, reach).map(({ s, g }) => {
		const [from, to] = lineAbout(reach, s)
		return variance(fit, addProduct(new Float64Array(sizeOf(series)), alongIntegral(series, from, to), acrossAt(series, g), -1))
	})
	return { curvatureSd: Math.sqrt(most), worst, errorMm: Math.sqrt(Math.max(...lengths)) }
}
