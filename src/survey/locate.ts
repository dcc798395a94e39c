import type { Chart } from '../chart/chart.ts'
import type { ChartPoint } from '../chart/point.ts'
import { placeOn } from '../job/place.ts'
import type { Outcome, Problem } from '../job/problem.ts'
import type { Panel } from '../job/schema.ts'
import { type Adjustment, adjust, predicted } from './adjust.ts'
import { widthsBetween } from './between.ts'
import { bridgeNotes } from './bridges.ts'
import { closureOf } from './closure.ts'
import { type Contradictions, contradictions, type Misfit } from './contradictions.ts'
import { DETECTED_SDS, type Instrument, readingSd, SQUARE_SD } from './instruments.ts'
import type { NumberRead } from './named.ts'
import { type Observation, observe } from './observe.ts'
import { type NamedMark, type Resolved, type ResolvedReading, resolveReadings } from './resolve.ts'
import { startPlaces, type Unplaced } from './start.ts'
import type { CheckedReading, Mark, MarkSide, Survey } from './survey.ts'
import { beyondPanel, neverRead, unplacedProblem } from './unplaced.ts'
import { sayObservation, sayReading } from './words.ts'

export interface SurveyInput {
	readonly chart: Chart
	readonly panel: Panel
	/** JSON pointer to the panel */
	readonly panelPath: string
	readonly instruments: readonly Instrument[]
	/** of the job: how its numbers were written; mm */
	readonly unit?: 'mm' | 'in'
	/** numbers that lines have found to be wrong where readings alone left a choice */
	readonly byLine?: readonly NumberRead[]
}

/**
 * From the readings of one panel to its marks: one weighted least-squares adjustment on the panel, datums held. Marks that
 * cannot be placed are named with what to measure next and left out; they do not stop the others. Always has a value;
 * a reading that alone cannot be right is set aside, where several are as suspect it is the best compromise, and the problems
 * say so.
 */
export function locateMarks({ chart, panel, panelPath, instruments, unit = 'mm', byLine = [] }: SurveyInput): Outcome<Survey> {
	const resolved = resolveReadings(panel, panelPath)
	const problems: Problem[] = [...resolved.problems]
	const observations = observationsOf(chart, panel, panelPath, instruments, resolved, problems)
	const start = startPlaces(chart, resolved.marks, resolved.datums, observations, panel.hand === 'centre')
	for (const [key, why] of start.unplaced) {
		problems.push(unplacedProblem(panel, panelPath, resolved, resolved.marks.get(key)!, why))
	}
	problems.push(...neverRead(panel, panelPath, resolved))

	const first = settle(chart, panel, panelPath, resolved, start.places, observations, problems)
	const { adjustment, touched } = withWidths(chart, panel, panelPath, instruments, resolved, first, problems)
	const datums = new Set(resolved.datums.keys())
	const judged = adjustment && contradictions({ chart, panel, panelPath, unit, adjustment, start: start.places, datums, byLine })
	if (judged) problems.push(...judged.problems)
	const survey = surveyOf(chart, panel, panelPath, { ...resolved, readings: [...resolved.readings, ...touched] }, judged)
	problems.push(...worseThanSaid(panel, panelPath, survey, judged))
	if (judged) problems.push(...bridgeNotes(chart, panel, panelPath, judged.kept))
	problems.push(...beyondPanel(chart, panel, panelPath, survey))
	return { value: survey, problems }
}

function observationsOf(
	chart: Chart,
	panel: Panel,
	panelPath: string,
	instruments: readonly Instrument[],
	resolved: Resolved,
	problems: Problem[],
): readonly Observation[] {
	const observations: Observation[] = []
	for (const one of resolved.readings) {
		const path = `${panelPath}/readings/${one.index}`
		if (one.reading.kind === 'straight' && !chart.embed) {
			problems.push({
				code: 'NEEDS_EMBEDDING',
				severity: 'error',
				path,
				place: { panel: panel.id },
				found: `${sayReading(one.reading, 'length')}, on a panel of which only lengths along it are known`,
				expected: 'a tape pressed down along the panel, from mark to mark',
				fix: 'Measure it with a tape, or give the shape of the panel.',
			})
			continue
		}
		const sd = readingSd(one.reading, path, panel, instruments, problems)
		const squareSd = 'squared' in one.reading ? SQUARE_SD[one.reading.squared] : 0
		const made = observe(one, sd, squareSd)
		const odd = made.find(({ value }) => !Number.isFinite(value))
		if (!odd) observations.push(...made)
		else {
			problems.push({
				code: 'READING_NO_NUMBER',
				severity: 'error',
				path: `${path}/${odd.what}`,
				place: { panel: panel.id },
				found: `${sayObservation(odd)}, which is no number`,
				expected: 'the length that was read',
				fix: 'Write the number; until then places go without this reading.',
			})
		}
	}
	return observations
}

