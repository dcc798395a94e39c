/** What the ledger and the picture say of each reading: how it fits, and where it runs on the panel. */
import type { Chart } from '../chart/chart.ts'
import { toPaper } from '../chart/orient.ts'
import type { ChartPoint } from '../chart/point.ts'
import { polyline } from '../chart/region.ts'
import type { HandedChart, PanelResult } from '../engine/panel.ts'
import type { Problem } from '../job/problem.ts'
import { pulledRun } from '../line/run.ts'
import type { CheckedReading } from '../survey/survey.ts'
import { lengthsIn } from '../units/format.ts'
import type { Unit } from '../units/length.ts'
import type { Line } from './scene.ts'

/** One number of a reading beside what the others say of it. */
export interface NumberView {
	readonly what: CheckedReading['what']
	/** what was read less what the marks say, mm */
	readonly offMm: number
	/** the same in its own standard deviations; absent where nothing checks it */
	readonly sds?: number
	/** what it should be by the others, mm, where it does not fit */
	readonly likelyMm?: number
	/** the marks do without it */
	readonly setAside: boolean
}

export interface ReadingView {
	/** place in the panel's list of readings */
	readonly index: number
	/** keys of the marks that it touches */
	readonly marks: readonly string[]
	readonly numbers: readonly NumberView[]
	/** where the tape ran, on the scene of `hand`: dashed where it ran through the air */
	readonly ways: readonly { readonly hand: HandedChart['hand']; readonly points: Line; readonly air: boolean }[]
	/** what is wrong with it, in words, and the readings of which one must be wrong where nothing tells which: its own among them */
	readonly said: readonly { readonly severity: Problem['severity']; readonly text: string; readonly oneOf: readonly number[] }[]
}

const WAY_MM = 0.1

/** Every reading of a panel, in the order of the list. */
export function readingsOf(panel: PanelResult, path: string, unit: Unit, problems: readonly Problem[]): readonly ReadingView[] {
	const { survey } = panel.survey ?? {}
	const checked = survey?.readings ?? []
	return panel.panel.readings.map((reading, index) => {
		const numbers = checked.filter((one) => one.index === index)
		const own = `${path}/readings/${index}`
		return {
			index,
			marks: [...new Set(numbers.flatMap(({ marks }) => marks))],
			numbers: numbers.map(({ what, residual, w, likely, setAside }) => ({
				what,
				offMm: -residual,
				...(w === undefined ? {} : { sds: -w }),
				...(likely === undefined ? {} : { likelyMm: likely }),
				setAside: setAside === true,
			})),
			ways: waysOf(panel, reading.kind, numbers[0]?.marks ?? []),
			said: problems
				.filter((problem) => problem.path === own || problem.path.startsWith(`${own}/`))
				.map(({ code, severity, found, fix }) => ({
					...{ severity, text: lengthsIn(`${found}: ${fix}`, unit) },
					oneOf: oneOf(panel, index, code),
				})),
		}
	})
}

/** Readings of which one is wrong and no other tells which; of a mark that differs left from right, the first on each side. */
function oneOf({ survey }: PanelResult, index: number, code: string): readonly number[] {
	const { marks = {}, open = [] } = survey?.survey ?? {}
	if (code === 'SIDES_DIFFER') {
		const mark = Object.values(marks).find(({ side, readings }) => side === 'right' && readings[0] === index)
		const left = marks[`left/${mark?.id}`]?.readings[0]
		return left === undefined ? [index] : [left, index].toSorted((a, b) => a - b)
	}
	const group = open.find((numbers) => numbers.some((one) => one.index === index)) ?? []
	return [...new Set([index, ...group.map((one) => one.index)])].toSorted((a, b) => a - b)
}

/** From the baseline to the mark, or from mark to mark. */
function waysOf(panel: PanelResult, kind: CheckedReading['kind'], keys: readonly string[]): ReadingView['ways'] {
	const marks = panel.survey?.survey.marks ?? {}
	const places = panel.lines?.places
	return (panel.shape?.now ?? []).flatMap(({ hand, chart }) => {
		const at = keys.flatMap((key): ChartPoint[] => {
			const mark = marks[key]
			if (!mark || (hand !== 'centre' && mark.side !== undefined && mark.side !== hand)) return []
			return [places?.get(key) ?? mark.at]
		})
		const [p, q] = at
		if (!p || at.length < keys.length) return []
		const to = kind === 'square' || kind === 'crossing' ? { s: p.s, g: 0 } : q
		if (!to) return []
		const air = kind === 'straight'
		const points = kind === 'square' || kind === 'crossing' || air ? [to, p] : alongPanel(chart, p, to)
		return [{ hand, air, points: points.flatMap((c) => xy(chart, c)) }]
	})
}

const alongPanel = (chart: Chart, p: ChartPoint, q: ChartPoint): readonly ChartPoint[] => {
	const run = pulledRun(chart, p, q, WAY_MM / 10)
	return run ? polyline(chart, { id: '', closed: false, maxErrorMm: 0, cubics: run.cubics }, WAY_MM) : [p, q]
}

const xy = (chart: Chart, { s, g }: ChartPoint) => {
	const { x, y } = toPaper(chart, { x: s, y: g })
	return [Math.round(x * 1000) / 1000, Math.round(y * 1000) / 1000]
}
