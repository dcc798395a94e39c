/** Phrases that problems are made of. */

/** Longer quotations are cut: a problem is read on one line. */
const QUOTED = 60

/** A value as it stands in the file, short enough for a sentence. */
export function quoteValue(value: unknown): string {
	if (value === undefined) return 'nothing'
	if (Array.isArray(value)) return value.length === 0 ? 'an empty list' : `a list of ${value.length}`
	if (value !== null && typeof value === 'object') {
		const keys = Object.keys(value)
		return keys.length === 0
			? 'an empty object'
			: `an object with ${listed(keys.slice(0, 6), 'and')}${keys.length > 6 ? ' ...' : ''}`
	}
	const text = JSON.stringify(value)
	if (text === undefined) return String(value)
	return text.length <= QUOTED ? text : `${text.slice(0, QUOTED - 4)}..."`
}

/** "a", "a or b", "a, b or c". */
export function listed(words: readonly string[], last: 'or' | 'and' = 'or'): string {
	if (words.length < 2) return words[0] ?? 'nothing'
	return `${words.slice(0, -1).join(', ')} ${last} ${words.at(-1)}`
}

/** At most `most` of the words, and how many more there are. */
export function listedShort(words: readonly string[], last: 'or' | 'and' = 'or', most = 12): string {
	if (words.length <= most) return listed(words, last)
	return `${words.slice(0, most).join(', ')} and ${words.length - most} more`
}

export function plural(count: number, one: string, many = `${one}s`): string {
	return `${count} ${count === 1 ? one : many}`
}

/** What is printed beside the arrow that points against the way stations run: on a ring they begin at the top, and no way is the front. */
export const frontWord = (ring: boolean): 'FRONT' | 'START' => (ring ? 'START' : 'FRONT')

/** A length in mm without the last digits of its arithmetic. */
export function mm(length: number): string {
	return `${Number(length.toFixed(3))} mm`
}
