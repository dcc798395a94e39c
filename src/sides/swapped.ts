import { FLAGGED, type JudgedPair } from './judge.ts'
import type { SidedPair } from './middle.ts'

/** Readings that fit once they are exchanged. */
export interface Swapped {
	/** left and right of one mark; or two marks, or their girths alone, on one of the sides */
	readonly kind: 'sides' | 'names' | 'girths'
	/** names of the marks */
	readonly marks: readonly string[]
}

/** What fits within this many standard deviations after the exchange (99 times in 100). */
const FITS = 2.58
/** Whole fits that are tried: a panel of thirty marks takes a few. Past that nothing more is looked for. */
const MOST_TRIES = 100
/** Among so few pairs a wrong one moves the middle itself. */
const FEW = 8
/** Pairs looked at, worst first: more slips of this kind are not in one list. */
const MOST = 6

/**
 * Of the pairs that do not fit: those that do once left and right are exchanged, or once exchanged with another mark on one
 * side; `alone` judges one by the middle as it is. A left mark right of the centreline, and its right one left of it, are exchanged whatever they fit.
 */
export function swappedOf(
	pairs: readonly SidedPair[],
	judged: readonly JudgedPair[],
	judge: (pairs: readonly SidedPair[]) => readonly JudgedPair[] | undefined,
	alone: (pair: SidedPair) => JudgedPair,
	mirrored = true,
): readonly Swapped[] {
	const found: Swapped[] = mirrored
		? pairs.filter(({ left, right }) => left.g > 0 && right.g < 0).map(({ id }) => ({ kind: 'sides', marks: [id] }))
		: []
	const named = new Set(found.flatMap(({ marks }) => marks))
	const odd = judged
		.filter((one) => strength(one) > FLAGGED && !named.has(one.pair.id))
		.sort((a, b) => strength(b) - strength(a))
		.slice(0, MOST)
	const count = (all: readonly JudgedPair[]) => all.filter((one) => one.setAside || strength(one) > FLAGGED).length
	const before = count(judged)
	let tries = 0
	const fits = (changed: readonly SidedPair[]) => {
		// By the middle as it is: what is far off it now will not fit a little moved.
		if (pairs.length > FEW && changed.some((pair) => strength(alone(pair)) > 2 * FLAGGED)) return false
		if (++tries > MOST_TRIES) return false
		const ids = changed.map(({ id }) => id)
		const after = judge(pairs.map((pair) => changed.find(({ id }) => id === pair.id) ?? pair))
		if (!after) return false
		const own = after.filter(({ pair }) => ids.includes(pair.id))
		const mended = judged.filter((one) => ids.includes(one.pair.id) && (one.setAside || strength(one) > FLAGGED))
		// Others that no longer fit in their stead would be no gain.
		return own.every((one) => !one.setAside && strength(one) < FITS) && count(after) <= before - mended.length
	}
	for (const { pair } of odd) {
		if (named.has(pair.id)) continue
		const tell = (kind: Swapped['kind'], marks: readonly string[]) => {
			found.push({ kind, marks: [...marks].sort() })
			for (const mark of marks) named.add(mark)
		}
		if (mirrored && fits([exchanged(pair)])) {
			tell('sides', [pair.id])
			continue
		}
		for (const other of pairs.filter(({ id }) => id !== pair.id && !named.has(id))) {
			const kind = (['names', 'girths'] as const).find((each) => fits(crossed(pair, other, each)))
			if (!kind) continue
			tell(kind, [pair.id, other.id])
			break
		}
	}
	return found
}

/** The right places of two marks exchanged, whole or in their girths alone. */
function crossed(a: SidedPair, b: SidedPair, kind: 'names' | 'girths'): readonly SidedPair[] {
	if (kind === 'names')
		return [
			{ ...a, right: b.right },
			{ ...b, right: a.right },
		]
	return [
		{ ...a, right: { s: a.right.s, g: b.right.g } },
		{ ...b, right: { s: b.right.s, g: a.right.g } },
	]
}

const strength = ({ across, along }: JudgedPair) => Math.max(Math.abs(across.w), Math.abs(along.w))

const exchanged = (pair: SidedPair): SidedPair => ({
	...pair,
	left: { s: pair.right.s, g: -pair.right.g },
	right: { s: pair.left.s, g: -pair.left.g },
})
