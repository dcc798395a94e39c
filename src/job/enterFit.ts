/** Whether a row of a table fits the panel that it is for: what can be said of one row, in words for its line. */

import type { List } from './csvRow.ts'
import { namesOf, sayEntry, sayReading } from './enterMatch.ts'
import { readRef } from './marks.ts'
import type { PlainObject } from './migrate.ts'
import { nearest } from './nearest.ts'
import type { Problem } from './problem.ts'
import { listedShort, quoteValue } from './say.ts'

export interface FitPanel {
	readonly id: string
	/** as it stands in the file, which may be nothing that is known */
	readonly hand: unknown
	readonly datums: ReadonlySet<string>
	/** what strips call its lines, by the same in small letters */
	readonly printed: ReadonlyMap<string, string>
}

/** Why the entry cannot be one of this panel; undefined where it can. */
export const unfit = (list: List, entry: PlainObject, panel: FitPanel, line: number) =>
	list === 'readings' ? unfitReading(entry, panel, line) : unfitTick(list, entry, panel, line)

const refusal = (panel: string, line: number) => (found: string, expected: string, fix: string) => ({
	...({ code: 'ROW_DOES_NOT_FIT', severity: 'error', path: '' } as const),
	...{ line, place: { panel }, found, expected, fix: `${fix} This row was left out.` },
})

function unfitTick(list: List, entry: PlainObject, { id, hand, printed }: FitPanel, line: number): Problem | undefined {
	const refuse = refusal(id, line)
	const named = String(entry.line)
	if (!printed.has(named.toLowerCase())) {
		const near = nearest(named, [...printed.values()])
		const expected = printed.size > 0 ? listedShort([...printed.values()]) : 'a line of this panel, which has none'
		return refuse(`the line ${quoteValue(named)}`, expected, near ? `Write ${near}.` : 'Write the name that is printed.')
	}
	const { side } = entry
	if ((hand === 'left' || hand === 'right') && side !== undefined && side !== hand) {
		return refuse(`${sayEntry(list, entry)}, of a panel on the ${hand}`, `${hand}, or no side`, 'Take the side away.')
	}
	return undefined
}

function unfitReading(reading: PlainObject, { id, hand, datums }: FitPanel, line: number): Problem | undefined {
	const refuse = refusal(id, line)
	const what = sayReading(reading)
	const { side, panel } = reading
	const centre = hand === 'centre'
	const ofCentre = side === 'left' || side === 'right'
	if (side !== undefined && typeof hand === 'string' && ofCentre !== centre) {
		if (centre) return refuse(`the side "${side}" for ${what}`, 'left or right of the centreline', 'Write left or right.')
		const fix = hand === 'pair' ? `Write ${side} in the column panel, and above or below as its side.` : 'Write above or below.'
		return refuse(`the side "${side}" for ${what}`, 'above or below the baseline', fix)
	}
	if (panel !== undefined && hand !== 'pair') {
		const fix = centre ? 'Write the side in its own column.' : 'Leave it out.'
		return refuse(`${panel} in the column panel, for ${what}`, 'left or right there only for a pair of panels', fix)
	}
	const names = namesOf(reading)
	if (hand === 'pair' && panel === undefined && reading.kind !== 'between' && !names.some((name) => readRef(name).side)) {
		return refuse(
			`${what}, which does not say which of the two panels`,
			'left or right',
			`Write ${id} left or ${id} right in the column panel.`,
		)
	}
	if (new Set(names).size < names.length) return refuse(what, 'different marks', 'Correct one of the names.')
	if ((hand === 'left' || hand === 'right') && names.some((name) => readRef(name).side)) {
		return refuse(what, 'the names of marks alone, on a panel of one side', 'Leave out left/ or right/.')
	}
	if (reading.kind === 'square' && typeof reading.mark === 'string' && datums.has(reading.mark)) {
		const fix = 'Put it into the datum in the job file, or give the mark another name.'
		return refuse(`a reading of the mark ${quoteValue(reading.mark)}, which is a datum`, 'marks with names of their own', fix)
	}
	return undefined
}
