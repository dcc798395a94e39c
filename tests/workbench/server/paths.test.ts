// No address leads out of the folder: not by dots, not absolute, not encoded, not through a link.
import { mkdirSync, readdirSync, readFileSync, renameSync, rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import type { JobEntry } from '../../../src/workbench/wire.ts'
import { folderOf, JOB, raw, request, siteOf, stored } from './served.ts'

const SECRET = 'solid secret'

/** outer/jobs is served; outer/secret.stl and outer/private/job.jsonc lie beside it. */
async function nested() {
	const outer = folderOf({
		'secret.stl': SECRET,
		'private/job.jsonc': JOB.replace('A guard', SECRET),
		'jobs/guard/job.jsonc': JOB,
		'jobs/guard/scan.stl': 'solid scan',
		'jobs/guard/scans/Größe 1.ply': 'ply',
		'jobs/guard/.hidden.stl': SECRET,
		'jobs/guard/notes.key': SECRET,
		'jobs/cover/job.jsonc': JOB,
		'jobs/cover/cover.stl': SECRET,
	})
	return { outer, inner: join(outer, 'jobs'), site: await siteOf(join(outer, 'jobs')) }
}

test('scans beside a job are lent as bytes that no browser takes for anything else', async () => {
	const { site } = await nested()
	const reply = await site.get('/api/jobs/guard/files/scan.stl')
	expect(await reply.text()).toBe('solid scan')
	expect(reply.headers.get('content-type')).toBe('application/octet-stream')
	expect(reply.headers.get('content-security-policy')).toContain('sandbox')
	expect(await (await site.get(`/api/jobs/guard/files/scans/${encodeURIComponent('Größe 1.ply')}`)).text()).toBe('ply')
	for (const method of ['PUT', 'POST', 'DELETE', 'PATCH']) {
		const { status } = await raw(
			site.port,
			request(site.port, `${method} /api/jobs/guard/files/scan.stl`, { 'Content-Type': 'application/json' }, '{}'),
		)
		expect([method, status]).toEqual([method, 404])
	}
})

describe('addresses as they stand, sent byte by byte', () => {
	const ways = [
		'../secret.stl',
		'../../secret.stl',
		'../cover/cover.stl',
		'scans/../../../secret.stl',
		'./../../secret.stl',
		'%2e%2e/%2e%2e/secret.stl',
		'%2E%2E%2F%2E%2E%2Fsecret.stl',
		'..%2f..%2fsecret.stl',
		'..%5c..%5csecret.stl',
		'..\\..\\secret.stl',
		'%252e%252e/%252e%252e/secret.stl',
		'..%00/../secret.stl',
		'scan.stl%00/../../../secret.stl',
		'....//....//secret.stl',
		'..;/..;/secret.stl',
		'%c0%ae%c0%ae/%c0%ae%c0%ae/secret.stl',
		'%uff0e%uff0e/secret.stl',
		'/ABSOLUTE',
		'//ABSOLUTE',
		'%2fABSOLUTE',
		'file:ABSOLUTE',
		'C:%5csecret.stl',
		'.hidden.stl',
		'notes.key',
		'job.jsonc',
		'',
		'.',
		'scans',
		'scans/',
		'.stripewright/versions/job.jsonc/x',
	]
	test.each(ways)('files/%s is not there', async (way) => {
		const { site, outer } = await nested()
		const path = way.replace('ABSOLUTE', join(outer, 'secret.stl').replace(/^\//, ''))
		const { status, text } = await raw(site.port, request(site.port, `GET /api/jobs/guard/files/${path}`))
		// 400 is Node's own, for what is no address at all
		expect([404, 400]).toContain(status)
		expect(text).not.toContain(SECRET)
		expect(text).not.toContain('what a job is at least')
	})

	const names = [
		'..',
		'.',
		'%2e%2e',
		'..%2fprivate',
		'%2e%2e%2fprivate',
		'..%5cprivate',
		'guard%2f..%2f..%2fprivate',
		'%00',
		'.stripewright',
		'ABSOLUTE',
	]
	test.each(names)('jobs/%s is no job', async (name) => {
		const { site, outer } = await nested()
		const said = name.replace('ABSOLUTE', encodeURIComponent(join(outer, 'private')))
		for (const rest of ['', '/versions', '/changes', '/files/secret.stl']) {
			const { status, text } = await raw(site.port, request(site.port, `GET /api/jobs/${said}${rest}`))
			expect([rest, [404, 400].includes(status)]).toEqual([rest, true])
			expect(text).not.toContain(SECRET)
		}
		const put = request(
			site.port,
			`PUT /api/jobs/${said}`,
			{ 'Content-Type': 'application/json', 'If-Match': '"0"' },
			'{"text":"x"}',
		)
		expect([404, 400]).toContain((await raw(site.port, put)).status)
		expect(readFileSync(join(outer, 'private', 'job.jsonc'), 'utf8')).toContain(SECRET)
	})

	test.each(['../../package.json', '..%2f..%2fpackage.json', '.stamp-js', 'x/../../cli.js', '%2e%2e%2fcli.js'])(
		'page/%s is no part of the page',
		async (way) => {
			const { site } = await nested()
			expect((await raw(site.port, request(site.port, `GET /page/${way}`))).status).toBe(404)
		},
	)

	test.each([
		'../x',
		'a/b',
		'a\\b',
		'.x',
		'x.y',
		'',
		' ',
		'con',
		'LPT1',
		'/tmp/x',
		'a\u0000b',
		'x'.repeat(80),
		'-x',
		'a:b',
		'\u202ex',
	])('%j is no name for a new job', async (name) => {
		const { site } = await nested()
		expect((await site.post('/api/jobs', { from: 'starter', starter: 'side-covers', name })).status).toBe(400)
		expect(await site.json<JobEntry[]>('/api/jobs')).toHaveLength(2)
	})

	test('nor does a starter lie elsewhere', async () => {
		const { site, outer } = await nested()
		for (const starter of ['../package', join(outer, 'private', 'job'), 'side-covers.jsonc'])
			expect((await site.post('/api/jobs', { from: 'starter', starter, name: 'x' })).status).toBe(404)
	})
})

describe('links', () => {
	test('that lead out are not jobs, shops, scans or folders of scans; inside the folder they are', async () => {
		const { site, inner, outer } = await nested()
		symlinkSync(join(outer, 'private'), join(inner, 'linked'))
		symlinkSync(join(outer, 'private', 'job.jsonc'), join(inner, 'linked.jsonc'))
		symlinkSync(join(outer, 'private', 'job.jsonc'), join(inner, 'shop.jsonc'))
		mkdirSync(join(inner, 'half'))
		symlinkSync(join(outer, 'private', 'job.jsonc'), join(inner, 'half', 'job.jsonc'))
		symlinkSync(join(outer, 'secret.stl'), join(inner, 'guard', 'linked.stl'))
		symlinkSync(outer, join(inner, 'guard', 'linked'))
		symlinkSync(join(inner, 'guard', 'scan.stl'), join(inner, 'guard', 'inside.stl'))
		symlinkSync(join(inner, 'guard'), join(inner, 'same'))
		expect((await site.json<JobEntry[]>('/api/jobs')).map(({ name }) => name)).toEqual(['cover', 'guard', 'same'])
		for (const path of ['linked', 'linked.jsonc', 'half']) expect((await site.get(`/api/jobs/${path}`)).status).toBe(404)
		expect(await (await site.get('/api/shop')).text()).not.toContain(SECRET)
		for (const file of ['linked.stl', 'linked/secret.stl'])
			expect((await site.get(`/api/jobs/guard/files/${file}`)).status).toBe(404)
		expect(await (await site.get('/api/jobs/guard/files/inside.stl')).text()).toBe('solid scan')
	})

	test('one put in the place of an open job, of its folder or of its versions is not followed', async () => {
		const { site, inner, outer } = await nested()
		const there = join(outer, 'private', 'job.jsonc')
		const before = readFileSync(there, 'utf8')
		const { revision } = await stored(site)
		rmSync(join(inner, 'guard', 'job.jsonc'))
		symlinkSync(there, join(inner, 'guard', 'job.jsonc'))
		expect((await site.put('/api/jobs/guard', 'x', revision)).status).toBe(403)
		expect(await (await site.get('/api/jobs/guard')).text()).not.toContain(SECRET)

		const cover = await stored(site, '/api/jobs/cover')
		renameSync(join(inner, 'cover'), join(outer, 'cover'))
		symlinkSync(join(outer, 'private'), join(inner, 'cover'))
		rmSync(there)
		expect((await site.put('/api/jobs/cover', 'x', cover.revision)).status).toBe(403)
		expect(() => readFileSync(there)).toThrow()

		const other = folderOf({ 'guard/job.jsonc': JOB, 'elsewhere/keep': before })
		symlinkSync(join(other, 'elsewhere'), join(other, 'guard', '.stripewright'))
		const second = await siteOf(join(other, 'guard'))
		const own = await stored(second, '/api/jobs/job.jsonc')
		expect((await second.put('/api/jobs/job.jsonc', 'x', own.revision)).status).toBe(403)
		expect(readFileSync(join(other, 'guard', 'job.jsonc'), 'utf8')).toBe(JOB)
		expect(() => readFileSync(join(other, 'elsewhere', 'versions'))).toThrow(/ENOENT/)
	})
})

test('a hostile job file is a text to mend, and others beside it open', async () => {
	const deep = '['.repeat(200_000)
	const site = await siteOf(
		folderOf({
			'guard/job.jsonc': JOB,
			'deep/job.jsonc': deep,
			'proto/job.jsonc': '{"__proto__": {"title": "x"}, "constructor": 1, "title": {"toString": 1}}',
			'markup/job.jsonc': JOB.replace('A guard', '<script>alert(1)</script>'),
			'null/job.jsonc': 'null',
			'empty/job.jsonc': '',
		}),
	)
	const jobs = await site.json<JobEntry[]>('/api/jobs')
	expect(Object.fromEntries(jobs.map(({ name, broken }) => [name, broken]))).toEqual({
		...{ guard: false, deep: true, proto: true, markup: false, null: true, empty: true },
	})
	expect((await stored(site, '/api/jobs/deep')).text).toBe(deep)
	const reply = await site.get('/api/jobs/markup')
	expect(reply.headers.get('content-type')).toBe('application/json')
})

test('a file that is no text is refused in words, and left as it is', async () => {
	const bytes = Uint8Array.from([0x7b, 0xff, 0xfe, 0x00, 0x7d])
	const site = await siteOf(folderOf({ 'guard/job.jsonc': bytes }))
	expect(await site.json<JobEntry[]>('/api/jobs')).toEqual([{ name: 'guard', title: 'guard', broken: true }])
	const reply = await site.get('/api/jobs/guard')
	expect(reply.status).toBe(422)
	expect(await reply.text()).toContain('text in UTF-8')
	expect((await site.put('/api/jobs/guard', 'x', 1)).status).toBe(422)
	writeFileSync(join(site.folder, 'guard', 'job.jsonc'), JOB)
	expect((await stored(site)).text).toBe(JOB)
})

test('a scan or a drawing is put beside its job, whole, never over a file, and nothing else is put there', async () => {
	const { site, inner } = await nested()
	const put = (path: string, type = 'application/octet-stream', body = 'solid new') =>
		raw(site.port, request(site.port, `PUT ${path}`, { 'Content-Type': type }, body))
	expect((await put('/api/jobs/guard/files/Gr%C3%B6%C3%9Fe%202.STL')).status).toBe(201)
	expect(readFileSync(join(inner, 'guard', 'Größe 2.STL'), 'utf8')).toBe('solid new')
	expect((await put('/api/jobs/guard/files/scan.stl')).status).toBe(409)
	expect(readFileSync(join(inner, 'guard', 'scan.stl'), 'utf8')).toBe('solid scan')
	expect((await put('/api/jobs/guard/files/badge.svg', undefined, '<svg/>')).status).toBe(201)
	expect((await put('/api/jobs/guard/files/badge.svg')).status).toBe(409)
	// 5 MB of a drawing
	expect((await put('/api/jobs/guard/files/large%2Esvg', undefined, 'x'.repeat(5_000_001))).status).toBe(413)
	for (const path of [
		'job.jsonc',
		'run.sh',
		'.hidden2.stl',
		'x.stl%00',
		'..%2fnew.stl',
		'..%5cnew.stl',
		'%2e%2e%2fnew.stl',
		'c:new.stl',
	])
		expect([path, (await put(`/api/jobs/guard/files/${path}`)).status]).toEqual([path, 400])
	expect((await put('/api/jobs/guard/files/scans/new.stl')).status).toBe(415)
	expect((await put('/api/jobs/nobody/files/new.stl')).status).toBe(404)
	expect((await put('/api/jobs/guard/files/new.stl', 'text/plain')).status).toBe(415)
	expect(readdirSync(join(inner, 'guard')).sort()).toEqual([
		...['.hidden.stl', 'Größe 2.STL', 'badge.svg', 'job.jsonc', 'notes.key', 'scan.stl', 'scans'],
	])
})
