/** Seams between panels: how well the two agree on it, and whether lines go on over it without a step or a kink. */
import type { Chart } from '../chart/chart.ts'
import { distance } from '../chart/distance.ts'
import type { ChartPoint } from '../chart/point.ts'
import { placeOn } from '../job/place.ts'
import type { Outcome, Problem } from '../job/problem.ts'
import type { Job, Panel, Seam as SeamInput } from '../job/schema.ts'
import type { Side } from '../scheme/side.ts'
import type { PanelResult } from './panelResult.ts'
import { letter, tickCounts } from './seamEnds.ts'
import { REACH_MM, type SeamHalf, type SeamHit } from './seamLines.ts'
import { meetSeam } from './seamMeet.ts'
import type { TiedMeeting } from './tie.ts'

/** One length between two datums that both panels have, by tape on each. */
export interface SeamLength {
	readonly from: readonly [string, string]
	readonly to: readonly [string, string]
	/** on this panel, and on the other */
	readonly mm: readonly [number, number]
	/** how far the two may differ by what datums and shapes are known to */
	readonly limitMm: number
}

/** One line that goes on over a seam: this panel first, then the other. */
export interface SeamMeeting {
	readonly own: string
	readonly theirs: string
	readonly sides: readonly [Side, Side]
	readonly at: readonly [ChartPoint, ChartPoint]
	/** along the seam from its first datum, as each panel has it */
	readonly alongMm: readonly [number, number]
	/** from the seam's direction to the line, anticlockwise as one looks at the panel, 0 to 180 */
	readonly angleDeg: readonly [number, number]
	/** how far each line was led on to the seam */
	readonly ledMm: readonly [number, number]
	/** between the two along the seam, its two lengths made one: both panels have the outer datums at the same places */
	readonly stepMm: number
	readonly kinkDeg: number
	/** what it was before the two were tied, and what each gave */
	readonly tied?: TiedMeeting
}

export interface Seam {
	/** the letter that names of ticks on its templates begin with */
	readonly label: string
	/** the panel that declares it, and the other */
	readonly panel: string
	readonly with: string
	readonly what?: string
	/** as the job has it, and where */
	readonly input: SeamInput
	readonly path: string
	readonly lengths: readonly SeamLength[]
	/** the largest difference of these */
	readonly gapMm: number
	/** width of the shut line, and which panel stands higher */
	readonly shutLineMm?: number
	readonly proud?: { readonly panel: string; readonly byMm: number }
	readonly meetings: readonly SeamMeeting[]
}

/** How well a datum is found again, one standard deviation, mm (common practice, no source). */
const DATUM_SD_MM = 0.5
/** A difference beyond so many standard deviations is no chance (95 %). */
const BY_CHANCE = 2
/** What the eye sees where a line goes on: a step as the tolerance of symmetry, and a turn (common practice, no source). */
const STEP_MM = 1
const KINK_DEG = 1

/**
 * Every seam of the job of which both panels have their lines, each with the lengths between its datums on the two panels and the
 * places where lines meet it. A seam of which a panel has failed is left out: that panel's problems say why.
 */
export function seamsOf(
	job: Job,
	panels: readonly PanelResult[],
	ties: readonly TiedMeeting[] = [],
): {
	readonly value: readonly Seam[]
	readonly problems: readonly Problem[]
} {
	const problems: Problem[] = []
	let count = 0
	const value = panels.flatMap((own, index) =>
		(own.panel.seams ?? []).flatMap((input, k) => {
			const label = letter(count++)
			const theirs = panels.find(({ id }) => id === input.with)
			if (!own.lines || !theirs?.lines) return []
			const path = `/panels/${index}/seams/${k}`
			problems.push(...ticksDiffer(own, theirs, input, label, path))
			const outcome = seamOf(job, own, theirs, input, label, path, ties)
			problems.push(...outcome.problems)
			return outcome.value ?? []
		}),
	)
	return { value, problems }
}

