/** Tape and paint in the summary. */
import type { Result } from '../engine/compute.ts'
import type { Paintwork } from '../engine/paintwork.ts'
import { listed, plural } from '../job/say.ts'
import { filmBudget } from '../paint/budget.ts'
import { filmWords } from '../paint/clearProblems.ts'
import { formatLength } from '../units/format.ts'
import type { Unit } from '../units/length.ts'
import { placeSaid } from './runWords.ts'

/** A gap of less is none, mm. */
const NO_GAP_MM = 0.005

const small = (mm: number, unit: Unit) => formatLength(mm, unit, { decimals: unit === 'mm' ? 2 : 3 }).text

/** Order, tape, what nothing covers, films and paint to mix; '' where nothing is painted. */
export function paintworkText({ paintwork, job }: Pick<Result, 'paintwork' | 'job'>): string {
	if (!paintwork) return ''
	const name = (id: string) => paintwork.systems.get(id)?.name ?? id
	const lines = [
		`order: ${paintwork.order.map(name).join(', ')}. ${paintwork.choice.chosen.why}`,
		...moved(paintwork, job.unit),
		taped(paintwork, job.unit),
		proven(paintwork),
		films(paintwork, job.unit),
		`to mix, usual figures where none are given: ${listed(
			paintwork.quantities.paints.map(({ paint, ml }) => `${name(paint)} ${Math.ceil(ml)} ml`),
			'and',
		)}`,
	]
	return ['Tape and paint', ...lines.map((line) => `  ${line}`)].join('\n')
}

function taped({ panels }: Paintwork, unit: Unit): string {
	const stages = panels.flatMap(({ tape }) => tape)
	const runs = new Map(stages.flatMap((stage) => stage.runs.map((run) => [run.id, run] as const)))
	const masks = new Set(stages.flatMap(({ knives }) => knives.map(({ id }) => id)))
	const metres = [...runs.values()].reduce((sum, { lengthMm }) => sum + lengthMm, 0) / 1000
	const gaps = stages.map(({ gap }) => gap)
	const widest = Math.max(0, ...gaps.map(({ widestMm }) => widestMm))
	const over = gaps.reduce((sum, { overMm2 }) => sum + overMm2, 0)
	const laid = `${plural(runs.size, 'run')} of tape, ${unit === 'mm' ? `${metres.toFixed(1)} m` : `${(metres / 0.3048).toFixed(0)} ft`}, and ${plural(masks.size, 'knife mask')}`
	const gap = widest < NO_GAP_MM ? 'no gap beside a painted line' : `a gap of up to ${small(widest, unit)} beside a painted line`
	return `${laid}; ${gap}${over > 0.5 ? `; ${over.toFixed(0)} mm2 of tape on what is to be painted` : ''}`
}

function proven({ panels }: Paintwork): string {
	const not = panels.filter(({ proof }) => !proof.holds).map(({ prefix }) => prefix)
	return not.length === 0
		? 'every place ends with the paints that the scheme says'
		: `not every place of ${listed(not, 'and')} ends with the paints that the scheme says: see the problems`
}

function films({ panels, clears }: Paintwork, unit: Unit): string {
	const thick = (um: number) => (unit === 'mm' ? `${um.toFixed(0)} um` : filmWords(Math.round(um)))
	const budgets = panels.map((work) => filmBudget(work.films, clears.get(work.id)?.plan))
	const colour = Math.max(0, ...budgets.flatMap(({ cells }) => cells.map(({ paintUm }) => paintUm)))
	const all = Math.max(0, ...budgets.flatMap(({ mostUm }) => mostUm ?? []))
	const ridges = panels.flatMap((work) => work.ridges.map(({ heightUm }) => heightUm))
	const ridge = ridges.length > 0 ? `, ridges of up to ${thick(Math.max(...ridges))} where paint ends` : ''
	return `colour up to ${thick(colour)} thick${ridge}; with the clear that is left at the end up to ${thick(all)}`
}

function moved({ panels }: Paintwork, unit: Unit): string[] {
	return panels.flatMap((work) =>
		work.moved.map(({ line, worstMm, worstAt }) => {
			const what = work.seen.parts.find(({ id }) => line.startsWith(`${id}/`))?.what ?? line
			return `${work.prefix}: ${what} came out of the paint up to ${small(Math.abs(worstMm), unit)} off (at ${placeSaid({ work }, worstAt, unit)}); later masks follow it`
		}),
	)
}
