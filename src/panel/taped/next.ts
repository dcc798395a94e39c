import { forward } from './cholesky.ts'
import { seen, tiltCovariance } from './collocation.ts'
import type { Estimate } from './estimate.ts'
import { observeLaid } from './observe.ts'
import type { Reach } from './reach.ts'
import type { Laid } from './reading.ts'
import { LONGEST_LAID_MM } from './readings.ts'
import { dot } from './series.ts'
import { curvaturePlaces } from './uncertainty.ts'

/** The one more length that would tell most of the shape. */
export interface NextLength {
	readonly from: number
	readonly to: number
	/** signed where the sides differ; else on either side */
	readonly girth: number
	/** `curvatureSd` of the panel once it is laid, 1/mm */
	readonly curvatureSd: number
}

/**
 * Of all lengths between neighbouring struck lines, at the girths laid so far and half-way between them, the one that lowers the
 * worst uncertainty of curvature most; undefined where none lowers it. What a reading will tell does not depend on what it reads
 * (the estimate is linear), so each is tried without being read.
 */
export function nextLength(estimate: Estimate, reach: Reach, sd: number): NextLength | undefined {
	const { fit, series, field } = estimate
	const { observations, prior, factor, tiltSd } = fit
	const places = curvaturePlaces(estimate, reach).map(({ row }) => {
		const weighted = row.map((x, j) => x * prior[j]!)
		const told = seen(fit, row)
		return { weighted, told, variance: dot(row, weighted) - dot(told, told) }
	})
	let best: NextLength | undefined
	let least = Math.max(...places.map((p) => p.variance))
	for (const laid of candidates(estimate)) {
		// The length that it should read; only whether it is short enough to lay matters.
		const { j } = field.jet((laid.from + laid.to) / 2, laid.girth)
		if (j * (laid.to - laid.from) > LONGEST_LAID_MM) continue
		const next = observeLaid(series, laid, sd)
		const weighted = next.row.map((x, i) => x * prior[i]!)
		const beside = forward(
			factor,
			observations.map((o) => dot(o.row, weighted) + tiltCovariance(o.levers, next.levers, tiltSd)),
		)
		const own = dot(next.row, weighted) + tiltCovariance(next.levers, next.levers, tiltSd) + sd * sd - dot(beside, beside)
		const worst = Math.max(...places.map((p) => p.variance - (dot(p.weighted, next.row) - dot(p.told, beside)) ** 2 / own))
		if (worst >= least * (1 - 1e-9)) continue
		least = worst
		best = { from: laid.from, to: laid.to, girth: laid.girth, curvatureSd: Math.sqrt(Math.max(0, worst)) }
	}
	return best
}

function candidates({ readings, series }: Estimate): readonly Laid[] {
	const laid = readings.filter((r): r is Laid => r.kind === 'laid')
	const stations = [...new Set(laid.flatMap((r) => [r.from, r.to]))].sort((a, b) => a - b)
	// Where the sides are alike a length on either tells of both; it goes to the side that was read.
	const both = laid.some((r) => r.both)
	const sides = series.even
		? [laid[0] && laid[0].girth < 0 ? -1 : 1]
		: [1, -1].filter((side) => laid.some((r) => r.girth * side > 0))
	return sides.flatMap((side) => {
		const girths = [...new Set(laid.filter((r) => series.even || r.girth * side > 0).map((r) => Math.abs(r.girth)))].sort(
			(a, b) => a - b,
		)
		const between = girths.slice(1).map((g, i) => Math.round((g + (girths[i] as number)) / 2))
		return [...girths, ...between].flatMap((girth) =>
			stations.slice(1).map((to, i) => ({
				...{ kind: 'laid' as const, from: stations[i] as number, to, girth: side * girth, both, length: 0, path: '' },
			})),
		)
	})
}
