/** Who may ask, and for what: only pages that came from this very server, on this very computer. */

import type { Context, MiddlewareHandler } from 'hono'
import { bodyLimit } from 'hono/body-limit'

/** A whole job with thousands of readings is a tenth of it. */
export const MOST_BODY_BYTES = 12_000_000

/** A scan with some millions of triangles. */
export const MOST_SCAN_BYTES = 300_000_000
/** Where scans are put. */
const SCAN_PLACE = /^\/api\/jobs\/[^/]+\/files\/[^/]+$/

const typeOf = (c: Context) => c.req.header('content-type')?.split(';')[0]?.trim().toLowerCase()
/** Whether a scan is sent, to be put beside a job. */
export const isScan = (c: Context) =>
	typeOf(c) === 'application/octet-stream' && c.req.method === 'PUT' && SCAN_PLACE.test(c.req.path)

const HOSTS = ['127.0.0.1', 'localhost', '[::1]']

/**
 * A page of some other site can make a browser ask this server, and a name of theirs can be made to lead here. The browser then says
 * the name (Host) and the site (Origin, Sec-Fetch-Site): neither is ours. `port` is the one that is listened on.
 */
export function onlyOurs(port: () => number): MiddlewareHandler {
	return async (c, next) => {
		const host = c.req.header('host')?.toLowerCase()
		const ours = HOSTS.flatMap((name) => [`${name}:${port()}`, ...(port() === 80 ? [name] : [])])
		if (host === undefined || !ours.includes(host)) return c.text('This server answers under its own address alone.', 421)
		const origin = c.req.header('origin')?.toLowerCase()
		const site = c.req.header('sec-fetch-site')
		const foreign =
			origin === undefined ? site !== undefined && site !== 'same-origin' && site !== 'none' : origin !== `http://${host}`
		// To be led here by a link is no harm: what is answered is the page, not what it holds.
		const led = origin === undefined && c.req.header('sec-fetch-mode') === 'navigate' && c.req.path === '/'
		if (foreign && !led) return c.text('This server answers its own page alone.', 403)
		return next()
	}
}

/** What changes something comes as JSON, or is a scan (which no form of another site can send), and is not larger than a job can be. */
export function onlyJson(): MiddlewareHandler {
	const limit = bodyLimit({
		maxSize: MOST_BODY_BYTES,
		onError: (c) => c.text(`That is larger than ${MOST_BODY_BYTES / 1e6} MB, more than a job can be.`, 413),
	})
	const scanLimit = bodyLimit({
		maxSize: MOST_SCAN_BYTES,
		onError: (c) => c.text(`That is larger than ${MOST_SCAN_BYTES / 1e6} MB: thin the scan out first.`, 413),
	})
	return async (c, next) => {
		if (c.req.method === 'GET' || c.req.method === 'HEAD') return next()
		const type = typeOf(c)
		// no form of another site can send this either
		const scan = isScan(c)
		if (type !== 'application/json' && !scan) return c.text('What is sent here has to be JSON.', 415)
		// No browser sends a page's JSON in pieces of unsaid length.
		if (c.req.header('transfer-encoding') !== undefined) return c.text('What is sent here has to say its length.', 411)
		return (scan ? scanLimit : limit)(c, next)
	}
}

const PAGE_POLICY = [
	"default-src 'self'",
	// drawings made in the page
	"img-src 'self' blob: data:",
	"object-src 'none'",
	"base-uri 'none'",
	"form-action 'none'",
	"frame-ancestors 'none'",
].join('; ')
/** What lies in the folder is data, whatever it pretends to be. */
const DATA_POLICY = "default-src 'none'; frame-ancestors 'none'; sandbox"

/** What the browser is told of every answer. */
export function guarded(): MiddlewareHandler {
	return async (c, next) => {
		await next()
		const data = c.req.path.startsWith('/api/')
		c.header('Content-Security-Policy', data ? DATA_POLICY : PAGE_POLICY)
		c.header('X-Content-Type-Options', 'nosniff')
		c.header('X-Frame-Options', 'DENY')
		c.header('Referrer-Policy', 'no-referrer')
		c.header('Cross-Origin-Resource-Policy', 'same-origin')
		c.header('Cross-Origin-Opener-Policy', 'same-origin')
		// Built anew it is another page, and texts change under the same address.
		if (!c.res.headers.has('Cache-Control')) c.header('Cache-Control', 'no-store')
	}
}