function seamOf(
	job: Job,
	own: PanelResult,
	theirs: PanelResult,
	input: SeamInput,
	label: string,
	path: string,
	ties: readonly TiedMeeting[],
): Outcome<Seam> {
	const met = meetSeam(own, theirs, input, { job, path })
	if ('notOn' in met) return { problems: [notFound(own, input, path, met.notOn)] }
	const problems: Problem[] = []
	const lengths = lengthsOf(input, ...met.halves)
	problems.push(...gapProblem(own, input, path, lengths))
	const meetings = input.lines.flatMap(([mine, other], i) => {
		const here = `${path}/lines/${i}`
		const { hits, pairs } = met.lines[i] as (typeof met.lines)[number]
		if (hits[0].length === 0) problems.push(tooShort(own, own.panel, mine, theirs.id, `${here}/0`))
		if (hits[1].length === 0) problems.push(tooShort(own, theirs.panel, other, own.id, `${here}/1`))
		return pairs.map(([p, q]) => {
			const meeting = meetingOf(mine, other, p, q, q.alongMm * met.stretch - met.overGap(p.angle) - p.alongMm)
			problems.push(...meetingProblems(own, theirs, meeting, here, input.gap ?? 0))
			const tied = tiedOf(ties, here, meeting)
			return tied ? { ...meeting, tied } : meeting
		})
	})
	const gapMm = Math.max(...lengths.map(gapOf))
	const { what, gap, proud } = input
	return {
		value: {
			...{ label, panel: own.id, with: theirs.id, ...(what ? { what } : {}), input, path, lengths, gapMm, meetings },
			...(gap === undefined ? {} : { shutLineMm: gap }),
			...(proud ? { proud: { panel: proud.panel, byMm: proud.by } } : {}),
		},
		problems,
	}
}

/** Of the places of one line that were tied, on the same sides, the nearest. */
function tiedOf(ties: readonly TiedMeeting[], path: string, { sides, alongMm }: SeamMeeting): TiedMeeting | undefined {
	const far = (tie: TiedMeeting) => Math.abs(tie.alongMm[0] - alongMm[0])
	return ties
		.filter((tie) => tie.path === path && tie.sides[0] === sides[0] && tie.sides[1] === sides[1])
		.reduce<TiedMeeting | undefined>((best, tie) => (best && far(best) <= far(tie) ? best : tie), undefined)
}

const gapOf = ({ mm }: SeamLength) => Math.abs(mm[0] - mm[1])

/** Each length between two datums on both panels; none where no tape can run between them on one of the two. */
function lengthsOf({ datums }: SeamInput, a: SeamHalf, b: SeamHalf): SeamLength[] {
	const variance = (chart: Chart) => 2 * (DATUM_SD_MM ** 2 + chart.errorMm ** 2)
	const limitMm = BY_CHANCE * Math.sqrt(variance(a.chart) + variance(b.chart))
	return datums.flatMap((from, i) =>
		datums.slice(i + 1).flatMap((to, k): SeamLength[] => {
			const taped = ({ chart, datums: at }: SeamHalf) => distance(chart, at[i] as ChartPoint, at[i + 1 + k] as ChartPoint)?.length
			const [mine, other] = [taped(a), taped(b)]
			return mine === undefined || other === undefined ? [] : [{ from, to, mm: [mine, other], limitMm }]
		}),
	)
}

const DEG = 180 / Math.PI

function meetingOf(own: string, theirs: string, p: SeamHit, q: SeamHit, offMm: number): SeamMeeting {
	const turn = Math.abs(p.angle - q.angle) * DEG
	return {
		own,
		theirs,
		sides: [p.side, q.side],
		at: [p.at, q.at],
		alongMm: [p.alongMm, q.alongMm],
		angleDeg: [p.angle * DEG, q.angle * DEG],
		ledMm: [p.ledMm, q.ledMm],
		stepMm: Math.abs(offMm),
		kinkDeg: Math.min(turn, 180 - turn),
	}
}

function notFound(own: PanelResult, input: SeamInput, path: string, on: string): Problem {
	return {
		code: 'SEAM_NOT_FOUND',
		severity: 'warning',
		path: `${path}/datums`,
		place: { panel: own.id },
		found: `a seam with ${input.with} whose datums no tape can be pulled between on ${on}`,
		expected: 'a first and a last datum apart from each other, on that panel, with the panel between them',
		fix: 'name other datums on the seam, or correct their places',
	}
}

