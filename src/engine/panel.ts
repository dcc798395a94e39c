import type { Artwork } from '../artwork/artwork.ts'
import type { Chart } from '../chart/chart.ts'
import type { ChartPoint } from '../chart/point.ts'
import type { Outcome, Problem } from '../job/problem.ts'
import type { Job, Panel } from '../job/schema.ts'
import type { Shop } from '../job/shop.ts'
import { union } from '../plane/region.ts'
import { panelArea } from '../scheme/outline.ts'
import { cutAtPatches, panelPatches } from '../scheme/patch.ts'
import { layScheme } from '../scheme/scheme.ts'
import type { Side } from '../scheme/side.ts'
import { sidesOf } from '../sides/sides.ts'
import { carryPanel } from '../survey/carry.ts'
import { withCrossings } from '../survey/crossings.ts'
import { fold } from '../survey/fold.ts'
import { usualSd } from '../survey/instruments.ts'
import { locateMarks } from '../survey/locate.ts'
import type { NumberRead } from '../survey/named.ts'
import type { Mark } from '../survey/survey.ts'
import { type Cache, cached, keyOf } from './cache.ts'
import { carriedOver } from './carried.ts'
import { decalPieces } from './decalPieces.ts'
import { panelDecals } from './decals.ts'
import { panelEdges } from './edges.ts'
import { withEmblems } from './emblems.ts'
import { askLines } from './lineAsked.ts'
import { piecesOf, stationsOf } from './panelPieces.ts'
import {
	type HandedChart,
	type HandedScheme,
	type PanelLines,
	type PanelResult,
	type PanelSurvey,
	patchesOn,
} from './panelResult.ts'
import { shapeOf } from './panelShape.ts'
import { proofOf } from './proof.ts'
import { readingsInPatches } from './readingsInPatches.ts'
import { type SeamNames, type SeamSide, schemesToSeams, seamsNamed } from './seamEnds.ts'
import { tapedPanel } from './taped.ts'
import type { PanelTie } from './tie.ts'

/** Cubics stand for their curves within this, mm on the panel: a tenth of what the sharpest knife shows. */
export const TOLERANCE_MM = 0.0005

export type {
	HandedChart,
	HandedScheme,
	PanelLines,
	PanelResult,
	PanelShape,
	PanelSurvey,
} from './panelResult.ts'

export type PanelStage = 'shape' | 'survey' | 'edges' | 'scheme' | 'stations' | 'pieces'
const ORDER: readonly PanelStage[] = ['shape', 'survey', 'edges', 'scheme', 'stations', 'pieces']

export interface PanelInput {
	readonly job: Job
	readonly shop: Shop
	readonly index: number
	readonly until: PanelStage
	readonly firstNumber: number
	/** what its decals are, by name */
	readonly artwork?: ReadonlyMap<string, Artwork>
	/** decals, by name, that do not hold together */
	readonly leftOut?: readonly string[]
	/** strips and guides for the old paint, in place of the templates */
	readonly proof?: boolean
	/** its lines as seams with other panels have them */
	readonly tie?: PanelTie
	readonly cache?: Cache
}

