import { crossStation } from '../chart/cross.ts'
import { refOf } from '../job/marks.ts'
import type { Outcome } from '../job/problem.ts'
import type { Panel } from '../job/schema.ts'
import type { Side } from '../scheme/side.ts'
import { judgeProof, type ProvedLine, type ProvenLine } from '../sides/proof.ts'
import { edgeOf } from '../template/bands.ts'
import { keepOffOf } from '../template/keepOff.ts'
import { paintEdges } from '../template/paintEdges.ts'
import type { HandedScheme, PanelLines, PanelResult, PanelShape } from './panelResult.ts'

/** What the ticks of the proof strips say of each line of a panel. */
export function proofOf(
	panel: Panel,
	path: string,
	shape: PanelShape,
	lines: PanelLines,
	schemes: readonly HandedScheme[],
	limitMm: number,
): Outcome<readonly ProvenLine[]> {
	const chart = shape.now[0]?.chart
	if (!panel.proof || !chart) return { problems: [] }
	return judgeProof({ chart, panel, path, ticks: panel.proof, lines: linesOf(panel, lines, schemes), limitMm })
}

/** Every line that a strip has a tick for, and the edges by their own names, each with the marks that it hangs on. */
export function linesOf(panel: Panel, { edges, places }: PanelLines, schemes: readonly HandedScheme[]): readonly ProvedLine[] {
	const marksOf = (edge: string, side: Side) =>
		(panel.edges.find(({ id }) => id === edge)?.through ?? []).flatMap((step) => {
			const key = refOf(step)
			const at = [key, `${side}/${key}`, `right/${key}`, `left/${key}`].flatMap((each) => places.get(each) ?? [])[0]
			return at ? [{ key, station: at.s }] : []
		})
	const painted = paintedLines(panel, schemes, marksOf)
	const bare = edges.flatMap(({ id, sided }) => {
		const name = panel.edges.find((edge) => edge.id === id)?.what ?? id
		return sided.map(({ side, curve }) => ({ short: id, name, side, curve, marks: marksOf(id, side) }))
	})
	return [...painted, ...bare.filter(({ short, side }) => !painted.some((line) => line.short === short && line.side === side))]
}

/** The edges of all paint, as strips name them at their ticks. */
const paintedLines = (
	panel: Panel,
	schemes: readonly HandedScheme[],
	marksOf: (edge: string, side: Side) => ProvedLine['marks'],
): readonly ProvedLine[] =>
	schemes.flatMap(({ scheme }) =>
		paintEdges({ panel, scheme, colours: new Map(), sdOf: () => undefined }).map(({ id, short, name, side, curve }) => {
			const band = scheme.bands.find((each) => id.startsWith(`${each.id}/`))
			const edge = band ? edgeOf(panel, band) : short
			return { short, name, side, curve, marks: marksOf(edge, side) }
		}),
	)

/** A tick of a strip for the old paint. */
export interface ToProve {
	/** as the strip names it */
	readonly line: string
	readonly name: string
	readonly side: Side
	readonly station: number
}

/** Where strips have their ticks, line by line, front to rear: each crossed once, on the strip's side of a patch. None before its stations are known. */
export function ticksFor({ panel, shape, lines, schemes = [], stations = [] }: PanelResult): readonly ToProve[] {
	const chart = shape?.now[0]?.chart
	if (!chart || !lines) return []
	const keepOff = keepOffOf(
		chart,
		lines.patches.filter(({ only }) => only === undefined || only === schemes[0]?.hand),
	)
	return paintedLines(panel, schemes, () => []).flatMap(({ short, name, side, curve }) =>
		[...stations]
			.sort((a, b) => a - b)
			.flatMap((station): readonly ToProve[] => {
				const met = crossStation(chart, curve, station)
				const reach = keepOff?.reach(station)
				const g = met.length === 1 ? met[0]?.at.g : undefined
				const there = g !== undefined && (!reach || (g > reach.from && g < reach.to))
				return there ? [{ line: short, name, side, station }] : []
			}),
	)
}
