import type { Chart } from '../chart/chart.ts'
import { crossStation } from '../chart/cross.ts'
import type { Outcome, Problem } from '../job/problem.ts'
import type { Panel, ProofTick } from '../job/schema.ts'
import type { Side } from '../scheme/side.ts'
import { lineNamed, type NamedLine } from './namedLine.ts'

/** A line that a strip has a tick for. */
export interface ProvedLine extends NamedLine {
	/** marks of that edge with their stations on the panel as it is now */
	readonly marks: readonly { readonly key: string; readonly station: number }[]
}

/** One tick held against the old paint. */
export interface Miss {
	readonly station: number
	/** square off the line: positive where the old paint lies outboard of it (away from the baseline), mm */
	readonly acrossMm: number
	/** place in the panel's list */
	readonly index: number
}

export type Verdict =
	/** its numbers may be trusted */
	| 'safe'
	/** too few ticks to tell */
	| 'more'
	/** one of its marks is where the paint is not */
	| 'mark'
	/** all of it lies to one side */
	| 'shifted'
	/** it misses, and no one reading accounts for it */
	| 'line'

export interface ProvenLine {
	readonly short: string
	readonly name: string
	readonly side: Side
	readonly misses: readonly Miss[]
	readonly worstMm: number
	readonly verdict: Verdict
	/** of `mark`: which, and by how much the paint lies outboard of it (negative: inboard), mm */
	readonly mark?: { readonly key: string; readonly offMm: number }
	/** of `shifted`: by how much, outboard positive, mm */
	readonly shiftMm?: number
}

export interface ProofInput {
	readonly chart: Chart
	readonly panel: Panel
	/** JSON pointer to the panel */
	readonly path: string
	readonly ticks: readonly ProofTick[]
	readonly lines: readonly ProvedLine[]
	/** how far a line may miss, mm */
	readonly limitMm: number
}

/** With fewer ticks on one side a line may still be wrong between them. */
const LEAST_TICKS = 3
/** One cause accounts for misses when it leaves no more than this share of their squares. */
const LEFT_OVER = 0.3

/**
 * What the ticks of printed strips say of each line when they are held against the old paint: safe to strip, or which reading
 * to take again. Misses are read along the strip, and count square off the line.
 */
export function judgeProof(input: ProofInput): Outcome<readonly ProvenLine[]> {
	const problems: Problem[] = []
	const byLine = new Map<ProvedLine, Miss[]>()
	input.ticks.forEach((tick, index) => {
		const path = `${input.path}/proof/${index}`
		const line = lineNamed(input.lines, tick, { code: 'PROOF', what: 'a tick', panel: input.panel.id, path }, problems)
		const miss = line && missOf(input, line, tick, index, path, problems)
		if (line && miss) byLine.set(line, [...(byLine.get(line) ?? []), miss])
	})
	const value = [...byLine].map(([line, misses]) => judged(line, misses, input.limitMm))
	return { value, problems: [...problems, ...value.flatMap((line) => problemOf(input, line))] }
}

function missOf(
	{ chart, panel }: ProofInput,
	line: ProvedLine,
	tick: ProofTick,
	index: number,
	path: string,
	problems: Problem[],
): Miss | undefined {
	const place = { panel: panel.id, ...(tick.side ? { side: tick.side } : {}) }
	if (tick.misses > 0 && !tick.towards) {
		problems.push({
			code: 'PROOF_WAY_NOT_SAID',
			severity: 'error',
			path,
			place,
			found: 'a miss with no way to it',
			expected: 'inboard (towards the baseline) or outboard',
			fix: 'Write which way from the tick the old paint lies.',
		})
		return undefined
	}
	const met = crossStation(chart, line.curve, tick.station)
	if (met.length !== 1) {
		problems.push({
			code: 'PROOF_NOT_THERE',
			severity: 'error',
			path: `${path}/station`,
			place,
			found: `a tick of "${line.short}" at a station where it ${met.length === 0 ? 'is not' : 'crosses more than once'}`,
			expected: 'the station of a strip that has a tick for it',
			fix: 'Correct the station: it is printed on the head of the strip.',
		})
		return undefined
	}
	const { angle } = met[0] as (typeof met)[number]
	const way = tick.towards === 'inboard' ? -1 : 1
	return { station: tick.station, acrossMm: way * tick.misses * Math.abs(Math.cos(angle)), index }
}

