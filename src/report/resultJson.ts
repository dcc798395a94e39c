/** Everything that was worked out, as result.json. */

import { area } from '../chart/area.ts'
import type { Chart } from '../chart/chart.ts'
import { measure } from '../chart/measure.ts'
import type { ChartPoint, ChartRegion, Curve } from '../chart/point.ts'
import { polyline } from '../chart/region.ts'
import type { Result } from '../engine/compute.ts'
import type { PanelEdge } from '../engine/edges.ts'
import type { PanelResult } from '../engine/panel.ts'
import { chartedSchemes } from '../engine/panelResult.ts'
import { readyOf } from '../engine/ready.ts'
import { handOf } from '../job/marks.ts'
import type { Problem } from '../job/problem.ts'
import type { Panel } from '../job/schema.ts'
import { scanOf } from '../panel/scan/report.ts'
import type { PlanePoint } from '../plane/point.ts'
import { bandLength, openArea } from '../scheme/areas.ts'
import { patchRegion } from '../scheme/patch.ts'
import type { Band, PlacedField } from '../scheme/scheme.ts'
import type { Sheet, SheetMap } from '../sheet/sheets.ts'
import type { ProvenLine } from '../sides/proof.ts'
import { ellipse95 } from '../survey/ellipse.ts'
import type { Mark } from '../survey/survey.ts'
import type { Piece } from '../template/piece.ts'
import type { Unit } from '../units/length.ts'
import { decalsData } from './decalData.ts'
import { paintworkData } from './paintworkData.ts'
import { RESULT_FORMAT } from './resultFormat.ts'
import type { PanelData, ResultData, SheetData } from './resultSchema.ts'
import { seamData } from './seamData.ts'
import { sidesData, tapedData } from './sidesData.ts'
import { writeJson } from './writeJson.ts'

/** Lines are written as points whose chords leave them by no more than this, mm. */
const CHORD_MM = 0.01

export interface ResultOptions {
	readonly version?: string
	/** what the run writes into its folder */
	readonly files?: readonly string[]
	/** marks and lines alone, without pieces and sheets */
	readonly brief?: boolean
	/** in place of the result's own: with files and lines, or with more of them */
	readonly problems?: readonly Problem[]
}

/** The text of result.json. The same result gives the same bytes. */
export const resultJson = (result: Result, options: ResultOptions = {}): string => writeJson(resultData(result, options))

/** Every number of a result as plain data; all lengths in mm, nothing rounded yet. */
export function resultData(result: Result, options: ResultOptions = {}): ResultData {
	const { job, revision } = result
	return {
		formatVersion: RESULT_FORMAT,
		madeBy: `Stripewright ${options.version ?? ''}`.trim(),
		title: job.title,
		revision,
		units: { lengths: 'mm', areas: 'mm2', angles: 'degrees', job: job.unit },
		files: [...(options.files ?? [])],
		panels: result.panels.map((panel) => ({
			...panelData(panel, options.brief ?? false, job.unit),
			...decalsData(panel, result.grounds),
		})),
		...(result.seams ? { seams: result.seams.map(seamData) } : {}),
		...(result.paintwork && !options.brief ? { paintwork: paintworkData(result.paintwork) } : {}),
		...(result.sheets && !options.brief
			? { sheets: result.sheets.sheets.map(sheetData), maps: result.sheets.maps.map(mapData) }
			: {}),
		problems: (options.problems ?? result.problems).map(problemData),
	}
}

const at = (p: ChartPoint): [number, number] => [p.s, p.g]
const on = (p: PlanePoint): [number, number] => [p.x, p.y]
const loops = (region: ChartRegion) => region.map((loop) => loop.map(at))

