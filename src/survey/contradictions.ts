import type { Chart } from '../chart/chart.ts'
import type { ChartPoint } from '../chart/point.ts'
import { placeOn } from '../job/place.ts'
import type { Problem } from '../job/problem.ts'
import { listedShort } from '../job/say.ts'
import type { Panel } from '../job/schema.ts'
import type { RowTests } from '../numeric/rowTests.ts'
import { type Adjustment, adjust, adjustRobustly, predicted, testsAt } from './adjust.ts'
import { FLAGGED } from './instruments.ts'
import type { NumberRead } from './named.ts'
import type { Observation } from './observe.ts'
import { type Slip, type Suspect, typicalSlip } from './slips.ts'
import { girthSide, mm, sayObservation } from './words.ts'

/** With less of an error showing in its own residual, a reading is not judged: what shows is the others' error. */
const LEAST_REDUNDANCY = 0.1
/** Two tests that go together less than this tell their readings apart (Förstner 1983, reliability and discernability). */
const ALIKE = 0.7
/** Between two readings that of which the test is larger by less than so many sds of the difference may be the right one. */
const TOLD_SDS = 1.96
/** A panel with more contradictions than this was measured to something else; naming more helps no one. */
const MAX_NAMED = 8
/** What is said of a group: more names are a list nobody walks down. */
const MOST_SAID = 5

/** A reading that does not fit, with what the others say of it. */
export interface Misfit extends Suspect {
	readonly redundancy: number
	readonly w: number
	readonly slip?: Slip
	/** nothing among the readings told it from others, but the line through the other marks did */
	readonly byLine?: true
}

export interface Contradictions {
	readonly problems: readonly Problem[]
	/** without the readings that were set aside: those that alone cannot be right */
	readonly kept: Adjustment
	readonly aside: readonly Misfit[]
	/** readings of which one is wrong and nothing tells which; all are kept */
	readonly open: readonly Misfit[]
	/** the same, each group by itself */
	readonly groups: readonly (readonly Misfit[])[]
	/** marks whose places hang on readings of which one is wrong */
	readonly inDoubt: ReadonlySet<string>
}

export interface ContradictionsInput {
	readonly chart: Chart
	readonly panel: Panel
	readonly panelPath: string
	/** of the job: how its numbers were written */
	readonly unit: 'mm' | 'in'
	/** of all readings */
	readonly adjustment: Adjustment
	/** places of the marks before it */
	readonly start: ReadonlyMap<string, ChartPoint>
	readonly datums: ReadonlySet<string>
	/** numbers that lines have found to be wrong where readings alone left a choice */
	readonly byLine?: readonly NumberRead[]
}

/**
 * The readings that cannot be right beside the others, worst first: each is named with what the others say, left out, and
 * the rest tested again (Baarda's data snooping, one at a time). Where the tests of several go together so that nothing tells
 * which is wrong, "one of these", and all are kept. The tests are made about a place that a gross slip has not carried away.
 */
export function contradictions(input: ContradictionsInput): Contradictions {
	const { chart, adjustment } = input
	const { observations, keys, fit } = adjustment
	const none = { problems: [], kept: adjustment, aside: [], open: [], groups: [], inDoubt: new Set<string>() }
	if (!observations.some((_, i) => fit.redundancy[i]! > LEAST_REDUNDANCY && Math.abs(fit.standardised[i]!) > FLAGGED)) return none
	const places = adjustRobustly(chart, input.start, keys, observations)
	const groups = snoop(chart, places, keys, observations).map((group) => toldByLine(group, input.byLine ?? []))
	const alone = groups.flatMap((group) => (group.length === 1 ? group : []))
	const left = new Set(alone.map(({ observation }) => observation))
	const rest =
		left.size === 0
			? adjustment
			: adjust(
					chart,
					places,
					keys,
					observations.filter((o) => !left.has(o)),
				)
	// What nothing else determines cannot do without it.
	const cannot = !rest || rest.fit.undetermined.length > 0
	const kept = cannot ? adjustment : rest
	const told = explained(input, kept.places, groups)
	const inDoubt = new Set<string>()
	for (const group of told) {
		if (group.length > 1 || cannot) for (const { observation } of group) for (const key of observation.keys) inDoubt.add(key)
	}
	return {
		problems: told.map((group) => problemOf(input, kept.places, group)),
		kept,
		aside: cannot ? [] : told.flatMap((group) => (group.length === 1 ? group : [])),
		open: told.flatMap((group) => (group.length > 1 || cannot ? group : [])),
		groups: told.filter((group) => group.length > 1),
		inDoubt,
	}
}

/** Of a group the one that a line has found to be wrong, where it has. */
function toldByLine(group: readonly Misfit[], found: readonly NumberRead[]): readonly Misfit[] {
	const is = ({ observation: o }: Misfit) => found.some(({ index, what }) => o.reading.index === index && o.what === what)
	const wrong = group.length > 1 ? group.find(is) : undefined
	return wrong ? [{ ...wrong, byLine: true }] : group
}

