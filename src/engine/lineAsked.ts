import type { Chart } from '../chart/chart.ts'
import { frame } from '../chart/curve.ts'
import { nearestOn } from '../chart/nearest.ts'
import type { ChartPoint } from '../chart/point.ts'
import { handOf, readRef, refOf } from '../job/marks.ts'
import type { Edge, Panel } from '../job/schema.ts'
import { sdAcross } from '../line/run.ts'
import { adjust } from '../survey/adjust.ts'
import type { Folded } from '../survey/fold.ts'
import { FLAGGED } from '../survey/instruments.ts'
import type { NumberRead } from '../survey/named.ts'
import type { Observation } from '../survey/observe.ts'
import type { Survey } from '../survey/survey.ts'
import { panelEdges } from './edges.ts'

export interface LineAsked {
	readonly chart: Chart
	/** with the crossings among the marks of its lines */
	readonly panel: Panel
	readonly path: string
	readonly survey: Survey
	readonly folded: Folded
}

/** With fewer other marks a smooth line may pass anywhere between two of them. */
const LEAST_OTHERS = 4
/** The line agrees with a place this near to it, in sds of both (95 %), and with one beyond 3.29 it does not. */
const AGREES_SDS = 1.96
/** The line need not be known finer than it is looked at here, mm. */
const TOLERANCE_MM = 0.01

/**
 * Where readings contradict each other and alone cannot tell which is wrong, the smooth line through the other marks is asked: each
 * reading in turn is taken for the wrong one, which puts their mark somewhere else, and only one of these places may lie on the line.
 * The numbers that it finds to be wrong; none of a group where the line is not known well enough to decide.
 */
export function askLines(input: LineAsked): readonly NumberRead[] {
	return input.survey.open.flatMap((group) => {
		const observations = group.flatMap(
			({ index, what }) => input.survey.observations.find((o) => o.reading.index === index && o.what === what) ?? [],
		)
		if (observations.length < group.length) return []
		const keys = new Set(observations.flatMap((o) => o.keys))
		const answers = [...keys].flatMap((key) => answersOf(input, key, observations))
		const wrong = new Set(answers)
		return wrong.size === 1 ? group.filter((_, i) => wrong.has(i)) : []
	})
}

/** Which of the group each line through the mark finds wrong; nothing of a line that cannot tell. */
function answersOf(input: LineAsked, key: string, group: readonly Observation[]): readonly number[] {
	const mark = input.survey.marks[key]
	if (!mark || mark.fixed) return []
	const lines = input.panel.edges.flatMap((edge) => lineWithout(input, edge, key) ?? [])
	if (lines.length === 0) return []
	const places = group.map((o) => placeWithout(input, key, o))
	return lines.flatMap((off) => {
		const sds = places.map((place) => place && off(place))
		if (sds.some((each) => each === undefined)) return []
		const agrees = sds.flatMap((each, i) => ((each as number) <= AGREES_SDS ? [i] : []))
		const others = sds.filter((each) => (each as number) > FLAGGED)
		return agrees.length === 1 && others.length === group.length - 1 ? agrees : []
	})
}

interface Place {
	readonly at: ChartPoint
	readonly covariance: { readonly ss: number; readonly sg: number; readonly gg: number }
}

/** Where the mark lies by all readings but one. */
function placeWithout({ chart, survey }: LineAsked, key: string, left: Observation): Place | undefined {
	const start = new Map(Object.values(survey.marks).map((mark) => [mark.key, mark.at]))
	const free = Object.values(survey.marks).flatMap((mark) => (mark.fixed ? [] : [mark.key]))
	const fit = adjust(
		chart,
		start,
		free,
		survey.observations.filter((o) => o !== left),
	)
	const at = fit?.places.get(key)
	if (!fit || !at || fit.fit.undetermined.length > 0) return undefined
	const i = 2 * fit.keys.indexOf(key)
	const of = (a: number, b: number) => fit.fit.covariance(i + a, i + b)
	return { at, covariance: { ss: of(0, 0), sg: of(0, 1), gg: of(1, 1) } }
}

/** How far a place of the mark is off the line that the other marks make, in sds of both; undefined where it has no such line. */
function lineWithout(input: LineAsked, edge: Edge, key: string): ((place: Place) => number | undefined) | undefined {
	const { chart, panel, path, survey, folded } = input
	const { name, side } = readRef(key)
	const hand = handOf(panel, edge.hand)
	const at = edge.through.findIndex((step) => {
		const ref = readRef(refOf(step))
		return ref.name === name && (ref.side === undefined || ref.side === side)
	})
	const through = edge.through.filter((_, i) => i !== at)
	const smooth = edge.through.every((step) => typeof step === 'string' || (step.by === 'smooth' && !step.corner))
	const inside = edge.closed || (at > 0 && at < edge.through.length - 1)
	const ofSide = hand === 'mirrored' || hand === 'across' || side === undefined || hand === side
	if (at < 0 || !smooth || !inside || !ofSide || through.length < LEAST_OTHERS) return undefined
	const alone = { ...panel, edges: [{ ...edge, through, front: 'at-mark' as const, rear: 'at-mark' as const }] }
	const fitted = panelEdges({
		...{ chart, panel: alone, path, survey, folded, area: undefined, carry: (p: ChartPoint) => p },
		...{ limits: { shape: 1, gap: 0 }, toleranceMm: TOLERANCE_MM },
	}).value
	// A line that keeps each side as it was is there twice.
	const line = fitted?.find((one) => fitted.length === 1 || one.hand === side)?.fitted
	if (!line) return undefined
	const foot = nearestOn(chart, line.curve)
	// A mirrored line was made as it lies on the right.
	const flipped = panel.hand === 'centre' && hand === 'mirrored' && fitted?.length === 1 && side === 'left'
	return ({ at: p, covariance: { ss, sg, gg } }) => {
		const here = flipped ? { s: p.s, g: 0 - p.g } : p
		const met = foot(here)
		if (!met) return undefined
		const own = sdAcross(
			chart,
			{
				key,
				at: here,
				sdS: Math.sqrt(ss),
				sdG: Math.sqrt(gg),
				covariance: { ss, sg: flipped ? -sg : sg, gg },
				corner: false,
				by: 'smooth',
			},
			frame(chart, line.curve, met.u).angle,
		)
		const byNearness = line.known
			.map(({ at: q, sdMm }) => ({ sdMm, off: Math.hypot(q.s - met.at.s, q.g - met.at.g) }))
			.sort((a, b) => a.off - b.off)
		const sdMm = Math.max(0, ...byNearness.slice(0, 2).map((one) => one.sdMm))
		return Math.abs(met.offsetMm) / Math.hypot(own, sdMm)
	}
}
