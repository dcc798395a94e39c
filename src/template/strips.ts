/** The girth strips of a panel. */
import { toPlane } from '../chart/region.ts'
import type { Problem } from '../job/problem.ts'
import { clipPolyline } from '../plane/region.ts'
import { type KeepOff, listed } from './keepOff.ts'
import { girthFigure } from './measured.ts'
import type { PaintEdge } from './paintEdge.ts'
import type { Piece } from './piece.ts'
import { stripSeams } from './seamEnds.ts'
import { girthStrip } from './strip.ts'
import { type Common, datumsOf, type PiecesInput } from './told.ts'

/** How wide an interruption of the baseline is where the job does not say: a filler neck with its flange, mm. */
const POCKET_MM = 60
/** Half of a strip's head, along the baseline, mm. */
const HEAD_REACH_MM = 65
/** Farther off the baseline than any panel reaches. */
const FAR_GIRTH_MM = 5000

/** The girth strips, numbered from the first number on; a station that no line crosses has none, and `problems` say so. */
export function stripsOf(input: PiecesInput, common: Common, edges: readonly PaintEdge[], problems: Problem[]): Piece[] {
	const { chart, panel } = input
	const strips: Piece[] = []
	const datums = datumsOf(input)
	for (const [i, station] of input.stations.entries()) {
		const interruption =
			panel.baseline.interruptions.find((i) => station > i.from && station < i.to) ??
			common.keepOff?.interruptions.find((i) => station + HEAD_REACH_MM > i.from && station - HEAD_REACH_MM < i.to)
		const strip = girthStrip({
			...common,
			id: `${panel.id}/strip/${i + 1}`,
			number: input.firstNumber + strips.length,
			side: panel.hand === 'centre' ? 'BOTH' : chart.orientation === 1 ? 'LEFT' : 'RIGHT',
			halves: panel.hand === 'centre' ? ['RIGHT', 'LEFT'] : ['ABOVE', 'BELOW'],
			station,
			from: fromDatum(datums, station),
			edges,
			...(input.proof ? { proof: true } : {}),
			features: featuresAt(input, station),
			seams: input.seams.flatMap((seam) => stripSeams(chart, seam, station)),
			...(interruption ? { interruption: { ...interruption, width: interruption.width ?? POCKET_MM } } : {}),
		})
		if (!strip) problems.push(...crossesNothing(input, station, common.keepOff))
		else
			strips.push(
				chart.orientation === -1
					? { ...strip, id: `${strip.id}/right` }
					: panel.hand === 'pair'
						? { ...strip, id: `${strip.id}/left` }
						: strip,
			)
	}
	return strips
}

/** A strip that no line crosses is not made: said of each that was asked for, and of a planned one too. */
function crossesNothing({ chart, panel, path, unit }: PiecesInput, station: number, keepOff: KeepOff | undefined): Problem[] {
	// Both of a pair have the same strips.
	if (panel.hand === 'pair' && chart.orientation === -1) return []
	const stops = keepOff?.reach(station).stops ?? []
	const asked = panel.strips?.stations?.findIndex((s) => Math.abs(s - station) < 1e-9) ?? -1
	return [
		{
			code: 'STRIP_CROSSES_NOTHING',
			severity: asked < 0 ? 'note' : 'warning',
			path: asked < 0 ? path : `${path}/strips/stations/${asked}`,
			place: { panel: panel.id, s: station },
			found: `no line crosses station ${girthFigure(station, unit)}${stops.length > 0 ? ` this side of ${listed(stops)}` : ''}, so there is no girth strip there`,
			expected: 'a station between the front and the rear ends of the lines',
			fix:
				asked < 0
					? 'ask for stations under "strips" where the lines are'
					: 'move this station to where a line is, or leave it out',
		},
	]
}

/** Where the girth line of a station meets the panel's rim, and datums that lie on it. */
function featuresAt(input: PiecesInput, station: number) {
	const line = [
		{ x: station, y: -FAR_GIRTH_MM },
		{ x: station, y: FAR_GIRTH_MM },
	]
	const rims = (input.outline ? clipPolyline(line, toPlane(input.outline)) : []).flatMap((piece) =>
		[piece.points[0], piece.points[piece.points.length - 1]].map((p) => ({ name: 'rim', g: (p as { y: number }).y })),
	)
	const datums = input.datums
		.filter((d) => Math.abs(d.at.s - station) < 0.25 && Math.abs(d.at.g) > 1)
		.map((d) => ({ name: d.id, g: d.at.g }))
	return [...rims, ...datums]
}

/** The datum on the baseline to measure a station from: the last before it, else the first behind it. */
function fromDatum(datums: readonly { id: string; s: number; g: number }[], station: number) {
	const on = datums.filter((d) => Math.abs(d.g) < 1).sort((a, b) => a.s - b.s)
	const from = on.findLast((d) => d.s <= station + 1e-9) ?? on[0]
	return from && { name: from.id, distance: station - from.s }
}
