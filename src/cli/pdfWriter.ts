/** The PDF written in a thread of its own: it loads its libraries while the job is still being worked out. */
import { join } from 'node:path'
import { Worker } from 'node:worker_threads'
import type { Drawing } from '../drawing/drawing.ts'
import type { PdfOptions } from '../drawing/pdf.ts'
import { home } from './package.ts'

export interface Drawings {
	readonly drawings: readonly Drawing[]
	readonly options: PdfOptions
}

export interface PdfWriter {
	write(drawings: readonly Drawing[], options: PdfOptions): Promise<Uint8Array>
	/** to be called where there is nothing to write */
	dismiss(): void
}

/** The writer, with what it would load only at its first page. */
export async function loadWriters() {
	const [{ toPdf }] = await Promise.all([import('../drawing/pdf.ts'), import('pdf-lib'), import('@pdf-lib/fontkit')])
	return toPdf
}

/** As built, a thread beside; from source, where no thread could read it, in this one. */
export function pdfWriter(): PdfWriter {
	if (import.meta.url.endsWith('.ts')) {
		return {
			write: async (drawings, options) => (await loadWriters())(drawings, options),
			dismiss: () => undefined,
		}
	}
	const thread = new Worker(join(home().folder, 'dist', 'pdfThread.js'))
	// A thread that waits must not keep a process that has failed.
	thread.unref()
	return {
		write: (drawings, options) =>
			new Promise((resolve, reject) => {
				thread.ref()
				thread.once('message', (bytes: Uint8Array) => {
					thread.unref()
					resolve(bytes)
				})
				thread.once('error', reject)
				thread.postMessage({ drawings, options } satisfies Drawings)
			}),
		dismiss: () => void thread.terminate(),
	}
}
