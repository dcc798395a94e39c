/** The texts of job and shop as the engine takes them, in its thread; shapes from scans and tracings are read once. */
import { FONT_FILES } from '../../artwork/lettering/fonts.ts'
import { artworkCache, artworkNeedsReading } from '../../artwork/withArtwork.ts'
import type { FontId } from '../../job/artworkSchema.ts'
import { type LoadedJob, loadJob } from '../../job/load.ts'
import { loadShop } from '../../job/loadShop.ts'
import type { Outcome, Problem } from '../../job/problem.ts'
import type { Job } from '../../job/schema.ts'
import type { Shop } from '../../job/shop.ts'
import { defaultShop } from '../../job/shopDefaults.ts'
import { jobNeedsReading } from '../../panel/needsReading.ts'

export interface Texts {
	/** of the job file, and of the shop file where there is one */
	readonly job: string
	readonly shop?: string
	/** why there is a shop file and its text could not be had: nothing is printed to another shop's measures */
	readonly shopTrouble?: string
	/** where files beside the job are read: "/api/jobs/NAME/files/" */
	readonly files: string
}

export interface ReadTexts {
	readonly job: Job
	readonly shop: Shop
	/** the shop's text is none: the usual shop stands in for it, and nothing may be printed to its measures */
	readonly shopUnread: boolean
	readonly source: LoadedJob['source']
	readonly shopSource: LoadedJob['source'] | undefined
	/** of both texts, with their lines */
	readonly early: readonly Problem[]
	/** of files beside the job */
	readonly beside: readonly Problem[]
}

const unread = (why: string): Problem => ({
	code: 'SHOP_UNREAD',
	severity: 'error',
	path: '/shop',
	found: `a shop file that could not be read: ${why}`,
	expected: 'papers, printers and tapes of the shop that this job is printed in',
	fix: 'mend the file, or its rights, and open the job anew; until then nothing is printed',
})

/** No value where the job's text is none. */
export async function readTexts({ job: text, shop: shopText, shopTrouble, files }: Texts): Promise<Outcome<ReadTexts>> {
	const loaded = loadJob(text)
	const shop = shopText === undefined ? undefined : loadShop(shopText)
	const early = [...loaded.problems, ...(shop?.problems ?? []), ...(shopTrouble === undefined ? [] : [unread(shopTrouble)])]
	if (!loaded.value) return { problems: early }
	const shaped = await withFiles(loaded.value.job, files)
	const { job, problems: drawn } = await withDrawings(shaped.job, files)
	const beside = [...shaped.problems, ...drawn]
	const shopUnread = shopTrouble !== undefined || (shop !== undefined && shop.value === undefined)
	const value = {
		job,
		shop: shop?.value?.shop ?? defaultShop(),
		shopUnread,
		source: loaded.value.source,
		shopSource: shop?.value?.source,
		early,
		beside,
	}
	return { value, problems: early }
}

/** Shapes that were read from scans and tracings, by what the job says of them: a scan is not cut into sections at every key. */
let read: { readonly key: string; readonly job: Job; readonly problems: readonly Problem[] } | undefined

async function withFiles(job: Job, files: string): Promise<{ readonly job: Job; readonly problems: readonly Problem[] }> {
	if (!jobNeedsReading(job)) return { job, problems: [] }
	const shapes = job.panels.map(({ id, hand, found, prepared, datums }) => ({ id, hand, found, shape: prepared?.shape, datums }))
	const key = files + JSON.stringify(shapes)
	if (read?.key !== key) {
		const { withReadings } = await import('../../panel/withReadings.ts')
		const made = await withReadings(job, (name, path) => fileBeside(files, name, path))
		const failed = made.problems.some(({ severity }) => severity === 'error')
		// What was not there may have been copied there since: it is looked for again.
		read = { key: failed ? '' : key, job: made.job, problems: made.problems }
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

/** Drawings that were read and lettering that was set, of the job that was opened last. */
let kept = { files: '', cache: artworkCache() }

async function withDrawings(job: Job, files: string): Promise<{ readonly job: Job; readonly problems: readonly Problem[] }> {
	if (!artworkNeedsReading(job)) return { job, problems: [] }
	if (kept.files !== files) kept = { files, cache: artworkCache() }
	const { withArtwork } = await import('../../artwork/withArtwork.ts')
	return withArtwork(job, (name, path) => fileBeside(files, name, path), fontBytes, kept.cache)
}

async function fontBytes(font: FontId): Promise<Uint8Array> {
	const reply = await fetch(`/fonts/${FONT_FILES[font]}`)
	if (!reply.ok) throw new Error(`the font ${font} cannot be read (${reply.status})`)
	return new Uint8Array(await reply.arrayBuffer())
}

async function fileBeside(files: string, name: string, path: string): Promise<Outcome<Uint8Array>> {
	const reply = await fetch(files + name.split('/').map(encodeURIComponent).join('/'))
	if (reply.ok) return { value: new Uint8Array(await reply.arrayBuffer()), problems: [] }
	const found = reply.status === 404 ? `no file ${name}` : `${name}, which cannot be read (${reply.status})`
	const fix = 'copy it there, or correct its name'
	return { problems: [{ code: 'NO_SUCH_FILE', severity: 'error', path, found, expected: 'a file beside the job file', fix }] }
}
