/** Phrases of the reports. */
import type { CheckedReading } from '../survey/survey.ts'

/** "girth of left/u3", "tape u3 to stud", "distance of u3 from front to rear" */
export function sayReadingShort({ kind, what, marks }: Pick<CheckedReading, 'kind' | 'what' | 'marks'>): string {
	if (kind === 'square' || kind === 'crossing') return `${what} of ${marks[0]}`
	if (kind === 'between') return `width from ${marks[0]} to the line ${marks.slice(1).join(' to ')}`
	if (kind === 'toLine') return `distance of ${marks[0]} from the line ${marks.slice(1).join(' to ')}`
	return `${kind} ${marks.join(' to ')}`
}
