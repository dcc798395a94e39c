/** Drawings made into files in a thread of its own, which loads its libraries and begins while the job is still being worked out. */
import { join } from 'node:path'
import { Worker } from 'node:worker_threads'
import type { Drawing } from '../drawing/drawing.ts'
import type { PdfOptions } from '../drawing/pdf.ts'
import { home } from '../files/package.ts'
import type { DrawingWriter } from '../report/outputs.ts'

/** A writer that may have to be sent away. */
export interface Writer extends DrawingWriter {
	/** to be called where nothing more is to be written */
	dismiss(): void
}

export type Order =
	| { readonly kind: 'svg' | 'cutterSvg'; readonly drawing: Drawing }
	| { readonly kind: 'pdf'; readonly drawings: readonly Drawing[]; readonly options: PdfOptions }

/** Carries an order out. All that a writer needs is loaded here, so that none waits at its first page. */
export async function loadWriters(): Promise<(order: Order) => Promise<string | Uint8Array>> {
	const [{ toSvg, toCutterSvg }, { toPdf }] = await Promise.all([
		import('../drawing/svg.ts'),
		import('../drawing/pdf.ts'),
		import('pdf-lib'),
		import('@pdf-lib/fontkit'),
	])
	return async (order) => {
		if (order.kind === 'pdf') return toPdf(order.drawings, order.options)
		return order.kind === 'svg' ? toSvg(order.drawing) : toCutterSvg(order.drawing)
	}
}

/** As built, a thread beside; from source, where no thread could read it, this one. */
export function drawingWriter(): Writer {
	const { carryOut, dismiss } = import.meta.url.endsWith('.ts') ? inThisThread() : inThreadBeside()
	return {
		svg: (drawing) => carryOut({ kind: 'svg', drawing }) as Promise<string>,
		cutterSvg: (drawing) => carryOut({ kind: 'cutterSvg', drawing }) as Promise<string>,
		pdf: (drawings, options) => carryOut({ kind: 'pdf', drawings, options }) as Promise<Uint8Array>,
		dismiss,
	}
}

interface Hand {
	readonly carryOut: (order: Order) => Promise<unknown>
	readonly dismiss: () => void
}

const inThisThread = (): Hand => ({
	carryOut: async (order) => (await loadWriters())(order),
	dismiss: () => undefined,
})

function inThreadBeside(): Hand {
	const thread = new Worker(join(home().folder, 'dist', 'writerThread.js'))
	// A thread that waits must not keep a process that has failed.
	thread.unref()
	const waiting: { readonly done: (answer: unknown) => void; readonly failed: (error: Error) => void }[] = []
	let broken: Error | undefined
	// Answers come in the order of what was asked.
	thread.on('message', (answer) => {
		waiting.shift()?.done(answer)
		if (waiting.length === 0) thread.unref()
	})
	thread.on('error', (error) => {
		broken = error
		for (const { failed } of waiting.splice(0)) failed(error)
	})
	return {
		carryOut: (order) =>
			new Promise((done, failed) => {
				if (broken) return failed(broken)
				waiting.push({ done, failed })
				thread.ref()
				thread.postMessage(order)
			}),
		dismiss: () => void thread.terminate(),
	}
}
