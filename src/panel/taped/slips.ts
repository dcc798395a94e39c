import type { Problem } from '../../job/problem.ts'
import { listedShort } from '../../job/say.ts'
import { forward } from './cholesky.ts'
import { type Collocation, collocate, noiseOf } from './collocation.ts'
import type { Estimate } from './estimate.ts'
import { lineParts } from './observe.ts'
import { round, type Sides, sayReading, sideOf, type TapeReading } from './reading.ts'
import { likeliest, priorOf } from './roughness.ts'
import { dot } from './series.ts'

/** One reading, or one struck line, that cannot be right beside the others. */
export type Slip = { readonly kind: 'reading'; readonly reading: TapeReading } | { readonly kind: 'line'; readonly line: string }

export interface FoundSlip {
	/** undefined where several are as suspect: nothing tells which is wrong */
	readonly slip?: Slip
	readonly problem: Problem
}

/** A standardised residual beyond this happens once in a thousand good readings (Baarda 1968, Publications on Geodesy 2-5). */
const FLAGGED = 3.29
/** Residuals so near the largest could be its effect as well as its cause. */
const AS_SUSPECT = 0.9
/** Looked at more closely: a slip also roughens the panel that judges it, and so shows less than it is. */
const LOOKED_AT = 2.5
const MOST_LOOKED_AT = 4
/** A direction in which readings are so uncertain has no say, mm. */
const NO_SAY_MM = 1000

interface Suspect {
	readonly slip: Slip
	/** what a slip of 1 mm, or 1 radian, adds to each reading */
	readonly effect: Float64Array
	readonly w: number
	readonly size: number
}

/**
 * The reading that cannot be right beside the others, or the struck line that is out of square by more than it may be: the largest
 * shift along its own effect on the readings, over that shift's uncertainty, the panel's roughness chosen without it.
 */
export function findSlip(estimate: Estimate, sides: Sides): FoundSlip | undefined {
	const suspects = effects(estimate)
		.map(({ slip, effect }) => ({ slip, effect, ...shift(estimate.fit, effect) }))
		.filter(({ w }) => w > LOOKED_AT)
		.sort(worstFirst)
		.slice(0, MOST_LOOKED_AT)
		.map((s) => ({ ...s, ...(shiftWithout(estimate, s.effect) ?? s) }))
		.sort(worstFirst)
	const worst = suspects[0]
	if (!worst || worst.w <= FLAGGED) return undefined
	const group = suspects.filter(({ w }) => w >= AS_SUSPECT * worst.w)
	return group.length === 1
		? { slip: worst.slip, problem: one(worst, sides, estimate) }
		: { problem: several(group, sides, estimate) }
}

/** Ties are decided to six digits and then by the order of the readings, the same on every machine: sorting is stable. */
const worstFirst = (a: { w: number }, b: { w: number }) => Math.round(b.w * 1e6) - Math.round(a.w * 1e6)

function effects({ readings, fit }: Estimate): readonly { slip: Slip; effect: Float64Array }[] {
	const n = readings.length
	const single = readings.map((reading, i) => {
		const effect = new Float64Array(n)
		effect[i] = 1
		return { slip: { kind: 'reading' as const, reading }, effect }
	})
	const lines = new Map<string, { effect: Float64Array; ends: number }>()
	fit.observations.forEach(({ levers }, i) => {
		for (const { line, mm } of levers) {
			const known = lines.get(line) ?? { effect: new Float64Array(n), ends: 0 }
			known.effect[i] = known.effect[i]! + mm
			lines.set(line, { ...known, ends: known.ends + 1 })
		}
	})
	const shared = [...lines].flatMap(([line, { effect, ends }]) =>
		ends > 2 ? [{ slip: { kind: 'line' as const, line }, effect }] : [],
	)
	return [...single, ...shared]
}

function shift({ factor, weighed }: Collocation, effect: Float64Array): { w: number; size: number } {
	const half = forward(factor, effect)
	const weight = dot(half, half)
	const pull = dot(effect, weighed)
	return { w: Math.abs(pull) / Math.sqrt(weight), size: pull / weight }
}

function shiftWithout({ series, fit }: Estimate, effect: Float64Array) {
	const { observations, tiltSd } = fit
	const n = observations.length
	const noise = noiseOf(observations, tiltSd)
	const open = noise.slice()
	const most = effect.reduce((m, x) => Math.max(m, Math.abs(x)), 0)
	for (let i = 0; i < n; i++) {
		for (let k = 0; k < n; k++) open[i * n + k] = open[i * n + k]! + (NO_SAY_MM / most) ** 2 * effect[i]! * effect[k]!
	}
	const best = likeliest((r) => collocate(observations, priorOf(series, r), open, tiltSd)?.unlikely)
	const alone = best && collocate(observations, priorOf(series, best.roughness), noise, tiltSd)
	return alone && shift(alone, effect)
}

function pathOf(slip: Slip, { readings, fit }: Estimate): string {
	if (slip.kind === 'reading') return slip.reading.path
	const on = fit.observations.findIndex(({ levers }) => levers.some(({ line }) => line === slip.line))
	return (readings[on] as TapeReading).path
}

function one({ slip, size }: Suspect, sides: Sides, estimate: Estimate): Problem {
	const about = { code: 'TAPED_LENGTHS_CONTRADICT', severity: 'error' as const, path: pathOf(slip, estimate) }
	if (slip.kind === 'reading') {
		return {
			...about,
			found: `${sayReading(slip.reading, sides)}, ${round(slip.reading.length)} mm, which is about ${round(Math.abs(size))} mm ${size > 0 ? 'more' : 'less'} than the other readings allow`,
			expected: `about ${round(slip.reading.length - size)} mm`,
			fix: 'Measure it again, at that girth and between those lines. Until then the shape goes by the other readings.',
		}
	}
	const degrees = round((Math.abs(size) * 180) / Math.PI)
	return {
		...about,
		found: `${sayLine(slip.line, sides)}, which by the lengths on both sides of it leans about ${degrees} degrees to the ${size > 0 ? 'rear' : 'front'}`,
		expected: 'lines struck square off the baseline',
		fix: 'Strike it again and lay the lengths that end on it once more. Until then these lengths say little of the shape.',
	}
}

function several(group: readonly Suspect[], sides: Sides, estimate: Estimate): Problem {
	const words = group.map(({ slip }) => (slip.kind === 'reading' ? sayReading(slip.reading, sides) : sayLine(slip.line, sides)))
	return {
		...{ code: 'TAPED_LENGTHS_CONTRADICT', severity: 'error', path: pathOf((group[0] as Suspect).slip, estimate) },
		found: `readings that do not fit together: ${listedShort(words, 'and', 5)}`,
		expected: 'readings that agree within what the tape can tell',
		fix: 'One of these is wrong and nothing tells which: measure them again, or lay one more length beside them.',
	}
}

function sayLine(line: string, sides: Sides): string {
	const { side, station } = lineParts(line)
	return `the line struck at station ${round(station)}${side === 0 ? '' : ` ${sideOf(side, sides)}`}`
}
