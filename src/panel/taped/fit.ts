import type { ChartPoint } from '../../chart/point.ts'
import type { Outcome, Problem } from '../../job/problem.ts'
import type { TapedCapture } from '../../job/tapedSchema.ts'
import { panelProblem } from '../panelProblem.ts'
import type { TiltSd } from './collocation.ts'
import { type Estimate, type EstimateOptions, estimate } from './estimate.ts'
import { type NextLength, nextLength } from './next.ts'
import { type Reach, reachOf } from './reach.ts'
import { type Laid, round, type Sides, SQUARE_SD, sayReading, TAPE_SD_MM, type TapeReading } from './reading.ts'
import { tapedReadings } from './readings.ts'
import { LEANING_SD, LEAST_GIRTHS, LEAST_LENGTHS, type Settled, type Settling, settle, tooFew } from './settle.ts'
import { curvatureSdAt, type Uncertainty, uncertaintyOf } from './uncertainty.ts'

/** All that a tape told of a panel. */
export interface TapedFit {
	readonly estimate: Estimate
	/** readings that cannot be right beside the others, and were left out */
	readonly aside: readonly TapeReading[]
	readonly reach: Reach
	readonly uncertainty: Uncertainty
	/** standard deviation of the mean in-surface curvature of 100 mm of a line along the panel about a place, 1/mm */
	curvatureSdAt(at: ChartPoint): number
	/** where one more laid length would tell most */
	next(): NextLength | undefined
}

/** The sides are kept apart where that makes the readings 150 times likelier (-2 log of it): a mirrored panel is determined twice as well. */
const APART = 10

/** The shape of a panel that is known from a tape alone. */
export function tapedFit(capture: TapedCapture, path: string, sides: Sides): Outcome<TapedFit> {
	const read = tapedReadings(capture, path, sides)
	if (!read.value) return { problems: read.problems }
	if (tooFew(read.value)) return { problems: [...read.problems, ...fewProblem(read.value, capture, path).problems] }
	const sd = capture.sd ?? TAPE_SD_MM
	const tilt = SQUARE_SD[capture.squared]
	const made = settledSides(read.value, sides, { sd, tiltSd: () => tilt })
	if (!('value' in made)) {
		const { tape } = made
		const lost = panelProblem(
			tape?.path ?? path,
			'TAPED_NOT_FOUND',
			tape ? `${sayReading(tape, sides)}, whose way over the panel was not found` : 'readings from which no shape was found',
			'tapes that run over the part of the panel where lengths were laid',
			tape ? 'look at its two places; leave it out if it runs far beyond the laid lengths' : 'look at "sd" and at the girths',
		)
		return { problems: [...read.problems, ...made.problems, ...lost.problems] }
	}
	const { estimate, aside, problems } = made.value
	const reach = reachOf(estimate)
	const value: TapedFit = {
		...{ estimate, aside, reach },
		uncertainty: uncertaintyOf(estimate, reach),
		curvatureSdAt: (at) => curvatureSdAt(estimate, reach, at),
		next: () => nextLength(estimate, reach, sd),
	}
	return { value, problems: [...read.problems, ...problems] }
}

/** On a centreline both sides are one, mirrored, unless both were laid and say otherwise. */
function settledSides(readings: readonly TapeReading[], sides: Sides, options: Omit<EstimateOptions, 'even'>): Settling {
	if (!sides.centred) return settle(readings, sides, { ...options, even: false })
	const laid = readings.filter((r): r is Laid => r.kind === 'laid')
	const bothRead = laid.every((r) => !r.both) && laid.some((r) => r.girth > 0) && laid.some((r) => r.girth < 0)
	const kept = bothRead ? keptApart(readings, sides, options) : undefined
	return kept ?? settle(readings, sides, { ...options, even: true })
}

/** The two sides each by its own lengths, where that is so much likelier; first as they stand, then without what contradicts. */
function keptApart(readings: readonly TapeReading[], sides: Sides, options: Omit<EstimateOptions, 'even'>): Settling | undefined {
	const likelier = (some: readonly TapeReading[], tiltSd: TiltSd) => {
		const one = estimate(some, { ...options, tiltSd, even: true })
		const two = estimate(some, { ...options, tiltSd, even: false })
		return one.ok && two.ok && two.value.score + APART < one.value.score
	}
	if (!likelier(readings, options.tiltSd)) return undefined
	const apart = settle(readings, sides, { ...options, even: false })
	if (!('value' in apart)) return undefined
	const { aside, leaning } = apart.value
	const tiltSd = (line: string) => (leaning.includes(line) ? LEANING_SD : options.tiltSd(line))
	const left = readings.filter((r) => !aside.includes(r))
	return problemFree(apart.value) || likelier(left, tiltSd) ? apart : undefined
}

const problemFree = ({ aside, leaning }: Settled) => aside.length + leaning.length === 0

/** What to lay so that the shape can be told. */
function fewProblem(readings: readonly TapeReading[], capture: TapedCapture, path: string): { problems: readonly Problem[] } {
	const girths = [...new Set(readings.flatMap((r) => (r.kind === 'laid' ? [Math.abs(r.girth)] : [])))].sort((a, b) => a - b)
	const lengths = readings.filter((r) => r.kind === 'laid').length
	const outer = girths.at(-1) as number
	const wanted = girths.length < LEAST_GIRTHS ? [outer / 2] : [outer / 3, (2 * outer) / 3, outer]
	const missing = wanted.map((g) => 5 * Math.max(1, Math.round(g / 5)))
	return panelProblem(
		`${path}/laid`,
		'TAPED_TOO_FEW_LENGTHS',
		`${lengths} laid ${lengths === 1 ? 'length' : 'lengths'} at ${girths.length === 1 ? `one girth, ${round(outer)} mm` : `girths ${girths.map(round).join(' and ')} mm`}`,
		`${LEAST_LENGTHS} lengths or more, at ${LEAST_GIRTHS} girths or more`,
		`lay lengths at ${missing.length === 1 ? 'girth' : 'girths'} ${missing.join(', ')} mm too, from line to line: stations ${capture.stations.map(round).join(', ')}`,
	)
}
