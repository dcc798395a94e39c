import type { Chart } from '../chart/chart.ts'
import type { ChartPoint, ChartRegion } from '../chart/point.ts'
import { signedGirth } from '../job/place.ts'
import type { Outcome, Problem } from '../job/problem.ts'
import type { Job, Panel } from '../job/schema.ts'
import type { Shop } from '../job/shop.ts'
import { gaugeFit } from '../panel/sections.ts'
import type { SectionsFit } from '../panel/sectionsFit.ts'
import { chartOf, handsOf } from '../panel/shape.ts'
import { type PanelArea, panelArea } from '../scheme/outline.ts'
import { layScheme, type Scheme } from '../scheme/scheme.ts'
import type { Side } from '../scheme/side.ts'
import { carryOver, carryPanel, movedPairs } from '../survey/carry.ts'
import { type Folded, fold } from '../survey/fold.ts'
import { locateMarks } from '../survey/locate.ts'
import type { Mark, Survey } from '../survey/survey.ts'
import type { Choice } from '../template/choose.ts'
import { checkPairs } from '../template/pairs.ts'
import type { Piece } from '../template/piece.ts'
import { makePieces, type Templates } from '../template/pieces.ts'
import { type Cache, cached, keyOf } from './cache.ts'
import { type PanelEdge, panelEdges } from './edges.ts'
import { stripStations } from './stations.ts'

/** Cubics stand for their curves within this, mm on the panel: a tenth of what the sharpest knife shows. */
export const TOLERANCE_MM = 0.0005

export interface PanelShape {
	/** one chart, or left and right of a pair: as found, and as it is now (prepared, where it was measured again) */
	readonly found: readonly HandedChart[]
	readonly now: readonly HandedChart[]
	/** how well gauge sections determine the shape as it is now */
	readonly gauge?: SectionsFit
}
export interface HandedChart {
	readonly hand: 'centre' | 'left' | 'right'
	readonly chart: Chart
}

export interface PanelSurvey {
	readonly survey: Survey
	readonly folded: Folded
}

export interface PanelLines {
	readonly edges: readonly PanelEdge[]
	readonly area: PanelArea | undefined
	/** marks and datums by key where they are now */
	readonly places: ReadonlyMap<string, ChartPoint>
	/** from the panel as found to the panel as it is now */
	readonly carry: (p: ChartPoint) => ChartPoint
}

/** What is to be seen on the panel, one entry for each of its charts. */
export interface HandedScheme {
	readonly hand: 'centre' | 'left' | 'right'
	readonly scheme: Scheme
}

/** Everything that was worked out of one panel; what a stage could not make is absent, and the problems say why. */
export interface PanelResult {
	readonly id: string
	readonly title: string
	readonly hand: Panel['hand']
	/** as the job gives it, with its places where they are now once its lines are known */
	readonly panel: Panel
	readonly shape?: PanelShape
	readonly survey?: PanelSurvey
	readonly lines?: PanelLines
	readonly schemes?: readonly HandedScheme[]
	readonly stations?: readonly number[]
	readonly pieces?: readonly Piece[]
	/** how its stripes and fields are made, and why */
	readonly choices?: readonly Choice[]
	/** code of the state of its pieces, printed on each */
	readonly code?: string
	readonly problems: readonly Problem[]
}

export type PanelStage = 'shape' | 'survey' | 'edges' | 'scheme' | 'pieces'
const ORDER: readonly PanelStage[] = ['shape', 'survey', 'edges', 'scheme', 'pieces']

export interface PanelInput {
	readonly job: Job
	readonly shop: Shop
	readonly index: number
	readonly until: PanelStage
	readonly firstNumber: number
	readonly cache?: Cache
}

