// Who is answered. The requests are those that browsers make for pages of other sites (Fetch standard: Origin, Sec-Fetch-*; the cases
// of DNS rebinding and of simple cross-site posts), written out byte by byte.
import { readFileSync } from 'node:fs'
import { connect } from 'node:net'
import { networkInterfaces } from 'node:os'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { MOST_BODY_BYTES } from '../../../src/workbench/server/guard.ts'
import { folderOf, JOB, raw, request, type Site, siteOf, stored } from './served.ts'

const site = () => siteOf(folderOf())
const onDisk = ({ folder }: Site) => readFileSync(join(folder, 'guard', 'job.jsonc'), 'utf8')

/** A save that would go through, with these headers. */
async function save({ port, ...rest }: Site, headers: Readonly<Record<string, string | undefined>>, body?: string) {
	const { revision } = await stored({ port, ...rest })
	const right = { 'Content-Type': 'application/json', 'If-Match': `"${revision}"` }
	const sent = body ?? JSON.stringify({ text: `${JOB}// more\n` })
	return raw(port, request(port, 'PUT /api/jobs/guard', { ...right, ...headers }, sent))
}

test('our own page is answered, under each of our names', async () => {
	const own = await site()
	for (const name of ['127.0.0.1', 'localhost', '[::1]', 'LOCALHOST']) {
		const host = `${name}:${own.port}`
		const { status } = await raw(own.port, request(own.port, 'GET /api/jobs', { Host: host, Origin: `http://${host}` }))
		expect([name, status]).toEqual([name, 200])
	}
	expect((await save(own, { Origin: `http://127.0.0.1:${own.port}`, 'Sec-Fetch-Site': 'same-origin' })).status).toBe(200)
	expect(onDisk(own)).toContain('// more')
})

test('a name that was made to lead here (DNS rebinding): 421, whatever is asked for', async () => {
	const own = await site()
	const { port } = own
	const hosts = ['evil.example', `evil.example:${port}`, `127.0.0.1.evil.example:${port}`, '127.0.0.1', 'localhost:1']
	for (const Host of hosts) {
		for (const line of ['GET /', 'GET /api/jobs', 'GET /api/jobs/guard', 'GET /api/jobs/guard/files/a.stl']) {
			const { status, text } = await raw(port, request(port, line, { Host }))
			expect([Host, line, status]).toEqual([Host, line, 421])
			expect(text).not.toContain('A guard')
		}
		expect((await save(own, { Host, Origin: `http://${Host}` })).status).toBe(421)
	}
	// A request without one, or with what cannot be one, does not get as far.
	for (const Host of [undefined, '', `127.0.0.1:${port}0`])
		expect((await raw(port, request(port, 'GET /api/jobs', { Host }))).status).toBe(400)
	expect(onDisk(own)).toBe(JOB)
})

test('a page of another site, or of none ("null"), or of another port: 403, to read and to write', async () => {
	const own = await site()
	const { port } = own
	const origins = [
		'https://evil.example',
		'null',
		`http://127.0.0.1:${port + 1}`,
		`https://127.0.0.1:${port}`,
		`http://localhost:${port}`,
		'file://',
	]
	for (const Origin of origins) {
		expect([Origin, (await save(own, { Origin })).status]).toEqual([Origin, 403])
		expect((await raw(port, request(port, 'GET /api/jobs/guard', { Origin }))).status).toBe(403)
		expect(
			(await raw(port, request(port, 'OPTIONS /api/jobs', { Origin, 'Access-Control-Request-Method': 'POST' }))).status,
		).toBe(403)
		const begin = JSON.stringify({ from: 'starter', starter: 'side-covers', name: 'theirs' })
		const post = request(port, 'POST /api/jobs', { Origin, 'Content-Type': 'application/json' }, begin)
		expect((await raw(port, post)).status).toBe(403)
	}
	expect(onDisk(own)).toBe(JOB)
	expect(await own.json('/api/jobs')).toHaveLength(1)
})

test('what another site lets a browser fetch without saying Origin (a picture, a script) is refused by Sec-Fetch-Site; a link to the page is not', async () => {
	const { port } = await site()
	const from = (line: string, mode: string) =>
		raw(port, request(port, line, { 'Sec-Fetch-Site': 'cross-site', 'Sec-Fetch-Mode': mode }))
	expect((await from('GET /api/jobs/guard', 'no-cors')).status).toBe(403)
	expect((await from('GET /page/main.js', 'no-cors')).status).toBe(403)
	expect((await from('GET /api/jobs/guard', 'navigate')).status).toBe(403)
	expect([200, 503]).toContain((await from('GET /', 'navigate')).status)
})

