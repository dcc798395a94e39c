import type { Chart } from '../chart/chart.ts'
import { placeOn } from '../job/place.ts'
import type { Problem } from '../job/problem.ts'
import { listed } from '../job/say.ts'
import type { Panel } from '../job/schema.ts'
import type { Observation } from './observe.ts'
import { type NamedMark, type Resolved, refsOf, splitRef } from './resolve.ts'
import type { Unplaced } from './start.ts'
import type { Survey } from './survey.ts'
import { mm, sayObservation, sayPlace } from './words.ts'

/** A mark that has no place, and what to measure. */
export function unplacedProblem(panel: Panel, panelPath: string, resolved: Resolved, mark: NamedMark, why: Unplaced): Problem {
	const readings = resolved.readings.filter((one) => one.keys.includes(mark.key))
	const path = `${panelPath}/readings/${readings[0]?.index ?? 0}`
	const place = { panel: panel.id, ...(mark.side ? { side: mark.side } : {}) }
	const next = `Measure station and girth of ${mark.key}, or a tape to it from another mark off to the side.`
	if (why.reason === 'ambiguous') {
		const [a, b] = why.places
		const eitherSide = panel.hand === 'centre' && a!.g * b!.g < 0 && why.places.length === 2
		return {
			code: 'MARK_AMBIGUOUS',
			severity: 'error',
			path,
			place: { ...placeOn(panel, a!, mark.side) },
			found: `${mark.key}, which could be at ${listed(why.places.map((at) => sayPlace(panel, at)))}: ${sayAll(why.observations)} fit both`,
			expected: 'one reading more that tells these places apart',
			fix: eitherSide ? `Write left/${mark.id} or right/${mark.id} in its readings.` : next,
		}
	}
	const base = { severity: 'error' as const, path, place, fix: next }
	if (why.reason === 'apart') {
		return {
			...base,
			code: 'READINGS_CONTRADICT',
			found: `${sayAll(why.observations)}, which miss each other by ${mm(why.byMm)}`,
			expected: `lengths that meet at ${mark.key}`,
			fix: 'One of these is wrong, or one of the names: measure them again.',
		}
	}
	if (why.reason === 'same-way') {
		return {
			...base,
			code: 'MARK_UNDETERMINED',
			found: `${mark.key}, which is tied down in one direction only${why.observations.length > 0 ? ` by ${sayAll(why.observations)}` : ''}`,
			expected: 'readings that cross at the mark',
		}
	}
	const others = [...new Set(readings.flatMap((one) => one.keys))].filter((key) => key !== mark.key && !resolved.datums.has(key))
	return {
		...base,
		code: 'MARK_UNDETERMINED',
		found: `${mark.key} with ${why.count === 0 ? 'no reading' : 'only one reading'} to a place that is known`,
		expected: 'station and girth, or two lengths to places that are known',
		fix:
			others.length > 0 && why.count === 0 ? `${next.slice(0, -1)}; or place ${listed(others.slice(0, 4), 'and')} first.` : next,
	}
}

function sayAll(observations: readonly Observation[]): string {
	return listed(
		observations.slice(0, 6).map((o) => sayObservation(o)),
		'and',
	)
}

/** Marks that lines or the outline go through and no reading mentions. */
export function neverRead(panel: Panel, panelPath: string, resolved: Resolved): readonly Problem[] {
	const problems: Problem[] = []
	const told = new Set<string>()
	const check = (ref: string, path: string, user: string) => {
		const { id, side } = splitRef(ref)
		const known = side
			? resolved.marks.has(`${side}/${id}`) || (panel.hand !== 'pair' && resolved.marks.has(id)) || resolved.datums.has(id)
			: resolved.marks.has(id) || resolved.marks.has(`left/${id}`) || resolved.marks.has(`right/${id}`)
		if (known || told.has(ref) || panel.readings.some((reading) => refsOf(reading).some((r) => r === ref))) return
		told.add(ref)
		problems.push({
			code: 'MARK_UNDETERMINED',
			severity: 'error',
			path,
			place: { panel: panel.id, ...(side ? { side } : {}) },
			found: `${ref}, which ${user} goes through and no reading mentions`,
			expected: 'station and girth, or two lengths to places that are known',
			fix: `Measure ${ref}, or correct the name.`,
		})
	}
	panel.edges.forEach((edge, e) => {
		edge.through.forEach((through, i) => {
			const ref = typeof through === 'string' ? through : through.mark
			check(ref, `${panelPath}/edges/${e}/through/${i}${typeof through === 'string' ? '' : '/mark'}`, `line ${edge.id}`)
		})
	})
	panel.outline?.points.forEach((point, i) => {
		if (typeof point === 'string') check(point, `${panelPath}/outline/points/${i}`, 'the outline')
		else if ('mark' in point) check(point.mark, `${panelPath}/outline/points/${i}/mark`, 'the outline')
	})
	return problems
}

/** Marks that come to lie where the panel's shape is not known, or stations and girths no longer fix a place. */
export function beyondPanel(chart: Chart, panel: Panel, panelPath: string, survey: Survey): readonly Problem[] {
	const problems: Problem[] = []
	for (const mark of Object.values(survey.marks)) {
		const { s, g } = mark.at
		// Stations of a ring go on round it.
		const along = chart.periodS === undefined && (s < chart.sMin || s > chart.sMax)
		if (!along && g >= chart.gMin(s) && g <= chart.gMax(s)) continue
		problems.push({
			code: 'CHART_LIMIT',
			severity: 'error',
			path: mark.fixed ? `${panelPath}/datums` : `${panelPath}/readings/${mark.readings[0] ?? 0}`,
			place: placeOn(panel, mark.at, mark.side),
			found: `${mark.fixed ? 'datum ' : ''}${mark.key} at ${sayPlace(panel, mark.at)}, beyond what is known of this panel`,
			expected: along
				? `a station from ${mm(chart.sMin)} to ${mm(chart.sMax)}`
				: `a girth up to ${mm(g < 0 ? -chart.gMin(s) : chart.gMax(s))} there: ${chart.limitReason}`,
			fix: 'Correct the reading, or give the shape of the panel further out.',
		})
	}
	return problems
}
