import type { Chart } from '../chart/chart.ts'
import { frame } from '../chart/curve.ts'
import { type Nearest, nearest } from '../chart/nearest.ts'
import type { ChartPoint, Curve } from '../chart/point.ts'
import type { Outcome, Problem } from '../job/problem.ts'
import { lineNamed } from '../sides/namedLine.ts'
import { asPainted, liesOn, type MovedLine, type PaintedPlace } from '../stages/asPainted.ts'
import type { Seen } from '../stages/parts.ts'
import type { PanelResult } from './panelResult.ts'
import { seenLines } from './taped.ts'

/** Farther off its line than this an edge was not painted but mistyped, mm. */
const FAR_MM = 15
/** More than this tape is not laid off its line without being seen, mm (common practice, no source). */
const MUCH_MM = 2
/** Farther past the end of its line than this it is not beside it, mm. */
const PAST_MM = 1

/** A panel with its painted edges where they were measured; readings that cannot be meant are problems. */
export function paintedSeen(panel: PanelResult, path: string, seen: Seen): Outcome<{ seen: Seen; moved: readonly MovedLine[] }> {
	const problems: Problem[] = []
	const places: PaintedPlace[] = []
	const lines = seenLines(panel)
	for (const [i, reading] of (panel.panel.painted ?? []).entries()) {
		const here = `${path}/painted/${i}`
		const line = lineNamed(lines, reading, { code: 'PAINTED', what: 'a painted edge', panel: panel.id, path: here }, problems)
		if (!line || (seen.hand !== 'centre' && line.side !== seen.hand)) continue
		const girth = girthOn(seen, line.curve.cubics.flat(), reading)
		const at = { s: reading.station, g: girth }
		const foot = nearest(seen.chart, line.curve, at)
		const past = foot ? pastEnd(seen.chart, line.curve, foot, at) : 0
		const place = { panel: panel.id, side: line.side, s: at.s, g: Math.abs(at.g) }
		if (!foot || past > PAST_MM || Math.abs(foot.offsetMm) > FAR_MM) {
			problems.push({
				...{ code: 'PAINTED_FAR_OFF', severity: 'error', path: here, place },
				found:
					past > PAST_MM
						? `a place ${past.toFixed(1)} mm past the end of ${line.name}`
						: foot
							? `an edge painted ${Math.abs(foot.offsetMm).toFixed(1)} mm off ${line.name}`
							: `a place that is nowhere beside ${line.name}`,
				expected: `a place within ${FAR_MM} mm of the line as planned`,
				fix: 'read it again: station, girth and side',
			})
			continue
		}
		if (Math.abs(foot.offsetMm) > MUCH_MM) {
			problems.push({
				...{ code: 'PAINTED_MUCH_OFF', severity: 'warning', path: here, place },
				found: `an edge painted ${Math.abs(foot.offsetMm).toFixed(1)} mm off ${line.name}; later masks follow it there`,
				expected: `at most ${MUCH_MM} mm, as tape is laid`,
				fix: 'read it again before anything is masked by it',
			})
		}
		if (seen.borders.some((border) => liesOn(seen.chart, border, line.curve))) places.push({ line: line.curve, at })
		else {
			problems.push({
				...{ code: 'PAINTED_NOT_SEEN', severity: 'error', path: here, place },
				found: `an edge painted on ${line.name}, where no two paints meet`,
				expected: 'a line that is seen, with a paint on each side of it',
				fix: 'name the line that was measured, or take the reading away',
			})
		}
	}
	return places.length > 0 ? { value: asPainted(seen, places), problems } : { problems }
}

/** How far past the end of a line a place lies, mm: 0 beside it. */
function pastEnd(chart: Chart, line: Curve, { u, at: foot }: Nearest, at: ChartPoint): number {
	if (line.closed || (u > 0 && u < line.cubics.length)) return 0
	const { angle } = frame(chart, line, u)
	const along = (at.s - foot.s) * chart.metric(foot.s, foot.g).j * Math.cos(angle) + (at.g - foot.g) * Math.sin(angle)
	return Math.max(0, u > 0 ? along : -along)
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