/** Each round's worst reading first, with those that could as well be the one. */
function snoop(
	chart: Chart,
	places: ReadonlyMap<string, ChartPoint>,
	keys: readonly string[],
	observations: readonly Observation[],
): readonly (readonly Misfit[])[] {
	let now = testsAt(chart, places, keys, observations)
	const out = new Set<number>()
	const groups: Misfit[][] = []
	for (let named = 0; now && named < MAX_NAMED; named++) {
		const { standardised, redundancy, residuals, correlation }: RowTests = now
		const suspects = observations
			.map((o, i) => ({ o, i, w: rounded(Math.abs(standardised[i]!)), r: redundancy[i]! }))
			.filter(({ i, r }) => !out.has(i) && r > LEAST_REDUNDANCY)
			.sort((a, b) => b.w - a.w || a.o.reading.index - b.o.reading.index || (a.o.what < b.o.what ? -1 : 1))
		const worst = suspects[0]
		if (!worst || worst.w <= FLAGGED) break
		const group = suspects.filter((s) => {
			if (s === worst) return true
			const alike = Math.abs(correlation(worst.i, s.i))
			// The difference of two tests has variance 2 (1 - correlation).
			return alike > ALIKE && worst.w - s.w <= TOLD_SDS * Math.sqrt(2 * (1 - alike)) + ROUNDING
		})
		groups.push(
			group.map(({ o, i, r }) => ({
				...{ observation: o, redundancy: r, w: standardised[i]! },
				...{ likely: o.value + (o.sd * residuals[i]!) / r, sd: o.sd / Math.sqrt(r) },
			})),
		)
		out.add(worst.i)
		now = now.without(worst.i)
	}
	return groups
}

/** What was set aside stands to what the others say in the end; and what may have happened to each. */
function explained(
	input: ContradictionsInput,
	places: ReadonlyMap<string, ChartPoint>,
	groups: readonly (readonly Misfit[])[],
): readonly (readonly Misfit[])[] {
	const { chart, panel, unit, datums } = input
	const settled = groups.map((group) =>
		group.map((misfit) => {
			const said = group.length === 1 ? predicted(chart, misfit.observation, places) : undefined
			return said === undefined ? misfit : { ...misfit, likely: said }
		}),
	)
	const suspects = settled.flat()
	return settled.map((group) =>
		group.map((misfit) => {
			const slip = typicalSlip({ chart, panel, unit, places, datums, suspects }, misfit)
			return slip ? { ...misfit, slip } : misfit
		}),
	)
}

function problemOf(
	{ panel, panelPath }: ContradictionsInput,
	places: ReadonlyMap<string, ChartPoint>,
	group: readonly Misfit[],
): Problem {
	const worst = group[0]!
	const { observation: o } = worst
	const spoken = Math.abs(o.value) - Math.abs(worst.likely)
	const say = (m: Misfit) => sayObservation(m.observation)
	const base = {
		code: 'READINGS_CONTRADICT',
		severity: 'error' as const,
		path: `${panelPath}/readings/${o.reading.index}`,
		place: placeOn(panel, places.get(o.keys[0]!)!),
	}
	const fix = (m: Misfit) =>
		`${m.byLine ? `${sayLine(m)} ` : ''}${m.slip ? `${m.slip.say} ` : ''}Measure it again, from the right mark and with the hook seated. Until then places go by the other readings.`
	if (group.length === 1 && o.what === 'girth' && o.value * worst.likely < 0) {
		const sided = (g: number) => `${mm(Math.abs(g))} ${girthSide(panel, g)}`
		return {
			...base,
			found: `${say(worst)}, ${sided(o.value)}, where the other readings put it ${girthSide(panel, worst.likely)}`,
			expected: `about ${sided(worst.likely)}`,
			fix: fix(worst),
		}
	}
	if (group.length === 1) {
		return {
			...base,
			found: `${say(worst)}, ${mm(Math.abs(o.value))}, which is about ${mm(Math.abs(spoken))} ${spoken > 0 ? 'more' : 'less'} than the other readings allow`,
			expected: `about ${mm(Math.abs(worst.likely))}`,
			fix: fix(worst),
		}
	}
	// Of several the one that a usual slip would explain is looked at first.
	const hinted = group.filter(({ slip }) => slip)
	const hint = hinted.length === 1 ? ` First look at ${say(hinted[0]!)}. ${hinted[0]!.slip!.say}` : ''
	return {
		...base,
		found: `readings that do not fit together by about ${mm(Math.abs(spoken))}: ${listedShort(group.map(say), 'and', MOST_SAID)}`,
		expected: listedShort(
			group.map((m) => `${say(m)} about ${mm(Math.abs(m.likely))}`),
			'or',
			MOST_SAID,
		),
		fix: `One of these is wrong and nothing tells which: measure them again, or add one more tape to a mark they share.${hint}`,
	}
}

const sayLine = ({ observation: { value }, likely }: Misfit) =>
	`The line through its neighbours agrees with ${mm(Math.abs(likely))}, not with ${mm(Math.abs(value))}.`

const ROUNDING = 1e-6
/** Equal but for the last digits of the arithmetic: of these the first as the job lists them is named, on every machine. */
const rounded = (w: number) => Math.round(w / ROUNDING) * ROUNDING