/** Names of ticks go by the order along the seam: with more of them on one panel they do not match. */
function ticksDiffer(own: PanelResult, theirs: PanelResult, { lines }: SeamInput, label: string, path: string): Problem[] {
	const [mine, other] = [own, theirs].map(({ seamEnds }) => tickCounts(seamEnds, label, lines.length))
	if (!mine || !other) return []
	return lines.flatMap(([edge], i): Problem[] => {
		const [a, b] = [mine[i] ?? 0, other[i] ?? 0]
		if (a === b) return []
		return [
			{
				code: 'SEAM_TICKS_DIFFER',
				severity: 'warning',
				path: `${path}/lines/${i}`,
				place: { panel: own.id },
				found: `${titleOf(own.panel, edge)} comes to seam ${label} with its stripes in ${a} places on ${own.id}, but in ${b} on ${theirs.id}: names of ticks do not match`,
				expected: 'the same stripes laid off this line on both panels, all of them as far as the seam',
				fix: 'lay the same bands on both, or match the ticks by their lines and not by their names',
			},
		]
	})
}

/** The length that the two panels agree on least, where that is more than chance. */
function gapProblem(own: PanelResult, input: SeamInput, path: string, lengths: readonly SeamLength[]): Problem[] {
	const off = lengths.filter((length) => gapOf(length) > length.limitMm).sort((x, y) => gapOf(y) - gapOf(x))
	const [worst] = off
	if (!worst) return []
	const { from, to, mm, limitMm } = worst
	const say = (half: 0 | 1, panel: string) => `${from[half]} to ${to[half]} is ${(mm[half] as number).toFixed(1)} mm on ${panel}`
	const others = off.length > 1 ? `; ${off.length - 1} more such` : ''
	return [
		{
			code: 'SEAM_GAP',
			severity: 'warning',
			path: `${path}/datums`,
			place: { panel: own.id },
			found: `${say(0, own.id)}, but ${say(1, input.with)}: ${gapOf(worst).toFixed(1)} mm apart${others}`,
			expected: `at most ${limitMm.toFixed(1)} mm by chance`,
			fix: `measure these datums again on both panels`,
		},
	]
}

function tooShort(own: PanelResult, of: Panel, edge: string, other: string, path: string): Problem {
	return {
		code: 'SEAM_LINE_SHORT',
		severity: 'note',
		path,
		place: { panel: own.id },
		found: `${titleOf(of, edge)} on ${of.id}, which does not come to the seam with ${other}`,
		expected: `a line that crosses the seam, or ends within ${REACH_MM} mm of it`,
		fix: 'measure a mark of this line near the seam, or let it run off the panel there',
	}
}

const titleOf = (panel: Panel, edge: string) => panel.edges.find(({ id }) => id === edge)?.what ?? edge

function meetingProblems(own: PanelResult, theirs: PanelResult, meeting: SeamMeeting, path: string, gapMm: number): Problem[] {
	const { stepMm, kinkDeg, at, sides, alongMm } = meeting
	const name = titleOf(own.panel, meeting.own)
	const here = { severity: 'warning', path, place: placeOn(own.panel, at[0], sides[0]) } as const
	const problems: Problem[] = []
	if (stepMm > STEP_MM) {
		problems.push({
			...{ code: 'SEAM_STEP', ...here },
			found: `${name} comes to the seam ${alongMm[0].toFixed(1)} mm along it on ${own.id} and ${alongMm[1].toFixed(1)} mm on ${theirs.id}: a step of ${stepMm.toFixed(1)} mm${gapMm > 0 ? `, straight over ${gapMm.toFixed(1)} mm of shut line` : ''}`,
			expected: `at most ${STEP_MM} mm`,
			fix: 'read the marks of the line nearest the seam again, on both panels',
		})
	}
	if (kinkDeg > KINK_DEG) {
		problems.push({
			...{ code: 'SEAM_KINK', ...here },
			found: `${name} turns by ${kinkDeg.toFixed(1)} degrees where it goes on from ${own.id} to ${theirs.id}`,
			expected: `at most ${KINK_DEG} degree`,
			fix: 'measure a mark on the seam itself and one close to it, on both panels, or leave the line out of the seam if it turns there',
		})
	}
	return problems
}
