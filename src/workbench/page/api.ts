/** The server of this folder: texts read and saved, with the revision that they were read at. */
import { NotSaved } from '../keeper.ts'
import type { Beginning, Changed, Folder, JobEntry, Saved, Starter, StoredText, Version } from '../wire.ts'

export class ServerGone extends Error {}

/** What the server answered instead of what was asked for. */
export class Refused extends Error {
	readonly status: number
	constructor(status: number, message: string) {
		super(message)
		this.status = status
	}
}

async function call(path: string, init: RequestInit = {}): Promise<Response> {
	try {
		return await fetch(path, { ...init, headers: { 'content-type': 'application/json', ...init.headers } })
	} catch {
		throw new ServerGone('the program that keeps the files does not answer')
	}
}

async function json<T>(path: string, init?: RequestInit): Promise<T> {
	const reply = await call(path, init)
	if (!reply.ok) throw new Refused(reply.status, await reply.text())
	return (await reply.json()) as T
}

const at = (name: string) => `/api/jobs/${encodeURIComponent(name)}`

export const readFolder = () => json<Folder>('/api/folder')
export const listJobs = () => json<readonly JobEntry[]>('/api/jobs')
export const listStarters = () => json<readonly Starter[]>('/api/starters')
export const beginJob = (beginning: Beginning) =>
	json<{ readonly name: string }>('/api/jobs', { method: 'POST', body: JSON.stringify(beginning) })
export const readJob = (name: string) => json<StoredText>(at(name))
/** The shop that goes with a job; an empty text of revision 0 where there is none yet. */
export const readShop = (name: string) => json<StoredText>(`${at(name)}/shop`)
export const filesOf = (name: string) => `${at(name)}/files/`
/** A scan or a drawing put beside the job file, never over one that is there: then the answer is false. */
export async function putFile(name: string, file: File): Promise<boolean> {
	const headers = { 'content-type': 'application/octet-stream' }
	const reply = await call(filesOf(name) + encodeURIComponent(file.name), { method: 'PUT', headers, body: file })
	if (reply.ok) return true
	if (reply.status === 409) return false
	throw new Refused(reply.status, await reply.text())
}
/** The file of that name that is beside the job holds the same. */
export async function sameBeside(name: string, file: File): Promise<boolean> {
	const reply = await call(filesOf(name) + encodeURIComponent(file.name))
	if (!reply.ok) return false
	const [there, own] = [new Uint8Array(await reply.arrayBuffer()), new Uint8Array(await file.arrayBuffer())]
	return there.length === own.length && there.every((byte, i) => byte === own[i])
}
export const listVersions = (name: string) => json<readonly Version[]>(`${at(name)}/versions`)
export const readVersion = (name: string, id: string) => json<{ readonly text: string }>(`${at(name)}/versions/${id}`)

/** Saves a text that was read at a revision; where the file has changed since, both texts are kept and nothing is written over. */
export async function save(path: string, text: string, revision: number): Promise<Saved | Changed> {
	const reply = await call(path, {
		method: 'PUT',
		headers: { 'if-match': `"${revision}"` },
		body: JSON.stringify({ text }),
		keepalive: text.length < 60_000,
	})
	if (reply.ok || reply.status === 412) return (await reply.json()) as Saved | Changed
	throw new NotSaved(await reply.text())
}

export const saveJob = (name: string, text: string, revision: number) => save(at(name), text, revision)
export const saveShop = (name: string, text: string, revision: number) => save(`${at(name)}/shop`, text, revision)

/**
 * Calls back when a file of the job changes on the disk; the answer stops it. Only a page that is looked at listens: a browser keeps no
 * more than six connections to one program, and a seventh window would wait for one for ever.
 */
export function watch(name: string, changed: (revision: number) => void): () => void {
	let source: EventSource | undefined
	const listen = () => {
		source?.close()
		source = undefined
		if (document.visibilityState === 'hidden') return
		// The present revision comes first: what was changed while nobody looked is seen now.
		source = new EventSource(`${at(name)}/changes`)
		source.onmessage = ({ data }) => changed(Number(data))
	}
	listen()
	document.addEventListener('visibilitychange', listen)
	return () => {
		document.removeEventListener('visibilitychange', listen)
		source?.close()
	}
}
