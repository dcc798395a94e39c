import type { ChartPoint } from '../chart/point.ts'
import type { Survey } from '../survey/survey.ts'
import { deviation, type JudgedPair } from './judge.ts'
import type { SidedPair } from './middle.ts'
import type { MarkPair } from './pairs.ts'
import type { ComparedPair, PanelSides, SidesInput, TwinFrame } from './panelSides.ts'
import { swappedOf } from './swapped.ts'

type Compared = Pick<PanelSides, 'pairs' | 'settled' | 'swapped' | 'frame'>

/** A pair of panels compared through the datums that both have: marks of the right one against those of the left one. */
export function compareTwins({ chart, survey, tapeSdMm }: SidesInput, marks: readonly MarkPair[]): Compared {
	const fit = frameOf(survey, tapeSdMm)
	const bySides = marks.map(({ id, left, right, difference }): SidedPair => {
		return { id, left: left.at, right: right.at, middleSd: Math.sqrt(difference.g), stationSd: Math.sqrt(difference.s) }
	})
	const judge = (pairs: readonly SidedPair[]) =>
		pairs.map((pair): JudgedPair => {
			const expected = fit.toRight(pair.left)
			const { j } = chart.metric(pair.right.s, pair.right.g)
			const own = fit.varianceAt(pair.left)
			return {
				pair,
				across: deviation(pair.right.g - expected.g, pair.middleSd ** 2 + own.g),
				along: deviation(j * (pair.right.s - expected.s), j * j * (pair.stationSd ** 2 + own.s)),
				setAside: false,
			}
		})
	const judged = judge(bySides)
	return {
		pairs: judged.map(
			({ pair, across, along }, i): ComparedPair => ({
				id: pair.id,
				lines: marks[i]!.lines,
				left: pair.left,
				right: pair.right,
				across,
				along,
				setAside: false,
			}),
		),
		settled: true,
		swapped: swappedOf(bySides, judged, judge, (pair) => judge([pair])[0] as JudgedPair, false),
		...(fit.frame ? { frame: fit.frame } : {}),
	}
}

/**
 * The motion without stretch that takes the left datums onto the right ones, by least squares in closed form (Procrustes in the
 * plane: the turn is atan2 of the sums of cross and dot products). A datum that is given once for both of the pair is where it is
 * on each.
 */
function frameOf(survey: Survey, sdMm: number) {
	const both = Object.values(survey.marks)
		.filter(({ fixed, key, id }) => fixed && key === `left/${id}` && survey.marks[`right/${id}`]?.fixed)
		.map(({ id, at }) => ({ id, left: at, right: survey.marks[`right/${id}`]!.at }))
		.sort((a, b) => (a.id < b.id ? -1 : 1))
	const n = both.length
	const mean = (of: (one: (typeof both)[number]) => number) => both.reduce((sum, one) => sum + of(one), 0) / Math.max(1, n)
	const [l, r] = [
		{ s: mean(({ left }) => left.s), g: mean(({ left }) => left.g) },
		{ s: mean(({ right }) => right.s), g: mean(({ right }) => right.g) },
	]
	let [dots, crosses, spread] = [0, 0, 0]
	for (const { left, right } of both) {
		const [a, b] = [left.s - l.s, left.g - l.g]
		const [c, d] = [right.s - r.s, right.g - r.g]
		dots += a * c + b * d
		crosses += a * d - b * c
		spread += a * a + b * b
	}
	const turn = n > 1 && spread > 0 ? Math.atan2(crosses, dots) : 0
	const [cos, sin] = [Math.cos(turn), Math.sin(turn)]
	const toRight = ({ s, g }: ChartPoint): ChartPoint => {
		if (n === 0) return { s, g }
		return { s: r.s + cos * (s - l.s) - sin * (g - l.g), g: r.g + sin * (s - l.s) + cos * (g - l.g) }
	}
	// Each datum of either panel is as good as the tape.
	const varianceAt = ({ s, g }: ChartPoint) => {
		if (n === 0) return { s: 0, g: 0 }
		const shift = (2 * sdMm ** 2) / n
		const turned = n > 1 && spread > 0 ? (2 * sdMm ** 2) / spread : 0
		return { s: shift + turned * (g - l.g) ** 2, g: shift + turned * (s - l.s) ** 2 }
	}
	const missMm = Math.sqrt(
		mean(({ left, right }) => {
			const at = toRight(left)
			return (at.s - right.s) ** 2 + (at.g - right.g) ** 2
		}),
	)
	const frame: TwinFrame | undefined =
		n > 0
			? {
					datums: both.map(({ id }) => id),
					station: l.s,
					alongMm: r.s - l.s,
					acrossMm: r.g - l.g,
					turnDeg: (turn * 180) / Math.PI,
					missMm,
				}
			: undefined
	return { frame, toRight, varianceAt }
}
