import { nearest } from '../chart/nearest.ts'
import type { ChartPoint } from '../chart/point.ts'
import type { Outcome, Problem } from '../job/problem.ts'
import { lineNamed } from '../sides/namedLine.ts'
import { asPainted, type MovedBorder, middleOf, type PaintedPlace } from '../stages/asPainted.ts'
import type { Seen } from '../stages/parts.ts'
import type { PanelResult } from './panelResult.ts'
import { seenLines } from './taped.ts'

/** A border is part of a line that it lies on so exactly, mm. */
const ON_MM = 0.05
/** Farther off its line than this an edge was not painted but mistyped, mm. */
const FAR_MM = 15

/** A panel with its painted edges where they were measured; readings that cannot be meant are problems. */
export function paintedSeen(
	panel: PanelResult,
	path: string,
	seen: Seen,
): Outcome<{ seen: Seen; moved: readonly MovedBorder[] }> {
	const problems: Problem[] = []
	const places: PaintedPlace[] = []
	const lines = seenLines(panel).filter(({ side }) => seen.hand === 'centre' || side === seen.hand)
	for (const [i, reading] of (panel.panel.painted ?? []).entries()) {
		const here = `${path}/painted/${i}`
		if (seen.hand !== 'centre' && reading.side !== undefined && reading.side !== seen.hand) continue
		const line = lineNamed(lines, reading, { code: 'PAINTED', what: 'a painted edge', panel: panel.id, path: here }, problems)
		if (!line) continue
		const girth = girthOn(seen, line.curve.cubics.flat(), reading)
		const at = { s: reading.station, g: girth }
		const foot = nearest(seen.chart, line.curve, at)
		if (!foot || Math.abs(foot.offsetMm) > FAR_MM) {
			problems.push({
				...{
					code: 'PAINTED_FAR_OFF',
					severity: 'error',
					path: here,
					place: { panel: panel.id, side: line.side, s: at.s, g: Math.abs(at.g) },
				},
				found: foot
					? `an edge painted ${Math.abs(foot.offsetMm).toFixed(1)} mm off ${line.name}`
					: `a place that is nowhere beside ${line.name}`,
				expected: `a place within ${FAR_MM} mm of the line as planned`,
				fix: 'read it again: station, girth and side',
			})
			continue
		}
		const border = seen.borders.find((each) => {
			const onLine = nearest(seen.chart, line.curve, middleOf(each))
			if (!onLine || Math.abs(onLine.offsetMm) > ON_MM) return false
			const onBorder = nearest(seen.chart, each.curve, foot.at)
			return onBorder !== undefined && Math.abs(onBorder.offsetMm) < ON_MM
		})
		if (border) places.push({ border: border.id, at })
	}
	return places.length > 0 ? { value: asPainted(seen, places), problems } : { problems }
}

/** Girth with the sign that its line has there. */
function girthOn(
	seen: Seen,
	points: readonly ChartPoint[],
	{ station, girth }: { readonly station: number; readonly girth: number },
): number {
	if (seen.chart.periodS !== undefined) return girth
	const near = points.reduce((a, b) => (Math.abs(b.s - station) < Math.abs(a.s - station) ? b : a))
	return near.g < 0 ? -girth : girth
}