function panelData(panel: PanelResult, brief: boolean, unit: Unit): PanelData {
	const chart = panel.shape?.now[0]?.chart
	const area = panel.lines?.area
	return {
		id: panel.id,
		title: panel.title,
		hand: panel.hand,
		...(chart
			? {
					shape: {
						stations: [chart.sMin, chart.sMax],
						liesFlat: chart.developable,
						errorMm: chart.errorMm,
						...scanData(panel),
						...gaugeData(panel),
					},
				}
			: {}),
		...surveyData(panel),
		...(panel.sides ? { sides: sidesData(panel.sides, panel, unit) } : {}),
		...readyData(panel),
		...sinceData(panel),
		...(area ? { outline: { from: area.from, region: loops(area.region) } } : {}),
		...patchesData(panel),
		...(panel.lines && chart ? { edges: panel.lines.edges.map((edge) => edgeData(chart, edge)) } : {}),
		...schemeData(panel),
		...(panel.proof ? { proof: panel.proof.map(proofData) } : {}),
		...(panel.taped ? { taped: tapedData(panel.taped, panel, unit) } : {}),
		...(panel.stations ? { stripStations: [...panel.stations] } : {}),
		...(panel.choices ? { choices: panel.choices.map(({ of, what, way, why }) => ({ of, what, way, why })) } : {}),
		...(panel.pieces && !brief ? { pieces: panel.pieces.map(pieceData) } : {}),
	}
}

function patchesData({ panel, lines, shape }: PanelResult): Partial<PanelData> {
	const chart = shape?.now[0]?.chart
	if (!chart || !lines || lines.patches.length === 0) return {}
	return {
		patches: lines.patches.map((patch) => ({
			...{ id: patch.id, what: patch.what, painted: patch.painted },
			hand: handOf(panel, panel.patches?.find(({ id }) => id === patch.id)?.hand),
			region: loops(patchRegion(chart, patch)),
		})),
	}
}

function scanData({ panel }: PanelResult) {
	const scan = scanOf(panel.prepared?.shape ?? panel.found)
	return scan ? { scan: { ...scan, holesMm: [...scan.holesMm], datums: scan.datums.map((d) => ({ ...d })) } } : {}
}

function gaugeData({ shape }: PanelResult) {
	if (!shape?.gauge) return {}
	const { rmsMm, worst, without, oneMore, everyOther } = shape.gauge
	return {
		gauge: {
			rmsMm,
			worst: { ...worst },
			missedWithoutMm: without.map((mm) => mm ?? null),
			oneMore: { ...oneMore },
			...(everyOther ? { everyOther: { ...everyOther } } : {}),
		},
	}
}

function surveyData({ survey, lines, shape }: PanelResult): Partial<PanelData> {
	if (!survey) return {}
	const { marks, readings, closure } = survey.survey
	const chart = shape?.found[0]?.chart
	return {
		marks: Object.values(marks)
			.sort((a, b) => byName(a.key, b.key))
			.map((mark) => markData(mark, lines?.places.get(mark.key) ?? mark.at, chart)),
		readings: readings.map((r) => ({
			index: r.index,
			path: r.path,
			kind: r.kind,
			what: r.what,
			marks: [...r.marks],
			value: r.value,
			fitted: r.fitted,
			residual: r.residual,
			sd: r.sd,
			checked: r.redundancy,
			...(r.w === undefined ? {} : { residualInSd: r.w }),
			...(r.seenMm === undefined ? {} : { seenMm: r.seenMm }),
			...(r.likely === undefined ? {} : { likely: r.likely }),
			...(r.slip ? { slip: { ...r.slip } } : {}),
			...(r.setAside ? { setAside: true as const } : {}),
		})),
		closure: {
			more: closure.dof,
			sumSquares: closure.sumSquares,
			...(closure.factor === undefined ? {} : { factor: closure.factor }),
			...(closure.expected ? { expected: { ...closure.expected } } : {}),
			verdict: closure.verdict,
		},
		bothSides: Object.values(survey.folded.marks)
			.sort((a, b) => byName(a.id, b.id))
			.map((mark) => ({
				id: mark.id,
				from: mark.from,
				at: at(mark.at),
				sd: { ...mark.sd },
				...(mark.difference ? { difference: { ...mark.difference, sd: { ...mark.difference.sd } } } : {}),
			})),
	}
}

