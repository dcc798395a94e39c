import type { Chart } from '../chart/chart.ts'
import type { ChartPoint } from '../chart/point.ts'
import { readRef, refOf } from '../job/marks.ts'
import { signedGirth } from '../job/place.ts'
import type { Outcome, Problem } from '../job/problem.ts'
import type { Job, Panel } from '../job/schema.ts'
import { type Carried, carryOver, movedPairs } from '../survey/carry.ts'
import type { Instrument } from '../survey/instruments.ts'
import { type MovedDatum, measuredAgain } from '../survey/measuredAgain.ts'
import type { Survey } from '../survey/survey.ts'
import { mostChanged, OTHER_SHAPE_MM, otherShape } from './otherShape.ts'

/** What measuring again after preparation changed. */
export interface SincePrepared {
	/** datums whose place follows from lengths taken again */
	readonly datums: readonly MovedDatum[]
	/** what the scheme was carried over by, and whether the job says so */
	readonly by: Carried['by']
	readonly chosen: boolean
	/** of each line, how far templates of the panel as found would lay it wrong, mm, and whether that is still within the limit */
	readonly lines: readonly { readonly id: string; readonly offMm: number; readonly holds: boolean }[]
	/** how far a line may be laid wrong, mm */
	readonly limitMm: number
}

export interface CarriedPanel {
	/** from the panel as found to the panel as it is now */
	readonly to: (p: ChartPoint) => ChartPoint
	readonly since?: SincePrepared
}

/** A datum that misses its place by more than this after carrying over says that the panel has changed shape, mm. */
const DATUM_MISS_MM = 1.5
/** What the eye sees of a line where nothing else is asked for, mm (common practice, no source). */
const LINE_MM = 0.5

/** How the scheme carries over to the panel as prepared: by datums measured again, and by lengths between them. */
export function carriedOver(
	found: Chart,
	chart: Chart,
	panel: Panel,
	path: string,
	survey: Survey,
	job: Job,
	instruments: readonly Instrument[],
): Outcome<CarriedPanel> {
	if (!panel.prepared) return { value: { to: (p) => p }, problems: [] }
	const problems: Problem[] = []
	const listed = panel.prepared.datums
	const measured = listed.flatMap((d) => {
		const old = survey.marks[d.id] ?? survey.marks[`left/${d.id}`]
		return old ? [{ id: d.id, found: old.at, prepared: { s: d.station, g: signedGirth(d.girth, d.side) } }] : []
	})
	const again = measuredAgain(chart, panel, path, instruments, job.unit)
	problems.push(...again.problems)
	const datums = (again.value ?? []).filter(({ id }) => !measured.some((pair) => pair.id === id))
	const held =
		datums.length > 0
			? heldDatum(
					panel,
					survey,
					[...measured, ...datums].map(({ id }) => id),
				)
			: []
	const pairs = [...measured, ...held, ...datums.map(({ id, found, now }) => ({ id, found, prepared: now }))]
	const { shape, carry } = panel.prepared
	const carried = carryOver(pairs, carry)
	// Of another part nobody expects its datums where they were.
	const otherPart = shape !== undefined && carry !== undefined
	const place = { panel: panel.id }
	if (pairs.length === 0) {
		problems.push({
			code: 'PREPARED_WITHOUT_DATUMS',
			severity: 'warning',
			path: `${path}/prepared`,
			place,
			found: 'a panel measured again with none of its datums',
			expected: 'at least two datums measured again, or lengths between them, so that the scheme carries over by them',
			fix: 'measure two datums along the baseline again and add them under "datums"',
		})
	}
	const moved = otherPart ? [] : movedPairs(measured)
	for (const { from, to, changeMm, apartMm } of moved) {
		problems.push({
			code: 'DATUMS_MOVED',
			severity: 'error',
			path: `${path}/prepared/datums/${listed.findIndex((d) => d.id === to)}`,
			place,
			found: `${from} and ${to}, ${apartMm.toFixed(1)} mm apart as found, which now lie to each other otherwise by ${changeMm.toFixed(1)} mm`,
			expected: 'neighbouring datums within 2 mm, and within 1 % of their distance, of how they lay',
			fix: `measure ${from} and ${to} again, on the panel as prepared${shape ? '; if it is another part, write "carry" into "prepared"' : ''}`,
		})
	}
	if (!otherPart && moved.length === 0 && carried.missMm > DATUM_MISS_MM) {
		problems.push({
			code: 'DATUMS_MOVED',
			severity: 'warning',
			path: `${path}/prepared/${measured.length > 0 ? 'datums' : 'readings'}`,
			place,
			found: `datums that no longer lie to each other as they did: off by up to ${carried.missMm.toFixed(1)} mm`,
			expected: `at most ${DATUM_MISS_MM} mm`,
			fix: 'measure the datums again, on the panel as prepared; where they are right, capture its shape again',
		})
	}
	if (carry !== undefined && pairs.length > 0 && carried.by !== TOLD_BY[carry]) problems.push(toldTooLittle(panel, path, carry))
	const change = shape && !carry && moved.length === 0 ? mostChanged(found, chart, panel, survey, carried.to) : undefined
	if (change && Math.abs(change.isMm - change.wasMm) > OTHER_SHAPE_MM) problems.push(otherShape(panel, path, change))
	const limitMm = job.limits.mark ?? LINE_MM
	const lines = panel.edges.map(({ id, through }) => {
		const offMm = Math.max(
			0,
			...through.flatMap((step) => marksOf(survey, refOf(step)).map((at) => off(chart, at, carried.to(at)))),
		)
		return { id, offMm, holds: offMm <= limitMm }
	})
	return { value: { to: carried.to, since: { datums, by: carried.by, chosen: carry !== undefined, lines, limitMm } }, problems }
}

const TOLD_BY = { shift: 'shift', stations: 'stations', proportion: 'both' } as const

/** Datums too few, or too near to each other, for the way that was asked for. */
const toldTooLittle = (panel: Panel, path: string, carry: keyof typeof TOLD_BY): Problem => ({
	...({ code: 'CARRY_NEEDS_DATUMS', severity: 'warning', path: `${path}/prepared/carry` } as const),
	place: { panel: panel.id },
	found: `"carry": "${carry}", which the datums that were measured again do not tell`,
	expected:
		carry === 'proportion'
			? 'three datums or more, 60 mm apart along the baseline and 60 mm across it'
			: 'two datums or more, 60 mm apart along the baseline',
	fix: 'Measure more datums again, or choose another way. Until then it goes over by what they tell.',
})

/** The datum that lengths are taken from did not move by saying so. */
function heldDatum(panel: Panel, survey: Survey, others: readonly string[]) {
	return panel.datums.flatMap(({ id }) => {
		const at = survey.marks[id]?.at
		return at && !others.includes(id) ? [{ id, found: at, prepared: at }] : []
	})
}

function marksOf(survey: Survey, ref: string): readonly ChartPoint[] {
	const { name, side } = readRef(ref)
	const keys = side ? [ref, name] : [name, `left/${name}`, `right/${name}`]
	return keys.flatMap((key) => survey.marks[key]?.at ?? [])
}

const off = (chart: Chart, was: ChartPoint, is: ChartPoint) =>
	Math.hypot((is.s - was.s) * chart.metric(is.s, is.g).j, is.g - was.g)
