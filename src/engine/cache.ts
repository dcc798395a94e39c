import { sha256 } from '@noble/hashes/sha2.js'
import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils.js'
import type { Job } from '../job/schema.ts'
import type { Shop } from '../job/shop.ts'

/** Answers of earlier runs by the hash of what they were made from. Kept by the caller; safe to throw away. */
export type Cache = Map<string, unknown>

/** More answers than a session of editing one job makes between two looks; those not asked for the longest go first. */
const MOST_ENTRIES = 400

/** A hash of plain data: the same data, the same key. */
export const keyOf = (...data: readonly unknown[]): string => bytesToHex(sha256(utf8ToBytes(JSON.stringify(data)))).slice(0, 32)

/** The answer for a key, made now if it is not known. */
export function cached<T>(cache: Cache | undefined, key: string, make: () => T): T {
	if (!cache) return make()
	if (cache.has(key)) {
		const known = cache.get(key) as T
		// A map keeps its order of entry: what is asked for enters anew.
		cache.delete(key)
		cache.set(key, known)
		return known
	}
	const value = make()
	cache.set(key, value)
	if (cache.size > MOST_ENTRIES) {
		const oldest = cache.keys().next().value
		if (oldest !== undefined) cache.delete(oldest)
	}
	return value
}

/** So many states of one thing are gone back and forth between: as it is, as it was, and what is tried. */
const MOST_KEPT = 3

interface Kept {
	readonly things: readonly unknown[]
	readonly data: string
	readonly value: unknown
}

/**
 * The last answers of one kind, each for as long as it is asked of the very same things (by identity) and the same data: for what
 * would take longer to hash than to compare. What was undone is known still.
 */
export function keptWhile<T>(cache: Cache | undefined, name: string, things: readonly unknown[], data: string, make: () => T): T {
	const kept = (cache?.get(name) ?? []) as readonly Kept[]
	const known = kept.find(
		(one) => one.data === data && one.things.length === things.length && one.things.every((each, i) => each === things[i]),
	)
	const answer = known ?? { things, data, value: make() }
	cache?.set(name, [answer, ...kept.filter((one) => one !== known)].slice(0, MOST_KEPT))
	return answer.value as T
}

/**
 * Short code of a job, printed on every sheet so that old and new prints are never mixed: six signs of the hash of the job and
 * of what of the shop shapes its pieces. What it is printed on does not count.
 */
export const revisionOf = (job: Job, { instruments, tapes, guideWidth, stripEvery }: Shop): string =>
	keyOf(job, instruments, tapes, guideWidth, stripEvery).slice(0, 6).toUpperCase()
