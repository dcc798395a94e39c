/** The texts that are open: one keeper for each file, so that all who ask see the same revisions. */
import { join } from 'node:path'
import type { Disk } from '../../files/disk.ts'
import { readText } from '../../files/readText.ts'
import { loadJob } from '../../job/load.ts'
import type { JobEntry } from '../wire.ts'
import { type JobPlace, jobsIn, shopFor } from './folder.ts'
import { type TextFile, textFile } from './textFile.ts'
import type { VersionOptions } from './versions.ts'

export interface Texts {
	list(): Promise<readonly JobEntry[]>
	/** undefined where there is no such job, and never was one */
	job(name: string): Promise<{ readonly text: TextFile; readonly path: string } | undefined>
	/** the shop that goes with a job, or with the folder; undefined where there is no such job */
	shop(name?: string): Promise<TextFile | undefined>
	/** everything that was begun is on the disk */
	settled(): Promise<void>
}

/** `root` is a real path. */
export function textsIn(disk: Disk, root: string, options: VersionOptions): Texts {
	const open = new Map<string, TextFile>()
	const places = new Map<string, JobPlace>()
	const at = (path: string): TextFile => {
		const file = open.get(path) ?? textFile(disk, path, options)
		open.set(path, file)
		return file
	}
	/** A job that was there a moment ago is still known: an editor may be writing it anew. */
	async function place(name: string): Promise<JobPlace | undefined> {
		const found = (await jobsIn(disk, root)).find((job) => job.name === name)
		if (found) places.set(name, found)
		return found ?? places.get(name)
	}
	return {
		async list() {
			return Promise.all((await jobsIn(disk, root)).map((job) => entry(disk, job)))
		},
		async job(name) {
			const found = await place(name)
			return found && { text: at(found.path), path: found.path }
		},
		async shop(name) {
			const job = name === undefined ? undefined : await place(name)
			if (name !== undefined && !job) return undefined
			return at(await shopFor(disk, root, job))
		},
		async settled() {
			await Promise.all([...open.values()].map((file) => file.settled()))
		},
	}
}

async function entry(disk: Disk, { name, path }: JobPlace): Promise<JobEntry> {
	const { value: text } = await readText(disk, path, { from: join(path, '..') })
	if (text === undefined) return { name, title: name, broken: true }
	const { value } = loadJob(text)
	return { name, title: value?.job.title ?? titleIn(text) ?? name, broken: value === undefined }
}

/** Of a text that is no job, and may be anything. */
function titleIn(text: string): string | undefined {
	const quoted = /"title"\s*:\s*("(?:[^"\\\n]|\\.)+")/.exec(text)?.[1]
	try {
		return quoted === undefined ? undefined : (JSON.parse(quoted) as string)
	} catch {
		return undefined
	}
}
