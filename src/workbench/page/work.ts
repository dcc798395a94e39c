/** The engine's thread: one question after another, each answer with the number of its question. */
import type { Cache } from '../../engine/cache.ts'
import { compute } from '../../engine/compute.ts'
import { loadJob } from '../../job/load.ts'
import { loadShop } from '../../job/loadShop.ts'
import type { Outcome } from '../../job/problem.ts'
import type { Job } from '../../job/schema.ts'
import { defaultShop } from '../../job/shopDefaults.ts'
import { withLines } from '../../job/source.ts'
import { jobNeedsReading } from '../../panel/needsReading.ts'
import { viewOf } from '../view.ts'
import type { Answer, Ask } from './messages.ts'

const cache: Cache = new Map()

self.onmessage = async ({ data }: MessageEvent<Ask>) => {
	try {
		self.postMessage(await answer(data))
	} catch (fault) {
		const said = fault instanceof Error ? fault.message : String(fault)
		self.postMessage({ id: data.id, problems: [], fault: said } satisfies Answer)
	}
}

async function answer({ id, job: text, shop: shopText, looked, files }: Ask): Promise<Answer> {
	const loaded = loadJob(text)
	const shop = shopText === undefined ? undefined : loadShop(shopText)
	const early = [...loaded.problems, ...(shop?.problems ?? [])]
	if (!loaded.value) return { id, problems: early }
	const { job, problems } = await withFiles(loaded.value.job, files)
	const result = compute(job, shop?.value?.shop ?? defaultShop(), { cache, until: 'scheme' })
	const view = viewOf(result, looked ?? job.panels[0]?.id)
	return { id, view, problems: [...early, ...withLines([...problems, ...view.problems], loaded.value.source)] }
}

/** Shapes that were read from scans and tracings, by what the job says of them: a scan is not cut into sections at every key. */
let read: { readonly key: string; readonly job: Job; readonly problems: Outcome<Job>['problems'] } | undefined

async function withFiles(job: Job, files: string): Promise<{ readonly job: Job; readonly problems: Outcome<Job>['problems'] }> {
	if (!jobNeedsReading(job)) return { job, problems: [] }
	const shapes = job.panels.map(({ id, hand, found, prepared, datums }) => ({ id, hand, found, shape: prepared?.shape, datums }))
	const key = files + JSON.stringify(shapes)
	if (read?.key !== key) {
		const { withReadings } = await import('../../panel/withReadings.ts')
		const made = await withReadings(job, (name, path) => fileBeside(files, name, path))
		read = { key, job: made.job, problems: made.problems }
	}
	const known = read
	const panels = job.panels.map((panel, i) => {
		const same = known.job.panels[i]
		if (!same) return panel
		const prepared = panel.prepared && { ...panel.prepared, ...(same.prepared?.shape ? { shape: same.prepared.shape } : {}) }
		return { ...panel, found: same.found, ...(prepared ? { prepared } : {}) }
	})
	return { job: { ...job, panels }, problems: known.problems }
}

async function fileBeside(files: string, name: string, path: string): Promise<Outcome<Uint8Array>> {
	const reply = await fetch(files + name.split('/').map(encodeURIComponent).join('/'))
	if (reply.ok) return { value: new Uint8Array(await reply.arrayBuffer()), problems: [] }
	const found = reply.status === 404 ? `no file ${name}` : `${name}, which cannot be read (${reply.status})`
	const fix = 'copy it there, or correct its name'
	return { problems: [{ code: 'NO_SUCH_FILE', severity: 'error', path, found, expected: 'a file beside the job file', fix }] }
}
