/** Texts that a file has had, or was refused, in a hidden folder beside it: .stripewright/versions/NAME/. */
import { basename, dirname, join } from 'node:path'
import type { Disk } from '../../files/disk.ts'
import { mustBeReal } from '../../files/within.ts'
import { writeOver } from '../../files/writeOver.ts'
import type { Version } from '../wire.ts'

export type Why = Version['why']

export interface Versions {
	/** newest first */
	list(): Promise<readonly Version[]>
	/** undefined where there is no such version */
	read(id: string): Promise<string | undefined>
	/** Keeps a text and gives the version's id. Throws what the disk says. */
	keep(text: string, why: Why): Promise<string>
	/** Keeps a text that the file had, where no version holds it yet as the newest of those. */
	keepEarlier(text: string): Promise<void>
}

export interface VersionOptions {
	readonly now: () => number
	/** so many are kept */
	readonly most?: number
	/** texts saved within so long of the first are one version: of work that goes on, the states it passed are wanted, not every key, ms */
	readonly everyMs?: number
}

const MOST = 50
const EVERY_MS = 30_000

/** "20270314T091502123Z-saved": the time, so that names sort by it, and why. */
const NAME = /^(\d{4})(\d\d)(\d\d)T(\d\d)(\d\d)(\d\d)(\d{3})Z-(saved|refused|outside)$/

export const versionsFolder = (path: string): string => join(dirname(path), '.stripewright', 'versions', basename(path))

export function versionsOf(disk: Disk, path: string, { now, most = MOST, everyMs = EVERY_MS }: VersionOptions): Versions {
	const folder = versionsFolder(path)
	const at = (id: string) => join(folder, id)

	/** oldest first */
	async function ids(): Promise<readonly string[]> {
		if ((await disk.kind(folder)) !== 'folder') return []
		await mustBeReal(disk, folder)
		return (await disk.list(folder)).filter((name) => NAME.test(name))
	}

	async function read(id: string): Promise<string | undefined> {
		if (!NAME.test(id) || (await disk.kind(at(id))) !== 'file') return undefined
		await mustBeReal(disk, at(id))
		return new TextDecoder().decode(await disk.read(at(id)))
	}

	/** One by one, so that nothing is made behind a link. */
	async function makeOwnFolder(): Promise<void> {
		// Of a folder that was moved away no other is made.
		await disk.real(dirname(path))
		for (const each of [dirname(dirname(folder)), dirname(folder), folder]) {
			await disk.makeFolder(each)
			await mustBeReal(disk, each)
		}
	}

	async function keep(text: string, why: Why): Promise<string> {
		const before = await ids()
		const newest = before[before.length - 1]
		const last = newest === undefined ? 0 : whenOf(newest)
		const goesOn = why === 'saved' && newest !== undefined && whyOf(newest) === 'saved' && Math.abs(now() - last) < everyMs
		// Names never run backwards, whatever the clock does.
		const id = goesOn ? newest : `${new Date(Math.max(now(), last + 1)).toISOString().replace(/[-:.]/g, '')}-${why}`
		await makeOwnFolder()
		await writeOver(disk, at(id), new TextEncoder().encode(text))
		const all = goesOn ? before : [...before, id]
		for (const old of all.slice(0, Math.max(0, all.length - most))) await disk.removeFile(at(old)).catch(() => {})
		return id
	}

	return {
		async list() {
			const found = await Promise.all(
				(await ids()).map(async (id): Promise<Version> => {
					const bytes = await disk.size(at(id))
					return { id, when: new Date(whenOf(id)).toISOString(), why: whyOf(id), bytes }
				}),
			)
			return found.reverse()
		},
		read,
		keep,
		async keepEarlier(text) {
			const had = (await ids()).findLast((id) => whyOf(id) !== 'refused')
			if (had !== undefined && (await read(had)) === text) return
			await keep(text, 'outside')
		},
	}
}

const whyOf = (id: string): Why => (NAME.exec(id)?.[8] ?? 'saved') as Why

function whenOf(id: string): number {
	const [year, month, day, hours, minutes, seconds, ms] = (NAME.exec(id) ?? []).slice(1, 8).map(Number) as number[]
	return Date.UTC(year!, month! - 1, day, hours, minutes, seconds, ms)
}
