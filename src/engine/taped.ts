import type { Chart } from '../chart/chart.ts'
import type { Outcome } from '../job/problem.ts'
import type { Panel } from '../job/schema.ts'
import type { Shop } from '../job/shop.ts'
import { tapedOf } from '../sides/taped.ts'
import type { PanelTaped } from '../sides/tapedPanel.ts'
import { tellingStations } from '../sides/tellingStations.ts'
import type { HandedScheme, PanelLines, PanelResult, PanelShape } from './panelResult.ts'
import { linesOf } from './proof.ts'

/** Edges as taped against those of a panel. */
export function tapedPanel(
	panel: Panel,
	path: string,
	shape: PanelShape,
	lines: PanelLines,
	schemes: readonly HandedScheme[],
	shop: Shop,
): Outcome<PanelTaped> {
	if (!panel.checks) return { problems: [] }
	const chartOf = chartFor(shape)
	return tapedOf({ chartOf, panel, path, checks: panel.checks, lines: edgesOf(panel, lines, schemes), shop })
}

/** A line to be seen on a panel. */
export type SeenLine = ReturnType<typeof edgesOf>[number]

/** Every line to be seen on a panel, as far as its seams, and its edges by their own names. None before they are known. */
export const seenLines = ({ panel, lines, schemes }: PanelResult): readonly SeenLine[] =>
	lines && schemes ? edgesOf(panel, lines, schemes) : []

/** A name that says how the other edge is made is one for a guide. */
const edgesOf = (...[panel, lines, schemes]: Parameters<typeof linesOf>) =>
	linesOf(panel, lines, schemes).map((line) => ({ ...line, name: line.name.replace(/ \(the other edge by [^()]*\)$/, '') }))

const chartFor = (shape: PanelShape) => (side: string) =>
	(shape.now.find(({ hand }) => hand === side) ?? shape.now[0])?.chart as Chart

/** Where a taped edge is to be measured, and what it should read there. */
export interface ToCheck {
	readonly line: string
	readonly name: string
	readonly side: 'left' | 'right' | 'both'
	readonly places: readonly { readonly station: number; readonly girth: number }[]
}

/** For a sheet of checks: each line to tape along, at the stations that tell most of it. None before its lines are known. */
export function checksFor(panel: PanelResult): readonly ToCheck[] {
	const known = worked.get(panel)
	if (known) return known
	const made = checksAnew(panel)
	worked.set(panel, made)
	return made
}

/** What was worked out of a panel never changes, and each stage of its paint asks. */
const worked = new WeakMap<PanelResult, readonly ToCheck[]>()

function checksAnew(panel: PanelResult): readonly ToCheck[] {
	const { shape, lines, schemes } = panel
	if (!shape || !lines || !schemes) return []
	const chartOf = chartFor(shape)
	return edgesOf(panel.panel, lines, schemes).map(({ short, name, side, curve }) => ({
		...{ line: short, name, side },
		places: tellingStations(chartOf(side), curve, panel.stations ?? []).map(({ s, g }) => ({ station: s, girth: Math.abs(g) })),
	}))
}