function readyData(panel: PanelResult): Partial<PanelData> {
	const ready = readyOf(panel)
	if (!ready) return {}
	return {
		ready: {
			marks: ready.marks.map((mark) => ({ ...mark })),
			lines: ready.lines.map(({ id, least, missing, unchecked }) => ({
				id,
				...(least ? { least: { at: at(least.at), knownMm: least.knownMm } } : {}),
				missing: [...missing],
				unchecked: [...unchecked],
			})),
			next: ready.next.map((next) => ({ ...next, marks: [...next.marks], before: { ...next.before }, after: { ...next.after } })),
		},
	}
}

/** By sign, the same on every machine: no language's own order. */
const byName = (a: string, b: string) => (a < b ? -1 : a > b ? 1 : 0)

const markData = (mark: Mark, now: ChartPoint, found: Chart | undefined) => ({
	key: mark.key,
	id: mark.id,
	...(mark.side ? { side: mark.side } : {}),
	datum: mark.fixed,
	at: at(mark.at),
	now: at(now),
	sd: { ...mark.sd },
	correlation: mark.covariance.sg / (mark.sd.s * mark.sd.g) || 0,
	...(found && !mark.fixed ? { ellipse: { ...ellipse95(mark.covariance, found.metric(mark.at.s, mark.at.g).j) } } : {}),
	readings: [...mark.readings],
})

const lineOf = (chart: Chart, curve: Curve) => polyline(chart, curve, CHORD_MM).map(at)

function edgeData(chart: Chart, edge: PanelEdge) {
	return {
		id: edge.id,
		hand: edge.hand,
		sdMm: edge.sdMm,
		maxErrorMm: edge.fitted.curve.maxErrorMm,
		passes: edge.fitted.passes.map(({ key, offMm, tolerance }) => ({
			mark: key,
			offMm: Number.isFinite(offMm) ? offMm : null,
			toleranceMm: tolerance,
		})),
		known: edge.fitted.known.map((place) => ({ at: at(place.at), sdMm: place.sdMm })),
		sides: edge.sided.map(({ side, curve }) => ({
			side,
			closed: curve.closed,
			lengthMm: measure(chart, curve).length,
			points: lineOf(chart, curve),
		})),
	}
}

function sinceData({ lines }: PanelResult): Partial<PanelData> {
	if (!lines?.since) return {}
	const { by, chosen, datums, lines: off, limitMm } = lines.since
	return {
		sincePrepared: {
			carriedBy: by,
			chosen,
			datums: datums.map((datum) => ({ ...datum, found: at(datum.found), now: at(datum.now) })),
			lines: off.map((line) => ({ ...line })),
			limitMm,
		},
	}
}

const proofData = ({ short, name, side, verdict, worstMm, misses, mark, shiftMm }: ProvenLine) => ({
	line: short,
	name,
	side,
	verdict,
	worstMm,
	misses: misses.map(({ station, acrossMm }) => ({ station, acrossMm })),
	...(mark ? { mark: { ...mark } } : {}),
	...(shiftMm === undefined ? {} : { shiftMm }),
})

function schemeData(result: PanelResult): Partial<PanelData> {
	if (!result.schemes || !result.shape) return {}
	const laid = chartedSchemes(result)
	return {
		bands: laid.flatMap(({ chart, scheme }) => scheme.bands.map((band) => bandData(chart, result.panel, band))),
		fields: laid.flatMap(({ chart, scheme }) => scheme.fields.map((field) => fieldData(chart, field, scheme.bands))),
	}
}

