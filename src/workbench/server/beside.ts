/** Scans and drawings that lie beside a job file: to be read, as plain bytes. */
import { createReadStream } from 'node:fs'
import { dirname, join } from 'node:path'
import { Readable } from 'node:stream'
import type { Disk } from '../../files/disk.ts'
import { realWithin } from '../../files/within.ts'

export interface FileBeside {
	readonly bytes: number
	/** a stream that is closed where nobody reads on */
	stream(): ReadableStream<Uint8Array>
}

/** What is put there: scans, and drawings of decals. */
const PUT = /\.(stl|ply|obj|svg)$/i
const DRAWING = /\.svg$/i
/** A badge is a few thousand characters. */
const MOST_DRAWING_BYTES = 5_000_000

export type Kept = 'kept' | 'taken' | 'no name' | 'too large'

let putting = 0

/** A scan or a drawing put beside a job file, whole or not at all, and never over a file that is there. */
export async function putBeside(disk: Disk, jobPath: string, said: string, bytes: Uint8Array): Promise<Kept> {
	const name = decoded(said)?.normalize('NFC')
	if (!isPlainName(name) || !PUT.test(name) || name.length > 120) return 'no name'
	if (DRAWING.test(name) && bytes.length > MOST_DRAWING_BYTES) return 'too large'
	const folder = dirname(jobPath)
	const path = join(folder, name)
	if ((await disk.kind(path)) !== 'none') return 'taken'
	const hidden = join(folder, `.${name}.stripewright-new-${process.pid}-${++putting}`)
	try {
		await disk.writeNew(hidden, bytes)
		await disk.rename(hidden, path)
	} catch (error) {
		await disk.removeFile(hidden).catch(() => undefined)
		throw error
	}
	await disk.syncFolder(folder)
	return 'kept'
}

/** The kinds that a panel's shape is read from, and photographs. */
const KINDS = /\.(stl|ply|obj|svg|csv|txt|png|jpe?g|webp)$/i

/**
 * `said` is the part of the address after files/, still encoded. Undefined where there is no such file, or where it is none of
 * those that are lent: outside the job's folder (in any way of writing it, or through a link), hidden, or of another kind.
 */
export async function fileBeside(disk: Disk, jobPath: string, said: string): Promise<FileBeside | undefined> {
	const parts = said.split('/').map(decoded)
	if (!parts.every(isPlainName) || !KINDS.test(parts[parts.length - 1] ?? '')) return undefined
	const folder = dirname(jobPath)
	const path = await realWithin(disk, folder, join(folder, ...(parts as string[])))
	if (path === undefined || (await disk.kind(path)) !== 'file') return undefined
	return {
		bytes: await disk.size(path),
		stream: () => Readable.toWeb(createReadStream(path)) as unknown as ReadableStream<Uint8Array>,
	}
}

function decoded(part: string): string | undefined {
	try {
		return decodeURIComponent(part)
	} catch {
		return undefined
	}
}

const isPlainName = (part: string | undefined): part is string =>
	// biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is refused
	part !== undefined && part !== '' && !part.startsWith('.') && !/[/\\:\u0000-\u001f]/.test(part)
