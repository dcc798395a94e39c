/** The other end of `drawingWriter`: waits for orders with the writers already loaded, and answers one after another. */
import { parentPort } from 'node:worker_threads'
import { loadWriters, type Order } from './drawingWriter.ts'

const writers = loadWriters()
let last: Promise<unknown> = writers
parentPort?.on('message', (order: Order) => {
	last = last.then(async () => parentPort?.postMessage(await (await writers)(order)))
})
