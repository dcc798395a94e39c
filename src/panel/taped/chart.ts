import type { Chart } from '../../chart/chart.ts'
import type { Outcome, Problem } from '../../job/problem.ts'
import type { TapedCapture } from '../../job/tapedSchema.ts'
import { fieldChart } from '../fieldChart.ts'
import type { PanelFrame } from '../frame.ts'
import { type TapedFit, tapedFit } from './fit.ts'
import { round, type Sides, sideOf } from './reading.ts'

/** Beyond the last struck line so much of the panel may lie before it is said, mm. */
const OPEN_END_MM = 40
/** A guide of this length, and how far it may drift sideways by what is not known of the shape (1 sd), before it is said. */
const GUIDE_MM = 150
const DRIFT_MM = 1.5

/**
 * The chart of a panel known from a tape alone: no place in space, so what needs one is refused where it is asked for.
 * @param path JSON pointer to the capture, for problems
 */
export function tapedChart(frame: PanelFrame, capture: TapedCapture, path: string, sides: Sides): Outcome<Chart> {
	const made = tapedFit(capture, path, sides)
	if (!made.value) return { problems: made.problems }
	const fit = made.value
	const { estimate, reach, uncertainty } = fit
	const { even } = estimate.series
	const chart = fieldChart(
		frame,
		estimate.field,
		{
			...{ sMin: reach.sMin, sMax: reach.sMax, gMin: reach.gMin, gMax: reach.gMax },
			reason: reach.cut
				? 'the panel closes up there so far that readings square off this baseline no longer fix a place'
				: 'lengths were laid only that far',
		},
		{
			errorMm: uncertainty.errorMm,
			curvatureSd: uncertainty.curvatureSd,
			curvatureSdAt: (p) => Math.min(uncertainty.curvatureSd, fit.curvatureSdAt(p)),
		},
	)
	const said = [openEnds(capture, fit, path), loose(fit, path, sides), apart(fit, path, sides)]
	return { value: even ? { ...chart, symmetric: true } : chart, problems: [...made.problems, ...said.flat()] }
}

function openEnds({ front, length }: TapedCapture, { reach }: TapedFit, path: string): readonly Problem[] {
	if (length === undefined) return []
	const short = reach.sMin - front > OPEN_END_MM ? front : front + length - reach.sMax > OPEN_END_MM ? front + length : undefined
	if (short === undefined) return []
	return [
		{
			...{ code: 'TAPED_ENDS_OPEN', severity: 'warning', path: `${path}/laid` },
			found: `lengths from station ${round(reach.sMin)} to ${round(reach.sMax)} on a panel that reaches to station ${round(short)}`,
			expected: 'lengths over all of the panel that is to be painted',
			fix: `lay lengths towards station ${round(short)}, as far as lines off the baseline stay on the panel; nothing is set out beyond`,
		},
	]
}

function loose(fit: TapedFit, path: string, sides: Sides): readonly Problem[] {
	const drift = (sd: number) => (sd * GUIDE_MM ** 2) / 8
	const { curvatureSd } = fit.uncertainty
	if (drift(curvatureSd) <= DRIFT_MM) return []
	const next = fit.next()
	const where = next && `from station ${round(next.from)} to ${round(next.to)} at girth ${round(Math.abs(next.girth))} mm`
	const side = next && !fit.estimate.series.even ? ` ${sideOf(next.girth, sides)}` : ''
	return [
		{
			...{ code: 'TAPED_SHAPE_LOOSE', severity: 'warning', path: `${path}/laid` },
			found: `a shape known so loosely that a guide of ${GUIDE_MM} mm may drift ${round(drift(curvatureSd))} mm sideways; guides are made shorter`,
			expected: `at most ${DRIFT_MM} mm`,
			fix: where
				? `lay more lengths: one ${where}${side} would tell most (${round(drift(next.curvatureSd))} mm then)`
				: 'lay more lengths, and read each of them more closely',
		},
	]
}

function apart(fit: TapedFit, path: string, { centred }: Sides): readonly Problem[] {
	if (!centred || fit.estimate.series.even) return []
	return [
		{
			...{ code: 'TAPED_SIDES_DIFFER', severity: 'note', path: `${path}/laid` },
			found: 'left and right lengths that differ by more than the tape can tell',
			expected: 'the same on both sides, on a panel that is true',
			fix: 'nothing, if the panel is so: each side is taken as it was measured',
		},
	]
}