function bandData(chart: Chart, panel: Panel, band: Band) {
	const stripe = panel.stripes.find(({ id }) => id === band.stripe)
	const edge = panel.edges.find(({ id }) => id === stripe?.edge)
	const painted = stripe?.bands.flatMap((each) => ('paint' in each ? [each] : [])) ?? []
	const width = painted[Number(band.id.slice(band.id.lastIndexOf('/') + 1)) - 1]?.width
	const end = (which: 'front' | 'rear') => stripe?.[which]?.shape ?? (edge?.[which] === 'runs-off' ? 'runs-off' : 'square')
	const lines = (curves: readonly Curve[]) => curves.map((curve) => lineOf(chart, curve))
	return {
		id: band.id,
		stripe: band.stripe,
		side: band.side,
		paint: band.paint,
		width: typeof width === 'number' ? width : (width ?? []).map((each) => ({ along: each.along, width: each.width })),
		ends: { front: end('front'), rear: end('rear') },
		lengthMm: bandLength(chart, band),
		areaMm2: area(chart, band.region),
		maxErrorMm: band.maxErrorMm,
		near: lines(band.near),
		far: lines(band.far),
		caps: lines(band.caps),
		region: loops(band.region),
	}
}

const fieldData = (chart: Chart, field: PlacedField, bands: readonly Band[]) => ({
	id: field.id,
	field: field.field,
	side: field.side,
	paint: field.paint,
	areaMm2: area(chart, field.region),
	openAreaMm2: openArea(chart, field, bands),
	region: loops(field.region),
})

const pieceData = (piece: Piece) => ({
	id: piece.id,
	number: piece.number,
	kind: piece.kind,
	side: piece.side,
	title: piece.title,
	errorMm: piece.errorMm,
	...(piece.lineSdMm === undefined ? {} : { lineSdMm: piece.lineSdMm }),
	...(piece.stretch ? { stretch: piece.stretch.most } : {}),
	bounds: boxData(piece.bounds),
	knife: piece.knife.map((line) => line.map(on)),
	working: piece.working.map((line) => line.map(on)),
	notes: [...piece.notes],
})

const boxData = ({ minX, minY, maxX, maxY }: Piece['bounds']) => ({ minX, minY, maxX, maxY })

function sheetData(sheet: Sheet): SheetData {
	return {
		number: sheet.number,
		name: sheet.name,
		paper: sheet.paper,
		orientation: sheet.orientation,
		widthMm: sheet.drawing.widthMm,
		heightMm: sheet.drawing.heightMm,
		pieceIds: [...sheet.pieceIds],
		placements: sheet.placements.map((p) => ({
			piece: p.pieceId,
			at: on(p.at),
			angleDeg: (p.angle * 180) / Math.PI,
			clip: boxData(p.clip),
		})),
		joins: sheet.joins.map((join) => ({
			at: join.at,
			sheet: join.sheet,
			cutHere: join.cutHere,
			line: [on(join.line[0]), on(join.line[1])],
			marks: join.marks.map(on),
		})),
		live: boxData(sheet.live),
		checkSquare: boxData(sheet.checkSquare),
		scalePercent: { x: sheet.scale.x * 100, y: sheet.scale.y * 100 },
	}
}

const mapData = (map: SheetMap) => ({
	piece: map.pieceId,
	rows: map.rows,
	columns: map.columns,
	joinsThroughWorking: map.joinsThroughWorking,
	places: map.places.map(({ row, column, sheet }) => ({ row, column, sheet })),
})

/** A problem with its keys in one order. */
export function problemData(problem: Problem): ResultData['problems'][number] {
	const { code, severity, path, file, line, column, place, found, expected, fix } = problem
	return {
		code,
		severity,
		path,
		...(file === undefined ? {} : { file }),
		...(line === undefined ? {} : { line }),
		...(column === undefined ? {} : { column }),
		...(place ? { place: { ...place } } : {}),
		found,
		expected,
		fix,
	}
}