function judged(line: ProvedLine, unordered: readonly Miss[], limitMm: number): ProvenLine {
	const misses = [...unordered].sort((a, b) => a.station - b.station)
	const worstMm = misses.reduce((worst, { acrossMm }) => Math.max(worst, Math.abs(acrossMm)), 0)
	const { short, name, side } = line
	const base = { short, name, side, misses, worstMm }
	if (worstMm <= limitMm) return { ...base, verdict: misses.length < LEAST_TICKS ? 'more' : 'safe' }
	const whole = misses.reduce((sum, { acrossMm }) => sum + acrossMm ** 2, 0)
	const shiftMm = misses.reduce((sum, { acrossMm }) => sum + acrossMm, 0) / misses.length
	const leftByShift = misses.reduce((sum, { acrossMm }) => sum + (acrossMm - shiftMm) ** 2, 0)
	if (misses.length >= LEAST_TICKS && leftByShift <= LEFT_OVER * whole) return { ...base, verdict: 'shifted', shiftMm }
	const mark = likelyMark(line, misses)
	if (mark && mark.left <= LEFT_OVER * whole) return { ...base, verdict: 'mark', mark: { key: mark.key, offMm: mark.offMm } }
	return { ...base, verdict: 'line' }
}

/** The mark whose own error, dying away to the marks beside it, leaves least of the misses. */
function likelyMark({ marks }: ProvedLine, misses: readonly Miss[]) {
	const inOrder = [...marks].sort((a, b) => a.station - b.station)
	const tried = inOrder.flatMap(({ key, station }, i) => {
		const before = inOrder[i - 1]?.station
		const after = inOrder[i + 1]?.station
		const share = (s: number) => {
			const end = s < station ? before : after
			// Past the last mark the line goes on as it came.
			if (end === undefined) return 1
			return Math.max(0, 1 - Math.abs((s - station) / (end - station)))
		}
		const shares = misses.map((miss) => share(miss.station))
		const weight = shares.reduce((sum, x) => sum + x * x, 0)
		if (weight === 0) return []
		const offMm = misses.reduce((sum, { acrossMm }, k) => sum + acrossMm * (shares[k] as number), 0) / weight
		const left = misses.reduce((sum, { acrossMm }, k) => sum + (acrossMm - offMm * (shares[k] as number)) ** 2, 0)
		return [{ key, offMm, left }]
	})
	return tried.length === 0 ? undefined : tried.reduce((best, one) => (one.left < best.left ? one : best))
}

const way = (mm: number) => (mm < 0 ? 'inboard' : 'outboard')
const size = (mm: number) => `${Math.abs(mm).toFixed(1)} mm`

function problemOf({ panel, path, limitMm }: ProofInput, line: ProvenLine): Problem[] {
	if (line.verdict === 'safe' || line.verdict === 'more') return []
	const worst = line.misses.reduce((a, b) => (Math.abs(b.acrossMm) > Math.abs(a.acrossMm) ? b : a))
	const fixes: Record<'mark' | 'shifted' | 'line', string> = {
		mark: `Take station and girth of ${line.mark?.key} again before stripping: the paint lies about ${size(line.mark?.offMm ?? 0)} ${way(line.mark?.offMm ?? 0)} of it.`,
		shifted: `All of it lies ${size(line.shiftMm ?? 0)} ${way(line.shiftMm ?? 0)}: check that the strips lie on the taped baseline, then its datums.`,
		line: 'No one reading accounts for it: lay the strips once more, then measure the line again.',
	}
	return [
		{
			code: 'PROOF_MISSES',
			severity: 'warning',
			path: `${path}/proof/${worst.index}`,
			place: { panel: panel.id, ...(line.side === 'both' ? {} : { side: line.side }), s: worst.station },
			found: `${line.name}, which misses the old paint by up to ${size(line.worstMm)} (${way(worst.acrossMm)} at station ${Math.round(worst.station)} mm)`,
			expected: `at most ${size(limitMm)}`,
			fix: fixes[line.verdict],
		},
	]
}
