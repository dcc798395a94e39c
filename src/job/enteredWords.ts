/** What became of the rows of a table, in words. */
import type { List } from './csvRow.ts'
import type { EnteredPanel } from './enter.ts'
import { listedShort, plural } from './say.ts'

/** So many changes are read line by line; the rest are counted. */
const MOST_LINES = 30

const NOUNS: Readonly<Record<List, string>> = { readings: 'reading', proof: 'tick', checks: 'taped place' }

export interface EnteredWords {
	/** "3 readings new, 1 changed, 12 as they were" */
	readonly counts: string
	readonly more: readonly string[]
}

export function enteredWords({ lists, added, changed, same, blank }: EnteredPanel): EnteredWords {
	const [list = 'readings', other] = lists
	const counts = [
		`${plural(added.length, other ? 'row' : NOUNS[list])} new`,
		...(changed.length > 0 ? [`${changed.length} changed`] : []),
		...(same > 0 ? [`${same} as they were`] : []),
	].join(', ')
	const shown = changed.slice(0, MOST_LINES).map((each) => `changed ${each}`)
	const rest = changed.length > MOST_LINES ? [`and ${changed.length - MOST_LINES} more`] : []
	const still = blank.length > 0 ? [`still blank: ${listedShort(blank, 'and', 8)}`] : []
	return { counts, more: [...shown, ...rest, ...still] }
}