/** One panel through the stages, each kept by the hash of what it was made from. */
export function computePanel({
	job,
	shop,
	index,
	until,
	firstNumber,
	artwork,
	leftOut = [],
	proof = false,
	tie,
	cache,
}: PanelInput): PanelResult {
	let panel = job.panels[index] as Panel
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
	const surveyKey = keyOf(
		'survey',
		shapeKey,
		panel.datums,
		panel.readings,
		panel.edges,
		panel.outline,
		shop.instruments,
		job.unit,
	)
	const survey = take(surveyKey, () => surveyOf(found, panel, path, shop, job.unit))
	if (!survey) return done()
	result.survey = survey
	// Where lines cross stations they have marks that the job lists among its readings only.
	panel = withCrossings(panel, survey.survey, survey.folded)
	result.panel = panel
	if (handsTwo(panel)) {
		const tapeSdMm = shop.instruments.find(({ id }) => id === 'tape')?.sd ?? usualSd('tape')
		const both = { chart: found, panel, path, survey: survey.survey, tapeSdMm }
		const sides = cached(cache, keyOf('sides', surveyKey, panel.baseline, tapeSdMm), () => sidesOf(both))
		if (sides.value) result.sides = sides.value
		// What differs is told better once what is common to all is taken out.
		const before = problems.splice(0).filter(({ code }) => !(sides.value?.settled && code === 'SIDES_DIFFER'))
		problems.push(...before, ...sides.problems)
	}
	if (!wanted('edges')) return done()

	const now = (shape.now[0] as HandedChart).chart
	const edgesKey = keyOf('edges', surveyKey, panel.edges, panel.outline, panel.holes, panel.patches, job.limits)
	const fitted = take(edgesKey, () => linesOf(found, now, panel, path, job, shop, survey))
	if (!fitted) return done()
	const read = tie ? { ...fitted, edges: tie.edges } : fitted
	result.lines = read
	if (read.patches.length > 0) problems.push(...readingsInPatches(problems.splice(0), read.patches))
	if (!wanted('scheme')) return done()

	// What was given by station as found is meant at the same place of the panel as prepared.
	const carried = carryPanel(panel, read.carry)
	const decalsKey = keyOf('decals', edgesKey, panel.decals, leftOut, job.artwork, shop.decals, shop.tolerances)
	const laying =
		artwork && carried.decals
			? { path, charts: shape.now, survey, artwork, leftOut, shop, ...(cache ? { cache } : {}) }
			: undefined
	const emblems =
		laying && cached(cache, `emblems ${decalsKey}`, () => withEmblems({ ...laying, panel: carried, schemes: [], lines: read }))
	const here = emblems?.panel ?? carried
	const lines = emblems ? { ...read, edges: [...read.edges, ...emblems.edges] } : read
	result.panel = here
	result.lines = lines
	const seamNames = seamsNamed(job, panel.id)
	const schemeKey = keyOf('scheme', edgesKey, panel.stripes, panel.fields, seamNames, tie?.of, emblems && decalsKey)
	const laid = take(schemeKey, () =>
		schemesToSeams({ shape, survey, lines }, here, seamNames, (seams) => schemesOf(shape.now, here, path, job, lines, seams)),
	)
	if (!laid) return done()
	const { schemes, seamEnds } = laid
	result.schemes = schemes
	if (seamEnds.length > 0) result.seamEnds = seamEnds
	if (laying) {
		const decals = take(`${schemeKey} ${decalsKey}`, () => panelDecals({ ...laying, panel: here, schemes, lines }))
		if (decals) result.decals = decals
	}
	if (here.proof) {
		const proof = take(keyOf('proof', schemeKey, panel.proof, shop.tolerances.line), () =>
			proofOf(here, path, shape, lines, schemes, shop.tolerances.line),
		)
		if (proof) result.proof = proof
	}
	if (here.checks) {
		const key = keyOf('taped', schemeKey, panel.checks, shop.tolerances, shop.instruments)
		const taped = take(key, () => tapedPanel(here, path, shape, lines, schemes, shop))
		if (taped) result.taped = taped
	}
	if (!wanted('stations')) return done()

	const stationsKey = keyOf('stations', schemeKey, panel.strips, panel.baseline, shop.stripEvery, shop.guideWidth)
	const known = { panel: here, path, job, shop, charts: shape.now, schemes, lines }
	const stations = cached(cache, stationsKey, () => stationsOf(known, survey))
	result.stations = stations
	if (!wanted('pieces')) return done()

	const code = codeOf(panel, seamNames, tie, job, shop)
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
		proof,
	)
	const cut = { ...known, seamEnds, stations, code, proof, toleranceMm: TOLERANCE_MM }
	const pieces = take(piecesKey, () => piecesOf({ ...cut, firstNumber }))
	if (!pieces) return done()
	result.pieces = pieces.pieces
	result.choices = pieces.choices
	if (result.decals && !proof) {
		const { decals } = result
		const next = { ...cut, firstNumber: firstNumber + pieces.pieces.length, revision: code }
		const made = cached(cache, keyOf('decal-pieces', piecesKey, decalsKey), () =>
			decalPieces({ ...next, decals, placeMm: shop.tolerances.decal }),
		)
		result.pieces = [...pieces.pieces, ...made.frames]
		result.art = made.art
		problems.push(...made.problems)
	}
	return done()
}

