import { handOf } from '../job/marks.ts'
import type { Outcome } from '../job/problem.ts'
import type { Panel } from '../job/schema.ts'
import { chiSquareQuantile } from '../numeric/chiSquare.ts'
import { isCrossing } from '../survey/named.ts'
import type { Survey } from '../survey/survey.ts'
import { exaggerationOf } from './exaggeration.ts'
import { deviation, type JudgedPair, judgedPair, judgePairs } from './judge.ts'
import type { Middle, MiddleTrouble, SidedPair } from './middle.ts'
import { type MarkPair, pairsOf } from './pairs.ts'
import type { CentrelineOff, ComparedPair, LineUnlike, PanelSides, SidesInput, TapeMove } from './panelSides.ts'
import { sidesProblems } from './problems.ts'
import { swappedOf } from './swapped.ts'
import { compareTwins } from './twins.ts'

/** The middle is off where shift and turn together are this improbable: as for single readings (Baarda 1968). */
const WRONGLY = 0.001
/** The middle is drawn through so many places. */
const PLACES = 12

/** Compares the sides of a panel that has two; undefined of others, and where no mirrored line was measured at all. */
export function sidesOf(input: SidesInput): Outcome<PanelSides> {
	const { panel, survey } = input
	if (panel.hand !== 'centre' && panel.hand !== 'pair') return { problems: [] }
	const { pairs, alone } = pairsOf(survey, panel)
	if (pairs.length === 0 && alone.length === 0) return { problems: [] }
	const compared: Compared = panel.hand === 'pair' ? compareTwins(input, pairs) : compareSides(input, pairs)
	const value: PanelSides = {
		kind: panel.hand === 'pair' ? 'twins' : 'centreline',
		...compared,
		alone,
		lines: linesOf(compared.pairs),
		choices: panel.edges.flatMap(({ id, hand, sides }) =>
			handOf(panel, hand) === 'mirrored' ? [{ edge: id, sides: sides ?? ('mean' as const) }] : [],
		),
		exaggeration: exaggerationOf([
			...compared.pairs.flatMap(({ across, along }) => [across.mm, along?.mm ?? 0]),
			compared.centreline?.front.mm ?? 0,
			compared.centreline?.rear.mm ?? 0,
		]),
	}
	return { value, problems: sidesProblems(input, value) }
}

type Compared = Pick<PanelSides, 'pairs' | 'centreline' | 'open' | 'settled' | 'swapped' | 'frame'>

function compareSides({ chart, panel, survey }: SidesInput, marks: readonly MarkPair[]): Compared {
	const pairs = marks.map(sidedPair)
	const judged = judgePairs(chart, pairs)
	if ('kind' in judged) return { pairs: marks.map((pair) => bare(pair, judged)), open: judged, settled: true, swapped: [] }
	const swapped = swappedOf(
		pairs,
		judged.pairs,
		(changed) => {
			const again = judgePairs(chart, changed)
			return 'kind' in again ? undefined : again.pairs
		},
		(pair) => judgedPair(judged.middle, pair, true),
	)
	const settled = judged.pairs.every(({ setAside, across, along }) => setAside || !(across.proven || along.proven))
	return {
		pairs: judged.pairs.map((one, i) => comparedPair(marks[i]!, one)),
		centreline: centrelineOff(judged.middle, endsOf(panel, survey, marks), settled),
		settled,
		swapped,
	}
}

const sidedPair = ({ id, left, right, sum, difference }: MarkPair): SidedPair => ({
	id,
	left: left.at,
	right: right.at,
	middleSd: Math.sqrt(sum.g) / 2,
	// Both sides of a crossing share one line across, which says nothing of the direction of the middle.
	stationSd: isCrossing(id) ? Number.POSITIVE_INFINITY : Math.sqrt(difference.s),
})

/** The middle of two places is half as far off as the two are from each other. */
function comparedPair({ id, lines, left, right }: MarkPair, { across, along, setAside }: JudgedPair): ComparedPair {
	return {
		id,
		lines,
		left: left.at,
		right: right.at,
		across: { ...across, mm: 2 * across.mm, sdMm: 2 * across.sdMm },
		...(Number.isFinite(along.sdMm) ? { along } : {}),
		setAside,
	}
}

/** Where the direction of the middle is not known: as the readings have it, less the shift where that is known. */
function bare({ id, lines, left, right, sum }: MarkPair, open: MiddleTrouble): ComparedPair {
	const shift = 'shiftMm' in open && open.kind === 'one-station' ? open.shiftMm : 0
	return {
		id,
		lines,
		left: left.at,
		right: right.at,
		across: deviation(left.at.g + right.at.g - 2 * shift, sum.g),
		setAside: false,
	}
}

function centrelineOff(middle: Middle, [front, rear]: readonly [number, number], settled: boolean): CentrelineOff {
	const { station, shiftMm, shiftSdMm, angle, angleSd } = middle
	const move = (at: number): TapeMove => ({ station: at, ...middle.at(at) })
	return {
		station,
		shiftMm,
		shiftSdMm,
		angleDeg: degrees(angle),
		angleSdDeg: degrees(angleSd),
		front: move(front),
		rear: move(rear),
		proven: settled && (shiftMm / shiftSdMm) ** 2 + (angle / angleSd) ** 2 > chiSquareQuantile(1 - WRONGLY, 2),
		line: Array.from({ length: PLACES + 1 }, (_, i) => {
			const s = front + ((rear - front) * i) / PLACES
			return { s, g: middle.at(s).mm }
		}),
	}
}

const degrees = (rad: number) => (rad * 180) / Math.PI

/** The ends of the baseline: the datums that it runs between, else the outermost ones on it, else where marks are. */
function endsOf(panel: Panel, survey: Survey, marks: readonly MarkPair[]): readonly [number, number] {
	const named = [panel.baseline.from, panel.baseline.to].flatMap((id) => (id ? (survey.marks[id]?.at.s ?? []) : []))
	const onIt = panel.datums.filter(({ girth }) => girth === 0).map(({ station }) => station)
	const stations =
		named.length === 2 ? named : onIt.length > 1 ? onIt : marks.flatMap(({ left, right }) => [left.at.s, right.at.s])
	return [Math.min(...stations), Math.max(...stations)]
}

/** Each line by all its pairs: several small deviations to one side may prove together what none proves alone. */
function linesOf(pairs: readonly ComparedPair[]): readonly LineUnlike[] {
	const edges = [...new Set(pairs.flatMap(({ lines }) => lines))].sort()
	return edges.flatMap((edge) => {
		// One pair that is off is told of by itself.
		const own = pairs.filter(({ lines, setAside, across }) => lines.includes(edge) && !setAside && across.sdMm > 0)
		if (own.length < 2) return []
		const whole = own.reduce((sum, { across }) => sum + across.sdMm ** -2, 0)
		const mm = own.reduce((sum, { across }) => sum + across.mm * across.sdMm ** -2, 0) / whole
		return [{ edge, pairs: own.length, across: deviation(mm, 1 / whole) }]
	})
}
