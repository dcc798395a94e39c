import type { Problem } from '../job/problem.ts'
import type { Panel, Reading } from '../job/schema.ts'

export interface Instrument {
	readonly id: string
	/** one standard deviation of a reading, mm */
	readonly sd: number
}

/**
 * Where the shop's list does not name them: reading, hooking and rounding to half a millimetre together.
 * Common practice, no source; the limits of error of the instruments themselves are smaller (tape class II to 1 m: 0.5 mm).
 */
const USUAL: Readonly<Record<string, number>> = {
	tape: 0.5,
	'steel-rule': 0.3,
	caliper: 0.1,
	'profile-gauge': 0.5,
	photograph: 1,
}

/** What each kind is read with, unless it says. */
const USUAL_INSTRUMENT: Readonly<Record<Reading['kind'], string>> = {
	square: 'tape',
	tape: 'tape',
	width: 'tape',
	gap: 'steel-rule',
	straight: 'caliper',
	toLine: 'steel-rule',
	crossing: 'tape',
	between: 'steel-rule',
}

/** One standard deviation of a kind of reading with its usual instrument, mm. */
export const usualSd = (kind: Reading['kind']): number => USUAL[USUAL_INSTRUMENT[kind]]!

/** A standardised residual beyond this happens once in a thousand good readings (Baarda 1968, Publications on Geodesy 2-5). */
export const FLAGGED = 3.29

/** A slip so many standard deviations large, over the root of how much of it shows, is found four times in five (Baarda 1968). */
export const DETECTED_SDS = FLAGGED + 0.84

/** How far a tape may be from square to the baseline (one standard deviation); common practice, no source. */
export const SQUARE_SD: Readonly<Record<'t-strip' | 'by-eye', number>> = {
	't-strip': (0.5 * Math.PI) / 180,
	'by-eye': Math.PI / 180,
}

/** No reading is better: a finer sd would hold a mark by one number alone, and drown the others in rounding, mm. */
const LEAST_SD = 1e-3

/** One standard deviation of the number read, mm: the reading's own, its instrument's, or the usual one of its kind. */
export function readingSd(
	reading: Reading,
	path: string,
	panel: Panel,
	instruments: readonly Instrument[],
	problems: Problem[],
): number {
	if (reading.sd !== undefined) {
		if (reading.sd > 0 && Number.isFinite(reading.sd)) return Math.max(LEAST_SD, reading.sd)
		problems.push({
			code: 'SD_WRONG',
			severity: 'error',
			path: `${path}/sd`,
			place: { panel: panel.id },
			found: `an sd of ${reading.sd}`,
			expected: 'a length above 0',
			fix: 'Correct it, or leave it out: then the usual one of its instrument counts. Until then that one does.',
		})
	}
	const name = reading.with ?? USUAL_INSTRUMENT[reading.kind]
	const known = instruments.find((instrument) => instrument.id === name)?.sd ?? USUAL[name]
	if (known !== undefined && known > 0 && Number.isFinite(known)) return Math.max(LEAST_SD, known)
	const names = [...new Set([...instruments.map((instrument) => instrument.id), ...Object.keys(USUAL)])]
	problems.push({
		code: 'INSTRUMENT_UNKNOWN',
		severity: 'warning',
		path: `${path}/with`,
		place: { panel: panel.id },
		found: `"${name}", which is in no list of instruments`,
		expected: `one of ${names.join(', ')}`,
		fix: 'Correct the name, or add it to the shop file with its sd.',
	})
	return USUAL[USUAL_INSTRUMENT[reading.kind]]!
}
