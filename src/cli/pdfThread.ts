/** The other end of `pdfWriter`: waits for drawings with the writer already loaded. */
import { parentPort } from 'node:worker_threads'
import { type Drawings, loadWriters } from './pdfWriter.ts'

const toPdf = loadWriters()
parentPort?.once('message', async ({ drawings, options }: Drawings) => {
	const bytes = await (await toPdf)(drawings, options)
	parentPort?.postMessage(bytes)
})
