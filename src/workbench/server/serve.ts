/** A folder of jobs, served to the browser of this computer and to nobody else. */
import type { Server } from 'node:http'
import type { AddressInfo } from 'node:net'
import { createAdaptorServer } from '@hono/node-server'
import type { Disk } from '../../files/disk.ts'
import { listeners as makeListeners } from './changes.ts'
import { routes } from './routes.ts'
import { textsIn } from './texts.ts'
import type { VersionOptions } from './versions.ts'

export interface Served {
	/** "http://127.0.0.1:7350/" */
	readonly address: string
	/** Ends it, once everything that a page has still to save is on the disk. */
	stop(): Promise<void>
}

export interface ServeOptions extends Partial<VersionOptions> {
	/** 0 for any that is free */
	readonly port: number
}

const LOOPBACK = '127.0.0.1'
/** A page saves a quarter of a second after the last key: one that is open is given so long to do it, ms. */
const LAST_SAVES_MS = 500

/** `folder` is there. Throws what the system says, EADDRINUSE where the port is taken. */
export async function serve(disk: Disk, folder: string, { port, now = Date.now, ...versions }: ServeOptions): Promise<Served> {
	const root = await disk.real(folder)
	const texts = textsIn(disk, root, { now, ...versions })
	const listeners = makeListeners()
	const own = () => (server.address() as AddressInfo).port
	const app = routes({ disk, root, texts, listeners, port: own })
	// The only program on this port: Node's own Request and Response are left as they are.
	const server = createAdaptorServer({ fetch: app.fetch, overrideGlobalObjects: false }) as Server
	await new Promise<void>((resolve, reject) => {
		server.once('error', reject)
		server.listen(port, LOOPBACK, () => resolve())
	})
	return {
		address: `http://${LOOPBACK}:${own()}/`,
		async stop() {
			if (listeners.count() > 0) await new Promise((resolve) => setTimeout(resolve, LAST_SAVES_MS))
			const closed = new Promise<void>((resolve) => server.close(() => resolve()))
			listeners.endAll()
			server.closeIdleConnections()
			await Promise.race([closed, new Promise((resolve) => setTimeout(resolve, LAST_SAVES_MS))])
			await texts.settled()
			server.closeAllConnections()
		},
	}
}