test('a body that a form of another site could send: 415', async () => {
	const own = await site()
	for (const type of [
		'text/plain',
		'application/x-www-form-urlencoded',
		'multipart/form-data; boundary=x',
		'application/jsonp',
		undefined,
	])
		expect([type, (await save(own, { 'Content-Type': type })).status]).toEqual([type, 415])
	expect(onDisk(own)).toBe(JOB)
	expect((await save(own, { 'Content-Type': 'Application/JSON; charset=utf-8' })).status).toBe(200)
})

describe('a body larger than a job can be: 413, read by whoever sends it, and nothing written', () => {
	const big = JSON.stringify({ text: 'x'.repeat(MOST_BODY_BYTES) })

	test('by its length', async () => {
		const own = await site()
		expect((await save(own, {}, big)).status).toBe(413)
		expect(onDisk(own)).toBe(JOB)
	})

	test('by its length, of which nothing comes', async () => {
		const own = await site()
		expect((await save(own, { 'Content-Length': '90000000000' }, '{')).status).toBe(413)
	})

	test('in chunks that say no length, of any size: 411', async () => {
		const own = await site()
		const { revision } = await stored(own)
		const head = request(own.port, 'PUT /api/jobs/guard', {
			'Content-Length': undefined,
			'Transfer-Encoding': 'chunked',
			'Content-Type': 'application/json',
			'If-Match': `"${revision}"`,
		})
		const body = JSON.stringify({ text: 'x' })
		const chunk = `${body.length.toString(16)}\r\n${body}\r\n0\r\n\r\n`
		expect((await raw(own.port, [head, chunk])).status).toBe(411)
		expect(onDisk(own)).toBe(JOB)
	})
})

test('what is no JSON, or not what is meant by it: 400, 428, 404', async () => {
	const own = await site()
	for (const body of ['', '{', 'null', '[]', '{"text":1}', '{"other":"x"}'])
		expect([body, (await save(own, {}, body)).status]).toEqual([body, 400])
	for (const match of [undefined, '*', '"x"', '12', 'W/"12"'])
		expect([match, (await save(own, { 'If-Match': match })).status]).toEqual([match, 428])
	expect((await own.get('/api/jobs/none')).status).toBe(404)
	expect((await own.get('/api/none')).status).toBe(404)
	expect((await own.put('/api/jobs/none', 'x', 1)).status).toBe(404)
	expect(onDisk(own)).toBe(JOB)
})

test('every answer, refusals too, says what the browser may do with it', async () => {
	const own = await site()
	for (const path of ['/', '/page/main.js', '/api/jobs', '/api/jobs/guard', '/none']) {
		const { headers } = await own.get(path)
		const policy = headers.get('content-security-policy') ?? ''
		expect(policy).toMatch(/^default-src '(self|none)'/)
		expect(policy).toContain("frame-ancestors 'none'")
		expect(policy).not.toMatch(/unsafe|\*|https?:/)
		expect(headers.get('x-content-type-options')).toBe('nosniff')
		expect(headers.get('cross-origin-resource-policy')).toBe('same-origin')
		expect(headers.get('access-control-allow-origin')).toBeNull()
	}
	const refused = await raw(own.port, request(own.port, 'GET /', { Host: 'evil.example' }))
	expect(refused.text.toLowerCase()).toContain('x-content-type-options: nosniff')
})

test('this computer alone can reach it', async () => {
	const { port } = await site()
	const others = Object.values(networkInterfaces()).flatMap((list) =>
		(list ?? []).filter(({ internal, family }) => !internal && family === 'IPv4'),
	)
	const reached = await Promise.all(
		others.map(
			({ address }) =>
				new Promise<boolean>((resolve) => {
					const socket = connect(port, address, () => resolve(true))
					socket.on('error', () => resolve(false))
					socket.setTimeout(1000, () => resolve(false))
					socket.on('close', () => {})
				}),
		),
	)
	expect(reached.filter(Boolean)).toEqual([])
	// where there is no other network, at least the one it listens on is the loopback
	expect((await raw(port, request(port, 'GET /api/jobs'))).status).toBe(200)
})
