import type { Problem } from '../../job/problem.ts'
import { type Estimate, type EstimateOptions, estimate } from './estimate.ts'
import type { Sides, Taped, TapeReading } from './reading.ts'
import { findSlip } from './slips.ts'

/** The panel by the readings that agree, and what is said of the others. */
export interface Settled {
	readonly estimate: Estimate
	readonly aside: readonly TapeReading[]
	/** struck lines that are out of square by more than they may be */
	readonly leaning: readonly string[]
	readonly problems: readonly Problem[]
}

export type Settling = { readonly value: Settled } | { readonly tape: Taped | undefined; readonly problems: readonly Problem[] }

/** A panel with more contradictions than this was measured to something else; naming more helps no one. */
const MAX_NAMED = 8
/** A line that leans may lean by anything, radians. */
export const LEANING_SD = 0.5

/** Sets aside what cannot be right, worst first, one at a time (Baarda's data snooping), until what is left agrees. */
export function settle(readings: readonly TapeReading[], sides: Sides, options: EstimateOptions): Settling {
	const problems: Problem[] = []
	const aside: TapeReading[] = []
	const leaning: string[] = []
	const now = (once: boolean) =>
		estimate(
			readings.filter((r) => !aside.includes(r)),
			{ ...options, once, tiltSd: (line) => (leaning.includes(line) ? LEANING_SD : options.tiltSd(line)) },
		)
	for (;;) {
		const whole = now(false)
		// Tapes that are far out settle on no panel: they are found on the panel of the laid lengths.
		const made = whole.ok ? whole : now(true)
		if (!made.ok) return { tape: made.tape, problems }
		const found = problems.length < MAX_NAMED ? findSlip(made.value, sides) : undefined
		if (found) problems.push(found.problem)
		const { slip } = found ?? {}
		if (slip?.kind === 'reading' && !tooFew(readings.filter((r) => r !== slip.reading && !aside.includes(r)))) {
			aside.push(slip.reading)
		} else if (slip?.kind === 'line' && !leaning.includes(slip.line)) {
			leaning.push(slip.line)
		} else {
			return whole.ok ? { value: { estimate: whole.value, aside, leaning, problems } } : { tape: whole.tape, problems }
		}
	}
}

/** With fewer lengths, or all at one girth, nothing checks anything. */
export const LEAST_LENGTHS = 4
export const LEAST_GIRTHS = 2

export function tooFew(readings: readonly TapeReading[]): boolean {
	const girths = readings.flatMap((r) => (r.kind === 'laid' ? [Math.abs(r.girth)] : []))
	return girths.length < LEAST_LENGTHS || new Set(girths).size < LEAST_GIRTHS
}
