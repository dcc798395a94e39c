import type { Chart } from '../chart/chart.ts'
import { evaluateCubic, frame, frameOf } from '../chart/curve.ts'
import { shoot } from '../chart/geodesic.ts'
import { beyond } from '../chart/limits.ts'
import { nearestOn } from '../chart/nearest.ts'
import type { ChartCubic, ChartPoint, Curve } from '../chart/point.ts'
import { fromSeam, turnsOf } from '../chart/round.ts'
import { placeOn } from '../job/place.ts'
import type { Outcome, Problem } from '../job/problem.ts'
import type { Panel } from '../job/schema.ts'
import { ledOn } from './lead.ts'
import { type Known, pulledBetween, type Run, sdAcross, smoothRing, smoothRun, type Through } from './run.ts'

/** What one line is made from: its marks in order, on the chart. */
export interface EdgeInput {
	readonly id: string
	readonly panel: Panel
	readonly side?: string
	/** JSON pointer to the edge */
	readonly path: string
	readonly marks: readonly Through[]
	readonly closed: boolean
	readonly runsOff: { readonly front: boolean; readonly rear: boolean }
	/** whether a place is still on the panel: where a line that runs off may stop */
	readonly onPanel: (p: ChartPoint) => boolean
	readonly toleranceMm: number
}

export interface FittedEdge {
	readonly curve: Curve
	/** how far the line passes from each of its marks (positive to its plus side), mm */
	readonly passes: readonly {
		readonly key: string
		/** where the mark is */
		readonly at: ChartPoint
		readonly offMm: number
		readonly tolerance: number
		/** how well the mark is known across the line (1 sd), mm */
		readonly sdMm: number
	}[]
	/** of each mark that the others judge: how far off the line it would have to stand to be named, mm */
	readonly named: readonly { readonly key: string; readonly fromMm: number }[]
	/** how well it is known across itself, from its first mark to its last */
	readonly known: readonly Known[]
	/** how far the line was led on past its first and its last mark, mm */
	readonly led: { readonly front: number; readonly rear: number }
}

/** How far past the panel a line that runs off is led on: clear of the widest stripe's raked end. */
const PAST_MM = 25
/** A mark this far past the last reading of the gauge is still on the panel: rounding of two readings, mm. */
const CAPTURED_MM = 2
/** A line between marks nearer than this has no direction: they are one mark, read twice. */
const LEAST_MM = 1
/** Where a mark's tolerance is not given: what the eye sees at once, or twice what the mark is known to (95 %). */
const LEAST_TOLERANCE_MM = 0.5
/** Steps in which it is led on, and how many: three metres. */
const STEP_MM = 5
const MAX_STEPS = 600

