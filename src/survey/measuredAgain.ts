import type { Chart } from '../chart/chart.ts'
import type { ChartPoint } from '../chart/point.ts'
import type { Outcome, Problem } from '../job/problem.ts'
import type { Panel, Reading } from '../job/schema.ts'
import type { Unit } from '../units/length.ts'
import type { Instrument } from './instruments.ts'
import { locateMarks } from './locate.ts'
import { findMark } from './survey.ts'

/** A datum as found, and where lengths taken after preparation place it. */
export interface MovedDatum {
	readonly id: string
	readonly found: ChartPoint
	readonly now: ChartPoint
	/** how far it moved on the panel, mm, and how well that is known (1 sd) */
	readonly movedMm: number
	readonly sdMm: number
	/** more than the readings leave by chance (95 %) */
	readonly proven: boolean
}

/** Filler and primer move a datum by no more than about this (1 sd), mm; common practice, no source. */
const MOVES_MM = 4
/** 95 % in one of two directions: sqrt of chi-square 5.991. */
const PROVEN_SDS = Math.sqrt(5.991)

/**
 * Where the datums lie after filler and primer, from a few lengths between them: adjusted on the panel with each datum expected
 * near where it was found, the first one on the baseline held. Empty where no length was taken again.
 */
export function measuredAgain(
	chart: Chart,
	panel: Panel,
	path: string,
	instruments: readonly Instrument[],
	unit: Unit,
): Outcome<readonly MovedDatum[]> {
	const readings = panel.prepared?.readings ?? []
	if (readings.length === 0) return { value: [], problems: [] }
	const inOrder = [...panel.datums].sort((a, b) => a.girth - b.girth || a.station - b.station)
	const [held, ...free] = inOrder
	if (!held) return { value: [], problems: [] }
	const expected = free.map(
		({ id, station, girth, side, panel: which }): Reading => ({
			kind: 'square',
			mark: id,
			station,
			girth,
			...(side ? { side } : {}),
			...(which ? { panel: which } : {}),
			squared: 't-strip',
			sd: MOVES_MM,
		}),
	)
	const again: Panel = { ...panel, datums: [held], readings: [...readings, ...expected], edges: [] }
	const { value, problems } = locateMarks({ chart, panel: again, panelPath: `${path}/prepared`, instruments, unit })
	const before = locateMarks({ chart, panel: { ...panel, readings: [], edges: [] }, panelPath: path, instruments })
	if (!value || !before.value) return { problems }
	const found = before.value
	const moved = free.flatMap(({ id }) => {
		const [was, is] = [findMark(found, id), findMark(value, id)]
		if (!was || !is) return []
		const { j } = chart.metric(is.at.s, is.at.g)
		const movedMm = Math.hypot((is.at.s - was.at.s) * j, is.at.g - was.at.g)
		const sdMm = Math.hypot(is.sd.s * j, is.sd.g) / Math.SQRT2
		return [{ id, found: was.at, now: is.at, movedMm, sdMm, proven: movedMm > PROVEN_SDS * sdMm && sdMm < MOVES_MM / 2 }]
	})
	return { value: moved, problems: problems.filter((problem) => isAbout(problem, readings.length, path)) }
}

/** Of what was read, not of what was expected. */
function isAbout({ path: where }: Problem, count: number, path: string): boolean {
	const index = new RegExp(`^${path}/prepared/readings/(\\d+)`).exec(where)?.[1]
	return index === undefined || Number(index) < count
}
