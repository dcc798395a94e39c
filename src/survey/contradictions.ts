import type { Chart } from '../chart/chart.ts'
import { placeOn } from '../job/place.ts'
import type { Problem } from '../job/problem.ts'
import { listedShort } from '../job/say.ts'
import type { Panel } from '../job/schema.ts'
import { type Adjustment, adjust } from './adjust.ts'
import type { Observation } from './observe.ts'
import { mm, sayReading } from './words.ts'

/** A standardised residual beyond this happens once in a thousand good readings (Baarda 1968, Publications on Geodesy 2-5). */
export const FLAGGED = 3.29
/** With less of an error showing in its own residual, a reading is not judged: what shows is the others' error. */
const LEAST_REDUNDANCY = 0.1
/** Residuals so near the largest could be its effect as well as its cause. */
const AS_SUSPECT = 0.9
/** A panel with more contradictions than this was measured to something else; naming more helps no one. */
const MAX_NAMED = 8

/** A reading that cannot be right, and how it stood beside all the others. */
export interface SetAside {
	readonly observation: Observation
	readonly redundancy: number
	readonly w: number
}

export interface Contradictions {
	readonly problems: readonly Problem[]
	/** without the readings that were set aside: those that alone cannot be right */
	readonly kept: Adjustment
	readonly aside: readonly SetAside[]
	/** marks whose places hang on readings of which one is wrong */
	readonly inDoubt: ReadonlySet<string>
}

/**
 * The readings that cannot be right beside the others, worst first: each is named with what the others say, left out, and
 * the rest adjusted again (Baarda's data snooping, one at a time). Where several are as suspect, "one of these", and all are
 * kept: nothing tells which is wrong.
 */
export function contradictions(chart: Chart, panel: Panel, panelPath: string, adjustment: Adjustment): Contradictions {
	const problems: Problem[] = []
	const aside: SetAside[] = []
	const inDoubt = new Set<string>()
	let now: Adjustment | undefined = adjustment
	for (let named = 0; now && named < MAX_NAMED; named++) {
		const { fit, observations, places, keys }: Adjustment = now
		const suspects = observations
			.map((o, i) => ({ o, i, w: rounded(Math.abs(fit.standardised[i]!)), r: fit.redundancy[i]! }))
			.filter(({ r }) => r > LEAST_REDUNDANCY)
			.sort((a, b) => b.w - a.w || a.o.reading.index - b.o.reading.index || (a.o.what < b.o.what ? -1 : 1))
		const worst = suspects[0]
		if (!worst || worst.w <= FLAGGED) break
		const group = suspects.filter(({ w }) => w >= AS_SUSPECT * worst.w)
		const slip = -fit.residuals[worst.i]! / worst.r
		const first = worst.o.reading
		const key = worst.o.keys[0]!
		const sidePlace = placeOn(panel, places.get(key)!)
		const spoken = spokenSlip(worst.o, slip)
		problems.push({
			code: 'READINGS_CONTRADICT',
			severity: 'error',
			path: `${panelPath}/readings/${first.index}`,
			place: sidePlace,
			found:
				group.length === 1
					? `${sayReading(first.reading, worst.o.what, sideOf(first.keys[0]))}, ${mm(Math.abs(worst.o.value))}, which is about ${mm(Math.abs(spoken))} ${spoken > 0 ? 'more' : 'less'} than the other readings allow`
					: `readings that do not fit together by about ${mm(Math.abs(spoken))}: ${listedShort(
							group.map(({ o }) => sayReading(o.reading.reading, o.what, sideOf(o.keys[0]))),
							'and',
							5,
						)}`,
			expected:
				group.length === 1
					? `about ${mm(Math.abs(worst.o.value) - spoken)}`
					: 'readings that agree within what the tape can tell',
			fix:
				group.length === 1
					? 'Measure it again, from the right mark and with the hook seated. Until then places go by the other readings.'
					: 'One of these is wrong and nothing tells which: measure them again, or add one more tape to a mark they share.',
		})
		if (group.length === 1) aside.push({ observation: worst.o, redundancy: worst.r, w: fit.standardised[worst.i]! })
		else for (const { o } of group) for (const k of o.keys) inDoubt.add(k)
		const rest: Observation[] = observations.filter((o) => o !== worst.o)
		now = adjust(chart, places, keys, rest)
		if (now && now.fit.undetermined.length > 0) break
	}
	if (aside.length === 0) return { problems, kept: adjustment, aside, inDoubt }
	const kept = adjust(
		chart,
		adjustment.places,
		adjustment.keys,
		adjustment.observations.filter((o) => aside.every(({ observation }) => observation !== o)),
	)
	// What nothing else determines cannot do without it.
	if (!kept || kept.fit.undetermined.length > 0) {
		for (const { observation } of aside) for (const k of observation.keys) inDoubt.add(k)
		return { problems, kept: adjustment, aside: [], inDoubt }
	}
	return { problems, kept, aside, inDoubt }
}

/** "left" of "left/t3": a squared reading names its mark without the side. */
const sideOf = (key: string | undefined) => (key?.includes('/') ? key.slice(0, key.indexOf('/')) : undefined)

/** Equal but for the last digits of the arithmetic: of these the first as the job lists them is named, on every machine. */
const rounded = (w: number) => Math.round(w * 1e6) / 1e6

/** A slip as the person would say it: girth is read without its sign. */
function spokenSlip(o: Observation, slip: number): number {
	return o.what === 'girth' && o.value < 0 ? -slip : slip
}
