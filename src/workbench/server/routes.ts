/** What the page may ask for, and what it is answered. */
import { type Context, Hono } from 'hono'
import type { Disk } from '../../files/disk.ts'
import { diskProblem, isDiskError } from '../../files/diskProblem.ts'
import { LeadsOut } from '../../files/within.ts'
import type { Folder, StoredText } from '../wire.ts'
import { beginJob, listStarters } from './begin.ts'
import { fileBeside, putBeside } from './beside.ts'
import type { Listeners } from './changes.ts'
import { guarded, isScan, onlyJson, onlyOurs } from './guard.ts'
import { folderId } from './openedAt.ts'
import { firstPage, pageFile } from './static.ts'
import { NoText, type TextFile } from './textFile.ts'
import type { Texts } from './texts.ts'

export interface Rooms {
	readonly disk: Disk
	/** real path of the folder that is served */
	readonly root: string
	readonly texts: Texts
	readonly listeners: Listeners
	/** the port that is listened on */
	port(): number
}

export function routes({ disk, root, texts, listeners, port }: Rooms): Hono {
	const app = new Hono()
	app.use(guarded(), onlyOurs(port), onlyJson())
	app.onError((error, c) => refusal(error, c))
	app.notFound((c) => c.text('There is nothing under this address.', 404))

	app.get('/', (c) => firstPage(disk, c))
	app.get('/:folder{page|fonts}/:name', (c) => pageFile(disk, c, c.req.param('folder'), c.req.param('name')))

	app.get('/api/folder', (c) => c.json({ id: folderId(root) } satisfies Folder))
	app.get('/api/jobs', async (c) => c.json(await texts.list()))
	app.post('/api/jobs', async (c) => {
		const begun = await beginJob(disk, root, await c.req.json())
		return 'name' in begun ? c.json(begun, 201) : c.text(begun.why, begun.status)
	})
	app.get('/api/starters', async (c) => c.json(await listStarters(disk)))

	// A shop that has no file yet is an empty one, to be written over: revision 0.
	const noShop = (c: Context) => c.json({ text: '', revision: 0, file: 'shop.jsonc' } satisfies StoredText)
	const noFile = (c: Context) => c.text('There is no such file in this folder.', 404)
	const job = async (c: Context) => (await texts.job(c.req.param('name') ?? ''))?.text
	const jobShop = (c: Context) => texts.shop(c.req.param('name'))
	const folderShop = () => texts.shop()
	for (const [path, find, none] of [
		['/api/jobs/:name', job, noFile],
		['/api/jobs/:name/shop', jobShop, noShop],
		['/api/shop', folderShop, noShop],
	] as const) {
		app.get(path, async (c) => {
			const file = await find(c)
			const stored = await file?.read()
			return stored ? c.json(stored, 200, { ETag: `"${stored.revision}"` }) : file ? none(c) : noJob(c)
		})
		app.put(path, async (c) => saveText(c, await find(c)))
		app.get(`${path}/versions`, async (c) => {
			const file = await find(c)
			return file ? c.json(await file.versions.list()) : noJob(c)
		})
		app.get(`${path}/versions/:id`, async (c) => {
			const text = await (await find(c))?.versions.read(c.req.param('id') ?? '')
			return text === undefined ? c.text('There is no such version.', 404) : c.json({ text })
		})
		app.get(`${path}/changes`, async (c) => {
			const file = await find(c)
			if (!file) return noJob(c)
			const now = await file.read().catch((error) => {
				if (error instanceof NoText) return undefined
				throw error
			})
			return c.body(listeners.listen(file, now?.revision ?? 0), 200, { 'Content-Type': 'text/event-stream' })
		})
	}

	app.get('/api/jobs/:name/files/*', async (c) => {
		const place = await texts.job(c.req.param('name'))
		if (!place) return noJob(c)
		// as it was written: a slash that is part of a name must not become one between names
		const said = new URL(c.req.url).pathname.split('/').slice(5).join('/')
		const file = await fileBeside(disk, place.path, said)
		if (!file) return c.text('There is no such scan, tracing or picture beside the job file.', 404)
		return c.body(file.stream(), 200, {
			'Content-Type': 'application/octet-stream',
			'Content-Length': String(file.bytes),
			'Content-Disposition': 'attachment',
		})
	})
	app.put('/api/jobs/:name/files/:file', async (c) => {
		if (!isScan(c)) return c.notFound()
		const place = await texts.job(c.req.param('name'))
		if (!place) return noJob(c)
		const said = new URL(c.req.url).pathname.split('/').slice(5).join('/')
		const kept = await putBeside(disk, place.path, said, new Uint8Array(await c.req.arrayBuffer()))
		if (kept === 'kept') return c.body(null, 201)
		if (kept === 'too large') return c.text('A drawing has 5 MB at most.', 413)
		return kept === 'taken'
			? c.text('A file of that name is beside the job already.', 409)
			: c.text('A scan is a file that ends in .stl, .ply or .obj, a drawing one that ends in .svg.', 400)
	})
	return app
}

const noJob = (c: Context) => c.text('There is no such job in this folder.', 404)

async function saveText(c: Context, file: TextFile | undefined): Promise<Response> {
	if (!file) return noJob(c)
	const revision = /^"(\d{1,16})"$/.exec(c.req.header('if-match') ?? '')?.[1]
	if (revision === undefined) return c.text('What is saved has to say which revision it was made from (If-Match).', 428)
	const body: unknown = await c.req.json()
	const text = typeof body === 'object' && body !== null && 'text' in body ? body.text : undefined
	if (typeof text !== 'string') return c.text('There is no text to save.', 400)
	const answer = await file.save(text, Number(revision))
	return 'now' in answer ? c.json(answer, 412) : c.json(answer, 200, { ETag: `"${answer.revision}"` })
}

/** What went wrong, for a person. A fault of the program keeps its words to the terminal. */
function refusal(error: Error, c: Context): Response {
	if (error instanceof SyntaxError) return c.text('What was sent is no JSON.', 400)
	if (error instanceof NoText) {
		const { found, expected, fix } = error.problem
		return c.text(`${found}; expected ${expected}: ${fix}.`, 422)
	}
	if (error instanceof LeadsOut) return c.text(`${error.message}: it is left alone.`, 403)
	if (isDiskError(error)) {
		const { found, fix } = diskProblem(error, error.path ?? 'a file')
		const full = error.code === 'ENOSPC' || error.code === 'EDQUOT'
		return c.text(`${found}: ${fix}.`, full ? 507 : error.code === 'ENOENT' ? 404 : 500)
	}
	console.error(error)
	return c.text('A fault of the program itself; the terminal says more.', 500)
}