/** One panel through the stages, each kept by the hash of what it was made from. */
export function computePanel({ job, shop, index, until, firstNumber, cache }: PanelInput): PanelResult {
	const panel = job.panels[index] as Panel
	const path = `/panels/${index}`
	const result: { -readonly [K in keyof PanelResult]: PanelResult[K] } = {
		id: panel.id,
		title: panel.title ?? panel.id,
		hand: panel.hand,
		panel,
		problems: [],
	}
	const problems: Problem[] = []
	const wanted = (stage: PanelStage) => ORDER.indexOf(stage) <= ORDER.indexOf(until)
	const take = <T>(key: string, make: () => Outcome<T>): T | undefined => {
		const outcome = cached(cache, key, make)
		problems.push(...outcome.problems)
		return outcome.value
	}
	const done = () => ({ ...result, problems })

	const shapeKey = keyOf('shape', path, panel.id, panel.hand, panel.found, panel.prepared)
	const shape = take(shapeKey, () => shapeOf(panel, path))
	if (!shape) return done()
	result.shape = shape
	if (!wanted('survey')) return done()

	const found = (shape.found[0] as HandedChart).chart
	const surveyKey = keyOf('survey', shapeKey, panel.datums, panel.readings, panel.edges, panel.outline, shop.instruments)
	const survey = take(surveyKey, () => surveyOf(found, panel, path, shop))
	if (!survey) return done()
	result.survey = survey
	if (!wanted('edges')) return done()

	const now = (shape.now[0] as HandedChart).chart
	const edgesKey = keyOf('edges', surveyKey, panel.edges, panel.outline, panel.holes, job.limits)
	const lines = take(edgesKey, () => linesOf(now, panel, path, job, survey))
	if (!lines) return done()
	result.lines = lines
	if (!wanted('scheme')) return done()

	// What was given by station as found is meant at the same place of the panel as prepared.
	const here = carryPanel(panel, lines.carry)
	result.panel = here
	const schemeKey = keyOf('scheme', edgesKey, panel.stripes, panel.fields)
	const schemes = take(schemeKey, () => schemesOf(shape.now, here, path, job, lines))
	if (!schemes) return done()
	result.schemes = schemes
	if (!wanted('pieces')) return done()

	const used = new Set(panel.edges.flatMap((e) => e.through.map((t) => (typeof t === 'string' ? t : t.mark))))
	const at = Object.values(survey.survey.marks).filter((m) => used.has(m.id) || used.has(m.key))
	const scheme = schemes[0]?.scheme
	const stationsKey = keyOf('stations', schemeKey, panel.strips, panel.baseline, shop.stripEvery, shop.guideWidth)
	const stations = cached(cache, stationsKey, () =>
		scheme
			? stripStations({
					chart: now,
					panel: here,
					scheme,
					markStations: at.map((m) => (lines.places.get(m.key) ?? m.at).s),
					...(lines.area && lines.area.from !== 'marks' ? { panelReach: reachOf(lines.area.region) } : {}),
					everyMm: shop.stripEvery,
					bodyMm: shop.guideWidth,
					limitMm: job.limits.shape,
				})
			: [],
	)
	result.stations = stations
	// What this panel's pieces follow from, wherever it stands in the job: a piece laid out before stays good while its code does.
	const code = keyOf(panel, job.unit, job.paints, job.limits, shop.instruments, shop.guideWidth, shop.stripEvery)
		.slice(0, 6)
		.toUpperCase()
	result.code = code
	const piecesKey = keyOf(
		'pieces',
		schemeKey,
		stations,
		panel.title,
		panel.baseline,
		job.unit,
		job.paints,
		shop.guideWidth,
		firstNumber,
		code,
	)
	const pieces = take(piecesKey, () => piecesOf(shape.now, schemes, here, path, job, shop, lines, stations, firstNumber, code))
	if (pieces) {
		result.pieces = pieces.pieces
		result.choices = pieces.choices
	}
	return done()
}

function shapeOf(panel: Panel, path: string): Outcome<PanelShape> {
	const problems: Problem[] = []
	const charts = (capture: Panel['found'], at: string) =>
		handsOf(panel).flatMap((hand, i) => {
			const outcome = chartOf(panel.id, hand, capture, at)
			if (i === 0) problems.push(...outcome.problems.map((p) => ({ ...p, place: { panel: panel.id } })))
			return outcome.value ? [{ hand, chart: outcome.value }] : []
		})
	const found = charts(panel.found, `${path}/found`)
	const now = panel.prepared ? charts(panel.prepared.shape, `${path}/prepared/shape`) : found
	const gauge = gaugeFit(panel.prepared?.shape ?? panel.found, path)
	const value = { found, now, ...(gauge ? { gauge } : {}) }
	return found.length > 0 && now.length > 0 ? { value, problems } : { problems }
}

function surveyOf(chart: Chart, panel: Panel, path: string, shop: Shop): Outcome<PanelSurvey> {
	const survey = locateMarks({ chart, panel, panelPath: path, instruments: shop.instruments })
	if (!survey.value) return { problems: survey.problems }
	const folded = fold(survey.value, panel, path)
	const problems = [...survey.problems, ...folded.problems]
	return folded.value ? { value: { survey: survey.value, folded: folded.value }, problems } : { problems }
}

/** The first and the last station of a region. */
function reachOf(region: ChartRegion): { readonly from: number; readonly to: number } {
	const s = region.flat().map((p) => p.s)
	return { from: s.reduce((a, b) => Math.min(a, b)), to: s.reduce((a, b) => Math.max(a, b)) }
}

/** A datum that misses its place by more than this after carrying over says that the panel has changed shape, mm. */
const DATUM_MISS_MM = 1.5

