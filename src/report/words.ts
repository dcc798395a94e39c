/** Phrases of the reports. */
import type { SincePrepared } from '../engine/carried.ts'
import type { CheckedReading } from '../survey/survey.ts'

/** "girth of left/u3", "tape u3 to stud", "distance of u3 from front to rear" */
export function sayReadingShort({ kind, what, marks }: Pick<CheckedReading, 'kind' | 'what' | 'marks'>): string {
	if (kind === 'square' || kind === 'crossing') return `${what} of ${marks[0]}`
	if (kind === 'between') return `width from ${marks[0]} to the line ${marks.slice(1).join(' to ')}`
	if (kind === 'toLine') return `distance of ${marks[0]} from the line ${marks.slice(1).join(' to ')}`
	return `${kind} ${marks.join(' to ')}`
}

const CARRIED: Readonly<Record<SincePrepared['by'], string>> = {
	nothing: 'as it was: no datum was measured again',
	shift: 'by its datums: all of it shifted alike',
	stations: 'by its datums: stations in proportion between them, girths as they were',
	both: 'by its datums: stations and girths in proportion between them',
}

/** How the scheme of a panel that was measured again goes over to it. */
export const sayCarried = ({ by, chosen }: Pick<SincePrepared, 'by' | 'chosen'>) =>
	`carried over ${CARRIED[by]}${chosen ? ', as its "carry" says' : ''}`
