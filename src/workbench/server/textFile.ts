/** One text on the disk that the page edits: read, saved, watched, one thing at a time. */
import { basename, dirname } from 'node:path'
import type { Disk } from '../../files/disk.ts'
import { isDiskError } from '../../files/diskProblem.ts'
import { readText } from '../../files/readText.ts'
import { mustBeReal } from '../../files/within.ts'
import { removeHalfWritten, writeOver } from '../../files/writeOver.ts'
import type { Problem } from '../../job/problem.ts'
import type { Changed, Saved, StoredText } from '../wire.ts'
import { type VersionOptions, type Versions, versionsOf } from './versions.ts'

/** A file that holds no text, or is too large to be one. */
export class NoText extends Error {
	readonly problem: Problem
	constructor(problem: Problem) {
		super(problem.found)
		this.problem = problem
	}
}

export interface TextFile {
	readonly versions: Versions
	/** undefined where there is no such file. Throws NoText, and what the disk says. */
	read(): Promise<StoredText | undefined>
	/** Writes a text that was made from the file as it was at a revision. Where the file is another by now, neither is lost. */
	save(text: string, revision: number): Promise<Saved | Changed>
	/** Calls back with every new revision while the file is watched; the answer ends it. */
	watch(changed: (revision: number) => void): () => void
	/** all that was begun is done */
	settled(): Promise<void>
}

/** A change made elsewhere is seen within so long, ms. */
const LOOK_EVERY_MS = 400

/** `path` is the real one. A new start counts on from the clock, so that revisions of an earlier start are never taken for its own. */
export function textFile(disk: Disk, path: string, options: VersionOptions): TextFile {
	const versions = versionsOf(disk, path, options)
	const watchers = new Set<(revision: number) => void>()
	const began = options.now()
	let known: { text: string; revision: number; stamp: string | undefined } | undefined
	let turn: Promise<unknown> = removeHalfWritten(disk, path)
	let timer: ReturnType<typeof setInterval> | undefined

	const inTurn = <T>(work: () => Promise<T>): Promise<T> => {
		const mine = turn.then(work)
		turn = mine.catch(() => {})
		return mine
	}

	function become(text: string, stamp: string | undefined): void {
		known = { text, revision: known ? known.revision + 1 : began, stamp }
		for (const tell of watchers) tell(known.revision)
	}

	/** What the disk holds now. A stamp that has not changed is believed, unless all depends on it. */
	async function look(believeStamp: boolean): Promise<StoredText | undefined> {
		const stamp = await disk.stamp(path)
		if (!believeStamp || known?.stamp !== stamp) await mustBeReal(disk, stamp === undefined ? dirname(path) : path)
		if (stamp === undefined) {
			// Gone: what it held is all that is known of it.
			if (known?.stamp !== undefined) await versions.keepEarlier(known.text).catch(unlessDisk)
			if (known) known.stamp = undefined
			return undefined
		}
		if (!known || !believeStamp || known.stamp !== stamp) {
			const { value: text, problems } = await readText(disk, path, { from: dirname(path) })
			if (text === undefined) throw new NoText(problems[0] as Problem)
			if (known && known.text === text) known.stamp = stamp
			else {
				if (known) await versions.keepEarlier(known.text).catch(unlessDisk)
				become(text, stamp)
			}
		}
		return known && { text: known.text, revision: known.revision, file: basename(path) }
	}

	async function save(said: string, revision: number): Promise<Saved | Changed> {
		const bytes = new TextEncoder().encode(said)
		// as it will be read again: half of a pair of signs is no text
		const text = new TextDecoder().decode(bytes)
		const now = await look(false)
		if (now?.text === text) return { revision: now.revision }
		if (now && now.revision !== revision) return { now, kept: await versions.keep(text, 'refused') }
		if (now) await versions.keepEarlier(now.text)
		await writeOver(disk, path, bytes)
		become(text, await disk.stamp(path))
		// The text is safe where it belongs; a disk that cannot keep another copy of it is no reason to say that it is not.
		await versions.keep(text, 'saved').catch(unlessDisk)
		return { revision: known?.revision ?? began }
	}

	return {
		versions,
		read: () => inTurn(() => look(true)),
		save: (text, revision) => inTurn(() => save(text, revision)),
		watch(changed) {
			watchers.add(changed)
			timer ??= setInterval(() => void inTurn(() => look(true)).catch(() => {}), LOOK_EVERY_MS)
			return () => {
				watchers.delete(changed)
				if (watchers.size > 0) return
				clearInterval(timer)
				timer = undefined
			}
		},
		settled: () => turn.then(() => {}),
	}
}

function unlessDisk(error: unknown): void {
	if (!isDiskError(error)) throw error
}
