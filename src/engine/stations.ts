import type { Chart } from '../chart/chart.ts'
import type { Panel } from '../job/schema.ts'

/** Two strips closer than this would be laid over each other. */
const APART_MM = 40
/** A strip's head wants some baseline before and behind an interruption. */
const CLEAR_MM = 3
/** On a panel that lies flat whole, pieces are placed by three strips at most. */
const FEW = 3

/** Stations of the girth strips: as the panel says, else at its marks, spread about `everyMm` apart. */
export function stripStations(chart: Chart, panel: Panel, markStations: readonly number[], everyMm: number): number[] {
	const wanted = panel.strips?.stations
	if (wanted) return [...new Set(wanted)].sort((a, b) => a - b)
	if (markStations.length === 0) return []
	const free = (s: number) => !panel.baseline.interruptions.some((i) => s > i.from - CLEAR_MM && s < i.to + CLEAR_MM)
	const clear = markStations.filter(free)
	const all = [...(clear.length > 0 ? clear : markStations)].sort((a, b) => a - b)
	const from = all[0] as number
	const to = all[all.length - 1] as number
	const span = to - from
	const every = panel.strips?.every ?? (chart.developable ? Math.max(everyMm, span / (FEW - 1)) : everyMm)
	const count = Math.max(1, Math.round(span / every))
	const out: number[] = []
	for (let i = 0; i <= count; i++) {
		// At a station that was measured where there is one near: the marks on the panel are there.
		const ideal = from + (span * i) / count
		const near = all.reduce((best, s) => (Math.abs(s - ideal) < Math.abs(best - ideal) ? s : best), from)
		const at = Math.round((Math.abs(near - ideal) < every / 2 ? near : ideal) * 2) / 2
		if (free(at) && out.every((s) => Math.abs(s - at) >= APART_MM)) out.push(at)
	}
	return out
}