/** One line of the scheme: smooth and pulled runs between corners, led on where it runs off the panel. */
export function fitEdge(chart: Chart, input: EdgeInput): Outcome<FittedEdge> {
	const problems: Problem[] = []
	const place = (p: ChartPoint | undefined) => (p ? placeOn(input.panel, p, input.side) : { panel: input.panel.id })
	const { marks, turn } = roundOf(chart, input)
	const runs =
		marks.some((m) => apart(chart, marks[0] as Through, m) > LEAST_MM) || turn !== 0
			? fitRuns(chart, { ...input, marks }, turn)
			: undefined
	if (!runs) {
		return {
			problems: [
				{
					code: 'EDGE_NOT_FOUND',
					severity: 'error',
					path: input.path,
					place: place(undefined),
					found: `no line could be led through the marks of ${input.id}`,
					expected: 'marks in order along the line, apart from each other, within the reach of the baseline',
					fix: 'look at the order of the marks and at their stations',
				},
			],
		}
	}
	const whole: Curve = {
		id: input.id,
		cubics: runs.flatMap((r) => r.cubics),
		closed: input.closed && turn === 0,
		maxErrorMm: Math.max(...runs.map((r) => r.maxErrorMm)),
	}
	const fitted = fromSeam(chart, whole)
	const pathOf = (i: number) => input.marks[i]?.path ?? `${input.path}/through/${input.marks[i]?.listed ?? i}`
	const odd = runs.flatMap((r) => r.odd)
	for (const { key, offMm, limitMm } of odd) {
		const i = input.marks.findIndex((m) => m.key === key)
		problems.push({
			code: 'EDGE_ODD_MARK',
			severity: 'warning',
			path: pathOf(i),
			place: place(input.marks[i]?.at),
			found: `mark ${key} stands ${mm(offMm)} off the line that the other marks make`,
			expected: `at most ${mm(limitMm)} by chance`,
			fix: `read ${key} again, or say that the line has a corner there`,
		})
	}
	const foot = nearestOn(chart, fitted)
	const passes = input.marks.flatMap((m, i) => {
		const [s = m.at.s] = turn === 0 ? [marks[i]?.at.s] : turnsOf(chart, fitted, m.at.s)
		const met = foot({ s, g: m.at.g })
		if (!met) return []
		const { offsetMm: offMm } = met
		const sdMm = sdAcross(chart, m, frame(chart, fitted, met.u).angle)
		const tolerance = m.tolerance ?? Math.max(LEAST_TOLERANCE_MM, 2 * sdMm)
		// Of a mark that does not belong to the line enough has been said.
		if (Math.abs(offMm) > tolerance && !odd.some((o) => o.key === m.key)) {
			problems.push({
				code: 'EDGE_LEAVES_MARK',
				severity: 'warning',
				path: pathOf(i),
				place: place(m.at),
				found: `the line passes ${mm(offMm)} from mark ${m.key}`,
				expected: `at most ${mm(tolerance)}`,
				fix: `read ${m.key} again, give it a larger tolerance, or say that the line has a corner there`,
			})
		}
		return [{ key: m.key, at: { s, g: m.at.g }, offMm, tolerance, sdMm }]
	})
	const over = [...fitted.cubics.flatMap((c) => [c[0], evaluateCubic(c, 0.5).at, c[3]]), ...input.marks.map((m) => m.at)]
		.map((p) => ({ p, by: beyond(chart, p) }))
		.reduce((worst, x) => (x.by > worst.by ? x : worst))
	if (over.by > CAPTURED_MM) {
		problems.push({
			code: 'CHART_LIMIT',
			severity: 'error',
			path: input.path,
			place: place(over.p),
			found: `the line ${input.id} goes ${mm(over.by)} beyond where this baseline can measure`,
			expected: `at most there: ${chart.limitReason}`,
			fix: 'measure this part from a second baseline, or capture more of the panel',
		})
	}
	const ledOn = input.closed ? { curve: fitted, led: { front: 0, rear: 0 } } : leadOff(chart, fitted, input)
	return { value: { ...ledOn, passes, named: runs.flatMap((r) => r.named), known: runs.flatMap((r) => r.known) }, problems }
}

/** By the metric half-way: whether two marks lie apart, not how far. */
const apart = (chart: Chart, { at: p }: Through, { at: q }: Through) =>
	Math.hypot((q.s - p.s) * chart.metric((p.s + q.s) / 2, (p.g + q.g) / 2).j, q.g - p.g)
const mm = (x: number) => `${Math.abs(x).toFixed(1)} mm`

interface Stretch {
	readonly by: 'smooth' | 'pulled'
	readonly marks: Through[]
}

const turnedOn = (m: Through, turn: number): Through => (turn === 0 ? m : { ...m, at: { s: m.at.s + turn, g: m.at.g } })

/** On a ring, the marks of a line one after the other the short way, a closed one rearward; and the turn that it makes: 0 where it does not go round. */
function roundOf(
	chart: Chart,
	{ marks, closed }: Pick<EdgeInput, 'marks' | 'closed'>,
): { marks: readonly Through[]; turn: number } {
	const period = chart.periodS
	if (period === undefined) return { marks, turn: 0 }
	const on = (from: number, to: number) => to - period * Math.round((to - from) / period)
	const out: Through[] = []
	for (const m of marks) {
		const before = out[out.length - 1]
		out.push(before ? { ...m, at: { s: on(before.at.s, m.at.s), g: m.at.g } } : m)
	}
	if (!closed) return { marks: out, turn: 0 }
	const [first, last] = [out[0] as Through, out[out.length - 1] as Through]
	const turn = on(last.at.s, first.at.s) - first.at.s
	if (turn >= 0) return { marks: out, turn }
	// The other way round.
	return roundOf(chart, { marks: [...marks].reverse(), closed })
}