function linesOf(chart: Chart, panel: Panel, path: string, job: Job, { survey, folded }: PanelSurvey): Outcome<PanelLines> {
	const problems: Problem[] = []
	const again = panel.prepared?.datums ?? []
	const pairs = again.flatMap((d) => {
		const old = survey.marks[d.id] ?? survey.marks[`left/${d.id}`]
		return old ? [{ id: d.id, found: old.at, prepared: { s: d.station, g: signedGirth(d.girth, d.side) } }] : []
	})
	const carried = carryOver(pairs)
	if (panel.prepared && pairs.length === 0) {
		problems.push({
			code: 'PREPARED_WITHOUT_DATUMS',
			severity: 'warning',
			path: `${path}/prepared`,
			place: { panel: panel.id },
			found: 'a panel measured again with none of its datums',
			expected: 'at least two datums measured again, so that the scheme carries over by them',
			fix: 'measure two datums along the baseline again and add them under "datums"',
		})
	}
	const moved = movedPairs(pairs)
	for (const { from, to, changeMm, apartMm } of moved) {
		problems.push({
			code: 'DATUMS_MOVED',
			severity: 'error',
			path: `${path}/prepared/datums/${again.findIndex((d) => d.id === to)}`,
			place: { panel: panel.id },
			found: `${from} and ${to}, ${apartMm.toFixed(1)} mm apart as found, which now lie to each other otherwise by ${changeMm.toFixed(1)} mm`,
			expected: 'neighbouring datums within 2 mm, and within 1 % of their distance, of how they lay',
			fix: `measure ${from} and ${to} again, on the panel as prepared`,
		})
	}
	if (moved.length === 0 && carried.missMm > DATUM_MISS_MM) {
		problems.push({
			code: 'DATUMS_MOVED',
			severity: 'warning',
			path: `${path}/prepared/datums`,
			place: { panel: panel.id },
			found: `datums that no longer lie to each other as they did: off by up to ${carried.missMm.toFixed(1)} mm`,
			expected: `at most ${DATUM_MISS_MM} mm`,
			fix: 'measure the datums again, on the panel as prepared',
		})
	}
	const placeNow = (m: Mark) => carried.to(m.at)
	const places = new Map(Object.values(survey.marks).map((m) => [m.key, placeNow(m)]))
	for (const m of Object.values(folded.marks)) if (!places.has(m.id)) places.set(m.id, placeNow(m))
	const area = panelArea(chart, carryPanel(panel, carried.to), panel.prepared?.shape ?? panel.found, places)
	const edges = panelEdges({
		chart,
		panel,
		path,
		survey,
		folded,
		area,
		carry: carried.to,
		limits: job.limits,
		toleranceMm: TOLERANCE_MM,
	})
	problems.push(...edges.problems)
	return { value: { edges: edges.value ?? [], area, places, carry: carried.to }, problems }
}

function schemesOf(
	charts: readonly HandedChart[],
	panel: Panel,
	path: string,
	job: Job,
	lines: PanelLines,
): Outcome<readonly HandedScheme[]> {
	const problems: Problem[] = []
	const schemes: HandedScheme[] = []
	for (const { hand, chart } of charts) {
		const sides: readonly Side[] = hand === 'centre' ? ['left', 'right', 'both'] : [hand]
		const outcome = layScheme({
			chart,
			panel,
			path,
			edges: lines.edges.flatMap((e) => e.sided),
			area: lines.area,
			sides,
			gapMm: job.limits.gap,
			toleranceMm: TOLERANCE_MM,
		})
		problems.push(...outcome.problems)
		if (outcome.value) schemes.push({ hand, scheme: outcome.value })
	}
	return { value: schemes, problems }
}

function piecesOf(
	charts: readonly HandedChart[],
	schemes: readonly HandedScheme[],
	panel: Panel,
	path: string,
	job: Job,
	shop: Shop,
	lines: PanelLines,
	stations: readonly number[],
	firstNumber: number,
	code: string,
): Outcome<Templates> {
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
			colours,
			stations,
			sdOf: (edge) => lines.edges.find((e) => e.id === edge)?.sdMm,
			datums: panel.datums.flatMap((d) => {
				const at = lines.places.get(d.id) ?? lines.places.get(`${hand}/${d.id}`)
				return at && (d.panel === undefined || d.panel === hand) ? [{ id: d.id, at }] : []
			}),
			...(lines.area?.from === 'outline' ? { outline: lines.area.region } : {}),
			firstNumber: firstNumber + pieces.length,
			unit: job.unit,
			bodyMm: shop.guideWidth,
			limitMm: job.limits.shape,
			toleranceMm: TOLERANCE_MM,
			revision: code,
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
