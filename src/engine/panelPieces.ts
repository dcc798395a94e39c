/** The templates of one panel, for all of its charts. */
import type { Chart } from '../chart/chart.ts'
import type { ChartRegion } from '../chart/point.ts'
import type { Outcome, Problem } from '../job/problem.ts'
import type { Job, Panel } from '../job/schema.ts'
import type { Shop } from '../job/shop.ts'
import type { Choice } from '../template/choose.ts'
import { keepOffOf } from '../template/keepOff.ts'
import { checkPairs } from '../template/pairs.ts'
import type { Piece } from '../template/piece.ts'
import { makePieces, type Templates } from '../template/pieces.ts'
import { type HandedChart, type HandedScheme, type PanelLines, type PanelSurvey, patchesOn, type SeamEnd } from './panelResult.ts'
import { stripStations } from './stations.ts'

/** What templates follow from. */
export interface KnownPanel {
	readonly panel: Panel
	/** JSON pointer to it */
	readonly path: string
	readonly job: Job
	readonly shop: Shop
	readonly charts: readonly HandedChart[]
	readonly schemes: readonly HandedScheme[]
	readonly lines: PanelLines
}

export interface PiecesAsked extends KnownPanel {
	readonly seamEnds: readonly SeamEnd[]
	readonly stations: readonly number[]
	readonly firstNumber: number
	/** printed on each */
	readonly code: string
	/** strips and guides for the old paint, in place of the templates */
	readonly proof: boolean
	readonly toleranceMm: number
}

/** Where girth strips lie. */
export function stationsOf({ panel, job, shop, charts, schemes, lines }: KnownPanel, { survey }: PanelSurvey): readonly number[] {
	const [first] = schemes
	const chart = charts[0]?.chart
	if (!first || !chart) return []
	const used = new Set(panel.edges.flatMap((e) => e.through.map((t) => (typeof t === 'string' ? t : t.mark))))
	const at = Object.values(survey.marks).filter((m) => used.has(m.id) || used.has(m.key))
	return stripStations({
		chart,
		panel,
		scheme: first.scheme,
		keepOff: keepOffOf(chart, patchesOn(lines, first.hand)),
		markStations: at.map((m) => (lines.places.get(m.key) ?? m.at).s),
		...(lines.area && lines.area.from !== 'marks' ? { panelReach: reachOf(lines.area.region) } : {}),
		everyMm: shop.stripEvery,
		bodyMm: shop.guideWidth,
		limitMm: job.limits.shape,
	})
}

/** The first and the last station of a region. */
function reachOf(region: ChartRegion): { readonly from: number; readonly to: number } {
	const s = region.flat().map((p) => p.s)
	return { from: s.reduce((a, b) => Math.min(a, b)), to: s.reduce((a, b) => Math.max(a, b)) }
}

export function piecesOf(asked: PiecesAsked): Outcome<Templates> {
	const { panel, path, job, shop, charts, schemes, lines, seamEnds, stations, firstNumber, code, proof, toleranceMm } = asked
	const problems: Problem[] = []
	const pieces: Piece[] = []
	const choices: Choice[] = []
	const colours = new Map(job.paints.map((p) => [p.id, p.colour]))
	for (const { hand, scheme } of schemes) {
		const chart = charts.find((c) => c.hand === hand)?.chart as Chart
		const outcome = makePieces({
			chart,
			panel,
			path,
			scheme,
			seams: seamEnds.filter((end) => end.hand === hand).map(({ cut }) => cut),
			patches: patchesOn(lines, hand),
			colours,
			stations,
			sdOf: (edge) => largest(lines.edges.filter((e) => e.id === edge).map((e) => e.sdMm)),
			datums: datumsOn(panel, lines, hand),
			...(lines.area?.from === 'outline' ? { outline: lines.area.region } : {}),
			firstNumber: firstNumber + pieces.length,
			unit: job.unit,
			bodyMm: shop.guideWidth,
			limitMm: job.limits.shape,
			toleranceMm,
			revision: code,
			...(proof ? { proof } : {}),
		})
		problems.push(...outcome.problems)
		pieces.push(...(outcome.value?.pieces ?? []))
		// Both of a pair are made alike.
		if (choices.length === 0) choices.push(...(outcome.value?.choices ?? []))
	}
	// On a panel across the centreline its own pieces have been compared already.
	if (panel.hand === 'pair') problems.push(...checkPairs(pieces, panel, path))
	return { value: { pieces, choices }, problems }
}

/** The datums of one of the panel's charts, where they are now. */
export const datumsOn = (panel: Panel, { places }: PanelLines, hand: HandedChart['hand']) =>
	panel.datums.flatMap(({ id, panel: which }) => {
		const at = places.get(id) ?? places.get(`${hand}/${id}`)
		return at && (which === undefined || which === hand) ? [{ id, at }] : []
	})

/** Undefined of none. */
const largest = (all: readonly number[]) => (all.length > 0 ? Math.max(...all) : undefined)