/** Marks in stretches of one kind, each starting at the mark where the one before ends. */
function stretchesOf(marks: readonly Through[], closed: boolean, turn: number): Stretch[] {
	let list = marks
	// A closed line that is pulled all round turns at each of its marks.
	const polygon = closed && marks.every((m) => m.by === 'pulled' && !m.corner)
	if (closed) {
		// A closed line with corners or pulled runs starts at one of its breaks.
		const n = marks.length
		const breakAt = polygon ? 0 : marks.findIndex((m, i) => m.corner || m.by !== (marks[(i + 1) % n] as Through).by)
		if (breakAt < 0) return []
		const turned = [...marks.slice(breakAt), ...marks.slice(0, breakAt).map((m) => turnedOn(m, turn))]
		list = [...turned, turnedOn(turned[0] as Through, turn)]
	}
	const out: Stretch[] = []
	for (let i = 1; i < list.length; i++) {
		const from = list[i - 1] as Through
		const to = list[i] as Through
		const last = out[out.length - 1]
		if (last && last.by === to.by && !from.corner && !polygon) last.marks.push(to)
		else out.push({ by: to.by, marks: [from, to] })
	}
	return out
}

function fitRuns(chart: Chart, input: EdgeInput, turn: number): Run[] | undefined {
	const stretches = stretchesOf(input.marks, input.closed, turn)
	if (stretches.length === 0) {
		const ring = smoothRing(chart, input.marks, input.toleranceMm, turn)
		return ring ? [ring] : undefined
	}
	const pulled = stretches.map((st) => {
		if (st.by !== 'pulled') return undefined
		const first = st.marks[0] as Through
		const last = st.marks[st.marks.length - 1] as Through
		return pulledBetween(chart, first, last, input.toleranceMm)
	})
	const runs: Run[] = []
	const n = stretches.length
	for (const [i, st] of stretches.entries()) {
		if (st.by === 'pulled') {
			const run = pulled[i]
			if (!run) return undefined
			runs.push(run)
			continue
		}
		const before = input.closed ? (i + n - 1) % n : i - 1
		const after = input.closed ? (i + 1) % n : i + 1
		const first = st.marks[0] as Through
		const last = st.marks[st.marks.length - 1] as Through
		const run = smoothRun(
			chart,
			st.marks,
			{
				startAngle: first.corner ? undefined : pulled[before]?.endAngle,
				endAngle: last.corner ? undefined : pulled[after]?.startAngle,
				pinStart: before >= 0 && before < n && n > 1,
				pinEnd: after >= 0 && after < n && n > 1,
			},
			input.toleranceMm,
		)
		if (!run) return undefined
		runs.push(run)
	}
	return runs
}

function leadOff(chart: Chart, curve: Curve, input: EdgeInput): Pick<FittedEdge, 'curve' | 'led'> {
	const led = { front: 0, rear: 0 }
	const first = frameOf(chart, evaluateCubic(curve.cubics[0] as ChartCubic, 0))
	const last = frameOf(chart, evaluateCubic(curve.cubics[curve.cubics.length - 1] as ChartCubic, 1))
	if (input.runsOff.rear) led.rear = leadLength(last.at, last.angle)
	if (input.runsOff.front) led.front = leadLength(first.at, first.angle + Math.PI)
	const whole = (['rear', 'front'] as const).reduce(
		(line, end) => (led[end] > 0 ? ledOn(chart, line, end, led[end], input.toleranceMm) : line),
		curve,
	)
	return { curve: whole, led }

	function leadLength(from: ChartPoint, angle: number): number {
		let at = { at: from, angle }
		let steps = 0
		do {
			at = shoot(chart, at.at, at.angle, STEP_MM)
			steps++
		} while (steps < MAX_STEPS && input.onPanel(at.at))
		return steps * STEP_MM + PAST_MM
	}
}
