/** What the page draws of one panel: plain numbers, in mm on its flat spread, as one looks at its painted side. */
import type { Chart } from '../chart/chart.ts'
import { toPaper } from '../chart/orient.ts'
import type { ChartPoint, ChartRegion, Curve } from '../chart/point.ts'
import { polyline } from '../chart/region.ts'
import { boxOf } from '../drawing/box.ts'
import type { Box } from '../drawing/drawing.ts'
import type { HandedChart, PanelResult } from '../engine/panel.ts'
import { patchesOn } from '../engine/panelResult.ts'
import type { Job } from '../job/schema.ts'
import type { PlanePoint } from '../plane/point.ts'
import { simplify } from '../plane/simplify.ts'
import { knownLimits } from '../report/planPaint.ts'
import { patchRegion } from '../scheme/patch.ts'
import { ellipse95 } from '../survey/ellipse.ts'
import { decalsOf, type SceneDecal } from './decalScene.ts'
import { type Line, lineOf } from './flatLine.ts'

export type { Line } from './flatLine.ts'

export interface Area {
	/** JSON pointer to what it comes from */
	readonly path: string
	readonly side: string
	readonly what: string
	readonly paint: string
	readonly colour: string
	readonly loops: readonly Line[]
	/** of a band: the how-manieth of its stripe it is, from 1, and its edges, the near one nearer the line that it is laid off */
	readonly edges?: { readonly number: number; readonly near: readonly Line[]; readonly far: readonly Line[] }
}

export interface SceneLine {
	readonly path: string
	readonly edge: string
	readonly side: string
	readonly what: string
	readonly points: Line
	/** between these it lies 95 times in 100, where that is wider than a line */
	readonly known: readonly Line[]
}

export interface SceneMark {
	readonly key: string
	readonly id: string
	readonly datum: boolean
	readonly x: number
	readonly y: number
	/** half-axes of the ellipse that holds it 95 times in 100, mm, and its direction in degrees; absent of a datum */
	readonly ellipse?: { readonly major: number; readonly minor: number; readonly angleDeg: number }
	readonly inDoubt: boolean
}

export interface Scene {
	readonly hand: HandedChart['hand']
	/** +1: front to the right, -1: to the left */
	readonly frontX: 1 | -1
	/** round the panel and its marks */
	readonly box: Box
	/** the panel as far as it is known; `measured` is false where only marks say how far it goes */
	readonly ground: readonly Line[]
	readonly measured: boolean
	/** where this baseline measures no further, and why */
	readonly limit: readonly Line[]
	readonly limitReason: string
	readonly fields: readonly Area[]
	readonly bands: readonly Area[]
	readonly decals: readonly SceneDecal[]
	readonly lines: readonly SceneLine[]
	readonly marks: readonly SceneMark[]
	readonly patches: readonly { readonly what: string; readonly loops: readonly Line[] }[]
	/** stretches along which the tape lay, and what stands between them */
	readonly baseline: readonly Line[]
	readonly interruptions: readonly { readonly what: string; readonly from: number; readonly to: number }[]
}

/** Chords of what is drawn leave it by no more, mm: a tenth of a pixel at three times true size. */
const CHORD_MM = 0.03
/** Looks along each end of girth. */
const LIMIT_LOOKS = 60
/** The baseline runs on past the panel. */
const BEYOND_MM = 12

/** A scene for each chart of the panel that has lines; empty where nothing has a place yet. */
export function scenesOf(job: Job, panel: PanelResult, path: string): readonly Scene[] {
	return (panel.shape?.now ?? []).flatMap(({ hand, chart }) => sceneOf(job, panel, path, hand, chart) ?? [])
}