/** What a panel's pieces follow from, wherever it stands in the job: a piece laid out before stays good while its code does. */
function codeOf(panel: Panel, seams: readonly SeamNames[], tie: PanelTie | undefined, job: Job, shop: Shop): string {
	const words = seams.map(({ path: _, ...names }) => names)
	const { instruments, guideWidth, stripEvery } = shop
	return keyOf(panel, ...words, ...(tie?.of ?? []), job.unit, job.paints, job.limits, instruments, guideWidth, stripEvery)
		.slice(0, 6)
		.toUpperCase()
}

const handsTwo = ({ hand }: Panel) => hand === 'centre' || hand === 'pair'

function surveyOf(chart: Chart, panel: Panel, path: string, shop: Shop, unit: Job['unit']): Outcome<PanelSurvey> {
	const surveyed = (byLine: readonly NumberRead[]): Outcome<PanelSurvey> => {
		const survey = locateMarks({ chart, panel, panelPath: path, instruments: shop.instruments, unit, byLine })
		if (!survey.value) return { problems: survey.problems }
		const folded = fold(survey.value, panel, path)
		const problems = [...survey.problems, ...folded.problems]
		return folded.value ? { value: { survey: survey.value, folded: folded.value }, problems } : { problems }
	}
	const first = surveyed([])
	if (!first.value || first.value.survey.open.length === 0) return first
	// What readings alone cannot tell, the lines through the other marks may.
	const wrong = askLines({ chart, panel: withCrossings(panel, first.value.survey, first.value.folded), path, ...first.value })
	return wrong.length > 0 ? surveyed(wrong) : first
}

function linesOf(
	found: Chart,
	chart: Chart,
	panel: Panel,
	path: string,
	job: Job,
	shop: Shop,
	{ survey, folded }: PanelSurvey,
): Outcome<PanelLines> {
	const problems: Problem[] = []
	const carried = carriedOver(found, chart, panel, path, survey, job, shop.instruments)
	problems.push(...carried.problems)
	const { to, since } = carried.value ?? { to: (p: ChartPoint) => p }
	const placeNow = (m: Mark) => to(m.at)
	const places = new Map(Object.values(survey.marks).map((m) => [m.key, placeNow(m)]))
	for (const m of Object.values(folded.marks)) if (!places.has(m.id)) places.set(m.id, placeNow(m))
	const area = panelArea(chart, carryPanel(panel, to), panel.prepared?.shape ?? panel.found, places)
	const patches = panelPatches(chart, carryPanel(panel, to), path, places, area)
	problems.push(...patches.problems)
	const edges = panelEdges({
		chart,
		panel,
		path,
		survey,
		folded,
		area,
		carry: to,
		limits: job.limits,
		toleranceMm: TOLERANCE_MM,
	})
	problems.push(...edges.problems)
	return {
		value: { edges: edges.value ?? [], area, patches: patches.value ?? [], places, carry: to, ...(since ? { since } : {}) },
		problems,
	}
}

function schemesOf(
	charts: readonly HandedChart[],
	panel: Panel,
	path: string,
	job: Job,
	lines: PanelLines,
	seams: readonly SeamSide[],
): Outcome<readonly HandedScheme[]> {
	const problems: Problem[] = []
	const schemes: HandedScheme[] = []
	for (const { hand, chart } of charts) {
		const sides: readonly Side[] = hand === 'centre' ? ['left', 'right', 'both'] : [hand]
		const beyond = seams.filter((seam) => seam.hand === hand).map((seam) => seam.beyond)
		const outcome = layScheme({
			chart,
			panel,
			path,
			edges: lines.edges.flatMap((e) => e.sided),
			area: lines.area,
			...(beyond.length > 0 ? { beyond: union(beyond) } : {}),
			sides,
			gapMm: job.limits.gap,
			toleranceMm: TOLERANCE_MM,
		})
		problems.push(...outcome.problems)
		if (outcome.value) schemes.push({ hand, scheme: cutAtPatches(chart, outcome.value, patchesOn(lines, hand)) })
	}
	return { value: schemes, problems }
}