/** Adjusts; marks that turn out to be tied down in one direction only are named and left out, and the rest adjusted again. */
function settle(
	chart: Chart,
	panel: Panel,
	panelPath: string,
	resolved: Resolved,
	start: ReadonlyMap<string, ChartPoint>,
	all: readonly Observation[],
	problems: Problem[],
): Adjustment | undefined {
	const places = new Map(start)
	let observations = all.filter((o) => o.keys.every((key) => places.has(key)))
	observations = observations.filter((o) => {
		if (
			o.predict(
				chart,
				o.keys.map((key) => places.get(key)!),
			)
		)
			return true
		problems.push({
			code: 'READING_BEYOND_PANEL',
			severity: 'error',
			path: `${panelPath}/readings/${o.reading.index}`,
			place: placeOn(panel, places.get(o.keys[0]!)!),
			found: `${sayObservation(o)}, which runs where this panel is not known`,
			expected: 'readings on the part of the panel that was given',
			fix: 'Check the names of its marks, or give the shape of the panel further out.',
		})
		return false
	})
	// each round leaves out a mark
	for (let round = 0; round <= resolved.marks.size; round++) {
		const free = [...places.keys()].filter((key) => !resolved.datums.has(key) && observations.some((o) => o.keys.includes(key)))
		if (observations.length === 0) return undefined
		const adjustment = adjust(chart, places, free, observations)
		if (!adjustment) return undefined
		const open = new Set(adjustment.fit.undetermined.map((column) => adjustment.keys[column >> 1]!))
		if (open.size === 0) {
			if (!adjustment.fit.converged) {
				problems.push({
					code: 'SURVEY_UNSETTLED',
					severity: 'error',
					path: `${panelPath}/readings`,
					place: { panel: panel.id },
					found: 'readings that do not settle on one place for each mark',
					expected: 'readings that fit together',
					fix: 'Look for a reading with the wrong mark or a slip of 10 or 100 mm.',
				})
			}
			return adjustment
		}
		for (const key of open) {
			const why: Unplaced = { reason: 'same-way', observations: observations.filter((o) => o.keys.includes(key)) }
			problems.push(unplacedProblem(panel, panelPath, resolved, resolved.marks.get(key)!, why))
			places.delete(key)
		}
		observations = observations.filter((o) => o.keys.every((key) => places.has(key)))
	}
	return undefined
}

/**
 * The widths between lines joined to the rest: how lines bend between their marks is worked out once for the places without
 * them, and once more for those with them.
 */
function withWidths(
	chart: Chart,
	panel: Panel,
	panelPath: string,
	instruments: readonly Instrument[],
	resolved: Resolved,
	first: Adjustment | undefined,
	problems: Problem[],
): { readonly adjustment: Adjustment | undefined; readonly touched: readonly ResolvedReading[] } {
	if (resolved.widths.length === 0) return { adjustment: first, touched: [] }
	const sds = new Map(
		resolved.widths.map((one) => {
			const sd = readingSd(one.reading, `${panelPath}/readings/${one.index}`, panel, instruments, problems)
			return [one, sd] as const
		}),
	)
	const sdOf = (one: ResolvedReading) => sds.get(one)!
	let now = first
	let widths: readonly Observation[] = []
	for (let round = 0; round < 2; round++) {
		const places = new Map([...resolved.datums, ...(now?.places ?? [])])
		widths = widthsBetween({ chart, panel, panelPath, places, sdOf }, resolved.widths, round === 0 ? problems : [])
		if (widths.length === 0) break
		now = adjust(chart, places, now?.keys ?? [], [...(first?.observations ?? []), ...widths]) ?? now
	}
	return { adjustment: now, touched: widths.map((o) => o.reading) }
}

