/** "Did you mean": the known name nearest to one that was written. */

/** Names longer than this are cut before they are compared; no name of ours is near it. */
const COMPARED = 40

/**
 * The name in `known` that `name` was most likely meant to be, or undefined when none is near.
 * Near: one slip (a letter wrong, missing, added, or two changed about) in every three letters, letter case not counted;
 * or one is the beginning of the other ("color-1", "col"). In names of one or two letters every name is near every other,
 * so only the letter case may differ. Ties go to the earlier one in `known`.
 */
export function nearest(name: string, known: Iterable<string>): string | undefined {
	const written = name.slice(0, COMPARED).toLowerCase()
	let best: string | undefined
	let least = Number.POSITIVE_INFINITY
	for (const candidate of known) {
		const right = candidate.slice(0, COMPARED).toLowerCase()
		const allowed = Math.floor(Math.max(written.length, right.length) / 3)
		let slips = editDistance(written, right)
		if (slips > allowed) {
			const starts = Math.min(written.length, right.length) >= 3 && (written.startsWith(right) || right.startsWith(written))
			if (!starts) continue
			// after any candidate that is near letter by letter
			slips += COMPARED
		}
		if (slips < least) {
			best = candidate
			least = slips
		}
	}
	return best
}

/**
 * Slips between two words: insertions, deletions, substitutions and swaps of neighbours, each counted once
 * (optimal string alignment; L. Boytsov, "Indexing methods for approximate dictionary searching", ACM JEA 16 (2011), section 2).
 */
export function editDistance(a: string, b: string): number {
	let before: number[] = []
	let previous = Array.from({ length: b.length + 1 }, (_, j) => j)
	for (let i = 1; i <= a.length; i++) {
		const row = [i]
		for (let j = 1; j <= b.length; j++) {
			const same = a[i - 1] === b[j - 1]
			let slips = Math.min(previous[j]! + 1, row[j - 1]! + 1, previous[j - 1]! + (same ? 0 : 1))
			if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) slips = Math.min(slips, before[j - 2]! + 1)
			row.push(slips)
		}
		before = previous
		previous = row
	}
	return previous[b.length]!
}