function sceneOf(job: Job, panel: PanelResult, path: string, hand: HandedChart['hand'], chart: Chart): Scene | undefined {
	const to = (p: ChartPoint) => toPaper(chart, { x: p.s, y: p.g })
	const flat = (points: readonly ChartPoint[], closed = false) => lineOf(simplify(points.map(to), CHORD_MM, closed))
	const loops = (region: ChartRegion) => region.map((loop) => flat(loop, true))
	const paints = new Map(job.paints.map((paint) => [paint.id, paint]))
	const area = panel.lines?.area
	const marks = marksOf(panel, hand, chart, to)
	const box = boxOf([...(area?.region.flat() ?? []).map(to), ...marks])
	if (!box) return undefined
	const scheme = panel.schemes?.find((each) => each.hand === hand)?.scheme
	const painted = (list: 'fields' | 'stripes', id: string, side: string, paint: string, region: ChartRegion): Area => {
		const index = panel.panel[list].findIndex((each) => each.id === id)
		return {
			path: `${path}/${list}/${index}`,
			side,
			what: panel.panel[list][index]?.what ?? id,
			paint: paints.get(paint)?.name ?? paint,
			colour: paints.get(paint)?.colour ?? '#d8d2c4',
			loops: loops(region),
		}
	}
	const gaps = panel.panel.baseline.interruptions.map(({ from, to: end, what }) => {
		const [a, b] = [to({ s: from, g: 0 }).x, to({ s: end, g: 0 }).x]
		return { what, from: Math.min(a, b), to: Math.max(a, b) }
	})
	return {
		hand,
		frontX: chart.orientation === 1 ? -1 : 1,
		box,
		ground: area ? loops(area.region) : [],
		measured: area !== undefined && area.from !== 'marks',
		limit: limitOf(chart, flat),
		limitReason: chart.limitReason,
		fields: (scheme?.fields ?? []).map((f) => painted('fields', f.field, f.side, f.paint, f.region)),
		bands: (scheme?.bands ?? []).map((b) => {
			const lines = (curves: readonly Curve[]) => curves.map((curve) => flat(polyline(chart, curve, CHORD_MM)))
			const edges = { number: Number(b.id.split('/').pop()), near: lines(b.near), far: lines(b.far) }
			return { ...painted('stripes', b.stripe, b.side, b.paint, b.region), edges }
		}),
		decals: decalsOf(panel, job.panels.find(({ id }) => id === panel.id)?.decals ?? [], path, { hand, chart }, to),
		lines: linesOf(panel, path, hand, chart, flat),
		marks,
		patches: (panel.lines ? patchesOn(panel.lines, hand) : []).map((patch) => ({
			what: patch.what,
			loops: loops(patchRegion(chart, patch)),
		})),
		baseline: stretches(box.minX - BEYOND_MM, box.maxX + BEYOND_MM, gaps),
		interruptions: gaps,
	}
}

const round = (x: number) => Math.round(x * 1000) / 1000

function marksOf({ survey, lines }: PanelResult, hand: HandedChart['hand'], chart: Chart, to: (p: ChartPoint) => PlanePoint) {
	return Object.values(survey?.survey.marks ?? {})
		.filter(({ side }) => hand === 'centre' || side === undefined || side === hand)
		.map((mark): SceneMark => {
			const at = lines?.places.get(mark.key) ?? mark.at
			const { x, y } = to(at)
			const ellipse = mark.fixed ? undefined : ellipse95(mark.covariance, chart.metric(at.s, at.g).j)
			return {
				...{ key: mark.key, id: mark.id, datum: mark.fixed, x: round(x), y: round(y), inDoubt: mark.inDoubt === true },
				...(ellipse
					? {
							ellipse: {
								major: ellipse.majorMm,
								minor: ellipse.minorMm,
								// seen as the panel is seen
								angleDeg: chart.orientation * ellipse.angleDeg,
							},
						}
					: {}),
			}
		})
}

function linesOf(
	panel: PanelResult,
	path: string,
	hand: HandedChart['hand'],
	chart: Chart,
	flat: (points: readonly ChartPoint[], closed?: boolean) => Line,
): readonly SceneLine[] {
	return (panel.lines?.edges ?? []).flatMap((edge) =>
		edge.sided.flatMap(({ side, curve }) => {
			if (hand !== 'centre' && side !== hand) return []
			const index = panel.panel.edges.findIndex(({ id }) => id === edge.id)
			const points = polyline(chart, curve, CHORD_MM)
			const mirrored = side === 'left' && curve !== edge.fitted.curve
			return [
				{
					path: `${path}/edges/${index}`,
					edge: edge.id,
					side,
					what: panel.panel.edges[index]?.what ?? edge.id,
					points: flat(curve.closed ? [...points, ...points.slice(0, 1)] : points),
					known: knownLimits(chart, edge, mirrored).map((limit) => flat(limit)),
				},
			]
		}),
	)
}

/** The ends of girth from front to rear, and the ends of the panel: beyond them nothing can be measured off this baseline. */
function limitOf(chart: Chart, flat: (points: readonly ChartPoint[]) => Line): readonly Line[] {
	const { sMin, sMax } = chart
	if (![sMin, sMax].every(Number.isFinite)) return []
	const stations = Array.from({ length: LIMIT_LOOKS + 1 }, (_, i) => sMin + ((sMax - sMin) * i) / LIMIT_LOOKS)
	return [chart.gMin, chart.gMax].flatMap((end) => {
		const points = stations.map((s) => ({ s, g: end.call(chart, s) }))
		return points.every(({ g }) => Number.isFinite(g)) ? [flat(points)] : []
	})
}

function stretches(from: number, to: number, gaps: readonly { readonly from: number; readonly to: number }[]): readonly Line[] {
	const out: Line[] = []
	let x = from
	for (const gap of gaps.toSorted((a, b) => a.from - b.from)) {
		if (gap.from > x) out.push([x, 0, gap.from, 0])
		x = Math.max(x, gap.to)
	}
	if (to > x) out.push([x, 0, to, 0])
	return out
}