function surveyOf(chart: Chart, panel: Panel, panelPath: string, resolved: Resolved, judged: Contradictions | undefined): Survey {
	const adjustment = judged?.kept
	const marks: Record<string, Mark> = {}
	const touching = (key: string) => [
		...new Set(resolved.readings.filter((one) => one.keys.includes(key)).map((one) => one.index)),
	]
	const sideAt = (mark: NamedMark, at: ChartPoint): { side?: MarkSide } => {
		if (mark.side) return { side: mark.side }
		return panel.hand === 'centre' && at.g !== 0 ? { side: at.g < 0 ? 'left' : 'right' } : {}
	}
	for (const [key, at] of resolved.datums) {
		const named = resolved.marks.get(key)!
		const covariance = { ss: 0, sg: 0, gg: 0 }
		marks[key] = {
			key,
			id: named.id,
			...sideAt(named, at),
			at,
			sd: { s: 0, g: 0 },
			covariance,
			fixed: true,
			readings: touching(key),
		}
	}
	const keys = adjustment?.keys ?? []
	const covarianceOf = (i: number, j: number) => adjustment!.fit.covariance(i, j)
	const whole = adjustment?.fit.whole
	keys.forEach((key, i) => {
		const named = resolved.marks.get(key)!
		const at = adjustment!.places.get(key)!
		const covariance = {
			ss: covarianceOf(2 * i, 2 * i),
			sg: covarianceOf(2 * i, 2 * i + 1),
			gg: covarianceOf(2 * i + 1, 2 * i + 1),
		}
		const sd = { s: Math.sqrt(covariance.ss), g: Math.sqrt(covariance.gg) }
		marks[key] = {
			key,
			id: named.id,
			...sideAt(named, at),
			at,
			sd,
			covariance,
			fixed: false,
			readings: touching(key),
			...(judged?.inDoubt.has(key) ? { inDoubt: true as const } : {}),
		}
	})
	return {
		panel: panel.id,
		marks,
		readings: judged ? allChecked(chart, panelPath, judged) : [],
		closure: closureOf(adjustment?.fit.dof ?? 0, adjustment?.fit.sumSquares ?? 0),
		open: (judged?.groups ?? []).map((group) =>
			group.map(({ observation: { reading, what } }) => ({ index: reading.index, what })),
		),
		observations: adjustment?.observations ?? [],
		joint: whole ? { keys, covariance: whole } : { keys: [], covariance: [] },
	}
}

/** No reading alone stands out, and yet together they miss each other by more than was said of them. */
function worseThanSaid(panel: Panel, panelPath: string, survey: Survey, judged: Contradictions | undefined): readonly Problem[] {
	const { verdict, factor } = survey.closure
	if (verdict !== 'worse' || factor === undefined || (judged && judged.problems.length > 0)) return []
	return [
		{
			code: 'READINGS_SPREAD',
			severity: 'warning',
			path: `${panelPath}/readings`,
			place: { panel: panel.id },
			found: `readings that miss each other by ${factor.toFixed(1)} times what was said of their instruments, with none that stands out`,
			expected: 'readings as good as the instruments they were taken with',
			fix: 'Give the instrument a larger sd, or look for what was measured otherwise than said: the hook, the squaring, a datum.',
		},
	]
}

/** In the order of the job; what was set aside by the places that the others give. */
function allChecked(chart: Chart, panelPath: string, { kept, aside, open }: Contradictions): readonly CheckedReading[] {
	const { fit, observations, places } = kept
	const doubted = new Map(open.map((misfit) => [misfit.observation, misfit]))
	const used = observations.map((o, i) =>
		checked(panelPath, o, fit.residuals[i]!, fit.redundancy[i]!, fit.standardised[i]!, doubted.get(o)),
	)
	const out = aside.flatMap((misfit) => {
		const { observation: o, redundancy, w } = misfit
		const said = predicted(chart, o, places)
		if (said === undefined) return []
		return [{ ...checked(panelPath, o, said - o.value, redundancy, w, misfit), setAside: true as const }]
	})
	return [...used, ...out].sort((a, b) => a.index - b.index || (a.what > b.what ? -1 : a.what < b.what ? 1 : 0))
}

function checked(panelPath: string, o: Observation, off: number, redundancy: number, w: number, misfit?: Misfit): CheckedReading {
	// girth is read without its sign: so is its residual
	const sign = o.what === 'girth' && o.value < 0 ? -1 : 1
	const residual = sign * off
	return {
		path: `${panelPath}/readings/${o.reading.index}/${o.what}`,
		index: o.reading.index,
		kind: o.reading.reading.kind,
		what: o.what,
		marks: o.keys,
		value: sign * o.value,
		fitted: sign * o.value + residual,
		residual,
		sd: o.sd,
		redundancy,
		...(redundancy > 0 ? { w: sign * w, seenMm: (DETECTED_SDS * o.sd) / Math.sqrt(redundancy) } : {}),
		...(misfit ? { likely: sign * misfit.likely } : {}),
		...(misfit?.slip ? { slip: misfit.slip } : {}),
	}
}
