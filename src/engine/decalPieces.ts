/** What is printed for a panel's decals: placing frames among its templates, and the decals themselves for sheets of their own. */
import type { ChartPoint } from '../chart/point.ts'
import { polyline, toPlane } from '../chart/region.ts'
import { turns } from '../chart/round.ts'
import { isOfEmblem } from '../decal/emblem.ts'
import { pointOf } from '../decal/frame.ts'
import type { PanelDecal, PanelDecals } from '../decal/panelDecals.ts'
import { readRef } from '../job/marks.ts'
import type { Problem } from '../job/problem.ts'
import type { Job, Panel } from '../job/schema.ts'
import { union } from '../plane/region.ts'
import { decalArt } from '../template/decalArt.ts'
import { decalFrame } from '../template/decalFrame.ts'
import { paintEdges } from '../template/paintEdges.ts'
import type { Piece } from '../template/piece.ts'
import { datumsOn } from './panelPieces.ts'
import { type HandedChart, type HandedScheme, type PanelLines, patchesOn } from './panelResult.ts'

export interface DecalPiecesInput {
	readonly panel: Panel
	/** JSON pointer to the panel */
	readonly path: string
	readonly job: Pick<Job, 'unit' | 'limits'>
	readonly charts: readonly HandedChart[]
	readonly schemes: readonly HandedScheme[]
	readonly lines: PanelLines
	readonly stations: readonly number[]
	readonly decals: PanelDecals
	readonly firstNumber: number
	readonly toleranceMm: number
	/** how far a decal may lie off its place, mm */
	readonly placeMm: number
	readonly revision?: string
}

export interface DecalPieces {
	readonly frames: readonly Piece[]
	readonly art: readonly Piece[]
	readonly problems: readonly Problem[]
}

/** A line of the panel as the frame draws it, mm between its places at most. */
const CHORD_MM = 0.05

export function decalPieces(input: DecalPiecesInput): DecalPieces {
	const { panel, job, decals, revision } = input
	const frames: Piece[] = []
	const art: Piece[] = []
	const problems: Problem[] = []
	for (const placed of decals.placed) {
		const index = panel.decals?.findIndex(({ id }) => id === placed.decal) ?? -1
		const decal = panel.decals?.[index]
		const chart = input.charts.find(({ hand }) => hand === placed.hand)?.chart
		if (!decal || !chart) continue
		const name = decal.what ?? placed.artwork.title
		const common = { panel, placed, name, unit: job.unit, ...(revision === undefined ? {} : { revision }) }
		const area = input.lines.area
		const frame = decalFrame({
			...common,
			chart,
			corners: decal.frame === 'corners',
			area: area && area.from !== 'marks' ? turns(toPlane(area.region), chart.periodS) : undefined,
			keepOff: union(patchesOn(input.lines, placed.hand).map(({ keepOff }) => keepOff)),
			lines: linesNear(input, placed),
			marks:
				decal.place.kind === 'marks'
					? decal.place.marks.map(({ mark, point }) => ({ name: readRef(mark).name, at: pointOf(point, placed.artwork) }))
					: [],
			stations: input.stations,
			datums: datumsOn(panel, input.lines, placed.hand),
			number: input.firstNumber + frames.length + art.length,
			// Half of what is let pass of its place: the rest is for the hand.
			limitMm: Math.max(job.limits.shape, input.placeMm / 2),
			toleranceMm: input.toleranceMm,
		})
		if (frame) frames.push(frame)
		else problems.push(noFrame(panel, placed, name))
		if (placed.material !== 'paint') {
			art.push(decalArt({ ...common, decal, number: input.firstNumber + frames.length + art.length }))
		}
	}
	return { frames, art, problems }
}

/** Painted edges of this side, as the girth strips call them. */
function linesNear({ panel, charts, schemes }: DecalPiecesInput, { hand, side, decal, material }: PanelDecal) {
	const chart = charts.find((each) => each.hand === hand)?.chart
	const scheme = schemes.find((each) => each.hand === hand)?.scheme
	if (!chart || !scheme) return []
	const edges = paintEdges({ panel, scheme, colours: new Map(), sdOf: () => undefined })
	// A painted emblem's own outline is its window.
	const own = new Set(
		scheme.fields.flatMap(({ field, boundaries }) =>
			material === 'paint' && isOfEmblem(field, decal) ? boundaries.map(({ curve }) => curve) : [],
		),
	)
	return edges.flatMap(({ side: on, curve, short }) => {
		if (own.has(curve) || (side !== 'both' && on !== 'both' && on !== side)) return []
		const points: readonly ChartPoint[] = polyline(chart, curve, CHORD_MM)
		return [{ name: short, points }]
	})
}

const noFrame = (panel: Panel, placed: PanelDecal, name: string): Problem => ({
	code: 'DECAL_FRAME_LEFT_OUT',
	severity: 'warning',
	path: placed.path,
	place: { panel: panel.id, ...(placed.side === 'both' ? {} : { side: placed.side }) },
	found: `${name}, round which no frame of paper can be laid`,
	expected: 'room for paper round the decal, on the panel and off its patches',
	fix: 'set it out by its register figures, or divide the decal',
})
